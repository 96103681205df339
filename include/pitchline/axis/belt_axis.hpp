#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/belt/pulley.hpp"
#include "pitchline/belt/strands.hpp"
#include "pitchline/motion/steps_per_length.hpp"
#include "pitchline/motion/torque_demand.hpp"
#include "pitchline/motor/winding.hpp"
#include "pitchline/parts/belt.hpp"
#include "pitchline/parts/belt_stage.hpp"
#include "pitchline/parts/driver.hpp"
#include "pitchline/parts/guide.hpp"
#include "pitchline/parts/stepper_motor.hpp"

namespace pitchline::axis {

/// One thing that moves with an axis.
struct MovingPart {
  std::string name{};
  Mass mass = unset<Mass>();
  /// It moves along the beam of a two-motor axis, so it may stand right over one of the motors.
  bool travels_along_beam = false;
};

/// A carriage or gantry pulled by toothed belt, one motor or a pair, built of parts.
struct BeltAxis {
  parts::StepperMotor motor{};
  int motors = 1;  ///< 1, or 2: one at each end of the beam, each with its own belt
  parts::Driver driver{};
  parts::Belt belt{};
  int pulley_teeth = 0;
  std::optional<parts::BeltStage> stage{};
  Inertia pulley_inertia = unset<Inertia>();  ///< of the drive pulley and of the idler, each
  Efficiency efficiency{1.0};                 ///< from motor shaft to load
  Length travel = unset<Length>();
  Length span = unset<Length>();  ///< centre of drive pulley to centre of idler
  std::vector<MovingPart> moving{};
  parts::Guide guide;
  Angle incline{};  ///< 0 level, 90° straight up
};

/// Sum of all that moves, without the belt.
inline Mass moving_mass(const BeltAxis& axis) {
  Mass sum{};
  for (const MovingPart& part : axis.moving) sum += part.mass;
  return sum;
}

/// The mass that the more heavily loaded motor must move. A single motor moves everything. Of a
/// pair, each takes half of the beam and its ends, but all of what travels along the beam: it may
/// stand at the end of the beam, and that is the case that decides.
///
/// Derived: a rigid beam on two supports, the load over one of them.
inline Mass mass_at_deciding_motor(const BeltAxis& axis) {
  if (axis.motors == 1) return moving_mass(axis);
  Mass sum{};
  for (const MovingPart& part : axis.moving)
    sum += part.travels_along_beam ? part.mass : part.mass / 2.0;
  return sum;
}

/// Mass of one belt of the axis, once round: twice the span. Zero where the profile does not know
/// it.
inline Mass belt_mass(const BeltAxis& axis) {
  const LinearDensity per_length = parts::mass_per_length(axis.belt);
  if (is_unset(per_length)) return {};
  return per_length * (2.0 * axis.span);
}

/// Turns of the motor per turn of the drive pulley, exactly.
inline Fraction motor_turns_per_pulley_turn(const BeltAxis& axis) {
  return axis.stage ? parts::exact_ratio(*axis.stage) : Fraction(1);
}

/// Travel of the load per angle of the motor shaft.
///
/// \throws InvalidInput  pitch, teeth or stage teeth not above zero
inline Transmission motor_transmission(const BeltAxis& axis) {
  return belt::pulley_transmission(axis.belt.profile, axis.pulley_teeth) /
         to_double(motor_turns_per_pulley_turn(axis));
}

/// The whole numbers behind the steps per mm of the axis.
inline motion::StepTrain step_train(const BeltAxis& axis) {
  return {.pulses_per_turn = std::llround(in_pulses(axis.driver.pulses_per_turn)),
          .turns_per_pulley_turn = motor_turns_per_pulley_turn(axis),
          .millimetres_per_pulley_turn =
              axis.belt.profile.pitch_millimetres * Fraction(axis.pulley_teeth)};
}

/// What turns with the deciding motor, all seen at its shaft.
struct InertiaAtMotor {
  Inertia rotor{};
  Inertia pulleys{};  ///< drive pulley, idler, and the pulleys of a stage
  Inertia load{};     ///< everything in straight motion, the belt included
  [[nodiscard]] Inertia sum() const { return rotor + pulleys + load; }
};

namespace detail {
struct PulleyInertia {
  Inertia on_motor_shaft{};
  Inertia behind_stage{};
};
inline PulleyInertia pulley_inertia(const BeltAxis& axis) {
  const Inertia drive_and_idler = 2.0 * axis.pulley_inertia;
  if (!axis.stage) return {drive_and_idler, {}};
  const parts::BeltStage& stage = *axis.stage;
  const double ratio = to_double(parts::exact_ratio(stage));
  const auto assumed = [&](int tooth_count) {
    return belt::assumed_pulley_inertia(stage.profile, stage.width, tooth_count);
  };
  return {assumed(stage.motor_teeth),
          (assumed(stage.driven_teeth) + drive_and_idler) / (ratio * ratio)};
}
}  // namespace detail

/// Inertia seen by the deciding motor, by where it comes from.
///
/// \throws InvalidInput  a field outside its range, or never set
inline InertiaAtMotor inertia_at_motor(const BeltAxis& axis) {
  const detail::PulleyInertia pulleys = detail::pulley_inertia(axis);
  return {.rotor = axis.motor.rotor_inertia,
          .pulleys = pulleys.on_motor_shaft + pulleys.behind_stage,
          .load = motion::carried_inertia(mass_at_deciding_motor(axis) + belt_mass(axis),
                                          motor_transmission(axis))};
}

/// The axis as its deciding motor sees it.
///
/// Friction is μ m g cos(incline) + drag, with the share of mass and half of the drag for a pair;
/// gravity is m g sin(incline).
///
/// \throws InvalidInput  a field outside its range, or never set; motors not 1 or 2; incline
/// outside
///                       0 to 90°
inline motion::AxisAtMotor axis_at_motor(const BeltAxis& axis) {
  if (axis.motors != 1 && axis.motors != 2) throw InvalidInput("motors", "1 or 2", axis.motors, "");
  if (!(axis.incline >= degrees(0) && axis.incline <= degrees(90)))
    throw InvalidInput("incline", "from 0 to 90", in_degrees(axis.incline), "deg");
  const Mass mass = mass_at_deciding_motor(axis);
  const Force weight = mass * standard_gravity;
  const double sine = std::sin(in_radians(axis.incline));
  const double cosine = std::cos(in_radians(axis.incline));
  const detail::PulleyInertia pulleys = detail::pulley_inertia(axis);
  return {.transmission = motor_transmission(axis),
          .mass = mass + belt_mass(axis),
          .motor_side_inertia = axis.motor.rotor_inertia + pulleys.on_motor_shaft,
          .driven_side_inertia = pulleys.behind_stage,
          .friction = axis.guide.friction.value() * weight * cosine +
                      axis.guide.drag / static_cast<double>(axis.motors),
          .gravity = weight * sine,
          .efficiency = axis.efficiency};
}

/// Stiffness between drive pulley and load at its smallest over the travel; unset where the belt's
/// own is unknown.
///
/// \throws InvalidInput  span or travel not above zero, or travel longer than the span
inline Stiffness smallest_stiffness(const BeltAxis& axis) {
  const Force tension_per_strain = parts::tension_per_strain(axis.belt);
  if (is_unset(tension_per_strain)) return unset<Stiffness>();
  return belt::smallest_strand_stiffness(
      {.tension_per_strain = tension_per_strain, .span = axis.span}, axis.travel);
}

}  // namespace pitchline::axis
