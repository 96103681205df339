#pragma once

#include <algorithm>
#include <concepts>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/machine/machine.hpp"
#include "pitchline/motion/move_demand.hpp"
#include "pitchline/motion/swing_bound.hpp"
#include "pitchline/motor/pull_out_curve.hpp"
#include "pitchline/motor/verdict_motor.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::check {

using report::Bound;
using report::Detail;
using report::detail_of;
using report::Finding;
using report::judge;
using report::Verdict;

/// A torque curve read off at even steps of speed, straight lines between: a check asks for the
/// torque thousands of times. Where the curve rises with speed the least so far stands, as
/// `motion::swing_bound` asks: a published curve may have a dip that a swing falls into.
class TabledTorque {
 public:
  /// \throws InvalidInput  top speed not above zero
  template <std::invocable<AngularSpeed> Curve>
  TabledTorque(AngularSpeed top, Curve&& curve) : step_(top / static_cast<double>(steps)) {
    if (!(top > radians_per_second(0)) || !is_finite(top))
      throw InvalidInput("top speed", "> 0", in_radians_per_second(top), "rad/s");
    auto least = unlimited<Torque>();
    for (int i = 0; i <= steps; ++i) {
      least = std::min(least, Torque(curve(static_cast<double>(i) * step_)));
      torque_.push_back(least);
    }
  }

  /// Torque at a speed from zero to the top speed; what lies above by rounding is the top speed.
  [[nodiscard]] Torque at(AngularSpeed speed) const {
    const double place = std::clamp(number(speed / step_), 0.0, static_cast<double>(steps));
    const auto below = std::min(static_cast<std::size_t>(place), torque_.size() - 2);
    const double share = place - static_cast<double>(below);
    return (1.0 - share) * torque_[below] + share * torque_[below + 1];
  }

 private:
  static constexpr int steps = 240;
  AngularSpeed step_;
  std::vector<Torque> torque_{};
};

/// What a move asks of an axis at one acceleration; all rows share it.
struct MoveLoads {
  motion::TightestMoment tightest{};  ///< where the dependable torque is least over what is asked
  Torque peak_torque{};               ///< largest of the move, whatever the speed
  Force belt_force{};  ///< largest between drive and load: what moves behind the belt alone
  Force nut_force{};   ///< largest along the most loaded screw; 0 without a screw
  /// What stroke and jerk time let the move come to.
  Acceleration reached_acceleration{};
};

/// What every check of an axis starts from, computed once. What is wanted of the axis is a copy,
/// so that a check can ask the same question of another acceleration.
struct AxisState {
  const machine::Machine& machine;
  machine::Axis axis;
  motion::AxisAtMotor seen;  ///< by the deciding motor
  motor::PullOutCurve curve;
  motor::PullOut loss_free;       ///< at the speed that the move reaches
  motor::VerdictTorque at_rest;   ///< what a verdict rests on, at rest
  motor::VerdictTorque at_speed;  ///< and at the speed that the move reaches
  TabledTorque dependable;        ///< and in between
  Stiffness stiffness;            ///< motor to load, smallest over the travel; unset if not known
  /// Of the load at its lowest frequency; nothing where a stiffness is not known.
  std::optional<motion::ElasticMode> swing;
  motion::SwingBand band;  ///< of stiffness and damping over which the verdict on a swing holds
  /// Whether rows put their findings into words. A search needs the margins alone.
  bool in_words = true;

  /// What the wanted move asks; worked out once for each move. Not for two threads at once.
  ///
  /// \throws InvalidInput  as `motion::swing_bound`
  [[nodiscard]] const MoveLoads& loads() const;

  /// Speed that the wanted move reaches: less than the wanted one over a short stroke.
  [[nodiscard]] Speed top_speed() const;
  /// Of the motor at that speed.
  [[nodiscard]] AngularSpeed motor_speed() const { return top_speed() / seen.transmission; }

  [[nodiscard]] const motor::DrivenWinding& winding() const { return curve.winding(); }
  [[nodiscard]] const parts::StepperMotor& motor() const { return machine::motor_of(axis.drive); }
  [[nodiscard]] const parts::Driver& driver() const { return machine::driver_of(axis.drive); }
  [[nodiscard]] int motors() const { return machine::motors_of(axis.drive); }
  /// Its drive as one kind of drive, or null where it is of another.
  template <class D>
  [[nodiscard]] const D* drive_as() const {
    return machine::as<D>(axis.drive);
  }
  [[nodiscard]] bool has_belt() const { return drive_as<axis::BeltAxis>() != nullptr; }
  [[nodiscard]] bool has_screw() const { return drive_as<axis::ScrewAxis>() != nullptr; }
  [[nodiscard]] bool is_turning() const { return !machine::moves_straight(axis.drive); }
  /// The belt drive, of an axis that has one.
  [[nodiscard]] const axis::BeltAxis& belt() const { return machine::belt_drive(axis); }
  /// Torque that a verdict rests on at a speed of the load up to the wanted one.
  [[nodiscard]] Torque available(Speed speed) const {
    return dependable.at(speed / seen.transmission);
  }

  /// The motor that verdicts count on, turning at a constant speed; kept for each speed that was
  /// asked. Not for two threads at once.
  ///
  /// \throws InvalidInput  speed below zero or not finite
  [[nodiscard]] motor::VerdictMotorAtSpeed& running(AngularSpeed speed) const;

  mutable std::map<AngularSpeed, motor::VerdictMotorAtSpeed> known_running{};
  mutable std::optional<MoveLoads> known_loads{};  ///< of `known_move`; see `loads`
  mutable motion::RunningMove known_move{};
};

/// The wanted move of an axis, as it will really run.
motion::RunningMove wanted_move(const machine::Want& want);

/// The lowest frequency at which the load swings on belt and field, and its damping; nothing where
/// a stiffness is not known.
///
/// The field counts as the spring that it is at half of its torque, √3/2 of its stiffness without
/// load. Only the belt damps: its ratio is taken in the share that it has of the stretch.
std::optional<motion::ElasticMode> swinging_load(const motion::AxisAtMotor& seen,
                                                 Stiffness stiffness, DampingRatio of_belt,
                                                 const motor::DrivenWinding& winding);

// Ends of the band over which a verdict about swings holds, see `swing_band`.
inline constexpr double least_drive_stiffness = 0.6;  ///< over the assumed one
inline constexpr double most_drive_stiffness = 1.6;
inline constexpr double least_field_stiffness = 0.6;  ///< over the one without load
inline constexpr double least_load_damping = 0.005;   ///< of the load on its belt
inline constexpr double most_load_damping = 0.05;

/// Over what a verdict about the swings of an axis holds: its drive from 0.6 to 1.6 of the assumed
/// stiffness, the field from 0.6 of its stiffness without load up to all of it; the load on its
/// belt with a damping ratio from 0.005 to 0.05, or the known one where that lies outside, in the
/// share that the drive has of the stretch.
///
/// The range of damping is common practice, no source; that of stiffness holds the measured ones
/// (reference/sources.md, [axis stiffness]).
motion::SwingBand swing_band(const motion::AxisAtMotor& seen, Stiffness stiffness,
                             DampingRatio of_belt, const motor::DrivenWinding& winding);

/// What some part of an axis is asked for in a move, seen by the deciding motor as `seen` says,
/// over the band of the state. Where the stiffness of the drive is not known every corner of the
/// move counts at its worst, and nothing dies down.
///
/// \throws InvalidInput  as `motion::swing_bound`
motion::LargestAndTightest asked_of(const AxisState& s, const motion::AxisAtMotor& seen,
                                    const motion::RunningMove& move);

/// Works out the state of an axis.
///
/// \throws InvalidInput  a field outside its range, or never set
AxisState state_of(const machine::Machine& machine, const machine::Axis& axis);

/// The same of an axis that differs from that of another state in anything but its motor. What
/// rests on motor, feed and speed alone is taken from there where these are the same.
///
/// \throws InvalidInput  as `state_of`
AxisState state_beside(const AxisState& known, const machine::Machine& machine,
                       const machine::Axis& axis);

/// Part of its running current that a motor keeps at standstill: 1 where the driver does not reduce
/// it.
double standstill_share(const AxisState& s);

/// The moment of the wanted move at which the dependable torque is least over the torque asked.
motion::TightestMoment tightest_moment(const AxisState& s);

/// Largest torque of the wanted move, whatever the speed.
Torque peak_torque(const AxisState& s);

/// Largest force on the belt of the deciding motor in the wanted move, overshoot included. The belt
/// carries the load alone; rotor and pulleys sit on its other end.
Force belt_peak_force(const AxisState& s);

/// A finding with the margin and verdict of `value` against `limit`. A required value of zero or
/// less asks for nothing, and its margin is infinite; where a number is unset, so is the margin.
Finding compared(std::string key, std::string what, const Measure& value, Bound bound,
                 const Measure& limit);

}  // namespace pitchline::check
