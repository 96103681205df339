#include "pitchline/screw/trapezoidal_thread.hpp"

#include <map>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using screw::trapezoidal_diameters;
using testing::IsNear;

TEST_CASE("trapezoidal_diameters gives the limits of published threads", "[screw][published]") {
  // reference/published/threads.csv. The core may be as thick as its basic size, tolerance 7h; the
  // mean diameter of 7e is thinner by the allowance e of the pitch, in mm.
  const std::map<double, double> allowance{
      {1.5, 0.067}, {2, 0.071}, {3, 0.085}, {4, 0.095}, {5, 0.106}};
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("threads.csv")) {
    CAPTURE(row.text("thread"));
    const double pitch = row.number("pitch_mm");
    const auto met = trapezoidal_diameters(
        {.outer_diameter = millimetres(row.number("d_max_mm")), .pitch = millimetres(pitch)});
    CHECK_THAT(met.minor, IsNear(millimetres(row.number("d3_max_mm")), millimetres(1e-9)));
    CHECK_THAT(met.mean - millimetres(allowance.at(pitch)),
               IsNear(millimetres(row.number("d2_max_mm")), millimetres(1e-9)));
    CHECK(met.minor > millimetres(row.number("d3_min_mm")));
    ++rows;
  }
  CHECK(rows == 28);
}

TEST_CASE("a trapezoidal core is thinner by the depth of the thread", "[screw][property]") {
  // From d_2 to d_3 is half a pitch and the clearance of both crests: its steps are at 1.5, 5, 12.
  const auto clearance = [](double pitch) {
    const auto met =
        trapezoidal_diameters({.outer_diameter = millimetres(200), .pitch = millimetres(pitch)});
    return in_millimetres(met.mean - met.minor) - pitch / 2.0;
  };
  CHECK_THAT(clearance(1.5), WithinRel(0.3, 1e-9));
  CHECK_THAT(clearance(2), WithinRel(0.5, 1e-9));
  CHECK_THAT(clearance(5), WithinRel(0.5, 1e-9));
  CHECK_THAT(clearance(6), WithinRel(1.0, 1e-9));
  CHECK_THAT(clearance(12), WithinRel(1.0, 1e-9));
  CHECK_THAT(clearance(14), WithinRel(2.0, 1e-9));
  CHECK_THAT(clearance(44), WithinRel(2.0, 1e-9));
}

TEST_CASE("trapezoidal_diameters refuses what no such thread has", "[screw][error]") {
  CHECK_THROWS_MATCHES(
      trapezoidal_diameters({.outer_diameter = unset<Length>(), .pitch = millimetres(2)}),
      InvalidInput, Message("outer diameter must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(
      trapezoidal_diameters({.outer_diameter = millimetres(8), .pitch = millimetres(-2)}),
      InvalidInput, Message("pitch must be > 0, got -2 mm"));
  CHECK_THROWS_MATCHES(
      trapezoidal_diameters({.outer_diameter = millimetres(8), .pitch = millimetres(1.25)}),
      OutsideValidity,
      Message("no metric trapezoidal thread has a pitch of 1.25 mm: they go from "
              "1.5 and 2 to 44 mm"));
  CHECK_THROWS_MATCHES(
      trapezoidal_diameters({.outer_diameter = millimetres(4.5), .pitch = millimetres(4)}),
      OutsideValidity,
      Message("an outer diameter of 4.5 mm leaves no core under a thread of 4 mm "
              "pitch"));
}

}  // namespace
}  // namespace pitchline
