#include "pitchline/units/kind.hpp"

#include <set>

#include "pitchline/units/read.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

TEST_CASE("exponents follow the order metre to tooth", "[units][property]") {
  STATIC_REQUIRE(exponents_of<Length> == Exponents{{1, 0, 0, 0, 0, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<Mass> == Exponents{{0, 1, 0, 0, 0, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<Time> == Exponents{{0, 0, 1, 0, 0, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<Current> == Exponents{{0, 0, 0, 1, 0, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<TemperatureRise> == Exponents{{0, 0, 0, 0, 1, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<Angle> == Exponents{{0, 0, 0, 0, 0, 1, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<FullSteps> == Exponents{{0, 0, 0, 0, 0, 0, 1, 0, 0}});
  STATIC_REQUIRE(exponents_of<Pulses> == Exponents{{0, 0, 0, 0, 0, 0, 0, 1, 0}});
  STATIC_REQUIRE(exponents_of<Teeth> == Exponents{{0, 0, 0, 0, 0, 0, 0, 0, 1}});
  STATIC_REQUIRE(exponents_of<Angle>.power[radian_power] == 1);
  STATIC_REQUIRE(exponents_of<Quotient<Length, Length>> == Exponents{});
}

TEST_CASE("exponents of composed kinds follow from their definitions", "[units][property]") {
  // V = W/A = kg m² s⁻³ A⁻¹; N m/rad; kg m²/rad²; K/W = K s³ kg⁻¹ m⁻².
  STATIC_REQUIRE(exponents_of<Voltage> == Exponents{{2, 1, -3, -1, 0, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<Torque> == Exponents{{2, 1, -2, 0, 0, -1, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<Inertia> == Exponents{{2, 1, 0, 0, 0, -2, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<ThermalResistance> == Exponents{{-2, -1, 3, 0, 1, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<PressureVelocity> == Exponents{{0, 1, -3, 0, 0, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<WearFactor> == Exponents{{1, -1, 2, 0, 0, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<DiameterSpeed> == Exponents{{1, 0, -1, 0, 0, 1, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<SecondMoment> == Exponents{{4, 0, 0, 0, 0, 0, 0, 0, 0}});
  STATIC_REQUIRE(exponents_of<BeltPitch> == Exponents{{1, 0, 0, 0, 0, 0, 0, 0, -1}});
}

TEST_CASE("no two kinds share a dimension or a name", "[units][property]") {
  std::set<std::array<std::int8_t, 9>> dimensions;
  std::set<std::string_view> names;
  for (const Kind* kind : all_kinds) {
    REQUIRE(kind != nullptr);
    CAPTURE(kind->name);
    CHECK(dimensions.insert(kind->exponents.power).second);
    CHECK(names.insert(kind->name).second);
  }
  CHECK(names.size() == all_kinds.size());
}

TEST_CASE("example, unit and coherent unit of every kind can be read", "[units][property]") {
  for (const Kind* kind : all_kinds) {
    CAPTURE(kind->name, kind->example, kind->unit, kind->si_unit);
    CHECK(read_coherent(kind->example, *kind) > 0);
    CHECK(read_coherent(fmt::format("1 {}", kind->unit), *kind) > 0);
    CHECK(read_coherent(fmt::format("1 {}", kind->si_unit), *kind) == 1.0);
  }
}

TEST_CASE("what is read as one kind is refused as every other", "[units][property]") {
  for (const Kind* kind : all_kinds) {
    const std::string text = fmt::format("1 {}", kind->si_unit);
    for (const Kind* other : all_kinds) {
      if (other == kind) continue;
      // N·m is how both are written; makers of controllers give pulse rates in Hz.
      if (kind == kind_of<Torque> && other == kind_of<Energy>) continue;
      if (kind == kind_of<Frequency> && other == kind_of<PulseRate>) continue;
      CAPTURE(text, other->name);
      CHECK_THROWS_AS(read_coherent(text, *other), UnreadableQuantity);
    }
  }
}

}  // namespace
}  // namespace pitchline
