#pragma once

#include <string_view>

#include "pitchline/units.hpp"

namespace pitchline::tune {

namespace detail {
struct ConfidenceMeaning {
  static constexpr std::string_view name = "confidence";
  static constexpr std::string_view rule = ">= 0.5 and <= 0.999";
  static constexpr bool holds(double x) { return x >= 0.5 && x <= 0.999; }
};
}  // namespace detail

/// How often an interval is to hold the true value. 0.95 is common practice.
using Confidence = Ratio<detail::ConfidenceMeaning>;

/// What a measurement says of a quantity: the likely value, and between what the true one lies as
/// often as the confidence says.
template <class Q>
struct Estimate {
  Q value{};
  Q least{};
  Q most{};
};

/// True where the measurement cannot tell the quantity from `other`.
template <class Q>
bool may_be(const Estimate<Q>& e, const Q& other) {
  return e.least <= other && other <= e.most;
}

/// How an estimate stands to what is allowed. Only `fails` is sure to be wrong.
enum class Judgement { holds, unsure, fails };

/// Whether a quantity lies within what is allowed, from least to most: `unsure` where a part of its
/// interval lies outside.
template <class Q>
Judgement judge_within(const Estimate<Q>& e, const Q& least, const Q& most) {
  if (e.least >= least && e.most <= most) return Judgement::holds;
  return e.most < least || e.least > most ? Judgement::fails : Judgement::unsure;
}

/// The judgement in the word that is printed.
constexpr const char* word(Judgement judgement) {
  switch (judgement) {
    case Judgement::holds:
      return "holds";
    case Judgement::fails:
      return "fails";
    case Judgement::unsure:
      break;
  }
  return "unsure";
}

}  // namespace pitchline::tune
