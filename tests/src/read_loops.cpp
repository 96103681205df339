#include "pitchline/io/read_loops.hpp"

#include <map>
#include <set>
#include <string>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::StockLoop;
using belt::StockStatus;
using Catch::Matchers::Contains;
using testing::IsNear;

const std::string head = "maker,series,profile,pitch_mm,length_mm,teeth,status,mark,source\n";

std::vector<StockLoop> of_profile(const std::string& profile, const std::string& maker) {
  std::vector<StockLoop> found;
  for (const StockLoop& loop : io::standard_loops())
    if (loop.profile == profile && loop.maker == maker) found.push_back(loop);
  return found;
}

TEST_CASE("the built-in list of closed belts is complete and in order", "[io]") {
  CHECK(io::standard_loops().size() == 947);  // the sum of the printed counts below
  std::set<std::string> seen;
  for (const StockLoop& loop : io::standard_loops()) {
    CAPTURE(loop.maker, loop.profile, print_fraction(loop.length_millimetres));
    CHECK_NOTHROW(require_valid(loop));
    CHECK_FALSE(loop.source.empty());
    CHECK(seen.insert(loop.maker + loop.series + loop.profile +
                      print_fraction(loop.length_millimetres))
              .second);
  }
}

TEST_CASE("the built-in list has the printed number of lengths a profile", "[io][published]") {
  // Counts and ranges of the lists as they were read, mm.
  struct Printed {
    const char *maker, *profile;
    std::size_t count;
    int shortest, longest;
  };
  for (const Printed& p : {Printed{"Gates", "GT 2 mm", 77, 74, 930},
                           {"Gates", "GT 3 mm", 77, 105, 1692},
                           {"Gates", "GT 5 mm", 48, 200, 2440},
                           {"Gates", "GT 8 mm", 31, 384, 4400},
                           {"Gates", "HTD 3M", 113, 105, 1926},
                           {"Gates", "HTD 5M", 89, 120, 2350},
                           {"Gates", "HTD 8M", 65, 264, 2800},
                           {"ContiTech", "HTD 3M", 72, 0, 0},
                           {"ContiTech", "HTD 5M", 49, 0, 0},
                           {"ContiTech", "HTD 8M", 40, 0, 0},
                           {"Mulco", "T2", 21, 90, 710},
                           {"Mulco", "T2.5", 36, 55, 1475},
                           {"Mulco", "T5", 73, 100, 1500},
                           {"Mulco", "T10", 59, 260, 4780},
                           {"Mulco", "AT3", 18, 150, 1011},
                           {"Mulco", "AT5", 40, 225, 2000},
                           {"Mulco", "AT10", 39, 500, 1940}}) {
    CAPTURE(p.maker, p.profile);
    const auto found = of_profile(p.profile, p.maker);
    CHECK(found.size() == p.count);
    if (p.longest == 0) continue;
    Fraction least = found.front().length_millimetres;
    Fraction most = least;
    for (const StockLoop& loop : found) {
      least = std::min(least, loop.length_millimetres);
      most = std::max(most, loop.length_millimetres);
    }
    CHECK(least == Fraction(p.shortest));
    CHECK(most == Fraction(p.longest));
  }
}

TEST_CASE("the built-in list respects the traps of the printed ones", "[io][published]") {
  // T10 of 660 mm is printed once with 65 teeth.
  bool has_660 = false;
  for (const StockLoop& loop : of_profile("T10", "Mulco")) {
    has_660 = has_660 || (loop.length_millimetres == Fraction(660) && loop.teeth == 66);
    CHECK(loop.status == StockStatus::listed_some_special);
  }
  CHECK(has_660);
  // The 1160 mm belt of 8 mm pitch is printed as 1164 elsewhere; it has 145 teeth.
  bool has_1160 = false;
  for (const StockLoop& loop : of_profile("GT 8 mm", "Gates")) {
    has_1160 = has_1160 || (loop.length_millimetres == Fraction(1160) && loop.teeth == 145);
    CHECK(loop.length_millimetres != Fraction(1164));
  }
  CHECK(has_1160);
  // Loops of the trade that are not in the maker's list, and its age.
  for (const StockLoop& loop : of_profile("GT 2 mm", "Gates")) {
    for (const int trade : {110, 122, 188, 200, 852})
      CHECK(loop.length_millimetres != Fraction(trade));
    CHECK(loop.status == StockStatus::was_listed);
  }
}

TEST_CASE("a belt for two pulleys is found in the built-in list", "[io][property]") {
  // By hand: GT 2 mm, 20/20, 60 mm apart: 160 mm wanted; 158 and 164 are listed, so 59 and 62.
  const auto found =
      loop_candidates(io::standard_loops(),
                      {.pulleys = {.profile = {.name = "GT 2 mm", .pitch_millimetres = Fraction(2)},
                                   .first_teeth = 20,
                                   .second_teeth = 20},
                       .centre_distance = millimetres(60),
                       .can_move_closer = millimetres(1.5),
                       .can_move_farther = millimetres(1)});
  REQUIRE(found.size() > 2);
  CHECK(found[0].loop.length_millimetres == Fraction(158));
  CHECK_THAT(found[0].centre_distance, IsNear(millimetres(59), millimetres(1e-9)));
  CHECK(found[0].fits);
  CHECK(found[1].loop.length_millimetres == Fraction(164));
  CHECK_FALSE(found[1].fits);
}

TEST_CASE("read_loops reads odd pitches exactly and keeps the mark", "[io]") {
  const auto loops = io::read_loops(
      head + "Own,kite loft,MXL,2.032,203.2,100,on demand,from memory,invented\r\n\n", "own.csv");
  REQUIRE(loops.size() == 1);
  CHECK(loops[0].pitch_millimetres == Fraction(254, 125));
  CHECK(loops[0].length_millimetres == Fraction(1016, 5));
  CHECK(loops[0].status == StockStatus::on_demand);
  CHECK(loops[0].source == "invented (from memory)");
  CHECK(io::read_loops(head, "own.csv").empty());
}

TEST_CASE("read_loops reports every error with its place", "[io][error]") {
  const auto refused = [](const std::string& text) -> std::string {
    try {
      io::read_loops(text, "own.csv");
    } catch (const io::UnusableInput& e) {
      return e.what();
    }
    return "accepted";
  };
  const std::string met = refused(head +
                                  "Mulco,Synchroflex,T10,10,660,65,listed,read,p. 102\n"
                                  "Mulco,Synchroflex,T10,10 mm,660,66,listed,read,p. 102\n"
                                  "Mulco,Synchroflex,T10,10,-5,66,listed,read,p. 102\n"
                                  "Mulco,Synchroflex,T10,10,660,6.6,listet,red,p. 102\n"
                                  "Mulco,,T10,10,660,66,listed,read,\n"
                                  "Mulco,T10\n"
                                  "Mulco,Synchroflex,T10,0,660,0,quite other,read,p. 102\n");
  CHECK_THAT(met, Contains("own.csv:2:30: error: teeth must be length over pitch, 66, got 65"));
  CHECK_THAT(met, Contains("own.csv:3:23: error: pitch_mm must be a number of mm, got \"10 mm\""));
  CHECK_THAT(met, Contains("own.csv:4:26: error: length_mm must be a number of mm, got \"-5\""));
  CHECK_THAT(met, Contains("own.csv:5:30: error: teeth must be a whole number >= 1, got \"6.6\""));
  CHECK_THAT(met, Contains("own.csv:5:34: error: unknown status \"listet\""));
  CHECK_THAT(met, Contains("did you mean \"listed\"?"));
  CHECK_THAT(met, Contains("own.csv:5:41: error: unknown mark \"red\""));
  CHECK_THAT(met, Contains("own.csv:6:7: error: series must not be empty"));
  CHECK_THAT(met, Contains("error: source must not be empty"));
  CHECK_THAT(met, Contains("own.csv:7:1: error: 2 cells in a line of 9"));
  CHECK_THAT(met, Contains("pitch_mm must be > 0 and at most 100000, got \"0\""));
  CHECK_THAT(met, Contains("one of: listed, listed; some special, was listed, on demand"));
  CHECK_THAT(refused("maker,teeth\n"), Contains("own.csv:1:1: error: the head of a list of closed "
                                                "belts is wrong"));
  CHECK_THAT(refused(""), Contains("own.csv:1:1: error: the head"));
}

}  // namespace
}  // namespace pitchline
