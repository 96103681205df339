#pragma once

#include <algorithm>
#include <string>

#include "pitchline/belt/plucked_span.hpp"
#include "pitchline/tune/estimate.hpp"

namespace pitchline::tune {

/// A plucked span with what was heard, and how finely both were read.
struct PluckedBelt {
  std::string name{};
  belt::PluckedSpan span{};
  Frequency frequency = unset<Frequency>();
  Frequency frequency_resolution{};  ///< step in which the frequency is shown, >= 0
  Length span_resolution{};          ///< step of the rule that measured the span, >= 0
};

/// Tension of a plucked span with the width that reading and ends of the span leave open.
///
///     least  frequency and span half a step less, ends clamped
///     most   frequency and span half a step more, ends pinned
///     value  middle of clamped and pinned as read; the same without bending stiffness
///
/// The steps must be less than what was read. Leaves out the mass per length, which is the same for
/// both belts of a gantry: weigh the belt where the tension itself matters.
///
/// \throws InvalidInput     as `belt::plucked_tension`; a step below zero, or not below what was
///                          read
/// \throws OutsideValidity  as `belt::plucked_tension`
///
/// Source: as `belt::plucked_tension`, which rises with frequency and with span.
inline Estimate<Force> tension_of(const PluckedBelt& b) {
  if (!(b.frequency_resolution >= hertz(0) && b.frequency_resolution < b.frequency))
    throw InvalidInput("resolution of the frequency", ">= 0 and below the frequency",
                       in_hertz(b.frequency_resolution), "Hz");
  if (!(b.span_resolution >= metres(0) && b.span_resolution < b.span.free_length))
    throw InvalidInput("resolution of the span", ">= 0 and below the span",
                       in_millimetres(b.span_resolution), "mm");
  belt::PluckedSpan span = b.span;
  const belt::TensionBounds middle = belt::plucked_tension_bounds(span, b.frequency);
  span.free_length = b.span.free_length - b.span_resolution / 2.0;
  const belt::TensionBounds low =
      belt::plucked_tension_bounds(span, b.frequency - b.frequency_resolution / 2.0);
  span.free_length = b.span.free_length + b.span_resolution / 2.0;
  const belt::TensionBounds high =
      belt::plucked_tension_bounds(span, b.frequency + b.frequency_resolution / 2.0);
  return {(middle.least + middle.most) / 2.0, low.least, high.most};
}

/// What to do with a belt.
enum class BeltAdvice { leave, tighten, slacken, cannot_tell };

/// A belt against the tension wanted of it.
struct BeltTension {
  Estimate<Force> tension{};
  Estimate<Frequency> wanted_frequency{};  ///< ends held either way: set the belt to this
  BeltAdvice advice = BeltAdvice::leave;
  bool octave = false;  ///< what was heard is near twice or half the wanted frequency
};

/// Compares a plucked belt with the tension wanted.
///
///     leave    the interval of its tension lies within wanted (1 +- allowed)
///     tighten, slacken   it lies below or above; cannot_tell where it straddles an end
///
///     wanted   N  > 0, of this strand
///     allowed  -  > 0 and < 1, part of the tension
///
/// A microphone hears the second mode, twice the frequency, as readily as the first.
///
/// \throws InvalidInput     a number outside the table; as `tension_of`
/// \throws OutsideValidity  as `tension_of`
///
/// Source: as `belt::plucked_frequency`; 0.1 is usual for `allowed`, common practice, no source.
inline BeltTension against_wanted(const PluckedBelt& b, Force wanted, double allowed) {
  require_positive("tension wanted", wanted);
  if (!(allowed > 0.0 && allowed < 1.0))
    throw InvalidInput("allowed part of the tension", "> 0 and < 1", allowed, "");
  BeltTension result;
  result.tension = tension_of(b);
  belt::PluckedSpan span = b.span;
  span.ends = belt::SpanEnds::pinned;
  const Frequency pinned = belt::plucked_frequency(span, wanted);
  span.ends = belt::SpanEnds::clamped;
  const Frequency clamped = belt::plucked_frequency(span, wanted);
  result.wanted_frequency = {(pinned + clamped) / 2.0, pinned, clamped};
  const Force least = (1.0 - allowed) * wanted;
  const Force most = (1.0 + allowed) * wanted;
  switch (judge_within(result.tension, least, most)) {
    case Judgement::holds:
      result.advice = BeltAdvice::leave;
      break;
    case Judgement::unsure:
      result.advice = BeltAdvice::cannot_tell;
      break;
    case Judgement::fails:
      result.advice = result.tension.most < least ? BeltAdvice::tighten : BeltAdvice::slacken;
      break;
  }
  const double heard = number(b.frequency / result.wanted_frequency.value);
  // A tenth either way: nothing but the octave brings a belt that was set by feel there.
  result.octave = (heard > 1.8 && heard < 2.2) || (heard > 0.45 && heard < 0.55);
  return result;
}

/// Both belts of a gantry against each other.
struct BeltBalance {
  Estimate<Force> difference{};  ///< first less second
  double part = 0.0;             ///< of the mean tension, by size
  Judgement judgement = Judgement::unsure;
};

/// Compares the belts of both sides of a gantry.
///
///     difference = T1 - T2;  holds where its interval lies within allowed (T1 + T2)/2
///
///     allowed  -  > 0 and < 1, part of the mean tension
///
/// How the ends are held adds to the width of both tensions but is the same on both sides where
/// spans and belts are; here it is not set off, which errs on the side of `unsure`.
///
/// \throws InvalidInput     a number outside the table; as `tension_of`
/// \throws OutsideValidity  as `tension_of`
///
/// Source: as `tension_of`.
inline BeltBalance balance(const PluckedBelt& first, const PluckedBelt& second, double allowed) {
  if (!(allowed > 0.0 && allowed < 1.0))
    throw InvalidInput("allowed part of the tension", "> 0 and < 1", allowed, "");
  const Estimate<Force> a = tension_of(first);
  const Estimate<Force> b = tension_of(second);
  BeltBalance result;
  result.difference = {a.value - b.value, a.least - b.most, a.most - b.least};
  const Force mean = (a.value + b.value) / 2.0;
  result.part = std::abs(number(result.difference.value / mean));
  result.judgement = judge_within(result.difference, Force(-allowed * mean), Force(allowed * mean));
  return result;
}

}  // namespace pitchline::tune
