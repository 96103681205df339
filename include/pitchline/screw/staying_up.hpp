#pragma once

#include <algorithm>
#include <optional>

#include "pitchline/screw/power_screw.hpp"
#include "pitchline/screw/sliding_screw.hpp"
#include "pitchline/units.hpp"

namespace pitchline::screw {

/// What a screw does under its load without current, over the range of its friction.
enum class StaysUp {
  holds,        ///< locks at the least friction, and lower still by `vibration_share`
  may_creep,    ///< locks at the most friction only, or not once vibration lowers the least
  back_drives,  ///< does not lock at the most friction
};

/// Part of the running friction that is counted on where something shakes. Common practice, no
/// source; its size is the least step from running up to starting friction of [Shigley] table 8-6,
/// 1/1.25, taken downwards.
inline constexpr double vibration_share = 0.8;

/// The verdict and the figures behind it.
struct StayingUp {
  StaysUp verdict = StaysUp::back_drives;
  /// Thread friction above which the thread alone locks; 0 for balls, which have none to lock with.
  double locking_friction = 0.0;
  double counted_friction = 0.0;     ///< of the thread, least times `vibration_share`
  double favourable_friction = 0.0;  ///< of the thread, the most
  /// Torque for each newton of load with which the load turns the screw at `counted_friction`: 0
  /// where it locks.
  Transmission back_driving{};
  /// Likewise at the most friction: what is left even if all goes well.
  Transmission back_driving_at_best{};
};

/// Torque per load with which a load turns a screw, at the friction that it has; 0 where it locks.
///
/// \throws InvalidInput  as `lowering_torque`
inline Transmission back_driving_transmission(const PowerScrew& screw) {
  const Transmission turning = -lowering_torque(screw, newtons(1)) / newtons(1);
  return std::max(Transmission{}, turning);
}

/// As above for balls, by the back-driving efficiency.
///
/// \throws InvalidInput  as `holding_back_torque`
inline Transmission back_driving_transmission(const BallScrew& screw) {
  return holding_back_torque(screw, newtons(1)) / newtons(1);
}

/// Does a load stay up on a screw without current?
///
///     holds        T_L > 0 at s f_least in the thread and in the collar
///     may_creep    T_L > 0 at f_most only
///     back_drives  T_L ≤ 0 at f_most
///
///     T_L      lowering_torque of any load, exact flank
///     f_least  thread_friction.least, collar_friction.least
///     f_most   thread_friction.most, collar_friction.most
///     s        vibration_share
///
/// Valid for running friction: one that stands still has more, of which nothing is left once it is
/// shaken. Leaves out friction of the guide and detent of the motor, which help; see `run_down` and
/// `brake_torque`. No verdict of this kind makes it safe to be under a load.
///
/// \throws InvalidInput  as `at_friction` and `lowering_torque`
///
/// Source: [Shigley] p. 417 for the lock; the use of both ends and the share are stated here.
inline StayingUp staying_up(const SlidingScrew& screw) {
  const PowerScrew shaken = at_friction(screw, FrictionEnd::least, vibration_share);
  const PowerScrew at_best = at_friction(screw, FrictionEnd::most);
  const auto locks = [](const PowerScrew& s) {
    return lowering_torque(s, newtons(1)) > newton_metres(0);
  };
  StayingUp result{.verdict = StaysUp::back_drives,
                   .locking_friction = self_locking_friction(shaken),
                   .counted_friction = shaken.thread_friction.value(),
                   .favourable_friction = at_best.thread_friction.value(),
                   .back_driving = back_driving_transmission(shaken),
                   .back_driving_at_best = back_driving_transmission(at_best)};
  if (locks(at_best)) result.verdict = locks(shaken) ? StaysUp::holds : StaysUp::may_creep;
  return result;
}

/// As above for balls: they always back-drive, with the efficiency given.
///
/// \throws InvalidInput  as `holding_back_torque`
inline StayingUp staying_up(const BallScrew& screw) {
  const Transmission turning = back_driving_transmission(screw);
  return {
      .verdict = StaysUp::back_drives, .back_driving = turning, .back_driving_at_best = turning};
}

/// Torque that holds a load on its screw or screws: what the load turns them with.
///
///     T = F b
///
///     F  load          N      ≥ 0, on all screws that the one motor turns
///     b  back_driving  m/rad  ≥ 0, of `StayingUp`
///     T  result        N·m    sum over these screws, 0 where they lock
///
/// \throws InvalidInput  a number outside the table, or never set
inline Torque holding_torque(const StayingUp& screw, Force load) {
  detail::require_load(load);
  require_not_negative("back-driving transmission", screw.back_driving);
  return load * screw.back_driving;
}

/// The same seen at the motor through a stage, T/i. What the stage loses would help to hold; it is
/// not counted.
///
/// \throws InvalidInput  torque below zero, or never set
inline Torque torque_at_motor(Torque at_screws, GearRatio motor_turns_per_screw_turn) {
  require_not_negative("torque at the screws", at_screws);
  return at_screws / motor_turns_per_screw_turn.value();
}

/// Safety with which a brake or a detent holds a load. Common practice, no source.
inline constexpr double hold_safety = 2.0;

/// What a brake has to hold.
struct HeldTorque {
  Torque at_motor = unset<Torque>();
  Torque detent_torque{};
  double safety = hold_safety;
};

/// Torque of a brake at the motor that holds the load without current; 0 where the detent does.
///
///     T_b = s T           where s T > T_d
///     T_b = 0             elsewhere
///
///     T    at_motor       N·m  ≥ 0
///     T_d  detent_torque  N·m  ≥ 0, 0 where it is not known
///     s    safety         –    ≥ 1
///
/// The detent either holds all of the load or counts for nothing: once a step is lost it averages
/// to nothing over the turn.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: own rule.
inline Torque brake_torque(const HeldTorque& held) {
  require_not_negative("torque at the motor", held.at_motor);
  require_not_negative("detent torque", held.detent_torque);
  if (!(held.safety >= 1.0)) throw InvalidInput("safety of the hold", ">= 1", held.safety, "");
  const Torque wanted = held.safety * held.at_motor;
  return wanted > held.detent_torque ? wanted : Torque{};
}

/// A bed that runs down on its screws once the current is off.
struct UnpoweredBed {
  Mass mass = unset<Mass>();                          ///< on all screws together
  Length lead = unset<Length>();                      ///< of the screws
  Transmission back_driving = unset<Transmission>();  ///< of `StayingUp`, at the least friction
  /// All that turns, at the speed of the screws: screws, pulleys, rotors times ratio squared.
  Inertia inertia_at_screws = unset<Inertia>();
  Force guide_friction{};   ///< of the bed, at its least
  Torque drag_at_screws{};  ///< of motors and bearings at their least, times the ratio
};

/// How it arrives at the end of a travel.
struct RunDown {
  Acceleration acceleration{};
  Speed end_speed{};
  Time time{};
  AngularSpeed screw_end_speed{};
};

/// Run of an unpowered bed down a travel, from rest; nothing where it does not start.
///
///     a = t (b (m g − F_g) − T_d)/(J + b m t),  t = l/2π
///     v = √(2 a h),  time = √(2 h/a)
///
///     m    mass               kg     > 0
///     l    lead               m      > 0
///     b    back_driving       m/rad  [0, l/2π]; l/2π without friction
///     J    inertia_at_screws  kg·m²  ≥ 0
///     F_g  guide_friction     N      ≥ 0
///     T_d  drag_at_screws     N·m    ≥ 0, that brakes at every speed
///     h    travel             m      > 0
///
/// The load on the thread is m (g − a) − F_g. Valid straight down, for friction that does not
/// change with speed. Leaves out what brakes more and more with speed: the motor as a generator,
/// whose windings may be open or shorted by a driver without supply, grease, air; the real bed is
/// no faster than this. Leaves out the detent, which averages to nothing once it turns, and the
/// loss of a stage. A bed on a locked screw does not start, whatever its drag.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Derived: torque on all that turns, b (m (g − a) − F_g) − T_d = J a/t. Without friction it is
/// the energy balance m g h = m v²/2 + J (v/t)²/2, so a = g/(1 + J/(m t²)).
inline std::optional<RunDown> run_down(const UnpoweredBed& bed, Length travel) {
  require_positive("mass", bed.mass);
  require_positive("lead", bed.lead);
  const Transmission t = bed.lead / revolution;
  // A frictionless b is l/2π but for a rounding.
  if (!(bed.back_driving >= metres_per_radian(0) && bed.back_driving <= t * (1.0 + 1e-12)))
    throw InvalidInput("back-driving transmission", "from 0 to lead over a turn",
                       in_metres_per_radian(bed.back_driving), "m/rad");
  require_not_negative("inertia at the screws", bed.inertia_at_screws);
  require_not_negative("guide friction", bed.guide_friction);
  require_not_negative("drag at the screws", bed.drag_at_screws);
  require_positive("travel", travel);

  const Force pull = bed.mass * standard_gravity - bed.guide_friction;
  const Torque net = bed.back_driving * pull - bed.drag_at_screws;
  if (!(net > newton_metres(0))) return std::nullopt;
  const Inertia turning = bed.inertia_at_screws + bed.mass * bed.back_driving * t;
  const Acceleration a = net * t / turning;
  const Speed end = square_root(2.0 * a * travel);
  return RunDown{
      .acceleration = a, .end_speed = end, .time = 2.0 * travel / end, .screw_end_speed = end / t};
}

}  // namespace pitchline::screw
