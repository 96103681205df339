#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/belt/two_pulleys.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::belt {

/// What a maker's list says of a length.
enum class StockStatus {
  listed,
  listed_some_special,  ///< listed, but some lengths only double-sided or with a thick back
  was_listed,           ///< in an edition that is old by now: ask before planning with it
  on_demand,            ///< made to order
};

constexpr std::string_view name(StockStatus status) {
  switch (status) {
    case StockStatus::listed:
      return "listed";
    case StockStatus::listed_some_special:
      return "listed; some special";
    case StockStatus::was_listed:
      return "was listed";
    case StockStatus::on_demand:
      return "on demand";
  }
  return "";
}

/// A closed belt that a maker lists. Trade lengths without a maker's list are not among them.
struct StockLoop {
  std::string maker{};
  std::string series{};   ///< the maker's own name of the belt
  std::string profile{};  ///< as in the catalogue of belts
  Fraction pitch_millimetres{0};
  Fraction length_millimetres{0};
  int teeth = 0;
  StockStatus status = StockStatus::listed;
  std::string source{};  ///< with its mark where it was not read
};

/// Refuses a length that is not its teeth times the pitch: lists carry misprints (T10 of 660 mm is
/// printed once with 66 and once with 65 teeth).
///
/// \throws InvalidInput  pitch or length not above zero; teeth not the length over the pitch
inline void require_valid(const StockLoop& loop) {
  require_positive("pitch", loop.pitch_millimetres, "mm");
  require_positive("length", loop.length_millimetres, "mm");
  const Fraction over_pitch = loop.length_millimetres / loop.pitch_millimetres;
  if (Fraction(loop.teeth) != over_pitch)
    throw InvalidInput("teeth", "length over pitch, " + print_fraction(over_pitch), loop.teeth, "");
}

/// Two pulleys, where they are to stand, and how far the distance can be set.
struct LoopWish {
  TwoPulleys pulleys{};
  Length centre_distance = unset<Length>();
  Length can_move_closer{};   ///< from the wanted distance; to slip the belt on
  Length can_move_farther{};  ///< from the wanted distance; to tension it
};

/// A listed belt on the two pulleys.
struct LoopCandidate {
  StockLoop loop{};
  Length centre_distance = unset<Length>();  ///< at which it is taut
  Length difference = unset<Length>();       ///< from the wanted one; above zero is farther
  Length left_to_slip_on = unset<Length>();  ///< of the range, closer than taut
  Length left_to_tension = unset<Length>();  ///< of the range, farther than taut
  bool fits = false;  ///< both are at least zero: the range takes up the difference
};

/// All listed belts of the profile that can go round the two pulleys, the one nearest to the wanted
/// centre distance first; empty where there is none.
///
///     difference = C − C_wanted                 left to slip on = difference + can_move_closer
///     left to tension = can_move_farther − difference
///
///     C  centre distance at which the belt is taut  m  exact
///
/// Profile and pitch must both agree. Leaves out the tolerance of the belt's length, which the
/// range must take up as well; [SDP handbook] table 14 has ±0.40 mm of length up to 254 mm, ±0.66
/// mm at 1016 mm.
///
/// \throws InvalidInput     as `belt_length` and `require_valid`; a range below zero or never set
/// \throws OutsideValidity  the pulleys overlap at the wanted distance
inline std::vector<LoopCandidate> loop_candidates(const std::vector<StockLoop>& stock,
                                                  const LoopWish& wish) {
  belt_length(wish.pulleys, wish.centre_distance);  // for its checks
  for (const Length& range : {wish.can_move_closer, wish.can_move_farther})
    require_not_negative("range of the centre distance", range);
  const Length rounding = millimetres(1e-6);
  std::vector<LoopCandidate> candidates;
  for (const StockLoop& loop : stock) {
    require_valid(loop);
    if (loop.profile != wish.pulleys.profile.name ||
        loop.pitch_millimetres != wish.pulleys.profile.pitch_millimetres)
      continue;
    LoopCandidate c{.loop = loop};
    try {
      c.centre_distance = whole_tooth_belt(wish.pulleys, loop.teeth).centre_distance;
    } catch (const OutsideValidity&) {
      continue;  // too short to go round
    }
    c.difference = c.centre_distance - wish.centre_distance;
    c.left_to_slip_on = wish.can_move_closer + c.difference;
    c.left_to_tension = wish.can_move_farther - c.difference;
    c.fits = c.left_to_slip_on >= -rounding && c.left_to_tension >= -rounding;
    candidates.push_back(std::move(c));
  }
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const LoopCandidate& a, const LoopCandidate& b) {
                     const double of_a = std::abs(in_metres(a.difference));
                     const double of_b = std::abs(in_metres(b.difference));
                     if (of_a != of_b) return of_a < of_b;
                     return a.loop.status < b.loop.status;
                   });
  return candidates;
}

}  // namespace pitchline::belt
