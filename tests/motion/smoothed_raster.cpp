#include "pitchline/motion/smoothed_raster.hpp"

#include "pitchline/motion/move_profile.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using motion::LineStart;
using motion::overrun_for;
using motion::raster_time;
using motion::RasterLines;
using testing::IsNear;

const LineStart start{.speed = metres_per_second(0.4),
                      .acceleration = metres_per_second_squared(2),
                      .jerk_time = seconds(0.1),
                      .settling_time = seconds(0.25)};
const RasterLines raster{.line = millimetres(500),
                         .overrun = millimetres(160),
                         .speed = metres_per_second(0.4),
                         .acceleration = metres_per_second_squared(2),
                         .line_pitch = millimetres(0.2),
                         .lines = 11,
                         .step_speed = metres_per_second(0.1),
                         .step_acceleration = metres_per_second_squared(0.8)};

TEST_CASE("an overrun takes ramp, jerk time and settling", "[motion][property]") {
  // 0.4^2/(2*2) = 40 mm, 0.4*0.1/2 = 20 mm, 0.4*0.25 = 100 mm.
  CHECK_THAT(overrun_for(start), IsNear(millimetres(160), millimetres(1e-9)));
}

TEST_CASE("the ramp of a smoothed overrun is that of a move profile", "[motion][property]") {
  // The distance until the smoothed ramp of a long move ends, from the jerk integrated.
  const Acceleration a = metres_per_second_squared(2);
  const motion::MoveProfile move{
      .trapezoid = motion::fastest_trapezoid(metres(1), {start.speed, a, a}),
      .up_jerk_time = seconds(0.1),
      .down_jerk_time = seconds(0.1)};
  const LineStart ramp{.speed = start.speed, .acceleration = a, .jerk_time = seconds(0.1)};
  CHECK_THAT(motion::position_at(move, seconds(0.2 + 0.1)),
             IsNear(overrun_for(ramp), millimetres(1e-9)));
}

TEST_CASE("a jerk time lengthens each move of a raster by itself", "[motion][property]") {
  // Line: 820 mm at 0.4 m/s and one ramp of 0.2 s: 2.25 s; with 0.1 s of jerk 2.35 s. Beyond an
  // end: 0.3 s of smoothed ramp and 100 mm at full speed, 0.55 s. Step: a triangle of
  // 2 sqrt(0.2 mm/0.8 m/s^2) = 31.62 ms and 20 ms of jerk.
  const auto time = raster_time(raster, {.along = seconds(0.1), .across = seconds(0.02)});
  CHECK_THAT(time.line, IsNear(seconds(2.35), seconds(1e-9)));
  CHECK_THAT(time.overrun, IsNear(seconds(1.10), seconds(1e-9)));
  CHECK_THAT(time.step, IsNear(seconds(0.0516228), seconds(1e-7)));
  CHECK_THAT(time.all, IsNear(seconds(11 * 2.35 + 10 * 0.0516228), seconds(1e-6)));
  CHECK_THAT(time.overrun_share, WithinRel(11 * 1.10 / in_seconds(time.all), 1e-9));
  CHECK(time.steady_on_line);
  RasterLines short_of = raster;
  short_of.overrun = millimetres(59.9);  // 60 mm are the smoothed ramp
  CHECK_FALSE(raster_time(short_of, {.along = seconds(0.1)}).steady_on_line);
  CHECK(raster_time(short_of, {}).steady_on_line);
}

TEST_CASE("smoothed rasters refuse what their tables exclude", "[motion][error]") {
  LineStart bad = start;
  bad.jerk_time = unset<Time>();
  CHECK_THROWS_MATCHES(overrun_for(bad), InvalidInput,
                       Message("jerk time must be >= 0, got nan s"));
  bad = start;
  bad.speed = metres_per_second(0);
  CHECK_THROWS_AS(overrun_for(bad), InvalidInput);
  CHECK_THROWS_MATCHES(raster_time(raster, {.along = seconds(-1)}), InvalidInput,
                       Message("jerk time must be >= 0, got -1 s"));
  CHECK_THROWS_MATCHES(raster_time(raster, {.across = unset<Time>()}), InvalidInput,
                       Message("jerk time must be >= 0, got nan s"));
  RasterLines none = raster;
  none.lines = 0;
  CHECK_THROWS_AS(raster_time(none, motion::RasterJerk{}), InvalidInput);
}

}  // namespace
}  // namespace pitchline
