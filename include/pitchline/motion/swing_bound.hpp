#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>

#include "pitchline/motion/detail/swing_rule.hpp"
#include "pitchline/motion/elastic_mode.hpp"
#include "pitchline/motion/move_demand.hpp"
#include "pitchline/motion/start_acceleration.hpp"

namespace pitchline::motion {

/// Over what a verdict about swings holds: nobody knows the stiffness and the damping of a real
/// axis well. The defaults are assumed, and decide: whoever shows the verdict says so.
struct SwingBand {
  double least_stiffness = 0.6;  ///< over the nominal one, > 0
  double most_stiffness = 1.6;   ///< over the nominal one
  DampingRatio least_damping{0.005};
  DampingRatio most_damping{0.05};
  /// Share of the friction that is believed where it takes from a swing, [0, 1]. All of it loads
  /// the motor.
  double credited_friction = 1.0;
};

/// An axis whose load swings on its drive, behind a motor that follows its command.
struct SwingingAxis {
  AxisAtMotor axis{};
  Frequency natural_frequency = unset<Frequency>();  ///< nominal, lowest over the travel
  SwingBand band{};
  /// Whether the drive may hold what friction holds when the first move starts, as after another
  /// move; else it holds no force.
  bool wound_at_start = false;
};

/// Whether the rule covers a move.
enum class SwingCover {
  covered,
  /// Slowing down begins while the acceleration still fades: bounded with every corner at its
  /// worst, outside the derivation, only searched for counterexamples.
  ramps_overlap,
  /// Static friction beyond what was searched for counterexamples (200 M a): no bound is known.
  not_covered
};

/// What a move asks for at most, part by part: no less at the speed of the part or below it.
class SwingBound {
 public:
  /// Most parts that are kept.
  static constexpr std::size_t most = 128;

  [[nodiscard]] const MomentaryDemand* begin() const { return moments_.data(); }
  [[nodiscard]] const MomentaryDemand* end() const { return moments_.data() + count_; }
  [[nodiscard]] const MomentaryDemand& largest() const { return moments_.at(largest_); }

  SwingCover cover = SwingCover::covered;
  Speed reached_speed{};                ///< what the stroke and the jerk time let the move reach
  Acceleration reached_acceleration{};  ///< no more than the reached speed over the jerk time
  bool may_restick = false;             ///< the load may stop and be let go again after a start

  void add(const MomentaryDemand& moment) {
    moments_.at(count_) = moment;
    if (moment.force > moments_.at(largest_).force) largest_ = count_;
    ++count_;
  }

 private:
  std::array<MomentaryDemand, most> moments_{};
  std::size_t count_ = 0;
  std::size_t largest_ = 0;
};

namespace detail {

inline void require_valid(const SwingingAxis& swinging) {
  require_valid(swinging.axis);
  require_valid(ElasticMode{swinging.natural_frequency, swinging.band.least_damping});
  const SwingBand& band = swinging.band;
  if (!(band.least_stiffness > 0.0) || !std::isfinite(band.least_stiffness))
    throw InvalidInput("least stiffness", "> 0", band.least_stiffness, "");
  if (!(band.most_stiffness >= band.least_stiffness) || !std::isfinite(band.most_stiffness))
    throw InvalidInput("most stiffness", ">= the least", band.most_stiffness, "");
  if (!(band.most_damping.value() >= band.least_damping.value()))
    throw InvalidInput("most damping", ">= the least", band.most_damping.value(), "");
  if (!(band.credited_friction >= 0.0 && band.credited_friction <= 1.0))
    throw InvalidInput("credited friction", ">= 0 and <= 1", band.credited_friction, "");
  if (!(accelerated_mass(swinging.axis) > kilograms(0)))
    throw InvalidInput("accelerated mass", "> 0", in_kilograms(accelerated_mass(swinging.axis)),
                       "kg");
}

// The axis and the move in plain numbers, for a stroke that is given.
inline SwingCase swing_case(const SwingingAxis& swinging, const RunningMove& move) {
  const AxisAtMotor& axis = swinging.axis;
  const SwingBand& band = swinging.band;
  const double mass = in_kilograms(accelerated_mass(axis)) * axis.efficiency.value();
  const double omega = 2.0 * std::numbers::pi * in_hertz(swinging.natural_frequency);
  SwingCase c{};
  c.omega_low = omega * std::sqrt(band.least_stiffness);
  c.omega_high = omega * std::sqrt(band.most_stiffness);
  c.zeta_low = band.least_damping.value();
  c.zeta_high = band.most_damping.value();
  c.friction = in_newtons(axis.friction) / mass;
  c.credited_friction = c.friction * band.credited_friction;
  c.breakaway = in_newtons(axis.breakaway) / mass;
  c.acceleration = in_metres_per_second_squared(move.acceleration);
  c.jerk_time = in_seconds(move.jerk_time);
  c.dwell = in_seconds(move.dwell);
  c.moves = move.in_succession;
  c.wound = swinging.wound_at_start;
  c.top = c.trapezoid_top = in_metres_per_second(move.speed);
  if (is_unset(move.stroke)) {
    c.any_stroke = true;
  } else {
    const double stroke = in_metres(move.stroke);
    c.trapezoid_top = std::min(c.top, std::sqrt(stroke * c.acceleration));
    c.cruise = std::max(0.0, stroke / c.trapezoid_top - c.trapezoid_top / c.acceleration);
    c.top = smoothed_top(c.trapezoid_top, c.acceleration, c.cruise, c.jerk_time);
    c.credited_top = c.top;
  }
  return c;
}

inline constexpr std::array phases_of_swing = {MovePhase::speeding_up, MovePhase::speeding_up,
                                               MovePhase::running, MovePhase::slowing_down,
                                               MovePhase::stopped};

// Beyond it nobody searched for a move that exceeds the rule.
inline constexpr double searched_breakaway = 200.0;

// Speeds that moves of any stroke reach, each over the next.
inline constexpr int swing_tops = 12;
inline constexpr double swing_top_step = 1.45;

}  // namespace detail

/// The force that a move asks of its motor at most, over the whole band of stiffness and damping,
/// with what friction takes from a swing and what it adds to one.
///
/// The drive follows its command; the load swings on one spring. What is asked is
///
///     speeding up   G + F + M a_p + min(S + c, max(1.15 S, c + corner'))      each decayed since
///     running       G + F + R
///     slowing down  G + max(F + R, max(F - M a_p, M a_p) + R + corner)
///     stopped       G + F + R + pair
///
///     S  a start: friction winds the drive up to W = F + B (2 F + 2 B after another move), then
///        the load swings about F + M a with sqrt((M a - B)^2 + 2 M a W), less with a jerk time
///     R  the same at the end of the ramp, never above the speed change, M w v, and what B adds
///     corner, pair  one change of the acceleration, and the two of a ramp, smoothed over the jerk
///        time: M a |sin(w t_j/2)/(w t_j/2)|, times 2 |sin(w t/2)| for a ramp of length t
///     c  what the moves before leave: friction takes the factor exp(-F/(2 M a)) on either side of
///        a stop, and 2 F from each half swing of a dwell
///
///     M  accelerated_mass      kg    > 0
///     F  friction              N     over the efficiency
///     B  breakaway             N     over the efficiency; a load may stop again below
///                                    M a = 0.178465 B, and swings up with each release
///     G  gravity               N     over the efficiency; of the less favourable direction
///     w  2π natural_frequency  rad/s with the stiffness anywhere in the band
///     a_p  min(a, v/t_j)       m/s²  `reached_acceleration`
///
/// Of several moves the last is given, which is the worst. Onward and to and fro are covered alike.
/// A stroke that is not given is the worst of all. The forces are to be compared with a torque that
/// does not rise with speed (else with its least up to that speed); `available` in the functions
/// below likewise.
///
/// Leaves out a motor that yields to the torque, and the second mode. That friction takes the given
/// factor, and 1.15, is an average over a swing, checked by integration and not proved.
///
/// \throws InvalidInput  as `move_demand`; acceleration or accelerated mass not above zero; a band
///                       outside its range
///
/// Source: derived, [independent derivation] swings: response of a damped oscillator to pieces of
/// constant jerk, and the energy that friction takes; integrated peaks in
/// reference/published/swings.csv.
inline SwingBound swing_bound(const SwingingAxis& swinging, const RunningMove& move) {
  detail::require_valid(swinging);
  require_valid(move);
  if (!(move.acceleration > metres_per_second_squared(0)))
    throw InvalidInput("acceleration", "> 0", in_metres_per_second_squared(move.acceleration),
                       "m/s^2");
  const AxisAtMotor& axis = swinging.axis;
  const Mass mass = accelerated_mass(axis);
  const Force gravity = axis.gravity / axis.efficiency.value();
  SwingBound bound{};
  const auto add = [&](const detail::SwingPeak& peak) {
    const Force force = gravity + mass * metres_per_second_squared(peak.force);
    bound.add({detail::phases_of_swing.at(static_cast<std::size_t>(peak.phase)),
               metres_per_second(peak.speed), force, force * axis.transmission});
  };
  detail::SwingCase c = detail::swing_case(swinging, move);
  for (int i = 0; i < (c.any_stroke ? detail::swing_tops : 1); ++i) {
    if (c.any_stroke) {
      c.top = c.trapezoid_top =
          in_metres_per_second(move.speed) / std::pow(detail::swing_top_step, i);
      c.credited_top = i + 1 < detail::swing_tops
                           ? detail::smoothed_top(c.top / detail::swing_top_step, c.acceleration,
                                                  0.0, c.jerk_time)
                           : 0.0;
    }
    const detail::SwingTerms terms = detail::swing_terms(c);
    const detail::SwingOfMove swing = detail::last_swing(c, terms);
    bound.may_restick = bound.may_restick || swing.start.may_restick;
    if (i == 0) {
      bound.reached_speed = metres_per_second(c.top);
      bound.reached_acceleration = metres_per_second_squared(terms.reached);
      if (detail::overlapping(c)) bound.cover = SwingCover::ramps_overlap;
      if (c.breakaway > detail::searched_breakaway * c.acceleration)
        bound.cover = SwingCover::not_covered;
    }
    const detail::SwingPeaks peaks = detail::swing_peaks(c, terms, swing);
    if (i == 0) {
      for (const detail::SwingPeak& peak : peaks) add(peak);
    } else {
      // Of a lower speed only the worst: what it asks on the way there is asked above as well.
      detail::SwingPeak worst{};
      for (const detail::SwingPeak& peak : peaks)
        if (peak.force > worst.force) worst = peak;
      worst.speed = c.top;
      add(worst);
    }
  }
  return bound;
}

/// Force that keeps a load at the point of sticking and slipping at a constant speed, over the
/// band: F + √(B² + M k V²) for a speed below the one from which on it slides evenly, M w V = B/√(4
/// π ζ).
///
/// \throws InvalidInput  as `swing_bound`
inline Force stick_slip_force(const SwingingAxis& swinging, Speed speed) {
  detail::require_valid(swinging);
  const AxisAtMotor& axis = swinging.axis;
  const double efficiency = axis.efficiency.value();
  const double B = in_newtons(axis.breakaway) / efficiency;
  const Force slides = (axis.gravity + axis.friction) / efficiency;
  const double omega = 2.0 * std::numbers::pi * in_hertz(swinging.natural_frequency);
  const double per_speed = in_kilograms(accelerated_mass(axis)) * omega;
  const double v = in_metres_per_second(speed);
  const double least_damping = swinging.band.least_damping.value();
  const double ends = B / std::sqrt(4.0 * std::numbers::pi * least_damping);
  if (!(B > 0.0) || per_speed * std::sqrt(swinging.band.least_stiffness) * v > ends) return slides;
  const double swing = std::min(ends, per_speed * std::sqrt(swinging.band.most_stiffness) * v);
  return slides + newtons(std::hypot(B, swing));
}

}  // namespace pitchline::motion
