#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/units/measure.hpp"

namespace pitchline::check {

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
  /// The same without the service factor of a rule of the trade; NaN where there is none.
  double margin_without_factor = std::nan("");
  Verdict verdict = Verdict::unsure;
  std::string reason{};  ///< one sentence with the numbers in it
  std::string remedy{};  ///< what to buy or change; empty where nothing needs it
  std::string source{};
  std::string
      formula{};  ///< how the value is worked out, its symbols in words; empty where counted
  std::vector<Detail> details{};
};

/// What one mechanism allows an axis to do at the wanted speed.
struct Binding {
  std::string key{};   ///< of the finding that judges it
  std::string what{};  ///< the mechanism in words, "motor torque"
  /// Largest acceleration that it allows at the wanted speed; unlimited where it does not limit the
  /// acceleration, zero where it does not allow the speed, unset where it is not known.
  Acceleration allowed = unset<Acceleration>();
  std::optional<Speed> speed_limit{};  ///< largest speed it allows, where it limits the speed alone
  double margin = std::nan("");        ///< over what is wanted
  Verdict verdict = Verdict::unsure;
  std::string reason{};  ///< the finding's, at the acceleration allowed
};

/// How far the answer moves when one thing that a builder can change is a tenth less or more.
struct Influence {
  std::string what{};  ///< "moving mass"
  std::string less{};  ///< what it would be, a tenth less: "1.26 kg"; empty where there is no less
  std::string more{};
  Acceleration allowed_less = unset<Acceleration>();  ///< the answer then
  Acceleration allowed_more = unset<Acceleration>();
  std::string binds_less{};  ///< the mechanism that binds then
  std::string binds_more{};
  double change_less = std::nan("");  ///< of the answer, as a part of it
  double change_more = std::nan("");
};

/// What the motor of an axis allows at one speed.
struct SpeedPoint {
  Speed speed{};
  Acceleration allowed{};   ///< of the move that will run, with the torque margin
  Acceleration textbook{};  ///< by torque alone: no swings, no margin
};

/// How long a stroke takes with one acceleration at the best speed that goes with it.
struct MoveTimePoint {
  Acceleration acceleration{};
  Speed speed{};
  Time time{};
};

/// What an axis can do by the torque of its motor, as curves.
struct Capability {
  std::vector<SpeedPoint> over_speed{};    ///< from slow to fast, or to where nothing is left
  Length stroke{};                         ///< that the times are for
  std::vector<MoveTimePoint> move_time{};  ///< by rising acceleration; empty where it does not move
  MoveTimePoint fastest{};                 ///< least time of all
  MoveTimePoint nearly{};  ///< smallest acceleration that loses no more than `nearly_loses`
};

/// What was found of one axis.
struct AxisReport {
  std::string name{};
  std::string parts{};                 ///< what it is built of, in one line
  std::vector<std::string> assumed{};  ///< defaults that were filled in
  std::vector<Finding> findings{};
  Speed wanted_speed = unset<Speed>();
  Acceleration wanted_acceleration = unset<Acceleration>();
  Acceleration textbook = unset<Acceleration>();  ///< by torque alone, no swings, no margin
  std::string to_order{};                         ///< beside motor and driver; may be empty
  std::string to_set{};                           ///< to be set and typed in
  std::vector<Binding> binds{};                   ///< smallest acceleration first
  std::vector<Influence> influences{};            ///< largest first; empty where not asked for
  std::optional<Capability> capability{};         ///< where asked for
};

/// What was found of a machine.
struct Report {
  std::string machine{};
  std::vector<AxisReport> axes{};
  std::vector<Finding> common{};        ///< of all axes together
  std::vector<std::string> cautions{};  ///< printed once

  /// Worst verdict of all, in the order holds, tight, unsure, fails.
  [[nodiscard]] Verdict worst() const {
    Verdict verdict = Verdict::holds;
    const auto take = [&](const std::vector<Finding>& findings) {
      for (const Finding& f : findings) verdict = std::max(verdict, f.verdict);
    };
    for (const AxisReport& axis : axes) take(axis.findings);
    take(common);
    return verdict;
  }
};

}  // namespace pitchline::check
