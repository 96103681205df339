#pragma once

#include <cmath>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "pitchline/units/measure.hpp"

namespace pitchline::report {

/// How a check came out. Only `fails` makes a machine fail; `unsure` means that the model cannot
/// assure it, and the reason says what would.
enum class Verdict { holds, tight, unsure, fails };

/// The verdict in the word that is printed and written to JSON.
constexpr std::string_view word(Verdict verdict) {
  switch (verdict) {
    case Verdict::holds:
      return "holds";
    case Verdict::tight:
      return "tight";
    case Verdict::unsure:
      return "unsure";
    case Verdict::fails:
      return "fails";
  }
  return "unsure";
}

/// Margin below which a check that holds is called tight.
inline constexpr double tight_below = 1.15;

/// Verdict of a margin, what is allowed over what is required: 1 is just enough. NaN is `unsure`.
constexpr Verdict judge(double margin) {
  if (!(margin == margin)) return Verdict::unsure;
  if (margin < 1.0) return Verdict::fails;
  return margin < tight_below ? Verdict::tight : Verdict::holds;
}

/// Which side of the limit is the good one.
enum class Bound { at_most, at_least };

/// A figure that a finding is made of, or that belongs beside it.
struct Detail {
  std::string label{};
  std::string text{};  ///< value and unit, ready to print
  Measure value;
};

inline Detail detail_of(std::string label, const Measure& value) {
  const double x = value.coherent();
  return {std::move(label), x != x ? "not known" : (std::isinf(x) ? "without end" : value.text()),
          value};
}

/// One check of one axis, or of the whole machine.
struct Finding {
  std::string key{};   ///< stable name for programs, "torque_margin"
  std::string what{};  ///< name in words
  Measure value = Measure::ratio(0);
  std::string value_text{};  ///< printed in place of the value where a plain number says too little
  Measure limit = Measure::ratio(std::nan(""));  ///< NaN: nothing is asked, or it is not known
  Bound bound = Bound::at_most;
  double margin = std::nan("");
  /// The same with the customary service factor, a rule of the trade that decides nothing; NaN
  /// where there is none, or where the builder names one and `margin` has it.
  double margin_with_factor = std::nan("");
  Verdict verdict = Verdict::unsure;
  std::string reason{};  ///< one sentence with the numbers in it
  std::string remedy{};  ///< what to buy or change; empty where nothing needs it
  std::string source{};
  std::string
      formula{};  ///< how the value is worked out, its symbols in words; empty where counted
  std::vector<Detail> details{};
};

}  // namespace pitchline::report
