#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "pitchline/belt/loop.hpp"
#include "pitchline/units.hpp"

namespace pitchline::axis {

/// One belt round the pulleys of several screws and of the motor that turns them.
struct TyingBelt {
  belt::Loop loop{};
  std::size_t motor = 0;              ///< its place in the loop
  std::vector<std::size_t> screws{};  ///< theirs
};

namespace detail {
inline void require_valid(const TyingBelt& belt) {
  const std::size_t n = belt.loop.pulleys.size();
  if (belt.screws.empty())
    throw InvalidInput("number of screws", ">= 1", static_cast<double>(belt.screws.size()), "");
  std::vector<std::size_t> places = belt.screws;
  places.push_back(belt.motor);
  std::sort(places.begin(), places.end());
  if (places.back() >= n)
    throw InvalidInput("place of a pulley", "below the number of pulleys",
                       static_cast<double>(places.back()), "");
  if (std::adjacent_find(places.begin(), places.end()) != places.end())
    throw InvalidInput("pulleys of motor and screws", "different ones",
                       static_cast<double>(places.size()), "");
}

// Tension of each span above the least of all, in the order of the loop, where the belt runs from
// pulley to pulley in that order: it leaves a screw tighter by what the screw takes, and the motor
// slacker by the sum.
inline std::vector<Force> above_slack(const TyingBelt& belt, const std::vector<Force>& pulls,
                                      bool forwards) {
  const std::size_t n = belt.loop.pulleys.size();
  std::vector<Force> change(n, newtons(0));
  Force sum{};
  for (std::size_t i = 0; i < belt.screws.size(); ++i) {
    change[belt.screws[i]] = pulls[i];
    sum += pulls[i];
  }
  change[belt.motor] = -sum;
  // Span i leaves pulley i. Running backwards, the belt leaves a pulley by the span before it.
  std::vector<Force> tension(n, newtons(0));
  for (std::size_t i = 1; i < n; ++i)
    tension[i] = tension[i - 1] + (forwards ? change[i] : Force(-change[i]));
  const Force least = *std::min_element(tension.begin(), tension.end());
  for (Force& each : tension) each -= least;
  return tension;
}

inline void require_pulls(const TyingBelt& belt, const std::vector<Force>& pulls) {
  require_valid(belt);
  if (pulls.size() != belt.screws.size())
    throw InvalidInput("number of pulls", "that of the screws", static_cast<double>(pulls.size()),
                       "");
  for (const Force& pull : pulls) require_not_negative("pull of a screw", pull);
}

// Mean of the tension above slack over the length of the free spans.
inline Force mean_above_slack(const belt::SolvedLoop& solved, const std::vector<Force>& above) {
  Length length{};
  Energy sum{};
  for (std::size_t i = 0; i < above.size(); ++i) {
    length += solved.pulleys[i].span_to_next;
    sum += above[i] * solved.pulleys[i].span_to_next;
  }
  return sum / length;
}
}  // namespace detail

/// Torque at the motor that turns several screws through one belt.
///
///     Q = Σ T_i/(i η)
///
///     T_i  screw_torques  N·m  of each screw
///     i    motor_turns    –    > 0, of the motor per turn of a screw
///     η    efficiency     –    (0, 1], of the belt with its idlers
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Derived: power in is power out over the efficiency.
inline Torque tied_torque(const std::vector<Torque>& screw_torques, double motor_turns,
                          Efficiency efficiency) {
  require_positive("motor turns", motor_turns);
  Torque sum{};
  for (const Torque& each : screw_torques) sum += each;
  if (!is_finite(sum))
    throw InvalidInput("torque of a screw", "given", in_newton_metres(sum), "N*m");
  return sum / (motor_turns * efficiency.value());
}

/// Tension of the belt at rest that keeps its slack span from going slack, in both senses of
/// turning.
///
///     T0 = Σ c_k L_k / Σ L_k
///
///     pulls  at the pitch line of each screw's pulley, in the order of `screws`  N  ≥ 0
///     c_k    tension of span k above the slackest, from pulley to pulley         N
///     L_k    its free length                                                     m
///
/// The belt's stiffness cancels: its pulleys stand fixed, so that what one span gains others lose.
/// Leaves out the belt on the pulleys, which stretches less than free. A maker asks for no less
/// than the least tension of the width besides: `belt::least_tension`.
///
/// \throws InvalidInput     as many pulls as screws are wanted; a pull below zero, or never set;
///                          places of pulleys that are not in the loop or the same
/// \throws OutsideValidity  as `belt::solved`
///
/// Derived: Σ (T_k − T0) L_k = 0 with the slackest T_k = 0.
inline Force slack_free_tension(const TyingBelt& belt, const std::vector<Force>& pulls) {
  detail::require_pulls(belt, pulls);
  const belt::SolvedLoop solved = belt::solved(belt.loop);
  Force most{};
  for (const bool forwards : {true, false})
    most = std::max(most,
                    detail::mean_above_slack(solved, detail::above_slack(belt, pulls, forwards)));
  return most;
}

/// Tension of each span while the screws turn, in the order of the loop.
///
///     T_k = T0 + c_k − Σ c_j L_j / Σ L_j      symbols as in `slack_free_tension`
///
///     T0  at_rest  N  at least `slack_free_tension`: with a slack span the formula ends
///
/// \throws InvalidInput     as `slack_free_tension`; at rest never set
/// \throws OutsideValidity  as `belt::solved`; a span would go slack
inline std::vector<Force> span_tensions(const TyingBelt& belt, const std::vector<Force>& pulls,
                                        Force at_rest, bool forwards = true) {
  detail::require_pulls(belt, pulls);
  require_not_negative("tension at rest", at_rest);
  const belt::SolvedLoop solved = belt::solved(belt.loop);
  std::vector<Force> tension = detail::above_slack(belt, pulls, forwards);
  const Force least = at_rest - detail::mean_above_slack(solved, tension);
  if (least < newtons(-1e-9) * (1.0 + number(at_rest / newtons(1))))
    throw OutsideValidity(fmt::format("a span goes slack: {:.6g} N at rest leave it {:.6g} N",
                                      in_newtons(at_rest), in_newtons(least)));
  for (Force& each : tension) each += least;
  return tension;
}

/// By how much the height of two screws differs at most, because the spans between them stretch.
///
///     u_(k+1) − u_k = (T_k − T0) L_k/E      h = l/(2π r) (max u − min u), over the screws
///
///     E  tension_per_strain   N  > 0, of the whole width
///     l  lead                 m  > 0
///     r  pitch-line radius of the screws' pulleys, as the loop has it
///
/// \throws InvalidInput     as `slack_free_tension`; tension per strain or lead not above zero
/// \throws OutsideValidity  as `belt::solved`
///
/// Derived: Hooke's law along the belt; checked against one span worked out by hand.
inline Length height_by_stretch(const TyingBelt& belt, const std::vector<Force>& pulls,
                                Force tension_per_strain, Length lead) {
  detail::require_pulls(belt, pulls);
  require_positive_or_infinite("tension per strain", tension_per_strain);
  require_positive("lead", lead);
  const belt::SolvedLoop solved = belt::solved(belt.loop);
  Length largest{};
  for (const bool forwards : {true, false}) {
    const std::vector<Force> above = detail::above_slack(belt, pulls, forwards);
    const Force mean = detail::mean_above_slack(solved, above);
    std::vector<Length> shift(above.size(), metres(0));
    for (std::size_t i = 1; i < above.size(); ++i)
      shift[i] = shift[i - 1] + number((above[i - 1] - mean) / tension_per_strain) *
                                    solved.pulleys[i - 1].span_to_next;
    auto least = unlimited<Length>();
    Length most = -unlimited<Length>();
    for (const std::size_t screw : belt.screws) {
      const Length height =
          lead * number(shift[screw] /
                        (2.0 * std::numbers::pi * belt.loop.pulleys[screw].pitch_line_radius));
      least = std::min(least, height);
      most = std::max(most, height);
    }
    largest = std::max<Length>(largest, most - least);
  }
  return largest;
}

}  // namespace pitchline::axis
