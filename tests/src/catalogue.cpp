#include "pitchline/io/catalogue.hpp"

#include "pitchline/io/diagnostic.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

TEST_CASE("every motor of the catalogue is complete and says where it comes from", "[io]") {
  const io::Catalogue& catalogue = io::standard_catalogue();
  CHECK(catalogue.motors.size() >= 10);
  for (const auto& [name, motor] : catalogue.motors) {
    CAPTURE(name);
    CHECK_NOTHROW(parts::require_valid(motor));
    CHECK(motor.name == name);
    const bool marked = motor.source.find("common practice, no source") != std::string::npos ||
                        (!motor.source.empty() && !motor.notes.mark.empty());
    CHECK(marked);
  }
}

TEST_CASE("every belt of the catalogue has a pitch, and a source beside each figure", "[io]") {
  const io::Catalogue& catalogue = io::standard_catalogue();
  CHECK(catalogue.belts.size() >= 16);
  for (const auto& [name, belt] : catalogue.belts) {
    CAPTURE(name);
    CHECK(belt.pitch_millimetres > Fraction(0));
    CHECK_FALSE(belt.source.empty());
    CHECK(is_unset(belt.stiffness_per_width) == belt.stiffness_source.empty());
    CHECK(is_unset(belt.mass_per_width) == belt.mass_source.empty());
  }
  CHECK(catalogue.belts.at("MXL").pitch_millimetres == Fraction(254, 125));
}

TEST_CASE("what no source gives stays unknown in the catalogue", "[io]") {
  for (const char* name : {"T10", "AT3", "AT10", "HTD 8M"}) {
    CAPTURE(name);
    CHECK(is_unset(io::standard_catalogue().belts.at(name).stiffness_per_width));
  }
}

TEST_CASE("a catalogue file replaces an entry of the same name and is refused whole",
          "[io][error]") {
  io::Catalogue catalogue = io::standard_catalogue();
  io::read_catalogue(
      "[belt.\"GT 2 mm\"]\npitch = { value = \"2 mm\", mark = \"read\", source = \"own sheet\" }\n",
      "own.toml", catalogue);
  CHECK(catalogue.belts.at("GT 2 mm").source == "own sheet");
  CHECK(is_unset(catalogue.belts.at("GT 2 mm").stiffness_per_width));

  const std::size_t before = catalogue.motors.size();
  CHECK_THROWS_AS(
      io::read_catalogue("[motor.a]\nstep_angle = \"1.8 deg\"\n[motor.b]\n", "own.toml", catalogue),
      io::UnusableInput);
  CHECK(catalogue.motors.size() == before);
}

}  // namespace
}  // namespace pitchline
