#include "pitchline/axis/rotary_axis.hpp"

#include <cmath>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using axis::Chuck;
using axis::Rollers;
using axis::RotaryAxis;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;

// The spars of the kite loft, our own invented machine: a wooden bar in a chuck or on rollers.
RotaryAxis in_chuck() {
  return {.motor = {.name = "invented NEMA 17",
                    .full_steps_per_turn = full_steps(200),
                    .rotor_inertia = kilogram_square_metres(8e-6)},
          .driver = {.pulses_per_turn = pulses(3200)},
          .hold = Chuck{.motor_turns_per_chuck_turn = Fraction(6),
                        .inertia = kilogram_square_metres(2e-4),
                        .drag = newton_metres(0.05)},
          .heaviest = {.diameter = millimetres(100),
                       .length = millimetres(600),
                       .density = kilograms_per_cubic_metre(700)},
          .efficiency = Efficiency(0.95)};
}
RotaryAxis on_rollers() {
  RotaryAxis axis = in_chuck();
  axis.hold = Rollers{.motor_turns_per_roller_turn = Fraction(2),
                      .diameter_millimetres = Fraction(25),
                      .centre_distance = millimetres(60),
                      .grip = FrictionCoefficient(0.3),
                      .inertia = kilogram_square_metres(3e-5),
                      .drag = newtons(0.5)};
  return axis;
}
Rollers& rollers(RotaryAxis& axis) { return std::get<Rollers>(axis.hold); }
Chuck& chuck(RotaryAxis& axis) { return std::get<Chuck>(axis.hold); }

TEST_CASE("a rim of 100 mm behind 6 to 1 has the recomputed pulses per millimetre",
          "[axis][published]") {
  // reference/published/steps_per_mm.csv (C): rotary rim of 100 mm, 6:1, 3200 pulses: 192/pi.
  const motion::PiFraction n = axis::pulses_per_surface_millimetre(in_chuck(), Fraction(100));
  CHECK(motion::print_pi_fraction(n) == "192/pi");
  CHECK(print_fraction(axis::pulses_per_degree(in_chuck(), Fraction(100))) == "160/3");
}

TEST_CASE("in a chuck the diameter changes the surface and not the angle, on rollers the reverse",
          "[axis][property]") {
  const Fraction diameter = GENERATE(Fraction(10), Fraction(127, 5), Fraction(400));
  CAPTURE(to_double(diameter));
  CHECK(axis::pulses_per_degree(in_chuck(), diameter) ==
        axis::pulses_per_degree(in_chuck(), Fraction(1)));
  // 3200 · 6/(π D)
  const motion::PiFraction in_hold = axis::pulses_per_surface_millimetre(in_chuck(), diameter);
  CHECK(in_hold.factor == Fraction(19'200) / diameter);
  CHECK(in_hold.pi_power == -1);
  // 3200 · 2/(25 π), and per degree of the workpiece 3200 · 2 · D/25/360.
  const motion::PiFraction lying = axis::pulses_per_surface_millimetre(on_rollers(), diameter);
  CHECK(motion::print_pi_fraction(lying) == "256/pi");
  CHECK(axis::pulses_per_degree(on_rollers(), diameter) == diameter * Fraction(256, 360));
  // A turn of the workpiece is π D of surface: 360 pulses per degree are π D times those per mm.
  for (const RotaryAxis& axis : {in_chuck(), on_rollers()})
    CHECK(Fraction(360) * axis::pulses_per_degree(axis, diameter) ==
          axis::pulses_per_surface_millimetre(axis, diameter).factor * diameter);
}

TEST_CASE("the resolution of a chuck limits the diameter from above and that of rollers not at all",
          "[axis][property]") {
  const double pulse_um = GENERATE(5.0, 10.0, 25.0);
  CAPTURE(pulse_um);
  const Length wanted = micrometres(pulse_um);
  const std::optional<Length> largest = axis::largest_diameter(in_chuck(), wanted);
  REQUIRE(largest.has_value());
  // π D over 19 200 pulses a turn.
  CHECK_THAT(in_millimetres(*largest),
             WithinRel(pulse_um * 1e-3 * 19'200 / std::numbers::pi, 1e-13));
  // Rollers of 25 mm move π 25/6400 mm = 12.27 um a pulse.
  const std::optional<Length> lying = axis::largest_diameter(on_rollers(), wanted);
  CHECK(lying.has_value() == (pulse_um > 12.28));
  if (lying) CHECK_FALSE(is_finite(*lying));
  // Just what the rollers have is enough.
  const Length theirs = millimetres(std::numbers::pi * 25 / 6400);
  CHECK(axis::largest_diameter(on_rollers(), theirs).has_value());
  CHECK_FALSE(axis::largest_diameter(on_rollers(), 0.999 * theirs).has_value());
}

TEST_CASE("a solid workpiece has half of its mass at its rim and a thin tube nearly all",
          "[axis][property]") {
  axis::Workpiece work = in_chuck().heaviest;
  const double mass = 700 * std::numbers::pi * 0.05 * 0.05 * 0.6;
  CHECK_THAT(in_kilograms(axis::mass(work)), WithinRel(mass, 1e-13));
  CHECK_THAT(in_kilogram_square_metres(axis::inertia(work)),
             WithinRel(mass / 2 * 0.05 * 0.05, 1e-12));
  work.bore = millimetres(98);
  const double tube = 700 * std::numbers::pi * (0.05 * 0.05 - 0.049 * 0.049) * 0.6;
  CHECK_THAT(in_kilograms(axis::mass(work)), WithinRel(tube, 1e-12));
  // m (R² + r²)/2
  CHECK_THAT(in_kilogram_square_metres(axis::inertia(work)),
             WithinRel(tube * (0.05 * 0.05 + 0.049 * 0.049) / 2, 1e-11));
  CHECK_THAT(in_kilograms(axis_at_motor(in_chuck()).mass), WithinRel(mass / 2, 1e-12));
}

TEST_CASE("the motor sees the energy of all that turns", "[axis][property]") {
  // At one turn a second of the motor, summed part by part.
  const bool chucked = GENERATE(true, false);
  const double bore = GENERATE(0.0, 60.0);
  CAPTURE(chucked, bore);
  RotaryAxis axis = chucked ? in_chuck() : on_rollers();
  axis.heaviest.bore = millimetres(bore);
  axis.motor_pulley_inertia = kilogram_square_metres(1e-6);
  const double work = in_kilogram_square_metres(axis::inertia(axis.heaviest));
  const double held = chucked ? 1.0 / 6 : 0.5;                       // turns of chuck or roller
  const double work_turns = chucked ? 1.0 / 6 : 0.5 * 25.0 / 100.0;  // of the workpiece
  const double holder = chucked ? 2e-4 : 2 * 3e-5;
  const double expected = 9e-6 + holder * held * held + work * work_turns * work_turns;
  CHECK_THAT(in_kilogram_square_metres(axis::inertia_at_motor(axis)), WithinRel(expected, 1e-12));
  // The surface of the workpiece: π D times its turns.
  const Length per_turn = axis_at_motor(axis).transmission * revolution;
  CHECK_THAT(in_metres(per_turn), WithinRel(std::numbers::pi * 0.1 * work_turns, 1e-13));
}

TEST_CASE("the torque at the motor is that of drag, unbalance and angular acceleration",
          "[axis][property]") {
  // By hand at the chuck: M = M_d + m g e + (J_w/η at chuck + J_c/η) α, over 6 and 0.95.
  RotaryAxis axis = in_chuck();
  axis.heaviest.eccentricity = millimetres(2);
  const double work = in_kilogram_square_metres(axis::inertia(axis.heaviest));
  const double m = in_kilograms(axis::mass(axis.heaviest));
  const double a = 1.5;           // m/s² at the rim
  const double alpha = a / 0.05;  // of the chuck
  const double at_chuck = 0.05 + m * 9.80665 * 0.002 + (work + 2e-4) * alpha;
  const double expected = at_chuck / 6 / 0.95 + 8e-6 * alpha * 6;
  CHECK_THAT(
      in_newton_metres(motion::rigid_torque(axis_at_motor(axis), metres_per_second_squared(a))),
      WithinRel(expected, 1e-12));
  // Rollers: (drag + m g e/R + m/2 a) r/2/η + rollers.
  RotaryAxis lying = on_rollers();
  lying.heaviest.eccentricity = millimetres(2);
  const double force = 0.5 + m * 9.80665 * 0.002 / 0.05 + m / 2 * a;
  const double roller_alpha = a / 0.0125;
  const double rolled =
      (force * 0.0125 + 2 * 3e-5 * roller_alpha) / 2 / 0.95 + 8e-6 * roller_alpha * 2;
  CHECK_THAT(
      in_newton_metres(motion::rigid_torque(axis_at_motor(lying), metres_per_second_squared(a))),
      WithinRel(rolled, 1e-12));
}

TEST_CASE("rollers see the same inertia from every solid workpiece of one mass",
          "[axis][property]") {
  RotaryAxis axis = on_rollers();
  const double first = in_kilogram_square_metres(axis::inertia_at_motor(axis));
  axis.heaviest.diameter = 2.0 * axis.heaviest.diameter;
  axis.heaviest.length = axis.heaviest.length / 4.0;
  CHECK_THAT(in_kilogram_square_metres(axis::inertia_at_motor(axis)), WithinRel(first, 1e-12));
  // In a chuck it grows with the square.
  RotaryAxis held = in_chuck();
  chuck(held).inertia = {};
  held.motor.rotor_inertia = {};
  const double thin = in_kilogram_square_metres(axis::inertia_at_motor(held));
  held.heaviest.diameter = 2.0 * held.heaviest.diameter;
  held.heaviest.length = held.heaviest.length / 4.0;
  CHECK_THAT(in_kilogram_square_metres(axis::inertia_at_motor(held)), WithinRel(4 * thin, 1e-12));
}

TEST_CASE("a rotary axis with a field outside its range is refused by name", "[axis][error]") {
  const auto refuses = [](RotaryAxis bad, auto spoil, const char* text) {
    spoil(bad);
    CHECK_THROWS_MATCHES(axis_at_motor(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(axis::inertia_at_motor(bad), InvalidInput);
  };
  refuses(
      in_chuck(), [](auto& x) { x.heaviest.diameter = unset<Length>(); },
      "workpiece diameter must be > 0, got nan mm");
  refuses(
      in_chuck(), [](auto& x) { x.heaviest_diameter_millimetres = Fraction(99); },
      "workpiece diameter must be the exact one, got 100 mm");
  refuses(
      in_chuck(), [](auto& x) { x.heaviest.bore = millimetres(100); },
      "workpiece bore must be >= 0 and < its diameter, got 100 mm");
  refuses(
      in_chuck(), [](auto& x) { x.heaviest.length = unset<Length>(); },
      "workpiece length must be > 0, got nan mm");
  refuses(
      in_chuck(), [](auto& x) { x.heaviest.density = unset<Density>(); },
      "workpiece density must be > 0, got nan kg/m^3");
  refuses(
      in_chuck(), [](auto& x) { x.heaviest.eccentricity = millimetres(50); },
      "eccentricity must be >= 0 and < the workpiece radius, got 50 mm");
  refuses(
      in_chuck(), [](auto& x) { x.motor_pulley_inertia = unset<Inertia>(); },
      "pulley inertia must be >= 0, got nan kg*m^2");
  refuses(
      in_chuck(), [](auto& x) { chuck(x).motor_turns_per_chuck_turn = Fraction(0); },
      "motor turns per chuck turn must be > 0, got 0");
  refuses(
      in_chuck(), [](auto& x) { chuck(x).inertia = unset<Inertia>(); },
      "chuck inertia must be >= 0, got nan kg*m^2");
  refuses(
      in_chuck(), [](auto& x) { chuck(x).drag = newton_metres(-1); },
      "chuck drag must be >= 0, got -1 N*m");
  refuses(
      on_rollers(), [](auto& x) { rollers(x).motor_turns_per_roller_turn = Fraction(-1); },
      "motor turns per roller turn must be > 0, got -1");
  refuses(
      on_rollers(), [](auto& x) { rollers(x).diameter_millimetres = Fraction(0); },
      "roller diameter must be > 0, got 0 mm");
  refuses(
      on_rollers(), [](auto& x) { rollers(x).inertia = unset<Inertia>(); },
      "roller inertia must be >= 0, got nan kg*m^2");
  refuses(
      on_rollers(), [](auto& x) { rollers(x).drag = unset<Force>(); },
      "roller drag must be >= 0, got nan N");
}

TEST_CASE("the readings of a rotary axis refuse what they cannot use", "[axis][error]") {
  RotaryAxis bad = in_chuck();
  CHECK_THROWS_MATCHES(axis::pulses_per_degree(bad, Fraction(0)), InvalidInput,
                       Message("workpiece diameter must be > 0, got 0 mm"));
  CHECK_THROWS_AS(axis::pulses_per_surface_millimetre(bad, Fraction(-1)), InvalidInput);
  CHECK_THROWS_MATCHES(axis::largest_diameter(bad, unset<Length>()), InvalidInput,
                       Message("travel per pulse must be > 0, got nan mm"));
  bad.driver.pulses_per_turn = pulses(0.5);
  CHECK_THROWS_MATCHES(
      axis::pulses_per_degree(bad, Fraction(1)), InvalidInput,
      Message("pulses per turn must be a whole number from 1 to 1000000, got 0.5"));
  CHECK_THROWS_AS(axis::pulses_per_surface_millimetre(bad, Fraction(1)), InvalidInput);
  CHECK_THROWS_AS(axis::largest_diameter(bad, millimetres(1)), InvalidInput);
  CHECK_THROWS_AS(axis::mass({}), InvalidInput);
  CHECK_THROWS_AS(axis::inertia(axis::Workpiece{}), InvalidInput);
}

}  // namespace
}  // namespace pitchline
