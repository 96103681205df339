#include "pitchline/motor/resonance.hpp"

#include <Eigen/Eigenvalues>
#include <array>
#include <complex>
#include <map>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using motor::Excitation;
using motor::RotorField;
using testing::IsNear;

Frequency swing(Torque amplitude, Inertia inertia) {
  const auto k = motor::field_stiffness({.torque_amplitude = amplitude, .pole_pairs = 50});
  REQUIRE(k.has_value());
  return motor::natural_frequency(*k, inertia);
}

TEST_CASE("natural_frequency gives the printed example", "[motor][published]") {
  // [industrialmonitordirect], Q: 0.32 N*cm at 0.3 degrees on 48 g*cm^2, printed 56.8 Hz.
  const TorsionalStiffness k = newton_metres(0.0032) / degrees(0.3);
  CHECK_THAT(motor::natural_frequency(k, gram_square_centimetres(48)),
             IsNear(hertz(56.8), hertz(0.05)));
}

TEST_CASE("the frequency of a rotor in its field agrees with the check values",
          "[motor][published]") {
  // C: sqrt(50 * 0.52 / 82e-7) / 2 pi, and with the inertia doubled.
  CHECK_THAT(swing(newton_metres(0.52), kilogram_square_metres(82e-7)),
             IsNear(hertz(283.40), hertz(0.005)));
  CHECK_THAT(swing(newton_metres(0.52), kilogram_square_metres(164e-7)),
             IsNear(hertz(200.39), hertz(0.005)));
}

TEST_CASE("the rotor alone swings as in the table of rated currents", "[motor][published]") {
  // reference/published/rated_current.csv; rotor inertias of the tabled motors in g*cm^2.
  const std::map<std::string, double> rotor{{"NEMA17", 54}, {"NEMA23", 480}, {"NEMA34", 2700}};
  for (const testing::CsvRow& row : testing::published("rated_current.csv")) {
    const std::string& name = row.text("motor");
    CAPTURE(name);
    const auto w = motor::driven_winding(testing::tabled_motor(name),
                                         amperes(row.number("I_rated_A")), volts(48));
    const RotorField field = motor::field_at_rest(w);
    const Frequency f = swing(field.torque_amplitude, gram_square_centimetres(rotor.at(name)));
    CHECK_THAT(in_hertz(f), WithinRel(row.number("em_natural_freq_rotor_only_Ipk_eq_Ir_Hz"), 1e-9));
  }
}

TEST_CASE("the field of the tabled NEMA 17 is as stiff at the belt as printed",
          "[motor][published]") {
  // Derivation beside the axis simulation: 3.9e5 N/m on a pulley of 20 teeth of 2 mm.
  const auto k =
      motor::field_stiffness({.torque_amplitude = newton_metres(0.31819805), .pole_pairs = 50});
  REQUIRE(k.has_value());
  const Transmission t = millimetres(40) / revolution;
  CHECK_THAT(Stiffness(*k / (t * t)), IsNear(newtons_per_metre(3.9e5), newtons_per_metre(0.05e5)));
}

TEST_CASE("field_stiffness is the slope of the torque over the lag", "[motor][property]") {
  const double share = GENERATE(0.0, 0.1, 0.5, 0.9, 0.99);
  CAPTURE(share);
  const RotorField field{.torque_amplitude = newton_metres(1.3), .pole_pairs = 100};
  const Torque load = share * field.torque_amplitude;
  const auto k = motor::field_stiffness(field, load);
  const auto lag = motor::static_lag(field, load);
  REQUIRE(k.has_value());
  REQUIRE(lag.has_value());
  const Angle h = radians(1e-6);
  const Torque difference =
      motor::torque_at_lag(field, *lag + h) - motor::torque_at_lag(field, *lag - h);
  CHECK_THAT(in_newton_metres_per_radian(*k),
             WithinRel(in_newton_metres_per_radian(difference / (2.0 * h)), 1e-7));
}

TEST_CASE("at the full load the field is no spring any more, above it there is none",
          "[motor][property]") {
  const RotorField field{.torque_amplitude = newton_metres(1.3), .pole_pairs = 50};
  CHECK(motor::field_stiffness(field, newton_metres(1.3)) == newton_metres_per_radian(0));
  CHECK_FALSE(motor::field_stiffness(field, newton_metres(1.31)).has_value());
}

TEST_CASE("axis_modes are the eigenvalues of two masses on two springs, inside their bounds",
          "[motor][property]") {
  const double belt = GENERATE(1e3, 1e4, 1.5e5, 1e7);
  const double mass = GENERATE(0.05, 1.0, 20.0);
  const double inertia = GENERATE(2e-6, 5.4e-6, 3e-4);
  CAPTURE(belt, mass, inertia);
  const double k = 15.9;
  const double t = 40e-3 / (2.0 * std::numbers::pi);
  const motor::AxisModes modes =
      motor::axis_modes({.field_stiffness = newton_metres_per_radian(k),
                         .motor_side_inertia = kilogram_square_metres(inertia),
                         .mass = kilograms(mass),
                         .transmission = metres_per_radian(t),
                         .belt_stiffness = newtons_per_metre(belt)});
  // State (angle in rad, travel in m); stiffness and inertia in SI.
  Eigen::Matrix2d stiffness;
  stiffness << k + belt * t * t, -belt * t, -belt * t, belt;
  const Eigen::Matrix2d inertias = Eigen::Vector2d(inertia, mass).asDiagonal();
  const Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::Matrix2d> solved(stiffness, inertias);
  const auto hz = [&](int i) {
    return std::sqrt(solved.eigenvalues()(i)) / (2.0 * std::numbers::pi);
  };
  REQUIRE(modes.second.has_value());
  CHECK_THAT(in_hertz(modes.first), WithinRel(hz(0), 1e-9));
  CHECK_THAT(in_hertz(*modes.second), WithinRel(hz(1), 1e-9));
  const double slack = 1 + 1e-12;
  CHECK(modes.first <= modes.rigid * slack);
  CHECK(modes.first <= modes.in_series * slack);
  CHECK(*modes.second * slack >= modes.rotor_alone);
  CHECK(*modes.second * slack >= modes.mass_stands);
  // Dunkerley from below: the squared periods of the parts add up to no less than the first's.
  const double below =
      std::pow(in_hertz(modes.in_series), -2) + std::pow(in_hertz(modes.rotor_alone), -2);
  CHECK(std::pow(in_hertz(modes.first), -2) <= below * slack);
}

TEST_CASE("axis_modes tend to the rigid axis and to the series of springs", "[motor][property]") {
  motor::SprungAxis axis{.field_stiffness = newton_metres_per_radian(15.9),
                         .motor_side_inertia = kilogram_square_metres(5.4e-6),
                         .mass = kilograms(1),
                         .transmission = millimetres(40) / revolution};
  const motor::AxisModes rigid = motor::axis_modes(axis);
  CHECK_FALSE(rigid.second.has_value());
  CHECK(rigid.first == rigid.rigid);
  // J + m t^2 = 5.4e-6 + 4.05285e-5 kg*m^2: sqrt(15.9 / 4.59285e-5) / 2 pi = 93.6443 Hz.
  CHECK_THAT(in_hertz(rigid.first), WithinAbs(93.644, 5e-4));
  axis.belt_stiffness = newtons_per_metre(1e12);
  const motor::AxisModes stiff = motor::axis_modes(axis);
  CHECK_THAT(in_hertz(stiff.first), WithinRel(in_hertz(rigid.first), 1e-6));
  CHECK_THAT(in_hertz(stiff.in_series), WithinRel(in_hertz(rigid.in_series), 1e-6));
  axis.belt_stiffness = newtons_per_metre(1.5e5);
  axis.motor_side_inertia = kilogram_square_metres(1e-12);
  const motor::AxisModes light = motor::axis_modes(axis);
  CHECK_THAT(in_hertz(light.first), WithinRel(in_hertz(light.in_series), 1e-6));
}

motor::StepDrive drive(double microsteps) {
  return {.full_steps_per_angle = full_steps(200) / revolution,
          .microsteps = pulses_per_full_step(microsteps),
          .transmission = millimetres(40) / revolution};
}

TEST_CASE("full steps shake a resonance at its frequency, a half and a third of it",
          "[motor][property]") {
  const auto rates = motor::rates_to_avoid(drive(1), hertz(120));
  REQUIRE(rates.size() == 6);
  const std::array<double, 6> wanted{40, 60, 120, 120, 240, 480};
  for (std::size_t i = 0; i < 6; ++i) {
    CAPTURE(i);
    const motor::RateToAvoid& r = rates[i];
    CHECK_THAT(in_full_steps_per_second(r.full_step_rate), WithinRel(wanted[i], 1e-12));
    CHECK_THAT(in_pulses_per_second(r.pulse_rate), WithinRel(wanted[i], 1e-12));
    // 200 full steps a turn, 40 mm a turn.
    CHECK_THAT(in_revolutions_per_minute(r.shaft_speed), WithinRel(wanted[i] * 0.3, 1e-12));
    CHECK_THAT(in_millimetres_per_second(r.travel_speed), WithinRel(wanted[i] * 0.2, 1e-12));
    CHECK(r.excitation == (i < 3    ? Excitation::pulses
                           : i == 3 ? Excitation::detent
                           : i == 4 ? Excitation::unequal_currents
                                    : Excitation::current_offset));
    CHECK(is_unset(r.amplitude) == (i >= 3));
  }
}

TEST_CASE("microsteps move what the pulses shake down and make it smaller", "[motor][property]") {
  const auto full = motor::rates_to_avoid(drive(1), hertz(120));
  const auto fine = motor::rates_to_avoid(drive(16), hertz(120));
  for (std::size_t i = 0; i < 6; ++i) {
    CAPTURE(i);
    const double ratio = i < 3 ? 16.0 : 1.0;
    CHECK_THAT(number(full[i].full_step_rate / fine[i].full_step_rate), WithinRel(ratio, 1e-12));
    CHECK_THAT(number(fine[i].pulse_rate / full[i].pulse_rate), WithinRel(16.0 / ratio, 1e-12));
    if (i < 3) CHECK_THAT(number(full[i].amplitude / fine[i].amplitude), WithinRel(16.0, 1e-12));
  }
}

TEST_CASE("the amplitudes of the pulses are the Fourier series of a staircase less its ramp",
          "[motor][property]") {
  const auto rates = motor::rates_to_avoid(drive(4), hertz(100));
  const double jump = 1.8 / 4;
  const int samples = 20'000;
  for (std::size_t i = 0; i < 3; ++i) {
    const int k = 3 - static_cast<int>(i);
    CAPTURE(k);
    std::complex<double> sum = 0;
    for (int s = 0; s < samples; ++s) {
      const double t =
          (s + 0.5) / samples;  // one pulse period: the staircase is flat, the ramp not
      sum += -jump * t * std::polar(1.0, -2.0 * std::numbers::pi * k * t);
    }
    CHECK_THAT(in_degrees(rates[i].amplitude), WithinRel(2.0 * std::abs(sum) / samples, 1e-6));
    // And that harmonic of the pulse rate is at the natural frequency.
    CHECK_THAT(k * in_pulses_per_second(rates[i].pulse_rate), WithinRel(100.0, 1e-12));
  }
}

TEST_CASE("detent, unequal and offset currents repeat in one, two and four full steps",
          "[motor][property]") {
  // Torque of the two phases over one electrical turn with each fault, rotor and field in step.
  const auto harmonic_of = [](int harmonic, double e, double offset, double detent) {
    const int samples = 3600;
    std::complex<double> sum = 0;
    for (int s = 0; s < samples; ++s) {
      const double angle = 2.0 * std::numbers::pi * s / samples;
      const double field = angle + 0.4;  // a load angle
      const double a = (1 + e) * std::cos(field) + offset;
      const double b = std::sin(field);
      const double torque =
          -a * std::sin(angle) + b * std::cos(angle) - detent * std::sin(4 * angle);
      sum += torque * std::polar(1.0, -harmonic * angle);
    }
    return 2.0 * std::abs(sum) / samples;
  };
  const auto rates = motor::rates_to_avoid(drive(16), hertz(100));
  for (std::size_t i = 3; i < 6; ++i) {
    const int harmonic = static_cast<int>(4.0 / rates[i].full_steps_per_swing);
    const Excitation fault = rates[i].excitation;
    CAPTURE(i, harmonic);
    const double met = harmonic_of(harmonic, fault == Excitation::unequal_currents ? 0.1 : 0.0,
                                   fault == Excitation::current_offset ? 0.05 : 0.0,
                                   fault == Excitation::detent ? 0.05 : 0.0);
    CHECK_THAT(met, WithinAbs(0.05, 1e-9));
  }
}

TEST_CASE("resonance functions refuse what their tables exclude", "[motor][error]") {
  const auto k = newton_metres_per_radian(1);
  CHECK_THROWS_MATCHES(motor::field_stiffness({}), InvalidInput,
                       Message("torque amplitude must be > 0, got nan N*m"));
  CHECK_THROWS_MATCHES(
      motor::field_stiffness({.torque_amplitude = newton_metres(1), .pole_pairs = 50},
                             newton_metres(-1)),
      InvalidInput, Message("load must be >= 0, got -1 N*m"));
  CHECK_THROWS_MATCHES(motor::natural_frequency({}, kilogram_square_metres(1)), InvalidInput,
                       Message("stiffness must be > 0, got 0 N*m/rad"));
  CHECK_THROWS_MATCHES(motor::natural_frequency(k, unset<Inertia>()), InvalidInput,
                       Message("inertia must be > 0, got nan kg*m^2"));

  const motor::SprungAxis good{.field_stiffness = k,
                               .motor_side_inertia = kilogram_square_metres(1e-5),
                               .mass = kilograms(1),
                               .transmission = metres_per_radian(0.01)};
  CHECK_NOTHROW(motor::axis_modes(good));
  auto bad = good;
  bad.field_stiffness = unset<TorsionalStiffness>();
  CHECK_THROWS_AS(motor::axis_modes(bad), InvalidInput);
  bad = good;
  bad.motor_side_inertia = unset<Inertia>();
  CHECK_THROWS_AS(motor::axis_modes(bad), InvalidInput);
  bad = good;
  bad.mass = unset<Mass>();
  CHECK_THROWS_MATCHES(motor::axis_modes(bad), InvalidInput,
                       Message("mass must be > 0, got nan kg"));
  bad = good;
  bad.transmission = unset<Transmission>();
  CHECK_THROWS_MATCHES(motor::axis_modes(bad), InvalidInput,
                       Message("transmission must be > 0, got nan m/rad"));
  bad = good;
  bad.belt_stiffness = newtons_per_metre(0);
  CHECK_THROWS_MATCHES(motor::axis_modes(bad), InvalidInput,
                       Message("belt stiffness must be > 0, got 0 N/m"));

  CHECK_THROWS_MATCHES(motor::rates_to_avoid(drive(1), hertz(0)), InvalidInput,
                       Message("natural frequency must be > 0, got 0 Hz"));
  CHECK_THROWS_MATCHES(motor::rates_to_avoid({}, hertz(1)), InvalidInput,
                       Message("full steps per angle must be > 0, got nan step/rev"));
  CHECK_THROWS_MATCHES(motor::rates_to_avoid(drive(0), hertz(1)), InvalidInput,
                       Message("microsteps must be >= 1, got 0 pulse/step"));
  auto still = drive(1);
  still.transmission = unset<Transmission>();
  CHECK_THROWS_MATCHES(motor::rates_to_avoid(still, hertz(1)), InvalidInput,
                       Message("transmission must be > 0, got nan m/rad"));
}

}  // namespace
}  // namespace pitchline
