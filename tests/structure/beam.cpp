#include "pitchline/structure/beam.hpp"

#include <cmath>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using structure::Beam;
using structure::Carriage;

constexpr double turn = 2 * std::numbers::pi;

// An invented beam of 1300 mm, 3 kg/m, with the carriage in the middle.
Beam beam() {
  return {.span = millimetres(1300),
          .elastic_modulus = megapascals(70'000),
          .second_moment = millimetres_to_the_fourth(20e4),
          .mass = kilograms(3.9)};
}
Carriage carriage() { return {.mass = kilograms(2.5), .position = millimetres(650)}; }
// Length 1, E I = 1 and mass 1: f in units of √(E I/(m L³)).
Beam unit_beam(double mass = 1) {
  return {.span = metres(1),
          .elastic_modulus = pascals(1),
          .second_moment = metres_to_the_fourth(1),
          .mass = kilograms(mass)};
}
Carriage at(double mass, double place) {
  return {.mass = kilograms(mass), .position = metres(place)};
}

struct Tabled {
  explicit Tabled(const testing::CsvRow& row)
      : beam{.span = metres(row.number("L_m")),
             .elastic_modulus = pascals(row.number("E_Pa")),
             .second_moment = metres_to_the_fourth(row.number("I_m4")),
             .mass = kilograms(row.number("L_m") * row.number("mu_kg_m"))},
        carriage(at(row.number("M_kg"), row.number("x_m"))) {}
  Beam beam;
  Carriage carriage;
};

TEST_CASE("frequencies and deflections of four beams are those of an independent derivation",
          "[structure][published]") {
  // reference/published/beam.csv: closed forms to nine digits.
  const auto rows = testing::published("beam.csv");
  REQUIRE(rows.size() == 4);
  for (const testing::CsvRow& row : rows) {
    const Tabled t(row);
    CAPTURE(row.text("M_kg"), row.text("x_m"));
    const auto near = [&](Frequency met, const char* column) {
      CAPTURE(column);
      CHECK_THAT(met, testing::IsNear(hertz(row.number(column)), hertz(row.half_digit(column))));
    };
    near(first_frequency(t.beam, t.carriage), "f1_exact_ss_Hz");
    near(static_shape_frequency(t.beam, t.carriage), "f1_rayleigh_static_shape_Hz");
    near(sine_shape_frequency(t.beam, t.carriage), "f1_rayleigh_sine_Hz");
    near(dunkerley_frequency(t.beam, t.carriage), "f1_dunkerley_Hz");
    CHECK_THAT(in_metres(sag_at(t.beam, t.carriage)),
               WithinRel(row.number("sag_at_x_gravity_m"), 1e-8));
    CHECK_THAT(in_metres(bending_at(t.beam, t.carriage, metres_per_second_squared(5))),
               WithinRel(row.number("defl_at_x_5m_s2_m"), 1e-8));
    // The mass of the beam that swings with the static shape: what is above the carriage.
    const Frequency omega = turn * static_shape_frequency(t.beam, t.carriage);
    const Mass swinging =
        lateral_stiffness_at(t.beam, t.carriage.position) / (omega * omega) - t.carriage.mass;
    CHECK_THAT(number(swinging / t.beam.mass), WithinRel(row.number("meff_over_muL"), 1e-8));
  }
}

TEST_CASE("frequencies and deflections of four beams are those of finite elements",
          "[structure][published]") {
  // 40 elements with cubic shapes lie above the exact frequency, by 1e-7 of it or less; a printed
  // last digit may be more.
  for (const testing::CsvRow& row : testing::published("beam.csv")) {
    const Tabled t(row);
    CAPTURE(row.text("M_kg"), row.text("x_m"));
    CHECK_THAT(in_hertz(first_frequency(t.beam, t.carriage)),
               WithinRel(row.number("f1_FE_ss_Hz"), 2e-7));
    CHECK_THAT(in_hertz(clamped_first_frequency(t.beam, t.carriage)),
               WithinRel(row.number("f1_FE_clamped_Hz"), 2e-7));
    CHECK_THAT(in_metres(sag_at(t.beam, t.carriage)), WithinRel(row.number("sag_at_x_FE_m"), 1e-8));
    CHECK_THAT(in_metres(bending_at(t.beam, t.carriage, metres_per_second_squared(5))),
               WithinRel(row.number("defl_FE_5m_s2_m"), 1e-8));
  }
}

TEST_CASE("beams give the printed deflection and frequencies of textbooks",
          "[structure][published]") {
  // reference/published/beam_cases.csv.
  const auto rows = testing::published("beam_cases.csv");
  const auto check = [](const testing::CsvRow& row, double met) {
    CAPTURE(row.text("source"), row.text("quantity"));
    CHECK_THAT(met, WithinAbs(row.number("printed"), row.number("tolerance")));
    CHECK_THAT(met, WithinAbs(row.number("recomputed"), row.half_digit("recomputed")));
  };
  // [Wentzell] 3.2: 3000 lbf in the middle of 36 in, 2 in by 2 in, E = 30e6 psi; the beam's own
  // weight is left out.
  const Area square_inch = inches(1) * inches(1);
  const Beam bar{.span = inches(36),
                 .elastic_modulus = pounds_force(30e6) / square_inch,
                 .second_moment = 16.0 / 12.0 * square_inch * square_inch,
                 .mass = pounds(1e-6)};
  check(rows.at(0), in_inches(sag_at(bar, {.mass = pounds(3000), .position = inches(18)})));
  // [Thomson]: ω = 22.3733 √(E I/(m L³)).
  check(rows.at(1), turn * in_hertz(clamped_first_frequency(unit_beam(), at(0, 0.5))));
  // [Hicks]: T = c √(w L⁴/E I) in s, w in lb/ft, on 32.2 ft/s²: the mass is w/32.2.
  check(rows.at(2), 1 / in_hertz(first_frequency(unit_beam(1 / 32.2), at(0, 0.5))));
  check(rows.at(3), 1 / in_hertz(clamped_first_frequency(unit_beam(1 / 32.2), at(0, 0.5))));
  // [Sarkar]: a shaft of 60 mm, 0.9 m long, 100 kg at 0.3 m, E = 200 GPa; its own mass left out.
  const Beam shaft{
      .span = metres(0.9),
      .elastic_modulus = megapascals(200'000),
      .second_moment = millimetres_to_the_fourth(std::numbers::pi / 64 * std::pow(60.0, 4)),
      .mass = grams(1)};
  check(rows.at(4), in_hertz(first_frequency(shaft, at(100, 0.3))));
}

TEST_CASE("deflection follows the standard cases", "[structure][property]") {
  // 48 E I/L³ in the middle; 5 w L⁴/(384 E I) of the beam alone, w = m q/L; P a² b²/(3 E I L).
  CHECK_THAT(in_newtons_per_metre(lateral_stiffness_at(unit_beam(), metres(0.5))),
             WithinRel(48.0, 1e-14));
  const Acceleration one = metres_per_second_squared(1);
  CHECK_THAT(in_metres(bending_at(unit_beam(), at(0, 0.5), one)), WithinRel(5.0 / 384, 1e-14));
  const double x = GENERATE(take(20, random(0.01, 0.99)));
  CAPTURE(x);
  CHECK_THAT(in_metres(bending_at(unit_beam(1e-9), at(7, x), one)),
             WithinRel(7 * x * x * (1 - x) * (1 - x) / 3, 1e-6));
  // A body under its own inertia: the sum of what beam and carriage do alone, and its sign.
  const Length both = bending_at(unit_beam(), at(7, x), -one);
  CHECK_THAT(number(-both / (bending_at(unit_beam(), at(0, x), one) +
                             metres(7 * x * x * (1 - x) * (1 - x) / 3))),
             WithinRel(1.0, 1e-12));
  // No place bends more than the middle.
  CHECK(bending_at(unit_beam(), at(7, x), one) <= bending_at(unit_beam(), at(7, 0.5), one));
}

TEST_CASE("the exact frequency lies between its bounds and below that of clamped ends",
          "[structure][property]") {
  const double ratio = std::pow(10.0, GENERATE(take(12, random(-3.0, 3.0))));
  const double x = GENERATE(take(8, random(0.02, 0.98)));
  CAPTURE(ratio, x);
  const Beam b = unit_beam();
  const Carriage c = at(ratio, x);
  const structure::FrequencyBounds bounds = first_frequency_bounds(b, c);
  const Frequency f = first_frequency(b, c);
  CHECK(bounds.lower <= f);
  CHECK(f <= bounds.upper);
  CHECK(bounds.upper <= static_shape_frequency(b, c));
  CHECK(bounds.upper <= sine_shape_frequency(b, c));
  CHECK(f < clamped_first_frequency(b, c));
  // Clamped in the same way: lower than the bare one, higher than Dunkerley's of 3 E I L³/(a³ b³)
  // and 22.3733.
  const double w = turn * in_hertz(clamped_first_frequency(b, c));
  const double k = 3 / std::pow(x * (1 - x), 3);
  CHECK(w < 22.3733);
  CHECK(1 / (w * w) <= ratio / k + 1 / (22.37 * 22.37));
}

TEST_CASE("the bounds of the exact frequency are as near as is said", "[structure][property]") {
  const auto over = [](double mass, double x) {
    return number(static_shape_frequency(unit_beam(), at(mass, x)) /
                  first_frequency(unit_beam(), at(mass, x))) -
           1;
  };
  const double ratio = 2.5 / 3.9;
  CHECK_THAT(over(ratio, 0.5), WithinAbs(0.0013, 0.00005));
  CHECK_THAT(over(ratio, 0.25), WithinAbs(0.020, 0.0005));
  CHECK_THAT(over(ratio, 0.1), WithinAbs(0.116, 0.0005));
  CHECK_THAT(over(0, 0.5), WithinAbs(0.0072, 0.00005));
  // Clamped ends: from heavy to light carriages 2 (√(192/48)) to 22.3733/π² in the middle.
  double most = 0;
  for (double mass = 1e-3; mass < 1e4; mass *= 1.1) {
    CAPTURE(mass);
    const auto clamped_over = [&](double x) {
      return number(clamped_first_frequency(unit_beam(), at(mass, x)) /
                    first_frequency(unit_beam(), at(mass, x)));
    };
    CHECK(clamped_over(0.5) > 2.0);
    CHECK(clamped_over(0.5) < 2.27);
    most = std::max(most, clamped_over(0.25));
  }
  CHECK_THAT(most, WithinAbs(2.355, 0.005));
}

TEST_CASE("frequencies do not mind from which end the place is measured", "[structure][property]") {
  const double x = GENERATE(0.03, 0.1, 0.31, 0.47);
  const double mass = GENERATE(0.0, 0.2, 5.0);
  CAPTURE(x, mass);
  const Beam b = unit_beam();
  const auto same = [&](auto function) {
    CHECK_THAT(number(function(b, at(mass, x)) / function(b, at(mass, 1 - x))),
               WithinRel(1.0, 1e-12));
  };
  same([](const Beam& on, const Carriage& c) { return first_frequency(on, c); });
  same([](const Beam& on, const Carriage& c) { return clamped_first_frequency(on, c); });
  same([](const Beam& on, const Carriage& c) { return static_shape_frequency(on, c); });
  same([](const Beam& on, const Carriage& c) { return dunkerley_frequency(on, c); });
  same([](const Beam& on, const Carriage& c) { return modal_mass(on, c); });
  same([](const Beam& on, const Carriage& c) { return sag_at(on, c); });
}

TEST_CASE("a heavier carriage, or one nearer to the middle, swings slower",
          "[structure][property]") {
  const Beam b = unit_beam();
  Frequency before = unlimited<Frequency>();
  Frequency clamped_before = before;
  for (const double mass : {0.0, 1e-9, 1e-3, 0.1, 0.7, 1.0, 30.0, 1e6}) {
    CAPTURE(mass);
    const Frequency f = first_frequency(b, at(mass, 0.3));
    const Frequency clamped = clamped_first_frequency(b, at(mass, 0.3));
    CHECK(f < before);
    CHECK(clamped < clamped_before);
    before = f;
    clamped_before = clamped;
  }
  before = clamped_before = unlimited<Frequency>();
  for (const double x : {0.001, 0.01, 0.1, 0.2, 0.3, 0.4, 0.5}) {
    CAPTURE(x);
    const Frequency f = first_frequency(b, at(0.7, x));
    const Frequency clamped = clamped_first_frequency(b, at(0.7, x));
    CHECK(f < before);
    CHECK(clamped < clamped_before);
    before = f;
    clamped_before = clamped;
  }
}

TEST_CASE("a bare beam and a beam without weight have their textbook frequencies",
          "[structure][property]") {
  const double x = GENERATE(0.5, 0.25, 0.05, 0.7);
  CAPTURE(x);
  const double pi = std::numbers::pi;
  CHECK_THAT(turn * in_hertz(first_frequency(unit_beam(), at(0, x))), WithinRel(pi * pi, 1e-14));
  CHECK_THAT(turn * in_hertz(sine_shape_frequency(unit_beam(), at(0, x))),
             WithinRel(pi * pi, 1e-14));
  CHECK_THAT(turn * in_hertz(dunkerley_frequency(unit_beam(), at(0, x))),
             WithinRel(pi * pi, 1e-14));
  // cos z cosh z = 1, ω = z².
  const double z = std::sqrt(turn * in_hertz(clamped_first_frequency(unit_beam(), at(0, x))));
  CHECK_THAT(std::cos(z) * std::cosh(z), WithinAbs(1.0, 1e-12));
  // A carriage a million times as heavy as the beam: √(k/M), 3 E I L/(a² b²) or 3 E I L³/(a³ b³).
  const double product = x * (1 - x);
  CHECK_THAT(turn * in_hertz(first_frequency(unit_beam(), at(1e6, x))),
             WithinRel(std::sqrt(3e-6) / product, 2e-6 / product));
  CHECK_THAT(turn * in_hertz(clamped_first_frequency(unit_beam(), at(1e6, x))),
             WithinRel(std::sqrt(3e-6 / product) / product, 2e-6 / product));
}

TEST_CASE("the exact frequency is that of many sine waves", "[structure][property]") {
  // Independent of the transcendental equation: with w = Σ c_n sin nπx/L the carriage couples all
  // waves, and 1 = ω² M Σ (2/m) sin²(nπx/L)/(ω_n² − ω²), ω_n = n² π². Both ends free to turn.
  const double mass = GENERATE(0.05, 0.64, 8.0);
  const double x = GENERATE(0.5, 0.37, 0.1);
  CAPTURE(mass, x);
  const double w = turn * in_hertz(first_frequency(unit_beam(), at(mass, x)));
  double sum = 0;
  for (int n = 4000; n >= 1; --n) {
    const double s = std::sin(n * std::numbers::pi * x);
    sum += 2 * s * s / (std::pow(n * std::numbers::pi, 4) - w * w);
  }
  CHECK_THAT(w * w * mass * sum, WithinRel(1.0, 1e-9));
}

TEST_CASE("stiffness and modal mass make the frequency", "[structure][property]") {
  const double mass = GENERATE(0.0, 0.4, 12.0);
  const double x = GENERATE(0.5, 0.3, 0.05);
  CAPTURE(mass, x);
  const Carriage c = at(mass, x);
  const Mass swinging = modal_mass(unit_beam(), c);
  CHECK_THAT(in_hertz(square_root(lateral_stiffness_at(unit_beam(), c.position) / swinging)) / turn,
             WithinRel(in_hertz(first_frequency(unit_beam(), c)), 1e-14));
  CHECK(swinging > c.mass);
  // Bare: 3/(a² b² π⁴) of the beam, 48/π⁴ in the middle.
  if (mass == 0.0) {
    CHECK_THAT(
        in_kilograms(swinging),
        WithinRel(3 / std::pow(x * (1 - x) * std::numbers::pi * std::numbers::pi, 2), 1e-12));
  }
}

TEST_CASE("a beam goes with its size as E I over m L cubed", "[structure][property]") {
  Beam other = beam();
  other.span = 2.0 * other.span;
  Carriage far = carriage();
  far.position = 2.0 * far.position;
  CHECK_THAT(number(first_frequency(beam(), carriage()) / first_frequency(other, far)),
             WithinRel(std::sqrt(8.0), 1e-13));
  CHECK_THAT(number(sag_at(other, far) / sag_at(beam(), carriage())), WithinRel(8.0, 1e-13));
  other.elastic_modulus = 2.0 * other.elastic_modulus;
  other.second_moment = 4.0 * other.second_moment;
  CHECK_THAT(number(first_frequency(beam(), carriage()) / first_frequency(other, far)),
             WithinRel(1.0, 1e-13));
  CHECK_THAT(
      number(clamped_first_frequency(beam(), carriage()) / clamped_first_frequency(other, far)),
      WithinRel(1.0, 1e-13));
}

TEST_CASE("the first mode carries all but one part in a hundred of the bending",
          "[structure][property]") {
  // Of a bare beam, in the middle: wave n, odd, gives 4/(n π)^5 (−1)^((n−1)/2) of m q L³/E I.
  double sum = 0;
  double sizes = 0;
  for (int n = 999; n >= 1; n -= 2) {
    const double part = 4 / std::pow(n * std::numbers::pi, 5);
    sum += n % 4 == 1 ? part : -part;
    sizes += part;
  }
  const Acceleration one = metres_per_second_squared(1);
  const double bending = in_metres(bending_at(unit_beam(), at(0, 0.5), one));
  CHECK_THAT(bending, WithinRel(sum, 1e-12));
  CHECK_THAT(sizes / bending, WithinAbs(1.0084, 0.00005));
  // And the mode of `modal_mass` answers q with less: 1.27 times q/ω² is the bending.
  const double w = turn * in_hertz(first_frequency(unit_beam(), at(0, 0.5)));
  CHECK_THAT(bending * w * w, WithinAbs(1.27, 0.005));
}

TEST_CASE("a beam with a figure outside its range is refused by name", "[structure][error]") {
  const auto refuses = [](auto spoil, const std::string& text) {
    CAPTURE(text);
    Beam b = beam();
    Carriage c = carriage();
    spoil(b, c);
    CHECK_THROWS_MATCHES(first_frequency(b, c), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(clamped_first_frequency(b, c), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(static_shape_frequency(b, c), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(sine_shape_frequency(b, c), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(dunkerley_frequency(b, c), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(first_frequency_bounds(b, c), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(modal_mass(b, c), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(sag_at(b, c), InvalidInput, Message(text));
  };
  refuses([](Beam& b, Carriage&) { b.span = unset<Length>(); },
          "beam span must be > 0, got nan mm");
  refuses([](Beam& b, Carriage&) { b.elastic_modulus = unset<Pressure>(); },
          "elastic modulus must be > 0, got nan MPa");
  refuses([](Beam& b, Carriage&) { b.elastic_modulus = unlimited<Pressure>(); },
          "elastic modulus must be > 0, got inf MPa");
  refuses([](Beam& b, Carriage&) { b.second_moment = unset<SecondMoment>(); },
          "second moment must be > 0, got nan mm^4");
  refuses([](Beam& b, Carriage&) { b.mass = kilograms(0); }, "beam mass must be > 0, got 0 kg");
  refuses([](Beam& b, Carriage&) { b.mass = unset<Mass>(); }, "beam mass must be > 0, got nan kg");
  refuses([](Beam&, Carriage& c) { c.mass = kilograms(-1); },
          "carriage mass must be >= 0, got -1 kg");
  refuses([](Beam&, Carriage& c) { c.mass = unset<Mass>(); },
          "carriage mass must be >= 0, got nan kg");
  refuses([](Beam&, Carriage& c) { c.position = metres(0); },
          "carriage position must be > 0 and < beam span, got 0 mm");
  refuses([](Beam&, Carriage& c) { c.position = millimetres(1300); },
          "carriage position must be > 0 and < beam span, got 1300 mm");
  refuses([](Beam&, Carriage& c) { c.position = unset<Length>(); },
          "carriage position must be > 0 and < beam span, got nan mm");
  CHECK_THROWS_AS(lateral_stiffness_at(beam(), metres(0)), InvalidInput);
  Beam b = beam();
  b.span = metres(-1);
  CHECK_THROWS_AS(lateral_stiffness_at(b, metres(0.5)), InvalidInput);
  CHECK_THROWS_MATCHES(bending_at(beam(), carriage(), unset<Acceleration>()), InvalidInput,
                       Message("acceleration must be finite, got nan m/s^2"));
}

}  // namespace
}  // namespace pitchline
