#include "pitchline/structure/torsion.hpp"

#include <cmath>

#include "pitchline/parts/material.hpp"
#include "pitchline/parts/solid_cylinder.hpp"
#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using structure::RoundShaft;
using structure::TorsionalOscillator;

// The cross shaft of the kite loft, our own invented machine.
RoundShaft tube() {
  return {.diameter = millimetres(16),
          .bore = millimetres(12),
          .length = millimetres(1250),
          .shear_modulus = parts::aluminium_shear_modulus};
}
Inertia kgm2(double x) { return kilogram_square_metres(x); }
TorsionalStiffness per_radian(double x) { return newton_metres_per_radian(x); }

// The root of a function that rises from below zero at `low` to above it at `high`.
template <class Function>
double root(const Function& f, double low, double high) {
  for (int i = 0; i < 200; ++i) {
    const double middle = 0.5 * (low + high);
    (f(middle) < 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

TEST_CASE("round shafts give the printed stress and wind-up", "[structure][published]") {
  // reference/published/shaft_torsion.csv.
  const auto rows = testing::published("shaft_torsion.csv");
  const auto check = [](const testing::CsvRow& row, double met) {
    CAPTURE(row.text("source"), row.text("quantity"));
    CHECK_THAT(met, WithinAbs(row.number("printed"), row.number("tolerance")));
    CHECK_THAT(met, WithinAbs(row.number("recomputed"), row.half_digit("recomputed")));
  };
  // [Wentzell] 3.4: 10 hp at 1750 rpm, 63 000 hp/rpm = 360 lb·in; 0.5 in by 12 in, 11.5e6 psi.
  const RoundShaft steel{.diameter = inches(0.5),
                         .length = inches(12),
                         .shear_modulus = pounds_force(11.5e6) / (inches(1) * inches(1))};
  check(rows.at(0), in_radians(wind_up(steel, pounds_force(360) * inches(1) / radian)));
  // [Boresi] 6.1: tube 50/44 mm, 500 N·m, 77 GPa.
  const RoundShaft hollow{.diameter = millimetres(50),
                          .bore = millimetres(44),
                          .length = metres(1),
                          .shear_modulus = megapascals(77'000)};
  check(rows.at(1), in_megapascals(shear_stress(hollow, newton_metres(500))));
  check(rows.at(2), in_radians(wind_up(hollow, newton_metres(500))));
}

TEST_CASE("a thin tube comes near the thin-wall formula and a solid one is a tube without bore",
          "[structure][property]") {
  // Bredt for a round tube of mean radius r and wall t: J = 2π r³ t; its error is (t/2r)².
  const double wall = GENERATE(0.5, 0.1, 0.01);
  CAPTURE(wall);
  const structure::SecondMoment met = structure::polar_second_moment(
      {.diameter = millimetres(40 + wall), .bore = millimetres(40 - wall)});
  const auto fourth = millimetres(1) * millimetres(1) * millimetres(1) * millimetres(1);
  const double thin = 2 * std::numbers::pi * 8000 * wall;
  CHECK_THAT(number(met / fourth), WithinRel(thin * (1 + wall * wall / 1600), 1e-12));
  CHECK(structure::polar_second_moment({.diameter = millimetres(8), .bore = metres(0)}) ==
        structure::polar_second_moment({.diameter = millimetres(8)}));
}

TEST_CASE("torsional stiffness goes with the fourth power of size over length",
          "[structure][property]") {
  const double factor = GENERATE(0.5, 2.0, 3.0);
  CAPTURE(factor);
  RoundShaft thick = tube();
  thick.diameter = factor * thick.diameter;
  thick.bore = factor * thick.bore;
  CHECK_THAT(number(torsional_stiffness(thick) / torsional_stiffness(tube())),
             WithinRel(std::pow(factor, 4), 1e-12));
  RoundShaft long_one = tube();
  long_one.length = factor * long_one.length;
  CHECK_THAT(number(torsional_stiffness(long_one) / torsional_stiffness(tube())),
             WithinRel(1 / factor, 1e-12));
  RoundShaft steel = tube();
  steel.shear_modulus = parts::steel_shear_modulus;
  CHECK_THAT(number(torsional_stiffness(steel) / torsional_stiffness(tube())),
             WithinRel(79.3 / 26.9, 1e-12));
  CHECK(parts::aluminium_6105_shear_modulus < parts::aluminium_shear_modulus);
  const Torque torque = newton_metres(-1.5);
  CHECK(wind_up(tube(), torque) == -wind_up(tube(), -torque));
  CHECK_THAT(number(wind_up(tube(), torque) / wind_up(steel, torque)),
             WithinRel(79.3 / 26.9, 1e-12));
}

TEST_CASE("the stress carries the torque, layer by layer", "[structure][property]") {
  // T = ∫ τ(r) r 2π r dr with τ proportional to r; Simpson's rule is exact for the cubic.
  const RoundShaft shaft = tube();
  const Pressure outer = shear_stress(shaft, newton_metres(2));
  const auto layer = [&](double r) {
    return in_pascals(outer) * (r / 8e-3) * r * 2 * std::numbers::pi * r;
  };
  const double sum = (8e-3 - 6e-3) / 6 * (layer(6e-3) + 4 * layer(7e-3) + layer(8e-3));
  CHECK_THAT(sum, WithinRel(2.0, 1e-12));
  // And the strain at the surface is the wind-up: τ/G = r θ/L.
  const double strain = number(outer / shaft.shear_modulus);
  CHECK_THAT(in_radians(wind_up(shaft, newton_metres(2))), WithinRel(strain * 1250.0 / 8.0, 1e-12));
}

TEST_CASE("own_inertia is that of a cylinder without a cylinder", "[structure][property]") {
  const Density density = kilograms_per_cubic_metre(2700);
  const auto solid = [&](double d) {
    return parts::inertia(
        {.diameter = millimetres(d), .length = millimetres(1250), .density = density});
  };
  CHECK_THAT(number(own_inertia(tube(), density) / (solid(16) - solid(12))), WithinRel(1.0, 1e-12));
}

TEST_CASE("springs in series are softer than either and an infinite one adds nothing",
          "[structure][property]") {
  const TorsionalStiffness sum = structure::in_series(per_radian(30), per_radian(60));
  CHECK_THAT(in_newton_metres_per_radian(sum), WithinRel(20.0, 1e-14));
  const auto rigid = unlimited<TorsionalStiffness>();
  CHECK(structure::in_series(per_radian(30), rigid) == per_radian(30));
  CHECK(structure::in_series(rigid, per_radian(30)) == per_radian(30));
  CHECK_FALSE(is_finite(structure::in_series(rigid, rigid)));
}

TEST_CASE("a light shaft swings with its discs alone", "[structure][property]") {
  // k = 400 N·m/rad, J1 = 1, J2 = 3: ω² = 400 and 400 (1 + 1/3) = 533.3.
  const TorsionalOscillator o{.stiffness = per_radian(400), .first = kgm2(1), .second = kgm2(3)};
  const double turn = 2 * std::numbers::pi;
  CHECK_THAT(turn * in_hertz(held_end_frequency(o)), WithinRel(20.0, 1e-14));
  CHECK_THAT(turn * in_hertz(free_ends_frequency(o)), WithinRel(std::sqrt(1600.0 / 3), 1e-14));
  // A very heavy second disc holds its end.
  TorsionalOscillator heavy = o;
  heavy.second = kgm2(1e12);
  CHECK_THAT(in_hertz(free_ends_frequency(heavy)),
             WithinRel(in_hertz(held_end_frequency(o)), 1e-9));
}

TEST_CASE("the shaft's own third raises the frequency by no more than is said",
          "[structure][property]") {
  // Exact, from the wave equation: held end β tan β = J_s/J1, ω = β √(k/J_s). Two equal discs swing
  // about the middle, each on half the shaft: β tan β = J_s/(2 J1), ω = 2 β √(k/J_s).
  struct Row {
    double shaft_over_disc, held, free;
  };
  const auto exact = [](double ratio) {
    return root([&](double b) { return b * std::sin(b) - ratio * std::cos(b); }, 0.0,
                std::numbers::pi / 2);
  };
  for (const Row& row : {Row{1.0, 0.0066, 0.0021}, Row{1.0 / 3, 0.0010, 0.0003}}) {
    CAPTURE(row.shaft_over_disc);
    const TorsionalOscillator o{.stiffness = per_radian(1),
                                .first = kgm2(1 / row.shaft_over_disc),
                                .second = kgm2(1 / row.shaft_over_disc),
                                .shaft = kgm2(1)};
    const double turn = 2 * std::numbers::pi;
    CHECK_THAT(turn * in_hertz(held_end_frequency(o)) / exact(row.shaft_over_disc) - 1,
               WithinAbs(row.held, 0.00005));
    CHECK_THAT(turn * in_hertz(free_ends_frequency(o)) / (2 * exact(row.shaft_over_disc / 2)) - 1,
               WithinAbs(row.free, 0.00005));
  }
  // The bare shaft: exact π/2 and π times √(k/J_s).
  const TorsionalOscillator bare{.stiffness = per_radian(1), .shaft = kgm2(1)};
  const double turn = 2 * std::numbers::pi;
  CHECK_THAT(turn * in_hertz(held_end_frequency(bare)) / (std::numbers::pi / 2) - 1,
             WithinAbs(0.103, 0.0005));
  CHECK_THAT(turn * in_hertz(free_ends_frequency(bare)) / std::numbers::pi - 1,
             WithinAbs(0.103, 0.0005));
}

TEST_CASE("the free ends do not mind which disc is called the first", "[structure][property]") {
  const double shaft = GENERATE(0.0, 0.2, 4.0);
  CAPTURE(shaft);
  TorsionalOscillator o{
      .stiffness = per_radian(90), .first = kgm2(0.4), .second = kgm2(1.7), .shaft = kgm2(shaft)};
  const double met = in_hertz(free_ends_frequency(o));
  std::swap(o.first, o.second);
  CHECK_THAT(in_hertz(free_ends_frequency(o)), WithinRel(met, 1e-14));
  o.first = 2.0 * o.first;
  CHECK(in_hertz(free_ends_frequency(o)) < met);
}

TEST_CASE("a shaft with a figure outside its range is refused by name", "[structure][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    RoundShaft bad = tube();
    spoil(bad);
    CHECK_THROWS_MATCHES(torsional_stiffness(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(wind_up(bad, newton_metres(1)), InvalidInput);
    CHECK_THROWS_AS(shear_stress(bad, newton_metres(1)), InvalidInput);
    CHECK_THROWS_AS(own_inertia(bad, kilograms_per_cubic_metre(2700)), InvalidInput);
  };
  refuses([](auto& x) { x.diameter = unset<Length>(); }, "shaft diameter must be > 0, got nan mm");
  refuses([](auto& x) { x.bore = millimetres(16); },
          "shaft bore must be >= 0 and < shaft diameter, got 16 mm");
  refuses([](auto& x) { x.bore = millimetres(-1); },
          "shaft bore must be >= 0 and < shaft diameter, got -1 mm");
  refuses([](auto& x) { x.length = unset<Length>(); }, "shaft length must be > 0, got nan mm");
  refuses([](auto& x) { x.shear_modulus = unset<Pressure>(); },
          "shear modulus must be > 0, got nan MPa");
  CHECK_THROWS_AS(structure::polar_second_moment({.diameter = metres(0)}), InvalidInput);
  CHECK_THROWS_MATCHES(wind_up(tube(), unset<Torque>()), InvalidInput,
                       Message("torque must be finite, got nan N*m"));
  CHECK_THROWS_AS(shear_stress(tube(), unset<Torque>()), InvalidInput);
  CHECK_THROWS_MATCHES(own_inertia(tube(), unset<Density>()), InvalidInput,
                       Message("density must be > 0, got nan kg/m^3"));
}

TEST_CASE("what swings in torsion is refused by name", "[structure][error]") {
  const TorsionalOscillator good{
      .stiffness = per_radian(400), .first = kgm2(1), .second = kgm2(3), .shaft = kgm2(0.1)};
  TorsionalOscillator bad = good;
  bad.stiffness = unset<TorsionalStiffness>();
  CHECK_THROWS_MATCHES(held_end_frequency(bad), InvalidInput,
                       Message("torsional stiffness must be > 0, got nan N*m/rad"));
  CHECK_THROWS_AS(free_ends_frequency(bad), InvalidInput);
  CHECK_THROWS_AS(structure::in_series(bad.stiffness, good.stiffness), InvalidInput);
  CHECK_THROWS_AS(structure::in_series(good.stiffness, per_radian(0)), InvalidInput);
  bad = good;
  bad.first = kgm2(-1);
  CHECK_THROWS_MATCHES(held_end_frequency(bad), InvalidInput,
                       Message("first inertia must be >= 0, got -1 kg*m^2"));
  CHECK_THROWS_AS(free_ends_frequency(bad), InvalidInput);
  bad = good;
  bad.shaft = unset<Inertia>();
  CHECK_THROWS_MATCHES(held_end_frequency(bad), InvalidInput,
                       Message("shaft inertia must be >= 0, got nan kg*m^2"));
  CHECK_THROWS_AS(free_ends_frequency(bad), InvalidInput);
  bad = good;
  bad.second = unset<Inertia>();
  CHECK_NOTHROW(held_end_frequency(bad));
  CHECK_THROWS_MATCHES(free_ends_frequency(bad), InvalidInput,
                       Message("second inertia must be >= 0, got nan kg*m^2"));
  bad = {.stiffness = per_radian(1)};
  CHECK_THROWS_MATCHES(held_end_frequency(bad), InvalidInput,
                       Message("first inertia plus shaft inertia must be > 0, got 0 kg*m^2"));
  bad.first = kgm2(1);
  CHECK_THROWS_MATCHES(free_ends_frequency(bad), InvalidInput,
                       Message("inertia at each end must be > 0, got 0 kg*m^2"));
  bad.first = kgm2(0);
  CHECK_THROWS_AS(free_ends_frequency(bad), InvalidInput);
}

}  // namespace
}  // namespace pitchline
