#include "pitchline/belt/mesh.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "support/catch.hpp"

namespace pitchline {
namespace {

using belt::exact_teeth_in_mesh;
using belt::mesh_correction;
using belt::teeth_in_mesh;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

// Wrap of the small pulley of two: 2 acos((D - d)/2C), [SDP handbook] eq. 22-10.
Angle wrap_of_small(double pitch, int small, int large, double centre) {
  return radians(2 * std::acos((large - small) * pitch / std::numbers::pi / (2 * centre)));
}

TEST_CASE("exact_teeth_in_mesh gives the exact count of two worked drives", "[belt][published]") {
  // Computed from eq. 22-10 apart from the header: 8.6387 and 6.2357. The printed approximation
  // with 60 for 180/pi gives 8.5853 and 6.1892, off by 0.05.
  CHECK_THAT(exact_teeth_in_mesh(20, wrap_of_small(2, 20, 60, 60)), WithinAbs(8.6387, 0.00005));
  CHECK_THAT(exact_teeth_in_mesh(16, wrap_of_small(3, 16, 80, 90)), WithinAbs(6.2357, 0.00005));
  CHECK(teeth_in_mesh(20, wrap_of_small(2, 20, 60, 60)) == 8);
  CHECK(teeth_in_mesh(16, wrap_of_small(3, 16, 80, 90)) == 6);
}

TEST_CASE("teeth_in_mesh is half of the teeth at half a turn, rounded down", "[belt][property]") {
  const int z = GENERATE(1, 12, 15, 16, 20, 21, 60);
  CAPTURE(z);
  CHECK(teeth_in_mesh(z, degrees(180)) == z / 2);
  CHECK(teeth_in_mesh(z, revolution) == z);
  CHECK(teeth_in_mesh(z, radians(std::acos(-1.0))) == z / 2);
}

TEST_CASE("teeth_in_mesh does not lose a tooth to the last digit of a wrap", "[belt][property]") {
  // 120 degrees of 18 teeth are 6, however the angle was come by.
  CHECK(teeth_in_mesh(18, degrees(120)) == 6);
  CHECK(teeth_in_mesh(18, radians(2 * std::acos(0.5))) == 6);
  CHECK(teeth_in_mesh(18, degrees(360) - degrees(240)) == 6);
  CHECK(teeth_in_mesh(18, degrees(120) * (1 - 1e-13)) == 6);
  CHECK(teeth_in_mesh(18, degrees(119.9999)) == 5);
}

TEST_CASE("mesh_correction gives the printed factors", "[belt][published]") {
  // [GT3 manual] p. 175, Q.
  constexpr std::array<double, 5> printed{0.2, 0.4, 0.6, 0.8, 1.0};
  for (int teeth = 2; teeth <= 6; ++teeth) {
    CAPTURE(teeth);
    CHECK_THAT(mesh_correction(teeth).factor,
               WithinRel(printed.at(static_cast<std::size_t>(teeth - 2)), 1e-15));
  }
  CHECK(mesh_correction(40).factor == 1.0);
  // [SDP handbook] p. T-66, Q: redesign for 2 and 1.
  CHECK(mesh_correction(1).factor == 0.0);
  CHECK(mesh_correction(0).factor == 0.0);
  for (const int teeth : {0, 1, 2}) CHECK(mesh_correction(teeth).redesign);
  for (const int teeth : {3, 4, 5, 6}) CHECK_FALSE(mesh_correction(teeth).redesign);
}

TEST_CASE("mesh gathers count, correction and whether the wrap is enough", "[belt][property]") {
  const belt::Mesh good = belt::mesh(20, degrees(180));
  CHECK(good.teeth == 10);
  CHECK_THAT(good.exact_teeth, WithinRel(10.0, 1e-15));
  CHECK(good.enough_wrap);
  const belt::Mesh poor = belt::mesh(20, degrees(59));
  CHECK(poor.teeth == 3);
  CHECK(poor.correction.factor == 0.4);
  CHECK_FALSE(poor.enough_wrap);
  CHECK(belt::mesh(20, degrees(60)).enough_wrap);
}

TEST_CASE("the mesh formulas refuse a wrap or a count outside their tables", "[belt][error]") {
  CHECK_THROWS_MATCHES(teeth_in_mesh(0, degrees(180)), InvalidInput,
                       Message("pulley teeth must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(teeth_in_mesh(20, degrees(0)), InvalidInput,
                       Message("wrap must be > 0 and <= 360, got 0 deg"));
  CHECK_THROWS_AS(exact_teeth_in_mesh(20, degrees(361)), InvalidInput);
  CHECK_THROWS_AS(belt::mesh(20, unset<Angle>()), InvalidInput);
  CHECK_THROWS_MATCHES(mesh_correction(-1), InvalidInput,
                       Message("teeth in mesh must be >= 0, got -1"));
}

}  // namespace
}  // namespace pitchline
