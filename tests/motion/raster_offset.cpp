#include "pitchline/motion/raster_offset.hpp"

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using motion::HeadLag;
using motion::raster_offset;
using testing::IsNear;

const HeadLag lag{
    .rotor = micrometres(10), .friction = newtons(6), .stiffness = newtons_per_millimetre(40)};

TEST_CASE("raster_offset is twice the lag of one way", "[motion][property]") {
  // 6 N over 40 N/mm are 150 um; with 10 um of the rotor 160 um behind each way.
  CHECK_THAT(motion::friction_stretch(lag), IsNear(micrometres(150), micrometres(1e-9)));
  CHECK_THAT(raster_offset(lag), IsNear(micrometres(320), micrometres(1e-9)));
  // A rigid drive without friction leaves the rotor alone.
  CHECK_THAT(
      raster_offset(
          {.rotor = micrometres(10), .friction = newtons(0), .stiffness = unlimited<Stiffness>()}),
      IsNear(micrometres(20), micrometres(1e-9)));
}

TEST_CASE("raster_offset refuses what its table excludes", "[motion][error]") {
  HeadLag bad = lag;
  bad.rotor = micrometres(-1);
  CHECK_THROWS_MATCHES(raster_offset(bad), InvalidInput,
                       Message("lag of the rotor must be >= 0, got -1e-06 m"));
  bad = lag;
  bad.friction = unset<Force>();
  CHECK_THROWS_MATCHES(raster_offset(bad), InvalidInput,
                       Message("friction must be >= 0, got nan N"));
  bad = lag;
  bad.stiffness = unset<Stiffness>();
  CHECK_THROWS_MATCHES(raster_offset(bad), InvalidInput,
                       Message("stiffness must be > 0, got nan N/m"));
}

}  // namespace
}  // namespace pitchline
