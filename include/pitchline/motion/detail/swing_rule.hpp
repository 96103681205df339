#pragma once

#include <array>
#include <cstddef>

#include "pitchline/motion/detail/swing_terms.hpp"

namespace pitchline::motion::detail {

enum class SwingPhase { speeding_up, fading, running, slowing_down, stopped };

struct SwingPeak {
  SwingPhase phase{};
  double speed = 0.0;  // the faster end of the part of the move
  double force = 0.0;  // over mass
};

// Peaks of one move, in a place of fixed size: this is asked in every step of a search.
class SwingPeaks {
 public:
  static constexpr std::size_t most = 64;
  void add(SwingPhase phase, double speed, double force) {
    peaks_[count_] = {phase, speed, force};
    ++count_;
    largest_ = std::max(largest_, force);
  }
  [[nodiscard]] const SwingPeak* begin() const { return peaks_.data(); }
  [[nodiscard]] const SwingPeak* end() const { return peaks_.data() + count_; }
  [[nodiscard]] double largest() const { return largest_; }

 private:
  std::array<SwingPeak, most> peaks_{};
  std::size_t count_ = 0;
  double largest_ = 0.0;
};

// Swings of one move about their middles, and what is left for the next.
struct SwingOfMove {
  SwingStart start{};
  double carried_in = 0.0;
  double after_ramp = 0.0;
  double in_slowing = 0.0;
  double bare_slowing = 0.0;
  double before_slowing = 0.0;
  double overlapping = 0.0;  // F aside; where the ramps overlap, else 0
  double stopped = 0.0;
  double carried = 0.0;  // at the start of the next move
};

// Share of a swing that is left between a stop and some speed of the command: friction eats it
// while the speed of the swing exceeds that of the command.
inline double left_at_stop(const SwingCase& c, double swing, double speed) {
  if (!(swing > 0.0)) return 1.0;
  const double x = std::min(1.0, c.omega_low * speed / swing);
  const double eaten = (x * std::sqrt(1.0 - x * x) + std::asin(x)) / 2.0;
  return std::exp(-2.0 / std::numbers::pi * c.credited_friction / c.acceleration * eaten);
}

inline SwingOfMove swing_of_move(const SwingCase& c, const SwingTerms& t, const SwingStart& start,
                                 double carried_in, bool first) {
  SwingOfMove m{.start = start, .carried_in = carried_in};
  const double B = c.breakaway;
  const double over_ramp = t.left_after(t.length(c));
  // Friction eats of it on this side of the stop too, until the ramp is over.
  const double old = carried_in * left_at_stop(c, carried_in, c.credited_top) * over_ramp;
  m.after_ramp =
      first ? start.after
            : std::min(start.after + old, std::max(c.saturation * start.after, old + t.pair));
  const double cruise = std::max(0.0, c.cruise - c.jerk_time);
  const double waiting = std::max(0.0, start.until - t.length(c));
  // A load that is let go while the command slows down swings less long.
  const double over_slowing = t.left_after(t.length(c) - std::max(0.0, waiting - cruise));
  double before = m.after_ramp * t.left_after(cruise - waiting);
  // Below `ends` of acceleration a load may stop again, and never does at a speed above its swing.
  const double ends = std::min(t.reached, never_restick * B);
  if (B > 0.0 && m.after_ramp >= c.omega_low * (c.credited_top - ends * ends / (2.0 * t.jerk))) {
    // It stops only at a speed below its swing or below the end of stick-slip, and is let go there.
    // Without damping it never ends by itself: the quotient is without end.
    const double ends_by_itself = B / std::sqrt(4.0 * std::numbers::pi * c.zeta_low);
    const double stops = std::max(m.after_ramp, ends_by_itself);
    const double lasting = std::hypot(B, std::min(c.omega_high * c.top, stops));
    m.after_ramp = std::max(m.after_ramp, lasting);
    before = std::max(before, lasting);
  }
  m.before_slowing = before;
  m.bare_slowing = before + t.bare_corner;
  m.stopped =
      std::min(m.bare_slowing * over_slowing + t.bare_corner, before * over_slowing + t.pair);
  if (overlapping(c)) {
    // Both ramps change the acceleration at once: each change of its slope adds a/(w t_j), each
    // pair of them a corner, about an acceleration between -a and a.
    const double unpaired = std::max(t.bare_corner, std::min(t.reached, t.jerk / c.omega_low));
    const double now = start.swing + carried_in;
    m.overlapping = t.reached + now;
    m.bare_slowing = std::max(before, now + unpaired) + unpaired;
    m.stopped =
        std::max(m.stopped, std::min(m.bare_slowing + t.bare_corner, now + 3.0 * t.bare_corner));
  }
  m.in_slowing = m.bare_slowing;
  if (B > 0.0) {
    // Each time the load stops and is let go again it may gain B.
    const double stops = std::ceil(m.bare_slowing / (std::numbers::pi * c.acceleration)) + 1.0;
    const double slip = std::hypot(B + t.reached, std::min(m.bare_slowing, c.omega_high * c.top));
    m.in_slowing = std::max(
        m.bare_slowing, std::min(std::sqrt(m.bare_slowing * m.bare_slowing + stops * B * B), slip));
    m.stopped = std::max(m.stopped, std::min(std::sqrt(m.stopped * m.stopped + stops * B * B),
                                             slip + t.bare_corner));
  }
  const double left = left_at_stop(c, m.stopped, c.credited_top);
  const double half_swings = std::floor(c.omega_low * c.dwell / std::numbers::pi) - 1.0;
  const double rest = m.stopped * left * std::exp(-c.zeta_low * c.omega_low * c.dwell) -
                      2.0 * c.credited_friction * std::max(0.0, half_swings);
  m.carried = std::max(0.0, rest);
  return m;
}

// The last of all moves, which is the worst: what is carried in grows from move to move.
inline SwingOfMove last_swing(const SwingCase& c, const SwingTerms& t) {
  const double F = c.friction;
  const double B = c.breakaway;
  const double again = 2.0 * F + 2.0 * B;
  const SwingStart first = swing_start(c, t, c.wound ? again : F + B, c.wound);
  SwingOfMove m = swing_of_move(c, t, first, 0.0, true);
  if (c.moves == 1) return m;
  const SwingStart later = swing_start(c, t, again, true);
  for (int i = 2; i <= c.moves; ++i) {
    const double before = m.carried;
    m = swing_of_move(c, t, later, before, false);
    // Nothing changes any more.
    if (m.carried == before) break;
  }
  return m;
}

// Speed after some time of a ramp that no other overlaps.
inline double command_speed(const SwingCase& c, const SwingTerms& t, double time) {
  if (!(c.jerk_time > 0.0)) return std::clamp(c.acceleration * time, 0.0, c.trapezoid_top);
  const auto area = [&](double x) {
    if (x <= 0.0) return 0.0;
    return x < t.ramp ? x * x / 2.0 : t.ramp * (x - t.ramp / 2.0);
  };
  return std::clamp(t.jerk * (area(time) - area(time - c.jerk_time)), 0.0, c.trapezoid_top);
}

// Each part of the move with the force at its worse end and the speed at its faster one.
inline SwingPeaks swing_peaks(const SwingCase& c, const SwingTerms& t, const SwingOfMove& m) {
  SwingPeaks peaks{};
  const double F = c.friction;
  const double a = t.reached;
  const auto credited = [&](double time) {
    return c.any_stroke ? 0.0 : std::min(c.top, command_speed(c, t, time));
  };
  const auto rising = [&](double time) {
    const double old = m.carried_in > 0.0 ? m.carried_in * t.left_after(time) *
                                                left_at_stop(c, m.carried_in, credited(time))
                                          : 0.0;
    const double start = m.start.swing * t.left_after(time - m.start.until);
    const double build = t.rising * t.left_after(time);
    return std::min(start + old, std::max(c.saturation * start, old + build));
  };
  const auto up_to = [&](double time) { return std::min(c.top, command_speed(c, t, time)); };
  constexpr int parts = 16;
  for (int i = 0; i < parts; ++i) {
    const double from = t.ramp * i / parts;
    peaks.add(SwingPhase::speeding_up, up_to(t.ramp * (i + 1) / parts), F + a + rising(from));
  }
  for (int i = 0; c.jerk_time > 0.0 && i < parts; ++i) {
    const double from = c.jerk_time * i / parts;
    const double to = c.jerk_time * (i + 1) / parts;
    const double fading =
        std::min(a, c.acceleration * (1.0 - from / c.jerk_time) + t.jerk / c.omega_low);
    peaks.add(SwingPhase::fading, up_to(t.ramp + to), F + fading + rising(t.ramp + from));
  }
  peaks.add(SwingPhase::running, c.top, F + m.after_ramp);
  constexpr int falling = 12;
  for (int i = 0; i < falling; ++i) {
    const double from = t.length(c) * i / falling;
    const double left = t.left_after(from);
    peaks.add(
        SwingPhase::slowing_down, std::min(c.top, c.trapezoid_top - command_speed(c, t, from)),
        std::max({F + m.before_slowing * left, F + m.overlapping,
                  std::max(F - a, a) + (c.breakaway > 0.0 ? m.in_slowing : m.in_slowing * left)}));
  }
  peaks.add(SwingPhase::stopped, 0.0, F + m.stopped);
  return peaks;
}

}  // namespace pitchline::motion::detail
