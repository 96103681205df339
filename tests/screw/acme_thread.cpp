#include "pitchline/screw/acme_thread.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "pitchline/screw/square_thread.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using screw::acme_diameters;
using screw::square_diameters;
using testing::IsNear;

TEST_CASE("acme_diameters gives the limits of published threads", "[screw][published]") {
  // reference/published/acme_threads.csv, class 2G, inches to four decimals. The mean diameter is
  // thinner by 0.008 √D at the least and by 0.006 √D + 0.03 √p more at the most, the core by one
  // and a half times the latter; the outer one by p/20, or 0.005. D is the size itself, or, of a
  // pitch that is no preferred one for it, the smallest size for which it is. Rules of ASME B1.5
  // from memory, D inferred; the rows confirm both. Two cells are 0.0006 in out of line, each with
  // its neighbour in line, and count as misprints: d2_min of 1-6 and d3_min of 5/8-6.
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("acme_threads.csv")) {
    CAPTURE(row.text("thread"));
    const double d = row.number("diameter_in");
    const double n = row.number("threads_per_inch");
    const auto met = acme_diameters(inches(d), n);
    CHECK_THAT(met.pitch, IsNear(inches(1 / n), inches(1e-12)));
    ++rows;
    if (row.text("d_max_in").empty()) {
      CHECK_THAT(met.mean, IsNear(inches(d - 0.5 / n), inches(1e-12)));
      continue;
    }
    const double root = std::sqrt(row.number("size_of_tolerances_in"));
    const double tolerance = 0.006 * root + 0.03 * std::sqrt(1 / n);
    const auto check = [&](Length wanted, const char* column) {
      const std::string cell = row.text("thread") + ' ' + column;
      const bool misprint = cell == "Acme 1-6 d2_min_in" || cell == "Acme 5/8-6 d3_min_in";
      const Length printed = inches(row.number(column) - (misprint ? 0.0006 : 0.0));
      CHECK_THAT(wanted, IsNear(printed, inches(0.00012)));
    };
    check(inches(d), "d_max_in");
    check(inches(d - std::max(0.05 / n, 0.005)), "d_min_in");
    check(met.mean - inches(0.008 * root), "d2_max_in");
    check(met.mean - inches(0.008 * root + tolerance), "d2_min_in");
    check(met.minor, "d3_max_in");
    check(met.minor - inches(1.5 * tolerance), "d3_min_in");
  }
  CHECK(rows == 14);
}

TEST_CASE("an Acme core has twice the clearance of a fine thread from 10 to the inch on",
          "[screw][published]") {
  // 3/8-12 and 1/2-10 of the same table: d − p − d3 is 0.010 and 0.020 in.
  const auto clearance = [](double d, double n) {
    const auto met = acme_diameters(inches(d), n);
    return inches(d) - met.pitch - met.minor;
  };
  CHECK_THAT(clearance(0.375, 12), IsNear(inches(0.010), inches(1e-12)));
  CHECK_THAT(clearance(0.25, 16), IsNear(inches(0.010), inches(1e-12)));
  CHECK_THAT(clearance(0.5, 10), IsNear(inches(0.020), inches(1e-12)));
  CHECK_THAT(clearance(3, 2), IsNear(inches(0.020), inches(1e-12)));
}

TEST_CASE("square_diameters gives those of textbook screws", "[screw][published]") {
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("square_threads.csv")) {
    CAPTURE(row.text("source"));
    const auto met = square_diameters({.outer_diameter = millimetres(row.number("diameter_mm")),
                                       .pitch = millimetres(row.number("pitch_mm"))});
    CHECK_THAT(met.mean, IsNear(millimetres(row.number("mean_diameter_mm")), millimetres(1e-9)));
    CHECK_THAT(met.mean - met.minor,
               IsNear(millimetres(row.number("pitch_mm") / 2), millimetres(1e-9)));
    if (!row.text("minor_diameter_mm").empty())
      CHECK_THAT(met.minor,
                 IsNear(millimetres(row.number("minor_diameter_mm")), millimetres(1e-9)));
    ++rows;
  }
  CHECK(rows == 4);
}

TEST_CASE("threads refuse what none of them has", "[screw][error]") {
  CHECK_THROWS_MATCHES(acme_diameters(unset<Length>(), 8), InvalidInput,
                       Message("outer diameter must be > 0, got nan in"));
  CHECK_THROWS_MATCHES(acme_diameters(inches(1), std::nan("")), InvalidInput,
                       Message("threads per inch must be > 0, got nan"));
  CHECK_THROWS_MATCHES(acme_diameters(inches(1), 0), InvalidInput,
                       Message("threads per inch must be > 0, got 0"));
  CHECK_THROWS_MATCHES(acme_diameters(inches(1), 11), OutsideValidity,
                       Message("no Acme thread with 11 threads per inch is known here: 16, 14, 12, "
                               "10, 8, 6, 5, 4, 3 and 2 are"));
  CHECK_THROWS_MATCHES(acme_diameters(inches(0.25), 4), OutsideValidity,
                       Message("an outer diameter of 0.25 in leaves no core under a thread of 4 to "
                               "the inch"));
  CHECK_THROWS_MATCHES(square_diameters({.outer_diameter = metres(0), .pitch = millimetres(2)}),
                       InvalidInput, Message("outer diameter must be > 0, got 0 mm"));
  CHECK_THROWS_MATCHES(
      square_diameters({.outer_diameter = millimetres(8), .pitch = unset<Length>()}), InvalidInput,
      Message("pitch must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(
      square_diameters({.outer_diameter = millimetres(8), .pitch = millimetres(8)}),
      OutsideValidity,
      Message("an outer diameter of 8 mm leaves no core under a square thread of "
              "8 mm pitch"));
}

}  // namespace
}  // namespace pitchline
