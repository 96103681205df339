#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/axis/cross_shaft.hpp"
#include "pitchline/axis/whole_pulses.hpp"
#include "pitchline/belt/pulley.hpp"
#include "pitchline/belt/strands.hpp"
#include "pitchline/motion/inertia.hpp"
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
  std::string carried_axis{};  ///< name of the axis that this part is; empty of anything else
};

/// Damping of the load swinging on its belt: for ringing, settling and the peak force of the belt.
/// Below the least of sixteen measured axes of 0.5 to 5 kg [axis damping].
inline constexpr DampingRatio usual_damping{0.03};
/// The same where less of it is the danger: the swings of the motor.
inline constexpr DampingRatio usual_least_damping{0.01};

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
  DampingRatio belt_damping = usual_damping;
  DampingRatio least_belt_damping = usual_least_damping;
  /// Stiffness of the axis over that of its belt: clamps, brackets and teeth give as well. 0.4 to
  /// 1.0 were measured [axis stiffness].
  StiffnessShare stiffness_share{1.0};
  /// What a belt run itself takes, against the motion; it rises with the tension [belt drag].
  Force belt_drag{};
  Length travel = unset<Length>();
  Length span = unset<Length>();  ///< centre of drive pulley to centre of idler
  std::vector<MovingPart> moving{};
  parts::Guide guide;
  Angle incline{};  ///< 0 level, 90° straight up
  /// Between the two belts of a gantry, across the travel; unset: not known, or one belt.
  Length belt_distance = unset<Length>();
  bool each_side_homed = false;  ///< of a pair: each motor finds a switch of its own
  /// Carries the pull of one motor to a second belt at the far side of the gantry.
  std::optional<ShaftToFarBelt> cross_shaft{};
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

/// The share of the moved mass that the far belt of a gantry with a cross shaft must move, at its
/// worst: half of the beam and its ends, and all of what travels along the beam.
inline Mass far_side_mass(const BeltAxis& axis) {
  Mass sum{};
  for (const MovingPart& part : axis.moving)
    sum += part.travels_along_beam ? part.mass : part.mass / 2.0;
  return sum;
}

/// Mass of the belts that one motor of the axis moves, once round: twice the span each, one or with
/// a cross shaft two. Zero where the profile does not know it.
inline Mass belt_mass(const BeltAxis& axis) {
  const LinearDensity per_length = parts::mass_per_length(axis.belt);
  if (is_unset(per_length)) return {};
  return per_length * ((axis.cross_shaft ? 4.0 : 2.0) * axis.span);
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
///
/// \throws InvalidInput  pulses per turn not a whole number from 1 to 1 000 000; stage teeth not
///                       above zero
inline motion::StepTrain step_train(const BeltAxis& axis) {
  return {.pulses_per_turn = whole_pulses_per_turn(axis.driver),
          .turns_per_pulley_turn = motor_turns_per_pulley_turn(axis),
          .millimetres_per_pulley_turn =
              axis.belt.profile.pitch_millimetres * Fraction(axis.pulley_teeth)};
}

/// What turns with the deciding motor, all seen at its shaft.
struct InertiaAtMotor {
  Inertia rotor{};
  Inertia stage{};    ///< both pulleys of a reduction stage, 0 without one
  Inertia pulleys{};  ///< drive pulley and idler
  Inertia load{};     ///< everything in straight motion, the belt included
  [[nodiscard]] Inertia sum() const { return rotor + stage + pulleys + load; }
};

namespace detail {
inline void require_valid(const BeltAxis& axis) {
  if (axis.motors != 1 && axis.motors != 2) throw InvalidInput("motors", "1 or 2", axis.motors, "");
  require_in_range("incline", axis.incline, degrees(0), degrees(90));
  require_positive("span", axis.span);
  require_not_negative("pulley inertia", axis.pulley_inertia);
  require_not_negative("drag", axis.guide.drag);
  require_not_negative("drag of the belt", axis.belt_drag);
  for (const MovingPart& part : axis.moving) {
    if (!(part.mass >= kilograms(0) && is_finite(part.mass)))
      throw InvalidInput("mass of " + part.name, ">= 0", in_kilograms(part.mass), "kg");
  }
  if (axis.cross_shaft && axis.motors != 1)
    throw InvalidInput("motors with a cross shaft", "1", axis.motors, "");
  // The far side is reckoned with its share of the mass.
  if (axis.cross_shaft && !(moving_mass(axis) > kilograms(0)))
    throw InvalidInput("moving mass with a cross shaft", "> 0", in_kilograms(moving_mass(axis)),
                       "kg");
}

// All seen at the motor shaft.
struct PulleyInertia {
  Inertia stage_on_motor{};
  Inertia stage_driven{};
  Inertia drive_and_idler{};
};
inline PulleyInertia pulley_inertia(const BeltAxis& axis) {
  Inertia drive_and_idler = 2.0 * axis.pulley_inertia;
  if (axis.cross_shaft) {
    drive_and_idler += inertia_at_motor(cross_shaft(
        *axis.cross_shaft, belt::pulley_transmission(axis.belt.profile, axis.pulley_teeth),
        axis.belt_distance, 2.0 * axis.pulley_inertia));
  }
  if (!axis.stage) return {.drive_and_idler = drive_and_idler};
  const parts::BeltStage& stage = *axis.stage;
  const double ratio = to_double(parts::exact_ratio(stage));
  const auto assumed = [&](int tooth_count) {
    return belt::assumed_pulley_inertia(stage.profile, stage.width, tooth_count);
  };
  return {.stage_on_motor = assumed(stage.motor_teeth),
          .stage_driven = assumed(stage.driven_teeth) / (ratio * ratio),
          .drive_and_idler = drive_and_idler / (ratio * ratio)};
}
}  // namespace detail

/// Inertia seen by the deciding motor, by where it comes from.
///
/// \throws InvalidInput  a field outside its range, or never set
inline InertiaAtMotor inertia_at_motor(const BeltAxis& axis) {
  const detail::PulleyInertia pulleys = detail::pulley_inertia(axis);
  return {.rotor = axis.motor.rotor_inertia,
          .stage = pulleys.stage_on_motor + pulleys.stage_driven,
          .pulleys = pulleys.drive_and_idler,
          .load = motion::carried_inertia(mass_at_deciding_motor(axis) + belt_mass(axis),
                                          motor_transmission(axis))};
}

/// The axis as its deciding motor sees it.
///
/// Friction is μ m g cos(incline) + drag + drag of the belt, with the share of mass and half of the
/// guide's drag for a pair, and two belts with a cross shaft; static friction is the guide's ratio
/// of all that, and what is given beyond; gravity is m g sin(incline).
///
/// \throws InvalidInput  a field outside its range, or never set; motors not 1 or 2; incline
///                       outside 0 to 90°; a cross shaft and nothing that moves
inline motion::AxisAtMotor axis_at_motor(const BeltAxis& axis) {
  detail::require_valid(axis);
  const Mass mass = mass_at_deciding_motor(axis);
  const Force weight = mass * standard_gravity;
  const double sine = std::sin(in_radians(axis.incline));
  const double cosine = std::cos(in_radians(axis.incline));
  const detail::PulleyInertia pulleys = detail::pulley_inertia(axis);
  const Force friction = axis.guide.friction.value() * weight * cosine +
                         axis.guide.drag / static_cast<double>(axis.motors) +
                         (axis.cross_shaft ? 2.0 : 1.0) * axis.belt_drag;
  return {.transmission = motor_transmission(axis),
          .mass = mass + belt_mass(axis),
          .motor_side_inertia = axis.motor.rotor_inertia + pulleys.stage_on_motor +
                                (axis.stage ? Inertia{} : pulleys.drive_and_idler),
          .driven_side_inertia =
              pulleys.stage_driven + (axis.stage ? pulleys.drive_and_idler : Inertia{}),
          .friction = friction,
          .breakaway = parts::static_beyond_running(axis.guide, friction, axis.motors),
          .gravity = weight * sine,
          .efficiency = axis.efficiency};
}

/// Stiffness between motor and load at its smallest over the travel: the belt of the axis, and a
/// reduction stage behind it, in the share of it that a whole axis has. Unset where the stiffness
/// of a belt is unknown, or the stage's centre distance.
///
/// The strand of the stage counts as long as its centre distance: it is a little shorter than that
/// where the pulleys differ, so the stage is no softer than this.
///
/// With a cross shaft it is that of the far side, shaft and belt one behind the other, taken for
/// the whole mass: k M/M_far, so that it gives way under its share as the far side does under its
/// own, and swings as fast.
///
/// \throws InvalidInput  span or travel not above zero, or travel longer than the span; a figure of
///                       the cross shaft outside its range
inline Stiffness smallest_stiffness(const BeltAxis& axis) {
  const Force tension_per_strain = parts::tension_per_strain(axis.belt);
  if (is_unset(tension_per_strain)) return unset<Stiffness>();
  Stiffness belt = belt::smallest_strand_stiffness(
      {.tension_per_strain = tension_per_strain, .span = axis.span}, axis.travel);
  if (axis.cross_shaft) {
    const CrossShaft cross = cross_shaft(
        *axis.cross_shaft, belt::pulley_transmission(axis.belt.profile, axis.pulley_teeth),
        axis.belt_distance, 2.0 * axis.pulley_inertia);
    belt = far_side_stiffness(cross, belt) * number(moving_mass(axis) / far_side_mass(axis));
  }
  const double share = axis.stiffness_share.value();
  if (!axis.stage) return share * belt;
  const parts::BeltStage& stage = *axis.stage;
  const Force of_stage =
      parts::tension_per_strain({.profile = stage.profile, .width = stage.width});
  if (is_unset(of_stage) || is_unset(stage.centre_distance)) return unset<Stiffness>();
  return share *
         belt::in_series(
             belt,
             belt::stage_stiffness_at_load(
                 {.tension_per_strain = of_stage,
                  .strand = stage.centre_distance,
                  .driven_diameter = belt::pitch_diameter(stage.profile, stage.driven_teeth),
                  .drive_diameter = belt::pitch_diameter(axis.belt.profile, axis.pulley_teeth)}));
}

}  // namespace pitchline::axis
