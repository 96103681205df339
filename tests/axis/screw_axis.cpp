#include "pitchline/axis/screw_axis.hpp"

#include <algorithm>
#include <cmath>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using axis::axis_at_motor;
using axis::ScrewAxis;
using axis::ScrewEnds;
using axis::ThreadFriction;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

// The kite loft's head on a Tr8x8(P2), our own invented machine.
ScrewAxis head() {
  return {.motor = {.name = "invented NEMA 17",
                    .full_steps_per_turn = full_steps(200),
                    .holding_torque = newton_metres(0.55),
                    .rated_current = amperes(2.0),
                    .resistance = ohms(1.4),
                    .inductance = millihenries(2.6),
                    .rotor_inertia = kilogram_square_metres(8e-6),
                    .source = "invented"},
          .driver = {.current = amperes(2.0), .pulses_per_turn = pulses(3200)},
          .screw = {.lead_millimetres = Fraction(8),
                    .starts = 4,
                    .outer_diameter = millimetres(8),
                    .mean_diameter = millimetres(7),
                    .minor_diameter = millimetres(5.5),
                    .bearing_distance = millimetres(500)},
          .loss = ThreadFriction{.flank_half_angle = screw::trapezoidal_half_angle,
                                 .least = FrictionCoefficient(0.1),
                                 .most = FrictionCoefficient(0.2)},
          .travel = millimetres(400),
          .moving = {{.name = "head", .mass = kilograms(2)}},
          .guide = {.kind = "profile rail", .friction = FrictionCoefficient(0.004)}};
}

TEST_CASE("a screw axis gives a maker's printed torque and inertias", "[axis][published]") {
  // [Yaskawa E-V-MD] p. 30, Q: 250 kg, friction 0.2, screw 1.0 m by 20 mm, lead 10, ratio 2, gear
  // 0.4e-4 kg·m² at the motor, 0.9. Printed: TL 0.43 N·m, JL1 1.58e-4, JB 0.31e-4, JL 2.29e-4.
  ScrewAxis table = head();
  table.motor.rotor_inertia = kilogram_square_metres(0);
  table.motor_turns_per_screw_turn = Fraction(2);
  table.motor_pulley_inertia = kilogram_square_metres(0.4e-4);
  table.screw = {.lead_millimetres = Fraction(10),
                 .outer_diameter = millimetres(20),
                 .mean_diameter = millimetres(20),
                 .minor_diameter = millimetres(20),
                 .bearing_distance = metres(1)};
  table.loss = Efficiency(0.9);
  table.moving = {{.name = "table", .mass = kilograms(250)}};
  table.guide.friction = FrictionCoefficient(0.2);
  const Inertia last = kilogram_square_metres(0.005e-4);
  const axis::ScrewInertiaAtMotor met = inertia_at_motor(table);
  CHECK_THAT(met.load, IsNear(kilogram_square_metres(1.58e-4), last));
  CHECK_THAT(met.screws, IsNear(kilogram_square_metres(0.31e-4), last));
  CHECK_THAT(met.sum(), IsNear(kilogram_square_metres(2.29e-4), last));
  CHECK_THAT(motion::rigid_torque(axis_at_motor(table), metres_per_second_squared(0)),
             IsNear(newton_metres(0.43), newton_metres(0.005)));
  // [FANUC alpha] p. 44, Q: 32 mm by 1 m, 7800 kg/m³, 1000 kg at 8 mm: 0.0008 and 0.00162.
  table.motor_turns_per_screw_turn = Fraction(1);
  table.screw.outer_diameter = millimetres(32);
  table.screw.density = kilograms_per_cubic_metre(7800);
  table.screw.lead_millimetres = Fraction(8);
  table.moving.front().mass = kilograms(1000);
  CHECK_THAT(inertia_at_motor(table).screws,
             IsNear(kilogram_square_metres(0.0008), kilogram_square_metres(0.00005)));
  CHECK_THAT(inertia_at_motor(table).load,
             IsNear(kilogram_square_metres(0.00162), kilogram_square_metres(0.000005)));
}

TEST_CASE("step_train of a screw keeps leads in millimetres and inches exact",
          "[axis][published]") {
  // reference/published/steps_per_mm.csv (C): leads 8, 12 and 2.54 mm at 3200 pulses a turn.
  ScrewAxis drive = head();
  const auto exact = [&](const Fraction& lead) {
    drive.screw.lead_millimetres = lead;
    return print_fraction(motion::pulses_per_millimetre_exactly(axis::step_train(drive)));
  };
  CHECK(exact(Fraction(8)) == "400");
  CHECK(exact(Fraction(12)) == "800/3");
  CHECK(exact(Fraction(127, 50)) == "160000/127");
  drive.motor_turns_per_screw_turn = Fraction(3, 2);
  CHECK(exact(Fraction(8)) == "600");
  const PulsesPerLength by_transmission =
      drive.driver.pulses_per_turn / revolution / axis::motor_transmission(drive);
  CHECK_THAT(in_pulses_per_millimetre(by_transmission), WithinRel(600.0, 1e-14));
}

TEST_CASE("the efficiency of a range is that of the most friction", "[axis][property]") {
  const ScrewAxis drive = head();
  const auto at = [&](double f) {
    return screw::efficiency({.mean_diameter = millimetres(7),
                              .lead = millimetres(8),
                              .flank_half_angle = degrees(15),
                              .thread_friction = FrictionCoefficient(f)})
        .value();
  };
  CHECK_THAT(axis::deciding_efficiency(drive).value(), WithinRel(at(0.2), 1e-13));
  CHECK(at(0.1) > at(0.2));
  // The torque at constant speed is that of the screw under the friction of the guide.
  const Force force = 0.004 * kilograms(2) * standard_gravity;
  const Torque screw_torque = screw::raising_torque({.mean_diameter = millimetres(7),
                                                     .lead = millimetres(8),
                                                     .flank_half_angle = degrees(15),
                                                     .thread_friction = FrictionCoefficient(0.2)},
                                                    force);
  CHECK_THAT(number(motion::rigid_torque(axis_at_motor(drive), metres_per_second_squared(0)) /
                    screw_torque),
             WithinRel(1.0, 1e-12));
  ScrewAxis given = head();
  given.loss = Efficiency(0.8);
  given.stage_efficiency = Efficiency(0.95);
  CHECK_THAT(axis_at_motor(given).efficiency.value(), WithinRel(0.76, 1e-14));
  CHECK(axis::deciding_efficiency(given).value() == 0.8);
}

TEST_CASE("the loss of a screw burdens the load and not the screw's own inertia",
          "[axis][property]") {
  ScrewAxis drive = head();
  drive.moving.front().mass = kilograms(0);
  const auto torque = [&] {
    return in_newton_metres(
        motion::rigid_torque(axis_at_motor(drive), metres_per_second_squared(5)));
  };
  const double bare = torque();
  drive.loss = Efficiency(0.1);
  CHECK_THAT(torque(), WithinRel(bare, 1e-14));
  // J a/t with rotor and screw, π 7850 0.5 m (8 mm)⁴/32.
  const double screw = std::numbers::pi * 7850 * 0.5 * 4096e-12 / 32;
  CHECK_THAT(bare, WithinRel((8e-6 + screw) * 5 / (0.008 / (2 * std::numbers::pi)), 1e-12));
}

TEST_CASE("inertia_at_motor and axis_at_motor of a screw see the same inertia",
          "[axis][property]") {
  const int motors = GENERATE(1, 2, 4);
  const int screws = GENERATE(1, 2);
  const Fraction ratio = GENERATE(Fraction(1), Fraction(5, 2));
  CAPTURE(motors, screws);
  ScrewAxis drive = head();
  drive.motors = motors;
  drive.screws_per_motor = screws;
  drive.motor_turns_per_screw_turn = ratio;
  drive.motor_pulley_inertia = kilogram_square_metres(1e-6);
  drive.screw_pulley_inertia = kilogram_square_metres(3e-6);
  drive.moving.push_back({.name = "lamp", .mass = kilograms(0.5), .travels_along_beam = true});
  const axis::ScrewInertiaAtMotor parts = inertia_at_motor(drive);
  CHECK_THAT(number(parts.sum() / motion::total_inertia(axis_at_motor(drive))),
             WithinRel(1.0, 1e-12));
  CHECK(parts.rotor == drive.motor.rotor_inertia);
  const double square = to_double(ratio * ratio);
  CHECK_THAT(in_kilogram_square_metres(parts.pulleys),
             WithinRel(1e-6 + screws * 3e-6 / square, 1e-13));
  const double t = 0.008 / (2 * std::numbers::pi) / std::sqrt(square);
  CHECK_THAT(in_kilogram_square_metres(parts.load), WithinRel((2.0 / motors + 0.5) * t * t, 1e-12));
  CHECK_THAT(in_kilograms(moving_mass(drive)), WithinRel(2.5, 1e-14));
}

TEST_CASE("an upright screw axis carries its weight and motors share the drag",
          "[axis][property]") {
  ScrewAxis drive = head();
  drive.incline = degrees(30);
  drive.motors = 2;
  drive.guide.drag = newtons(6);
  const motion::AxisAtMotor met = axis_at_motor(drive);
  CHECK_THAT(in_newtons(met.gravity), WithinRel(9.80665 / 2, 1e-13));
  CHECK_THAT(in_newtons(met.friction), WithinRel(0.004 * 9.80665 * std::sqrt(0.75) + 3.0, 1e-13));
}

TEST_CASE("screw_stiffness is that of the softest place of the travel", "[axis][property]") {
  // By trial over the travel: stretch of the core, and wind-up with the torque F t/η that drives.
  const ScrewEnds ends = GENERATE(ScrewEnds::one_end_held, ScrewEnds::both_ends_held);
  const int lead = GENERATE(1, 4, 8, 40);
  const double travel = GENERATE(50.0, 400.0, 500.0);
  const double nut = GENERATE(5e6, std::numeric_limits<double>::infinity());
  CAPTURE(lead, travel, nut);
  ScrewAxis drive = head();
  drive.loss = Efficiency(0.6);
  drive.screw.ends = ends;
  drive.screw.lead_millimetres = Fraction(lead);
  drive.travel = millimetres(travel);
  drive.nut_stiffness = newtons_per_metre(nut);
  const double core = std::numbers::pi / 4 * 5.5e-3 * 5.5e-3;
  const double polar = std::numbers::pi / 32 * std::pow(5.5e-3, 4);
  const double t = lead * 1e-3 / (2 * std::numbers::pi);
  double most = 0.0;
  for (int i = 0; i <= 20'000; ++i) {
    const double x = 0.25 + (i / 10'000.0 - 1) * travel / 2000;
    double give = x / (207e9 * core);
    if (ends == ScrewEnds::both_ends_held) give *= (0.5 - x) / 0.5;
    most = std::max(most, give + t * t * x / (0.6 * 79.3e9 * polar));
  }
  const axis::ScrewStiffness met = screw_stiffness(drive);
  CHECK_THAT(in_newtons_per_metre(met.smallest), WithinRel(1 / (most + 1 / nut), 1e-7));
  CHECK(met.smallest <= met.axial);
  CHECK(met.smallest <= met.torsional);
  CHECK(met.position >= millimetres(250));
  CHECK(met.position <= millimetres(250 + travel / 2) * (1 + 1e-12));
  drive.screws_per_motor = 3;
  CHECK_THAT(number(axis::smallest_stiffness(drive) / met.smallest), WithinRel(3.0, 1e-13));
}

TEST_CASE("a screw held at both ends is four times E A over L in the middle of a fine lead",
          "[axis][property]") {
  ScrewAxis drive = head();
  drive.screw.lead_millimetres = Fraction(1, 100);
  drive.loss = Efficiency(1.0);
  drive.screw.ends = ScrewEnds::both_ends_held;
  const double per_strain = 207e9 * std::numbers::pi / 4 * 5.5e-3 * 5.5e-3;
  CHECK_THAT(in_newtons_per_metre(axis::smallest_stiffness(drive)),
             WithinRel(4 * per_strain / 0.5, 1e-4));
  drive.screw.ends = ScrewEnds::one_end_held;
  CHECK_THAT(in_newtons_per_metre(axis::smallest_stiffness(drive)),
             WithinRel(per_strain / 0.45, 1e-4));
}

TEST_CASE("a screw axis given in inches is the same axis", "[axis][property]") {
  ScrewAxis metric = head();
  ScrewAxis inch = head();
  metric.screw.outer_diameter = millimetres(9.525);
  inch.screw.outer_diameter = inches(0.375);
  metric.screw.bearing_distance = millimetres(508);
  inch.screw.bearing_distance = inches(20);
  metric.moving.front().mass = kilograms(0.45359237 * 4);
  inch.moving.front().mass = pounds(4);
  CHECK_THAT(number(inertia_at_motor(inch).sum() / inertia_at_motor(metric).sum()),
             WithinRel(1.0, 1e-13));
  CHECK_THAT(number(axis::smallest_stiffness(inch) / axis::smallest_stiffness(metric)),
             WithinRel(1.0, 1e-13));
}

TEST_CASE("a screw axis with a field outside its range is refused by name", "[axis][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    ScrewAxis bad = head();
    spoil(bad);
    CHECK_THROWS_MATCHES(axis_at_motor(bad), InvalidInput, Message(text));
  };
  refuses([](auto& x) { x.motors = 0; }, "motors must be from 1 to 4, got 0");
  refuses([](auto& x) { x.motors = 5; }, "motors must be from 1 to 4, got 5");
  refuses([](auto& x) { x.motor_turns_per_screw_turn = Fraction(0); },
          "motor turns per screw turn must be > 0, got 0");
  refuses([](auto& x) { x.screws_per_motor = 0; }, "screws per motor must be from 1 to 8, got 0");
  refuses([](auto& x) { x.screw.lead_millimetres = Fraction(0); }, "lead must be > 0, got 0 mm");
  refuses([](auto& x) { x.screw.starts = 0; }, "starts must be from 1 to 20, got 0");
  refuses([](auto& x) { x.screw.minor_diameter = unset<Length>(); },
          "minor diameter must be > 0, got nan mm");
  refuses([](auto& x) { x.screw.mean_diameter = millimetres(5); },
          "mean diameter must be >= minor diameter, got 5 mm");
  refuses([](auto& x) { x.screw.outer_diameter = unset<Length>(); },
          "outer diameter must be >= mean diameter, got nan mm");
  refuses([](auto& x) { x.screw.bearing_distance = unset<Length>(); },
          "bearing distance must be > 0, got nan mm");
  refuses([](auto& x) { x.screw.elastic_modulus = unset<Pressure>(); },
          "elastic modulus must be > 0, got nan MPa");
  refuses([](auto& x) { x.screw.density = unset<Density>(); },
          "density must be > 0, got nan kg/m^3");
  refuses([](auto& x) { x.motor_pulley_inertia = unset<Inertia>(); },
          "pulley inertia must be >= 0, got nan kg*m^2");
  refuses([](auto& x) { x.screw_pulley_inertia = kilogram_square_metres(-1); },
          "pulley inertia must be >= 0, got -1 kg*m^2");
  refuses([](auto& x) { x.incline = degrees(91); }, "incline must be from 0 to 90, got 91 deg");
  refuses([](auto& x) { x.guide.drag = unset<Force>(); }, "drag must be >= 0, got nan N");
  refuses([](auto& x) { x.moving.push_back({.name = "lamp"}); },
          "mass of lamp must be >= 0, got nan kg");
  refuses([](auto& x) { x.moving.push_back({.name = "lamp", .mass = unlimited<Mass>()}); },
          "mass of lamp must be >= 0, got inf kg");
  refuses(
      [](auto& x) {
        x.loss = ThreadFriction{.flank_half_angle = degrees(15),
                                .least = FrictionCoefficient(0.2),
                                .most = FrictionCoefficient(0.1)};
      },
      "least friction must be <= most friction, got 0.2");
  refuses(
      [](auto& x) {
        x.loss =
            ThreadFriction{.least = FrictionCoefficient(0.1), .most = FrictionCoefficient(0.2)};
      },
      "flank half angle must be from 0 to 45, got nan deg");
}

TEST_CASE("the readings of a screw axis refuse what they cannot use", "[axis][error]") {
  ScrewAxis bad = head();
  bad.driver.pulses_per_turn = pulses(3200.5);
  CHECK_THROWS_MATCHES(
      axis::step_train(bad), InvalidInput,
      Message("pulses per turn must be a whole number from 1 to 1000000, got 3200.5"));
  bad = head();
  bad.travel = millimetres(501);
  CHECK_THROWS_MATCHES(axis::screw_stiffness(bad), InvalidInput,
                       Message("travel must be > 0 and <= bearing distance, got 501 mm"));
  bad.travel = unset<Length>();
  CHECK_THROWS_AS(axis::smallest_stiffness(bad), InvalidInput);
  bad = head();
  bad.nut_stiffness = unset<Stiffness>();
  CHECK_THROWS_MATCHES(axis::screw_stiffness(bad), InvalidInput,
                       Message("nut stiffness must be > 0, got nan N/m"));
  bad = head();
  bad.screw.shear_modulus = unset<Pressure>();
  CHECK_THROWS_AS(axis::screw_stiffness(bad), InvalidInput);
  bad = head();
  bad.screw.lead_millimetres = Fraction(-8);
  CHECK_THROWS_AS(axis::motor_transmission(bad), InvalidInput);
  CHECK_THROWS_AS(axis::step_train(bad), InvalidInput);
  CHECK_THROWS_AS(axis::inertia_at_motor(bad), InvalidInput);
  CHECK_THROWS_AS(axis::power_screw(bad.screw,
                                    {.flank_half_angle = degrees(15),
                                     .least = FrictionCoefficient(0.1),
                                     .most = FrictionCoefficient(0.2)},
                                    FrictionCoefficient(0.1)),
                  InvalidInput);
}

TEST_CASE("a screw axis whose screw locks is outside validity", "[axis][error]") {
  ScrewAxis bad = head();
  bad.screw.lead_millimetres = Fraction(200);  // slope 9.09, times 0.2 above 1
  CHECK_THROWS_AS(axis::deciding_efficiency(bad), OutsideValidity);
  CHECK_THROWS_AS(axis_at_motor(bad), OutsideValidity);
  CHECK_THROWS_AS(axis::smallest_stiffness(bad), OutsideValidity);
}

// Four screws at the corners of 800 by 500 mm under 10 kg, of which 2 kg travel along a beam.
ScrewAxis on_corners() {
  const auto at = [](double x, double y) {
    return axis::ScrewPlace{millimetres(x), millimetres(y)};
  };
  ScrewAxis lift{.screw = {.lead_millimetres = Fraction(2),
                           .outer_diameter = millimetres(10),
                           .mean_diameter = millimetres(9),
                           .minor_diameter = millimetres(7.5),
                           .bearing_distance = millimetres(300)},
                 .screws_per_motor = 4,
                 .loss = Efficiency(0.4),
                 .nut_stiffness = newtons_per_millimetre(2000),
                 .travel = millimetres(200),
                 .moving = {{.name = "bed", .mass = kilograms(8)},
                            {.name = "carriage", .mass = kilograms(2), .travels_along_beam = true}},
                 .guide = {.friction = FrictionCoefficient(0)}};
  lift.stand = axis::ScrewStand{.places = {at(0, 0), at(800, 0), at(800, 500), at(0, 500)},
                                .load_at = at(400, 250),
                                .nut_level = millimetres(0)};
  return lift;
}

TEST_CASE("the most loaded nut bears its share and what travels along the beam", "[axis]") {
  ScrewAxis lift = on_corners();
  CHECK(axis::number_of_screws(lift) == 4);
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_nut(lift)), WithinRel(8.0 / 4 + 2, 1e-12));
  // Not known how the nuts are set: a diagonal bears all.
  lift.stand->nut_level = unset<Length>();
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_nut(lift)), WithinRel(8.0 / 2 + 2, 1e-12));
  // Nothing is said of them at all: the equal share.
  lift.stand.reset();
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_nut(lift)), WithinRel(8.0 / 4 + 2, 1e-12));
}

TEST_CASE("one motor moves all of a lift, and four the share of the most loaded screw", "[axis]") {
  ScrewAxis lift = on_corners();
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_motor(lift)), WithinRel(10.0, 1e-12));
  lift.motors = 4;
  lift.screws_per_motor = 1;
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_motor(lift)), WithinRel(8.0 / 4 + 2, 1e-12));
  lift.stand->load_at = {millimetres(480), millimetres(250)};  // 1/4 + 80/1600
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_motor(lift)), WithinRel(8.0 * 0.3 + 2, 1e-12));
  // A nut that stands high by no more than statics allows: half of it, however high it stands.
  lift.stand->load_at = {millimetres(400), millimetres(250)};
  lift.stand->nut_level = millimetres(5);
  CHECK_THAT(in_kilograms(axis::mass_at_deciding_motor(lift)), WithinRel(8.0 * 0.5 + 2, 1e-9));
}

TEST_CASE("the screws of a lift need a place each", "[axis][error]") {
  ScrewAxis lift = on_corners();
  CHECK_THROWS_AS(axis::largest_nut_share(lift, newtons(-1)), InvalidInput);
  CHECK_THROWS_AS(axis::largest_nut_share(lift, unset<Force>()), InvalidInput);
  lift.stand->places.pop_back();
  CHECK_THROWS_AS(axis::largest_nut_share(lift, newtons(1)), InvalidInput);
  CHECK_THROWS_AS(axis::mass_at_deciding_nut(lift), InvalidInput);
  lift = on_corners();
  lift.stand->load_at = {millimetres(900), millimetres(0)};
  CHECK_THROWS_AS(axis::largest_nut_share(lift, newtons(1)), OutsideValidity);
  lift.screws_per_motor = 0;
  CHECK_THROWS_AS(axis::largest_nut_share(lift, newtons(1)), InvalidInput);
}

TEST_CASE("a screw of the catalogue takes the place of the one between the bearings", "[axis]") {
  axis::ScrewBody body{.bearing_distance = millimetres(300)};
  axis::take_screw(body, {.name = "Tr 8x4 (P2)",
                          .lead_millimetres = Fraction(4),
                          .starts = 2,
                          .outer_diameter = millimetres(8),
                          .mean_diameter = millimetres(7),
                          .minor_diameter = millimetres(5.5)});
  CHECK(body.name == "Tr 8x4 (P2)");
  CHECK(body.lead_millimetres == Fraction(4));
  CHECK(body.starts == 2);
  CHECK(body.minor_diameter == millimetres(5.5));
  CHECK(body.thread == parts::ThreadKind::trapezoidal);
  CHECK(body.bearing_distance == millimetres(300));
}

}  // namespace
}  // namespace pitchline
