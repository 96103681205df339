#include "pitchline/axis/cross_shaft.hpp"
#include "pitchline/parts/material.hpp"

#include <cmath>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using axis::BeamLoad;
using axis::CrossShaft;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;

// The kite loft driven on one side, our own invented machine: an 8 mm steel rod across 1250 mm,
// pulleys of 20 teeth of 2 mm.
CrossShaft rod() {
  return {.shaft = {.diameter = millimetres(8),
                    .length = millimetres(1250),
                    .shear_modulus = parts::steel_shear_modulus},
          .far_pulley_inertia = kilogram_square_metres(4e-7),
          .density = kilograms_per_cubic_metre(7850),
          .transmission = millimetres(40) / revolution,
          .belt_distance = millimetres(1300)};
}
const BeamLoad load{.beam = kilograms(3), .carriage = kilograms(0.9)};

// π 8⁴/32 mm⁴ · 79.3 GPa / 1.25 m, in N·m/rad.
const double rod_stiffness = std::numbers::pi * 4096e-12 / 32 * 79.3e9 / 1.25;
const double radius = 0.04 / (2 * std::numbers::pi);

TEST_CASE("far_side_mass is half of the beam and the whole carriage", "[axis][property]") {
  CHECK_THAT(in_kilograms(axis::far_side_mass(load)), WithinRel(2.4, 1e-15));
}

TEST_CASE("the far side stays behind by the wind-up at the pitch radius and the give of its belt",
          "[axis][property]") {
  // Worked by hand: F = 20 N on r = 6.366 mm is 0.1273 N·m on 25.51 N·m/rad, 4.99 mrad, 0.0318 mm;
  // 40 N/mm of belt give 0.5 mm; over 1300 mm.
  const axis::FarSideLag lag = axis::far_side_lag(rod(), newtons_per_millimetre(40), newtons(20));
  CHECK_THAT(in_newton_metres(lag.shaft_torque), WithinRel(20 * radius, 1e-13));
  CHECK_THAT(in_radians(lag.wind_up), WithinRel(20 * radius / rod_stiffness, 1e-12));
  CHECK_THAT(in_metres(lag.by_shaft), WithinRel(20 * radius * radius / rod_stiffness, 1e-12));
  CHECK_THAT(in_millimetres(lag.by_shaft), Catch::Matchers::WithinAbs(0.0318, 0.00005));
  CHECK_THAT(in_millimetres(lag.by_belt), WithinRel(0.5, 1e-13));
  CHECK_THAT(in_radians(lag.skew), WithinRel(in_metres(lag.sum()) / 1.3, 1e-13));
  // The same by the two springs.
  const Stiffness both = axis::far_side_stiffness(rod(), newtons_per_millimetre(40));
  CHECK_THAT(number(newtons(20) / both / lag.sum()), WithinRel(1.0, 1e-13));
  CHECK_THAT(in_newtons_per_metre(axis::shaft_stiffness_at_belt(rod())),
             WithinRel(rod_stiffness / radius / radius, 1e-12));
}

TEST_CASE("the shaft stores the work that the lost position takes", "[axis][property]") {
  // F s/2 at the belt is T θ/2 in the shaft.
  const double pulley = GENERATE(0.004, 0.01, 0.03);
  CAPTURE(pulley);
  CrossShaft cross = rod();
  cross.transmission = metres_per_radian(pulley);
  const axis::FarSideLag lag = axis::far_side_lag(cross, unlimited<Stiffness>(), newtons(50));
  const Energy at_belt = newtons(50) * lag.by_shaft / 2.0;
  const Energy in_shaft = lag.shaft_torque * lag.wind_up / 2.0;
  CHECK_THAT(number(at_belt / in_shaft), WithinRel(1.0, 1e-13));
  CHECK(lag.by_belt == metres(0));
}

TEST_CASE("couplings soften the shaft, and by default add nothing", "[axis][property]") {
  CrossShaft cross = rod();
  const TorsionalStiffness bare = stiffness_between_pulleys(cross);
  CHECK_THAT(in_newton_metres_per_radian(bare), WithinRel(rod_stiffness, 1e-12));
  cross.couplings = 2;
  CHECK(stiffness_between_pulleys(cross) == bare);
  cross.coupling_stiffness = newton_metres_per_radian(100);
  CHECK_THAT(in_newton_metres_per_radian(stiffness_between_pulleys(cross)),
             WithinRel(1 / (1 / rod_stiffness + 2.0 / 100), 1e-12));
  // Without any, their stiffness does not count.
  cross.couplings = 0;
  CHECK(stiffness_between_pulleys(cross) == bare);
}

TEST_CASE("thicker shafts and smaller pulleys lose less", "[axis][property]") {
  const auto lost = [](const CrossShaft& cross) {
    return axis::far_side_lag(cross, newtons_per_millimetre(40), newtons(20)).sum();
  };
  CrossShaft thick = rod();
  thick.shaft.diameter = millimetres(10);
  CrossShaft small = rod();
  small.transmission = millimetres(32) / revolution;
  CrossShaft wide = rod();
  wide.shaft.length = millimetres(1500);
  CHECK(lost(thick) < lost(rod()));
  CHECK(lost(small) < lost(rod()));
  CHECK(lost(wide) > lost(rod()));
  CHECK(axis::far_side_lag(rod(), newtons_per_millimetre(40), newtons(0)).sum() == metres(0));
}

TEST_CASE("the frequency of the far side is a lower bound for a beam on two belts",
          "[axis][property]") {
  // Lowest root of det(K − ω² M), M = {{B/3, B/6}, {B/6, B/3 + C}}, K = diag(near, far).
  const double beam = GENERATE(0.0, 1.0, 3.0, 10.0);
  const double carriage = GENERATE(0.1, 0.9, 5.0);
  const double near = GENERATE(40e3, 1e6);
  CAPTURE(beam, carriage, near);
  const BeamLoad heavy{.beam = kilograms(beam), .carriage = kilograms(carriage)};
  const Stiffness belt = newtons_per_metre(40e3);
  const double far = in_newtons_per_metre(axis::far_side_stiffness(rod(), belt));
  const double a = beam * beam / 9 + beam * carriage / 3 - beam * beam / 36;
  const double b = -(near * (beam / 3 + carriage) + far * beam / 3);
  const double c = near * far;
  const double square = 2 * c / (-b + std::sqrt(b * b - 4 * a * c));
  const double exact = std::sqrt(square) / (2 * std::numbers::pi);
  const double met = in_hertz(axis::far_side_frequency(rod(), belt, heavy));
  CHECK(met <= exact * (1 + 1e-12));
  // Without a beam it is the carriage on the far springs, exactly.
  if (beam == 0.0) CHECK_THAT(met, WithinRel(exact, 1e-12));
}

TEST_CASE("the shaft's inertia reaches the motor by the square of the ratio", "[axis][property]") {
  CrossShaft cross = rod();
  cross.couplings = 2;
  cross.coupling_inertia = kilogram_square_metres(1e-6);
  const double direct = in_kilogram_square_metres(axis::inertia_at_motor(cross));
  CHECK_THAT(direct,
             WithinRel(7850 * 1.25 * std::numbers::pi * 4096e-12 / 32 + 2e-6 + 4e-7, 1e-12));
  CHECK_THAT(in_kilogram_square_metres(axis::inertia_at_motor(cross, Fraction(3))),
             WithinRel(direct / 9, 1e-13));
}

TEST_CASE("a cross shaft with a figure outside its range is refused by name", "[axis][error]") {
  const Stiffness belt = newtons_per_millimetre(40);
  const auto refuses = [&](auto spoil, const char* text) {
    CrossShaft bad = rod();
    spoil(bad);
    CHECK_THROWS_MATCHES(axis::far_side_lag(bad, belt, newtons(1)), InvalidInput, Message(text));
  };
  refuses([](auto& x) { x.couplings = -1; }, "couplings must be >= 0, got -1");
  refuses([](auto& x) { x.coupling_stiffness = unset<TorsionalStiffness>(); },
          "coupling stiffness must be > 0, got nan N*m/rad");
  refuses([](auto& x) { x.transmission = unset<Transmission>(); },
          "transmission must be > 0, got nan m/rad");
  refuses([](auto& x) { x.belt_distance = unset<Length>(); },
          "belt distance must be > 0, got nan mm");
  refuses([](auto& x) { x.shaft.length = unset<Length>(); },
          "shaft length must be > 0, got nan mm");
  CHECK_THROWS_MATCHES(axis::far_side_lag(rod(), unset<Stiffness>(), newtons(1)), InvalidInput,
                       Message("far belt stiffness must be > 0, got nan N/m"));
  CHECK_THROWS_MATCHES(axis::far_side_lag(rod(), belt, newtons(-1)), InvalidInput,
                       Message("force must be >= 0, got -1 N"));
  CHECK_THROWS_AS(axis::far_side_stiffness(rod(), unset<Stiffness>()), InvalidInput);
  CrossShaft bad = rod();
  bad.transmission = metres_per_radian(0);
  CHECK_THROWS_AS(axis::shaft_stiffness_at_belt(bad), InvalidInput);
  CHECK_THROWS_AS(axis::stiffness_between_pulleys(bad), InvalidInput);
  CHECK_THROWS_AS(axis::far_side_frequency(bad, belt, load), InvalidInput);
}

TEST_CASE("masses and inertias of a cross shaft are refused by name", "[axis][error]") {
  CHECK_THROWS_MATCHES(axis::far_side_mass({.carriage = kilograms(1)}), InvalidInput,
                       Message("beam mass must be >= 0, got nan kg"));
  CHECK_THROWS_MATCHES(axis::far_side_mass({.beam = kilograms(1), .carriage = kilograms(-1)}),
                       InvalidInput, Message("carriage mass must be >= 0, got -1 kg"));
  CHECK_THROWS_MATCHES(axis::far_side_frequency(rod(), newtons_per_millimetre(40),
                                                {.beam = kilograms(0), .carriage = kilograms(0)}),
                       InvalidInput, Message("mass must be > 0, got 0 kg"));
  const auto refuses = [](auto spoil, const char* text) {
    CrossShaft bad = rod();
    spoil(bad);
    CHECK_THROWS_MATCHES(axis::inertia_at_motor(bad), InvalidInput, Message(text));
  };
  refuses([](auto& x) { x.density = unset<Density>(); }, "density must be > 0, got nan kg/m^3");
  refuses([](auto& x) { x.coupling_inertia = unset<Inertia>(); },
          "coupling inertia must be >= 0, got nan kg*m^2");
  refuses([](auto& x) { x.far_pulley_inertia = kilogram_square_metres(-1); },
          "far pulley inertia must be >= 0, got -1 kg*m^2");
  CHECK_THROWS_MATCHES(axis::inertia_at_motor(rod(), Fraction(0)), InvalidInput,
                       Message("motor turns per shaft turn must be > 0, got 0"));
}

}  // namespace
}  // namespace pitchline
