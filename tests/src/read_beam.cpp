#include <string>
#include <vector>

#include "support/machine_text.hpp"

// The beam of a gantry, an invented machine.

namespace pitchline {
namespace {

using namespace literals;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using testing::check_slip;
using testing::error_of;
using testing::names;
using testing::read;
using testing::replaced;

const std::string beam_keys =
    "{ span = \"1300 mm\", elastic_modulus = \"70 GPa\", second_moment = \"20 cm^4\", mass = \"3.9 "
    "kg\", damping = 0.02, carries = [\"carriage\", \"hoses\"] }";
const std::string loft = R"([machine]
name          = "Kite loft"
torque_margin = 1.1
[supply]
voltage = "36 V"
power   = "400 W"
[controller]
pulse_rate = "200 kHz"
decimals   = 3
[axis.y]
travel      = "900 mm"
moving_mass = { beam = "4.2 kg", carriage = "1.5 kg", hoses = "0.2 kg", ends = "1 kg" }
guide       = { kind = "profile rail", friction = 0.004 }
motor       = "nema23 56mm 2.8A"
driver      = { current = "2.4 A", current_is = "rms", microsteps = 16 }
drive       = { kind = "belt", profile = "GT 3 mm", width = "15 mm", pulley_teeth = 20 }
want        = { speed = "200 mm/s", acceleration = "2 m/s^2" }
beam        = )" + beam_keys +
                         "\n";
const std::string carried_axis = R"([axis.x]
travel      = "900 mm"
moving_mass = "0.7 kg"
guide       = { kind = "profile rail", friction = 0.004 }
motor       = "nema17 48mm 2A"
driver      = { current = "1.7 A", current_is = "rms", microsteps = 16 }
drive       = { kind = "belt", profile = "GT 2 mm", width = "9 mm", pulley_teeth = 20 }
want        = { speed = "200 mm/s", acceleration = "2 m/s^2" }
)";

TEST_CASE("a beam is read into its fields and marks what travels along it", "[io]") {
  const machine::Axis y = read(loft).axes.at(0);
  REQUIRE(y.beam);
  CHECK(y.beam->span == 1300_mm);
  CHECK(y.beam->elastic_modulus == megapascals(70'000));
  CHECK_THAT(in_millimetres_to_the_fourth(y.beam->second_moment), WithinRel(200'000.0, 1e-14));
  CHECK(y.beam->mass == 3.9_kg);
  CHECK(y.beam->damping_ratio.value() == 0.02);
  CHECK_FALSE(names(y, "beam.damping"));
  for (const axis::MovingPart& part : machine::moving_parts(y.drive)) {
    CAPTURE(part.name);
    CHECK(part.travels_along_beam == (part.name == "carriage" || part.name == "hoses"));
  }
  const std::string without = loft.substr(0, loft.find("beam        = "));
  CHECK_FALSE(read(without).axes.at(0).beam);
}

TEST_CASE("damping of a beam that the file leaves out is named", "[io]") {
  const machine::Axis y = read(replaced(loft, ", damping = 0.02", "")).axes.at(0);
  CHECK(y.beam->damping_ratio.value() == 0.01);
  CHECK(names(y, "beam.damping"));
}

TEST_CASE("an axis that rides on the beam stands for what travels along it", "[io]") {
  const std::string carries = ", carries = [\"carriage\", \"hoses\"]";
  const std::string text =
      replaced(replaced(loft, carries, ""), "[axis.y]\n", "[axis.y]\ncarries = [\"x\"]\n") +
      carried_axis;
  Mass along{};
  for (const axis::MovingPart& part : machine::moving_parts(read(text).axes.at(0).drive))
    if (part.travels_along_beam) along += part.mass;
  CHECK(along == 0.7_kg);
  CHECK_THAT(error_of(replaced(loft, carries, "")),
             Contains("axis.y.beam.carries is missing") && Contains("carries = [\"x\"] beside"));
}

TEST_CASE("errors of a beam name line and column", "[io][error]") {
  for (const testing::Slip& slip : std::vector<testing::Slip>{
           {"span = \"1300 mm\", ", "", "{ elastic", "axis.y.beam.span is missing"},
           {"\"1300 mm\"", "\"0 mm\"", "\"0", "span must be > 0 and at most 20000 mm"},
           {"elastic_modulus = \"70 GPa\", ", "", "{ span",
            "axis.y.beam.elastic_modulus is missing"},
           {"\"70 GPa\"", "\"70 MPa\"", "\"70 M",
            "elastic_modulus must be from 1 GPa to 1000 GPa, got \"70 MPa\""},
           {"\"70 GPa\"", "\"1001 GPa\"", "\"1001", "elastic_modulus must be from 1 GPa"},
           {"second_moment = \"20 cm^4\", ", "", "{ span", "axis.y.beam.second_moment is missing"},
           {"\"20 cm^4\"", "\"0 cm^4\"", "\"0 c", "second_moment must be > 0 and at most 1e9 mm^4"},
           {"\"20 cm^4\"", "\"20 m^4\"", "\"20 m", "second_moment must be > 0 and at most 1e9"},
           {"\"20 cm^4\"", "\"20 cm^2\"", "cm^2",
            "second_moment: expected a second moment of area (like \"20e4 mm^4\"), but \"20 cm^2\" "
            "is an area"},
           {", mass = \"3.9 kg\"", "", "{ span", "axis.y.beam.mass is missing"},
           {"\"3.9 kg\"", "\"0 kg\"", "\"0 k",
            "mass must be > 0 and at most 2000 kg, got \"0 kg\""},
           {"\"3.9 kg\"", "\"5.3 kg\"", "\"5.3",
            "mass must be at most 5.2 kg, what of moving_mass does not travel along the beam, got "
            "\"5.3 kg\""},
           {"damping = 0.02", "damping = 1", "1, car",
            "damping: damping ratio must be >= 0 and < 1"},
           {"\"hoses\"]", "\"hose\"]", "\"hose\"]", "unknown part of moving_mass \"hose\""},
           {"\"hoses\"]", "\"carriage\"]", "\"carriage\"]", "part \"carriage\" is named twice"},
           {"[\"carriage\", \"hoses\"]", "[]", "[]", "carries must name at least one part"},
           {"[\"carriage\", \"hoses\"]", "\"carriage\"", "\"carriage\"",
            "carries must be a list of texts"},
           {", damping", ", dampin", "dampin", "unknown key \"dampin\" in axis.y.beam"}}) {
    check_slip(loft, slip);
  }
  CHECK_THAT(error_of(replaced(loft, "elastic_modulus = \"70 GPa\", ", "")),
             Contains("add elastic_modulus = \"70 GPa\""));
  CHECK_THAT(error_of(replaced(loft, "\"hoses\"]", "\"hose\"]")),
             Contains("did you mean \"hoses\"?"));
  CHECK_THAT(error_of(replaced(loft, beam_keys, "3")), Contains("beam must be a table, got 3"));
  CHECK_NOTHROW(read(replaced(loft, "\"3.9 kg\"", "\"5.2 kg\"")));
}

TEST_CASE("what turns has no beam", "[io][error]") {
  const std::string axis = R"([axis.c]
motor  = "nema17 48mm 2A"
driver = { current = "1.7 A", current_is = "rms", microsteps = 16 }
drive  = { kind = "chuck", workpiece = { diameter = "60 mm", length = "100 mm", density = "700 kg/m^3" } }
want   = { speed = "200 mm/s", acceleration = "2 m/s^2" }
)";
  check_slip(loft + axis, {"want   = ", "beam   = " + beam_keys + "\nwant   = ", beam_keys,
                           "beam is not used with a chuck"});
}

}  // namespace
}  // namespace pitchline
