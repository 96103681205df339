#pragma once

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "pitchline/belt/two_pulleys.hpp"

namespace pitchline::belt {

/// Bending stiffness E·I of a belt, N·m².
using BendingStiffness = Product<Force, Area>;

/// How the ends of a free span are held where they meet the pulleys. A real belt lies between.
enum class SpanEnds {
  pinned,   ///< free to turn
  clamped,  ///< held straight
};

/// A free span of belt at rest, as it is plucked.
struct PluckedSpan {
  Length free_length = unset<Length>();  ///< between the points where it leaves the pulleys
  LinearDensity mass_per_length = unset<LinearDensity>();  ///< of the whole width; weigh the belt
  BendingStiffness bending_stiffness{};  ///< 0 for an ideal string; matters on short spans only
  SpanEnds ends = SpanEnds::clamped;     ///< makes no difference without bending stiffness
};

/// The tension that a frequency means with the ends held in the one way and in the other.
struct TensionBounds {
  Force least = unset<Force>();  ///< ends clamped
  Force most = unset<Force>();   ///< ends pinned
};

namespace detail {

inline void require_valid(const PluckedSpan& span) {
  require_positive("free length", span.free_length);
  require_positive("mass per length", span.mass_per_length);
  const BendingStiffness unit = newtons(1) * square_metres(1);
  if (!(span.bending_stiffness >= 0.0 * unit && is_finite(span.bending_stiffness)))
    throw InvalidInput("bending stiffness", ">= 0", number(span.bending_stiffness / unit), "N*m^2");
}

// Lowest root x = bL of the clamped span, 2ab(1/cosh aL − cos bL) + (a² − b²) tanh aL sin bL = 0
// with a² − b² = T/EI, as x·aL, of which ω = x·aL/L² · √(EI/µ). `tau` is T L²/EI. The root lies
// between those of the pinned span, π and 2π: at the first the left side is above zero, at the
// second below.
inline double clamped_root_product(double tau) {
  const double pi = std::numbers::pi;
  const auto left = [tau](double x) {
    const double a = std::sqrt(x * x + tau);
    return 2.0 * a * x * (1.0 / std::cosh(a) - std::cos(x)) + tau * std::tanh(a) * std::sin(x);
  };
  const double x = root_between([&](double at) { return -left(at); }, pi, 2.0 * pi);
  return x * std::sqrt(x * x + tau);
}

inline Frequency clamped_frequency(const PluckedSpan& span, Force tension) {
  const double tau = number(tension * span.free_length * span.free_length / span.bending_stiffness);
  const auto angular = square_root(span.bending_stiffness / span.mass_per_length) /
                       (span.free_length * span.free_length);
  return clamped_root_product(tau) * angular / (2.0 * std::numbers::pi);
}

}  // namespace detail

/// Frequency of a plucked span in its lowest mode.
///
///     ideal    f0 = √(T/µ)/(2 L)
///     pinned   f = f0 √(1 + π² EI/(T L²))
///     clamped  2ab(1/cosh aL − cos bL) + (a² − b²) tanh aL sin bL = 0, lowest root, with
///              a², b² = (±T + √(T² + 4 EI µ ω²))/(2 EI), ω = 2π f
///
///     L   free_length        m      > 0
///     µ   mass_per_length    kg/m   > 0
///     EI  bending_stiffness  N·m²   ≥ 0; with 0 the ends make no difference
///     T   tension            N      > 0, of this strand
///     f   result             Hz
///
/// Leaves out damping and the air that moves along. A microphone may hear twice this frequency.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: vibration of a string and of a tensioned beam (derived); checked against
/// reference/published/belt_tension.csv, the pinned form there by finite elements too.
inline Frequency plucked_frequency(const PluckedSpan& span, Force tension) {
  detail::require_valid(span);
  require_positive("tension", tension);
  const bool stiff = span.bending_stiffness > 0.0 * span.bending_stiffness;
  if (stiff && span.ends == SpanEnds::clamped) return detail::clamped_frequency(span, tension);
  const Force apparent = tension + std::numbers::pi * std::numbers::pi * span.bending_stiffness /
                                       (span.free_length * span.free_length);
  return square_root(apparent / span.mass_per_length) / (2.0 * span.free_length);
}

/// Tension of a strand whose free span sounds at `frequency`: the inverse of `plucked_frequency`.
///
///     ideal    T = 4 µ L² f²
///     pinned   T = 4 µ L² f² − π² EI/L²
///     clamped  the root of `plucked_frequency`
///
/// \throws InvalidInput     a number outside the table of `plucked_frequency`; frequency not above
///                          zero
/// \throws OutsideValidity  the span sounds as high without tension, by its bending stiffness
///
/// Source: as `plucked_frequency`. The rule of the sonic tension meter, [STM] p. 10: T = 4 M W S²
/// f² 1e-9 with g/m per mm, mm, mm and Hz, is the ideal form.
inline Force plucked_tension(const PluckedSpan& span, Frequency frequency) {
  detail::require_valid(span);
  require_positive("frequency", frequency);
  const Force ideal =
      4.0 * span.mass_per_length * span.free_length * span.free_length * frequency * frequency;
  if (!(span.bending_stiffness > 0.0 * span.bending_stiffness)) return ideal;
  const bool clamped = span.ends == SpanEnds::clamped;
  const Force by_bending = std::numbers::pi * std::numbers::pi * span.bending_stiffness /
                           (span.free_length * span.free_length);
  const Frequency slack =
      clamped ? detail::clamped_frequency(span, newtons(0))
              : square_root(by_bending / span.mass_per_length) / (2.0 * span.free_length);
  if (!(frequency > slack))
    throw OutsideValidity(fmt::format(
        "the span sounds at {:.4g} Hz by its bending stiffness alone, so {:.4g} Hz is no tension",
        in_hertz(slack), in_hertz(frequency)));
  if (!clamped) return ideal - by_bending;
  return newtons(detail::root_between(
      [&](double t) { return in_hertz(detail::clamped_frequency(span, newtons(t)) - frequency); },
      0.0, in_newtons(ideal)));
}

/// What tension lies behind a frequency, the ends of the span held in neither way exactly.
///
/// \throws InvalidInput, OutsideValidity  as `plucked_tension`
inline TensionBounds plucked_tension_bounds(PluckedSpan span, Frequency frequency) {
  TensionBounds bounds;
  span.ends = SpanEnds::pinned;
  bounds.most = plucked_tension(span, frequency);
  span.ends = SpanEnds::clamped;
  bounds.least = plucked_tension(span, frequency);
  return bounds;
}

/// The free spans of a loop clamped at its carriage. At rest, without a standing force on the
/// carriage, all have one tension, but each its own frequency; those beside the carriage change as
/// it is pushed along.
struct CarriageLoopSpans {
  Length drive_side = unset<Length>();   ///< drive pulley to carriage
  Length idler_side = unset<Length>();   ///< carriage to idler
  Length return_side = unset<Length>();  ///< the strand that does not touch the carriage
};

/// Where the carriage of a loop stands.
struct CarriagePlace {
  Length span = unset<Length>();               ///< centre of drive pulley to centre of idler
  Length carriage_gap = unset<Length>();       ///< from clamp to clamp
  Length drive_to_carriage = unset<Length>();  ///< centre of drive pulley to the nearer clamp
};

/// Lengths of the free spans with the carriage at a place.
///
///     drive side = x    idler side = S − x − gap    return side = S
///
///     S    span               m  > 0
///     gap  carriage_gap       m  ≥ 0, < S
///     x    drive_to_carriage  m  in (0, S − gap)
///
/// Valid for drive pulley and idler of the same pitch-line radius.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived; the span between tangent points of equal circles is the centre distance.
inline CarriageLoopSpans carriage_loop_spans(const CarriagePlace& place) {
  require_positive("span", place.span);
  if (!(place.carriage_gap >= metres(0) && place.carriage_gap < place.span))
    throw InvalidInput("carriage gap", ">= 0 and < span", in_millimetres(place.carriage_gap), "mm");
  if (!(place.drive_to_carriage > metres(0) &&
        place.drive_to_carriage < place.span - place.carriage_gap))
    throw InvalidInput("drive pulley to carriage", "> 0 and < span - carriage gap",
                       in_millimetres(place.drive_to_carriage), "mm");
  return {.drive_side = place.drive_to_carriage,
          .idler_side = place.span - place.carriage_gap - place.drive_to_carriage,
          .return_side = place.span};
}

/// The span to pluck: the longest that hangs free, because bending stiffness and a wrong length
/// tell least there. The return side is the longest where nothing guides or touches it; else the
/// longer of the two beside the carriage.
inline Length span_to_pluck(const CarriageLoopSpans& spans, bool return_side_hangs_free) {
  if (return_side_hangs_free) return spans.return_side;
  return spans.drive_side > spans.idler_side ? spans.drive_side : spans.idler_side;
}

}  // namespace pitchline::belt
