#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "pitchline/motion/duty.hpp"
#include "pitchline/motion/torque_demand.hpp"
#include "pitchline/motion/trapezoid.hpp"

namespace pitchline::motion {

/// The same move from rest to rest, some times over, with a pause after each stroke.
struct DutyMove {
  Length stroke = unset<Length>();                    ///< > 0
  Speed speed = unset<Speed>();                       ///< > 0; a short stroke does not reach it
  Acceleration acceleration = unset<Acceleration>();  ///< > 0, of both ramps
  Time pause{};                                       ///< ≥ 0, after each stroke
  int times = 1;                                      ///< ≥ 1
  bool there_and_back = false;          ///< a return stroke and a second pause each time
  Direction direction = Direction::up;  ///< of the stroke, or of the first of the two
};

/// Lines side by side, travelled to and fro, that cover an area.
struct RasterLines {
  Length line = unset<Length>();                           ///< > 0, the part that is worked
  Length overrun{};                                        ///< ≥ 0, beyond each end of the line
  Speed speed = unset<Speed>();                            ///< > 0, along the line
  Acceleration acceleration = unset<Acceleration>();       ///< > 0, along the line
  Length line_pitch = unset<Length>();                     ///< > 0, from one line to the next
  int lines = 0;                                           ///< ≥ 1, see `lines_to_cover`
  Speed step_speed = unset<Speed>();                       ///< > 0, across the lines
  Acceleration step_acceleration = unset<Acceleration>();  ///< > 0, across the lines
};

/// Where the time of a raster goes.
struct RasterTime {
  Time line{};                  ///< from rest to rest, overruns included
  Time overrun{};               ///< of that beyond the two ends
  Time step{};                  ///< to the next line
  Time all{};                   ///< of all lines and the steps between them
  double overrun_share{};       ///< of `all`
  bool steady_on_line = false;  ///< the overrun is enough to reach the speed before the line
};

namespace detail {

inline Trapezoid ramped(Length distance, Speed speed, Acceleration acceleration) {
  return fastest_trapezoid(distance, {speed, acceleration, acceleration});
}

inline void require_valid(const DutyMove& move) {
  require_positive("stroke", move.stroke, shown::metres);
  require_not_negative("pause", move.pause);
  require_at_least("times", move.times, 1);
}

inline void require_valid(const RasterLines& raster) {
  require_positive("line", raster.line, shown::metres);
  require_not_negative("overrun", raster.overrun, shown::metres);
  require_positive("line pitch", raster.line_pitch, shown::metres);
  require_at_least("lines", raster.lines, 1);
}

inline Direction turned(Direction direction) {
  return direction == Direction::up ? Direction::down : Direction::up;
}

}  // namespace detail

/// Torque of the motor while the axis changes its speed rigidly, faster or slower.
///
///     P = F + (m + J_d/t²) a,   T = P t/η + J_m a/t       η above where P < 0
///
///     F    constant_speed_force  N      friction ± gravity
///     a    acceleration          m/s²   finite; below zero: slowing down
///     T    result                N·m    below zero: the motor brakes
///
/// Other symbols as in `rigid_torque`, which it equals where the motor drives. What is behind the
/// reduction passes the drive as one force: where that drives the motor, the loss helps to brake.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: Newton's law at the shaft; checked against [Harmonic Drive FHA], braking time.
inline Torque ramp_torque(const AxisAtMotor& axis, Acceleration acceleration,
                          Direction direction = Direction::up) {
  require_finite("acceleration", acceleration);
  const Force constant = constant_speed_force(axis, direction);
  const auto square = axis.transmission * axis.transmission;
  const Mass behind = axis.mass + axis.driven_side_inertia / square;
  return detail::at_motor(axis, constant + behind * acceleration) +
         axis.motor_side_inertia * (acceleration / axis.transmission);
}

/// Torque that holds an axis at rest against gravity. Friction and the losses of the drive would
/// help and are not counted.
///
/// \throws InvalidInput  a field outside its range, or never set
inline Torque torque_at_rest(const AxisAtMotor& axis) {
  require_valid(axis);
  return axis.gravity * axis.transmission;
}

/// The segments of a move: speeding up, cruising, slowing down, pause, each with its count; there
/// and back apart. Torques by `ramp_torque` and `torque_at_rest`, times by `fastest_trapezoid`, so
/// that a short stroke is a triangle. A level axis and rigid motion need no more; viscous drag and
/// overshoot are left out.
///
/// \throws InvalidInput  a field of axis or move outside its range, or never set
///
/// Source: kinematics; checked against the cycle of [Yaskawa E-V-MD].
inline std::vector<DutySegment> duty_of(const AxisAtMotor& axis, const DutyMove& move) {
  require_valid(axis);
  detail::require_valid(move);
  const Trapezoid run = detail::ramped(move.stroke, move.speed, move.acceleration);
  const AngularSpeed top = run.top_speed / axis.transmission;
  const AngularSpeed rest{};
  std::vector<DutySegment> cycle;
  const auto add = [&](Time duration, Torque torque, AngularSpeed from, AngularSpeed to) {
    if (duration > seconds(0)) cycle.push_back({duration, torque, from, to, {}, move.times});
  };
  const auto stroke = [&](Direction direction) {
    add(run.speeding_up, ramp_torque(axis, move.acceleration, direction), rest, top);
    add(run.cruising, ramp_torque(axis, Acceleration{}, direction), top, top);
    add(run.slowing_down, ramp_torque(axis, -move.acceleration, direction), top, rest);
    add(move.pause, torque_at_rest(axis), rest, rest);
  };
  stroke(move.direction);
  if (move.there_and_back) stroke(detail::turned(move.direction));
  return cycle;
}

/// Distance beyond a line in which a head reaches its speed and comes to rest in its motion.
///
///     d = v²/(2 a) + v t_s
///
///     v    speed          m/s   > 0
///     a    acceleration   m/s²  > 0
///     t_s  settling_time  s     ≥ 0, that the swing after the ramp takes to die away
///     d    result         m
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: kinematics.
inline Length overrun_for(Speed speed, Acceleration acceleration, Time settling_time = {}) {
  require_positive("speed", speed);
  require_positive("acceleration", acceleration);
  require_not_negative("settling time", settling_time);
  return speed * speed / (2.0 * acceleration) + speed * settling_time;
}

/// What a raster covers across its lines.
struct RasterHeight {
  Length height = unset<Length>();
  Length line_pitch = unset<Length>();  ///< from one line to the next
};

/// Lines that cover a height with one at each edge: the last may lie beyond it by less than a
/// pitch.
///
///     n = ⌈h/p⌉ + 1
///
///     h  height      m  ≥ 0
///     p  line_pitch  m  > 0, and h/p below 1e9
///
/// A billionth of a pitch too much is taken for rounding: 100 mm at 0.1 mm are 1001 lines.
///
/// \throws InvalidInput  a number outside the table, or never set
inline int lines_to_cover(const RasterHeight& raster) {
  require_not_negative("height", raster.height, shown::metres);
  require_positive("line pitch", raster.line_pitch, shown::metres);
  const double pitches = number(raster.height / raster.line_pitch);
  if (!(pitches < 1e9)) throw InvalidInput("height over line pitch", "< 1e9", pitches, "");
  return static_cast<int>(std::ceil(pitches * (1.0 - 1e-12) - 1e-9)) + 1;
}

/// Time of a raster and what the overrun takes of it.
///
///     t_line = time of L + 2 d from rest to rest
///     t_over = 2 √(2 d/a)                    d ≤ v²/(2 a), v the speed that is reached
///            = 2 (v/a + (d − v²/(2 a))/v)    else
///     t      = n t_line + (n − 1) t_step
///
///     L  line       m     > 0        n       lines  –  ≥ 1
///     d  overrun    m     ≥ 0        t_step  time of line_pitch from rest to rest
///     a  acceleration  m/s²  > 0
///
/// The step to the next line begins when the line is at rest. Where a controller rounds the corner
/// or steps while it turns round, the time is less, by t_step a line at the most.
///
/// \throws InvalidInput  a field outside its range, or never set
///
/// Source: kinematics.
inline RasterTime raster_time(const RasterLines& raster) {
  detail::require_valid(raster);
  const Trapezoid run =
      detail::ramped(raster.line + 2.0 * raster.overrun, raster.speed, raster.acceleration);
  const Trapezoid step =
      detail::ramped(raster.line_pitch, raster.step_speed, raster.step_acceleration);
  const Length ramp = run.top_speed * run.speeding_up / 2.0;
  const Time beyond = raster.overrun > ramp
                          ? Time(run.speeding_up + (raster.overrun - ramp) / run.top_speed)
                          : Time(square_root(2.0 * raster.overrun / raster.acceleration));
  RasterTime time;
  time.line = run.duration();
  time.overrun = 2.0 * beyond;
  time.step = step.duration();
  const double lines = raster.lines;
  time.all = lines * time.line + (lines - 1.0) * time.step;
  time.overrun_share = lines * number(time.overrun / time.all);
  // The rounding of v²/2a must not spoil an overrun made by `overrun_for`.
  time.steady_on_line =
      raster.overrun * (1.0 + 1e-9) >= overrun_for(raster.speed, raster.acceleration);
  return time;
}

/// The segments of the axis that runs along the lines: all lines there, all back, and a pause for
/// each step across. The order within the cycle is lost, which no figure of `duty.hpp` minds.
///
/// \throws InvalidInput  a field of axis or raster outside its range, or never set
inline std::vector<DutySegment> duty_of(const AxisAtMotor& axis, const RasterLines& raster) {
  const RasterTime time = raster_time(raster);
  DutyMove line{.stroke = raster.line + 2.0 * raster.overrun,
                .speed = raster.speed,
                .acceleration = raster.acceleration,
                .times = (raster.lines + 1) / 2};
  std::vector<DutySegment> cycle = duty_of(axis, line);
  if (raster.lines > 1) {
    line.times = raster.lines / 2;
    line.direction = Direction::down;
    for (const DutySegment& segment : duty_of(axis, line)) cycle.push_back(segment);
    cycle.push_back(
        {.duration = time.step, .torque = torque_at_rest(axis), .times = raster.lines - 1});
  }
  return cycle;
}

}  // namespace pitchline::motion
