#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <string_view>

#include "pitchline/parts/notes.hpp"
#include "pitchline/units.hpp"
#include "pitchline/units/fraction.hpp"

namespace pitchline::parts {

/// The kind of thread of a lead screw. Of the first three the flanks slide, of the last balls roll.
enum class ThreadKind { trapezoidal, acme, square, ball };

/// Every kind, in the order of its words.
inline constexpr std::array thread_kinds{ThreadKind::trapezoidal, ThreadKind::acme,
                                         ThreadKind::square, ThreadKind::ball};

/// As files write it.
constexpr std::string_view in_words(ThreadKind kind) {
  constexpr std::array<std::string_view, 4> words{"trapezoidal", "acme", "square", "ball"};
  return words.at(static_cast<std::size_t>(kind));
}

constexpr bool slides(ThreadKind kind) { return kind != ThreadKind::ball; }

/// Angle of one flank in the axial section: half of the included 30° of metric trapezoidal threads
/// and 29° of Acme. Nothing bears on a flank of a ball screw: 0.
///
/// Source: [Thread standards].
constexpr Angle flank_half_angle(ThreadKind kind) {
  if (kind == ThreadKind::trapezoidal) return degrees(15);
  return kind == ThreadKind::acme ? degrees(14.5) : degrees(0);
}

/// A screw that can be bought, by the basic size of its thread.
// NOLINTNEXTLINE(bugprone-exception-escape): its assignment moves reduced fractions only
struct Screw {
  std::string name{};  ///< as the catalogue calls it, "Tr 10x4 (P2)"
  ThreadKind thread = ThreadKind::trapezoidal;
  Fraction lead_millimetres{0};  ///< exact, starts × pitch
  int starts = 1;
  Length outer_diameter = unset<Length>();
  Length mean_diameter = unset<Length>();   ///< where friction acts; circle of the ball centres
  Length minor_diameter = unset<Length>();  ///< of the core
  Length ball_diameter = unset<Length>();   ///< of a ball screw
  Force dynamic_rating = unset<Force>();    ///< of balls, for 10⁶ revolutions; unset: not known
  Force static_rating = unset<Force>();     ///< of balls; unset: not known
  bool preferred = false;                   ///< whether a standard lists the size
  std::string source{};
  Notes notes{};
};

/// Travel per turn.
inline Length lead(const Screw& screw) { return millimetres(to_double(screw.lead_millimetres)); }

/// Distance of neighbouring threads: lead over starts.
inline Length pitch(const Screw& screw) { return lead(screw) / static_cast<double>(screw.starts); }

/// Refuses a screw with a figure that is missing or that no screw has.
///
/// \throws InvalidInput  lead not above zero; starts outside 1 to 20; diameters not in the order
///                       0 < minor < mean <= outer; ball diameter of a ball screw not above zero;
///                       a rating not above zero
inline void require_valid(const Screw& screw) {
  require_positive("lead", screw.lead_millimetres, "mm");
  require_in_range("starts", screw.starts, 1, 20);
  require_positive("minor diameter", screw.minor_diameter);
  if (!(screw.mean_diameter > screw.minor_diameter))
    throw InvalidInput("mean diameter", "> minor diameter", in_millimetres(screw.mean_diameter),
                       "mm");
  if (!(screw.outer_diameter >= screw.mean_diameter && is_finite(screw.outer_diameter)))
    throw InvalidInput("outer diameter", ">= mean diameter", in_millimetres(screw.outer_diameter),
                       "mm");
  if (screw.thread == ThreadKind::ball && !(screw.ball_diameter > metres(0)))
    throw InvalidInput("ball diameter", "> 0", in_millimetres(screw.ball_diameter), "mm");
  for (const Force& rating : {screw.dynamic_rating, screw.static_rating})
    if (!is_unset(rating)) require_positive_or_infinite("rating", rating);
}

}  // namespace pitchline::parts
