#include "pitchline/axis/roller_grip.hpp"

#include <algorithm>
#include <cmath>

#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using axis::Rollers;
using axis::RotaryAxis;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

// A wooden spar on rollers, our own invented machine.
RotaryAxis spar() {
  return {.motor = {.full_steps_per_turn = full_steps(200),
                    .rotor_inertia = kilogram_square_metres(8e-6)},
          .driver = {.pulses_per_turn = pulses(3200)},
          .hold = Rollers{.motor_turns_per_roller_turn = Fraction(2),
                          .diameter_millimetres = Fraction(25),
                          .centre_distance = millimetres(62.5),
                          .grip = FrictionCoefficient(0.3),
                          .inertia = kilogram_square_metres(3e-5)},
          .heaviest = {.diameter = millimetres(100),
                       .length = millimetres(600),
                       .density = kilograms_per_cubic_metre(700)}};
}
Rollers& rollers(RotaryAxis& axis) { return std::get<Rollers>(axis.hold); }
double weight(const RotaryAxis& axis) { return in_kilograms(axis::mass(axis.heaviest)) * 9.80665; }

// Normal forces of a round body of unit weight on two contacts at ±b, with tangential forces (both
// counted in the sense of turning), from the balance of forces alone.
struct Normal {
  double left, right;
};
Normal normal(double b, double f_left, double f_right) {
  // Right contact at (sin b, −cos b): normal (−sin b, cos b), tangent (cos b, sin b). Left contact:
  // normal (sin b, cos b), tangent (cos b, −sin b).
  const double sideways = (f_left + f_right) * std::cos(b);     // + (NL − NR) sin b = 0
  const double upright = 1 + (f_left - f_right) * std::sin(b);  // = (NL + NR) cos b
  const double sum = upright / std::cos(b);
  const double difference = -sideways / std::sin(b);  // NL − NR
  return {(sum + difference) / 2, (sum - difference) / 2};
}

TEST_CASE("contact_half_angle is that of the triangle of the three centres", "[axis][property]") {
  RotaryAxis axis = spar();
  // Legs of 62.5 mm from the workpiece to both rollers, base 62.5 mm: 60° in all.
  CHECK_THAT(in_degrees(axis::contact_half_angle(rollers(axis), millimetres(100))),
             WithinRel(30.0, 1e-13));
  CHECK(axis::contact_half_angle(rollers(axis), millimetres(80)) > degrees(30));
}

TEST_CASE("roller_grip with both driven is the most that friction can hold", "[axis][property]") {
  // By trial: the largest sum of tangential forces with each below μ N, over how it is shared.
  const double centre = GENERATE(45.0, 62.5, 100.0);
  const double mu = GENERATE(0.05, 0.2, 0.3);
  CAPTURE(centre, mu);
  RotaryAxis axis = spar();
  rollers(axis).driven = 2;
  rollers(axis).centre_distance = millimetres(centre);
  rollers(axis).grip = FrictionCoefficient(mu);
  const double b = std::asin(centre / 125);
  double most = 0.0;
  for (int i = 0; i <= 1000; ++i)
    for (int j = 0; j <= 1000; ++j) {
      const double left = i * 1e-3 * mu;
      const double right = j * 1e-3 * mu;
      const Normal n = normal(b, left, right);
      if (left <= mu * n.left && right <= mu * n.right) most = std::max(most, left + right);
    }
  const double met = in_newtons(axis::roller_grip(axis).limit) / weight(axis);
  CHECK_THAT(met, WithinAbs(most, 4e-3 * mu));
  CHECK(met >= most - 1e-12);
}

TEST_CASE("roller_grip with one driven is the smaller of both senses of turning",
          "[axis][property]") {
  const double centre = GENERATE(45.0, 62.5, 100.0, 120.0);
  const double mu = GENERATE(0.05, 0.2, 0.3);
  CAPTURE(centre, mu);
  RotaryAxis axis = spar();
  rollers(axis).centre_distance = millimetres(centre);
  rollers(axis).grip = FrictionCoefficient(mu);
  const double b = std::asin(centre / 125);
  double right = 0.0;
  double left = 0.0;
  for (int i = 0; i <= 200'000; ++i) {
    const double force = i * 1e-5;
    if (force <= mu * normal(b, 0, force).right) right = std::max(right, force);
    if (force <= mu * normal(b, force, 0).left) left = std::max(left, force);
  }
  const double met = in_newtons(axis::roller_grip(axis).limit) / weight(axis);
  CHECK_THAT(met, WithinAbs(std::min(left, right), 2e-5));
  RotaryAxis both = axis;
  rollers(both).driven = 2;
  CHECK(axis::roller_grip(both).limit > axis::roller_grip(axis).limit);
}

TEST_CASE("for weak grip the limit is friction times the normal forces of a body at rest",
          "[axis][property]") {
  // At rest each contact bears W/(2 cos β); 30°.
  RotaryAxis axis = spar();
  rollers(axis).grip = FrictionCoefficient(1e-4);
  const double met = in_newtons(axis::roller_grip(axis).limit);
  CHECK_THAT(met, WithinRel(1e-4 * weight(axis) / (2 * std::cos(std::numbers::pi / 6)), 1e-3));
  rollers(axis).grip = FrictionCoefficient(0);
  CHECK(axis::roller_grip(axis).limit == newtons(0));
}

TEST_CASE("the largest acceleration uses what unbalance leaves of the grip", "[axis][property]") {
  RotaryAxis axis = spar();
  rollers(axis).driven = 2;
  const axis::RollerGrip round = axis::roller_grip(axis);
  // A solid body has half of its mass at its rim, so a = 2 μ g/((1 + μ²) cos β), whatever it
  // weighs.
  CHECK_THAT(in_metres_per_second_squared(round.largest_acceleration()),
             WithinRel(2 * 0.3 * 9.80665 / (1.09 * std::cos(std::numbers::pi / 6)), 1e-12));
  axis.heaviest.eccentricity = millimetres(5);
  const axis::RollerGrip crooked = axis::roller_grip(axis);
  CHECK_THAT(in_newtons(crooked.standing), WithinRel(weight(axis) * 0.1, 1e-12));
  CHECK_THAT(
      in_metres_per_second_squared(crooked.largest_acceleration()),
      WithinRel(in_metres_per_second_squared(round.largest_acceleration()) - 0.2 * 9.80665, 1e-12));
  axis.heaviest.eccentricity = millimetres(20);  // it rolls back whatever the rollers do
  CHECK(axis::roller_grip(axis).largest_acceleration() < metres_per_second_squared(0));
  // An idle roller is turned by the workpiece: J/r².
  axis = spar();
  CHECK_THAT(
      in_kilograms(axis::roller_grip(axis).mass),
      WithinRel(in_kilograms(axis::mass(axis.heaviest)) / 2 + 3e-5 / (0.0125 * 0.0125), 1e-12));
}

TEST_CASE("grip that makes the workpiece climb out is outside validity", "[axis][error]") {
  RotaryAxis axis = spar();
  rollers(axis).grip = FrictionCoefficient(0.57);  // tan 30° = 0.577
  CHECK_NOTHROW(axis::roller_grip(axis));
  rollers(axis).grip = FrictionCoefficient(0.58);
  CHECK_THROWS_MATCHES(axis::roller_grip(axis), OutsideValidity,
                       Catch::Matchers::Predicate<OutsideValidity>([](const auto& e) {
                         return std::string(e.what()).find("the workpiece climbs out") == 0;
                       }));
  // Where the idle contact comes clear: N = 0 at the slip of the other with μ = tan β.
  const double b = std::numbers::pi / 6;
  const double force = std::sin(b);
  const Normal n = normal(b, 0, force);
  CHECK_THAT(n.left, WithinAbs(0.0, 1e-14));
  CHECK_THAT(force / n.right, WithinRel(std::tan(b), 1e-13));
}

TEST_CASE("rollers with a figure outside its range are refused by name", "[axis][error]") {
  RotaryAxis bad = spar();
  rollers(bad).driven = 3;
  CHECK_THROWS_MATCHES(axis::roller_grip(bad), InvalidInput,
                       Message("driven rollers must be 1 or 2, got 3"));
  for (const double centre : {25.0, 125.0, std::nan("")}) {
    bad = spar();
    rollers(bad).centre_distance = millimetres(centre);
    CHECK_THROWS_AS(axis::roller_grip(bad), InvalidInput);
  }
  bad = spar();
  rollers(bad).centre_distance = millimetres(25);
  CHECK_THROWS_MATCHES(axis::contact_half_angle(rollers(bad), millimetres(100)), InvalidInput,
                       Message("roller centre distance must be > roller diameter and < roller and "
                               "workpiece diameter together, got 25 mm"));
  CHECK_THROWS_MATCHES(axis::contact_half_angle(rollers(bad), unset<Length>()), InvalidInput,
                       Message("workpiece diameter must be > 0, got nan mm"));
  bad = spar();
  bad.heaviest.length = unset<Length>();
  CHECK_THROWS_AS(axis::roller_grip(bad), InvalidInput);
  bad = spar();
  bad.hold = axis::Chuck{};
  CHECK_THROWS_MATCHES(axis::roller_grip(bad), InvalidInput,
                       Message("rollers must be given to ask for their grip, got 0"));
}

}  // namespace
}  // namespace pitchline
