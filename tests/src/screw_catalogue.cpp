// The screws of the catalogue: what each row says, and the relations that hold in every one.

#include <cmath>

#include "pitchline/io/catalogue.hpp"
#include "pitchline/io/diagnostic.hpp"
#include "pitchline/screw/power_screw.hpp"
#include "pitchline/screw/trapezoidal_thread.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using parts::ThreadKind;
using testing::IsNear;

// Half of the sixth decimal of an inch, to which Acme rows are written.
const Length rounding = inches(0.6e-6);

TEST_CASE("the relations of its thread hold in every screw of the catalogue", "[io][property]") {
  const io::Catalogue& catalogue = io::standard_catalogue();
  int of_kind[4] = {0, 0, 0, 0};
  for (const auto& [name, screw] : catalogue.screws) {
    CAPTURE(name);
    CHECK_NOTHROW(parts::require_valid(screw));
    CHECK(screw.name == name);
    CHECK_FALSE(screw.source.empty());
    ++of_kind[static_cast<int>(screw.thread)];
    const Length pitch = parts::pitch(screw);
    const Length outer = screw.outer_diameter;
    switch (screw.thread) {
      case ThreadKind::trapezoidal: {
        const auto basic = screw::trapezoidal_diameters({.outer_diameter = outer, .pitch = pitch});
        CHECK_THAT(screw.mean_diameter, IsNear(basic.mean, millimetres(1e-9)));
        CHECK_THAT(screw.minor_diameter, IsNear(basic.minor, millimetres(1e-9)));
        break;
      }
      case ThreadKind::acme: {
        // 10 threads an inch and coarser: 0.020 in under the basic minor diameter, else 0.010.
        const Length clearance = inches(pitch >= inches(0.0999) ? 0.020 : 0.010);
        CHECK_THAT(screw.mean_diameter, IsNear(outer - pitch / 2.0, rounding));
        CHECK_THAT(screw.minor_diameter, IsNear(outer - pitch - clearance, rounding));
        break;
      }
      case ThreadKind::square:
        CHECK_THAT(screw.mean_diameter, IsNear(outer - pitch / 2.0, millimetres(1e-9)));
        CHECK_THAT(screw.minor_diameter, IsNear(outer - pitch, millimetres(1e-9)));
        break;
      case ThreadKind::ball:
        CHECK(screw.mean_diameter == outer);
        CHECK_THAT(screw.minor_diameter,
                   IsNear(screw.mean_diameter - screw.ball_diameter, millimetres(1e-9)));
        CHECK(screw.ball_diameter < pitch);
        break;
    }
  }
  CHECK(of_kind[0] == 33);
  CHECK(of_kind[1] == 12);
  CHECK(of_kind[2] >= 3);
  CHECK(of_kind[3] >= 9);
}

TEST_CASE("a name of the catalogue says outer diameter, lead and pitch", "[io][property]") {
  for (const auto& [name, screw] : io::standard_catalogue().screws) {
    if (screw.thread == ThreadKind::acme) continue;
    CAPTURE(name);
    std::string spelt =
        fmt::format("{} {:g}x{:g}",
                    screw.thread == ThreadKind::trapezoidal ? "Tr"
                    : screw.thread == ThreadKind::square    ? "Square"
                                                            : "Ball",
                    in_millimetres(screw.outer_diameter), in_millimetres(parts::lead(screw)));
    if (screw.starts > 1) spelt += fmt::format(" (P{:g})", in_millimetres(parts::pitch(screw)));
    CHECK(name == spelt);
  }
}

TEST_CASE("screws of the catalogue have the core of published limits", "[io][published]") {
  // The largest core of class 7e is the basic one; reference/published/threads.csv.
  int met = 0;
  for (const testing::CsvRow& row : testing::published("threads.csv")) {
    CAPTURE(row.text("thread"));
    for (const auto& [name, screw] : io::standard_catalogue().screws) {
      const double pitch = row.number("pitch_mm");
      const bool same = screw.thread == ThreadKind::trapezoidal &&
                        screw.outer_diameter == millimetres(row.number("d_max_mm")) &&
                        std::fabs(in_millimetres(parts::pitch(screw)) - pitch) < 1e-9 &&
                        screw.starts == static_cast<int>(row.number("starts"));
      if (!same) continue;
      CHECK_THAT(screw.minor_diameter,
                 IsNear(millimetres(row.number("d3_max_mm")), millimetres(1e-9)));
      ++met;
    }
  }
  CHECK(met >= 27);
}

TEST_CASE("Acme screws of the catalogue lie within published limits of class 2G",
          "[io][published]") {
  // [Acme limits], in inches: pitch diameter from largest to smallest, and the largest core.
  struct Row {
    const char* name;
    double mean_most, mean_least, minor_most;
  };
  for (const Row& row :
       {Row{"Acme 3/8-12", 0.3284, 0.3161, 0.2817}, Row{"Acme 1/2-10", 0.4443, 0.4306, 0.38},
        Row{"Acme 5/8-8", 0.5562, 0.5408, 0.48}, Row{"Acme 3/4-6", 0.6598, 0.6424, 0.5633},
        Row{"Acme 1-5", 0.892, 0.8726, 0.78}}) {
    CAPTURE(row.name);
    const parts::Screw& screw = io::standard_catalogue().screws.find(row.name)->second;
    // The allowance of the class makes a screw thinner than its basic size, by less than 0.01 in.
    CHECK(screw.mean_diameter > inches(row.mean_most));
    CHECK(screw.mean_diameter < inches(row.mean_most + 0.01));
    CHECK_THAT(screw.minor_diameter, IsNear(inches(row.minor_most), inches(0.00005)));
  }
}

TEST_CASE("screws of 8 mm with 2, 4 and 8 mm lead are in, outside the preferred series", "[io]") {
  const auto& screws = io::standard_catalogue().screws;
  for (const char* name : {"Tr 8x2", "Tr 8x4 (P2)", "Tr 8x8 (P2)"}) {
    CAPTURE(name);
    const auto found = screws.find(name);
    REQUIRE(found != screws.end());
    CHECK_FALSE(found->second.preferred);
    CHECK_THAT(found->second.source, Contains("outside the preferred series"));
  }
  CHECK(screws.find("Tr 8x1.5")->second.preferred);
  CHECK(screws.find("Tr 8x8 (P2)")->second.starts == 4);
  CHECK(screws.find("Acme 5/8-6")->second.lead_millimetres == Fraction(127, 30));
}

TEST_CASE("a screw of a catalogue file is read, and a wrong one refused by line and column",
          "[io][error]") {
  const std::string right =
      "[screw.own]\nthread = \"square\"\nouter_diameter = \"12 mm\"\nlead = \"3 mm\"\n"
      "mean_diameter = \"10.5 mm\"\nminor_diameter = \"9 mm\"\nsource = \"own sheet\"\n";
  io::Catalogue catalogue;
  io::read_catalogue(right, "own.toml", catalogue);
  REQUIRE(catalogue.screws.contains("own"));
  CHECK(catalogue.screws.at("own").starts == 1);
  CHECK_FALSE(catalogue.screws.at("own").preferred);

  const auto error_of = [](const std::string& text) -> std::string {
    io::Catalogue unused;
    try {
      io::read_catalogue(text, "own.toml", unused);
    } catch (const io::UnusableInput& e) {
      return e.what();
    }
    return "";
  };
  const auto with = [&](const std::string& from, const std::string& to) {
    std::string text = right;
    return text.replace(text.find(from), from.size(), to);
  };
  CHECK_THAT(error_of(with("\"square\"", "\"sqare\"")),
             Contains("own.toml:2:10: error: unknown thread \"sqare\"") &&
                 Contains("did you mean \"square\"?"));
  CHECK_THAT(error_of(with("\"9 mm\"", "\"11 mm\"")),
             Contains("own.toml:6:18: error: mean diameter must be > minor diameter"));
  CHECK_THAT(error_of(with("\"square\"", "\"ball\"")), Contains("ball_diameter is missing"));
  CHECK_THAT(error_of(with("source = \"own sheet\"", "source = \"x\"\npreferred = 1")),
             Contains("own.toml:8:13: error: preferred must be true or false, got 1"));
  CHECK_THAT(
      error_of(with("source =", "static_rating = \"5 kN\"\nsource =")),
      Contains("own.toml:7:17: error: static_rating is that of balls, and the thread slides"));
  const std::string ball =
      with("\"square\"", "\"ball\"\nball_diameter = \"1.5 mm\"\ndynamic_rating = \"5.2 kN\"");
  io::read_catalogue(ball, "own.toml", catalogue);
  CHECK(catalogue.screws.at("own").dynamic_rating == newtons(5200));
  CHECK(is_unset(catalogue.screws.at("own").static_rating));
  CHECK_THAT(error_of(with("lead =", "led =")), Contains("unknown key \"led\""));
}

TEST_CASE("the flanks of the threads are those of their standards", "[parts][published]") {
  // [Thread standards]: included angles of 30° and 29°.
  CHECK(parts::flank_half_angle(ThreadKind::trapezoidal) == screw::trapezoidal_half_angle);
  CHECK(parts::flank_half_angle(ThreadKind::acme) == screw::acme_half_angle);
  CHECK(parts::flank_half_angle(ThreadKind::square) == degrees(0));
}

TEST_CASE("a screw with a missing or impossible figure is refused", "[parts][error]") {
  const parts::Screw good{.name = "own",
                          .lead_millimetres = Fraction(3),
                          .outer_diameter = millimetres(12),
                          .mean_diameter = millimetres(10.5),
                          .minor_diameter = millimetres(8.5)};
  CHECK_NOTHROW(parts::require_valid(good));
  const auto refused = [&](auto&& spoil) {
    parts::Screw s = good;
    spoil(s);
    CHECK_THROWS_AS(parts::require_valid(s), InvalidInput);
  };
  refused([](parts::Screw& s) { s.lead_millimetres = Fraction(0); });
  refused([](parts::Screw& s) { s.starts = 0; });
  refused([](parts::Screw& s) { s.starts = 21; });
  refused([](parts::Screw& s) { s.minor_diameter = unset<Length>(); });
  refused([](parts::Screw& s) { s.mean_diameter = s.minor_diameter; });
  refused([](parts::Screw& s) { s.outer_diameter = millimetres(10); });
  refused([](parts::Screw& s) { s.thread = ThreadKind::ball; });
  refused([](parts::Screw& s) { s.dynamic_rating = newtons(0); });
  refused([](parts::Screw& s) { s.static_rating = newtons(-1); });
}

}  // namespace
}  // namespace pitchline
