#pragma once

#include <limits>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

#include "pitchline/io/belt_answer.hpp"
#include "pitchline/tune/estimate.hpp"
#include "pitchline/units/measure.hpp"

namespace pitchline::io {

/// What a measurement says of one thing, with the interval in which the true value lies.
struct TuneFigure {
  std::string key{};  ///< in JSON
  std::string label{};
  Measure value = Measure::ratio(std::numeric_limits<double>::quiet_NaN());
  Measure least = Measure::ratio(std::numeric_limits<double>::quiet_NaN());  ///< NaN: no interval
  Measure most = Measure::ratio(std::numeric_limits<double>::quiet_NaN());
  int digits = 4;  ///< that are printed
  std::string note{};
};

/// A figure of an estimate.
template <class Q>
TuneFigure figure_of(std::string key, std::string label, const tune::Estimate<Q>& e, int digits = 4,
                     std::string note = {}) {
  TuneFigure f;
  f.key = std::move(key);
  f.label = std::move(label);
  if constexpr (std::is_same_v<Q, double>) {
    f.value = Measure::ratio(e.value);
    f.least = Measure::ratio(e.least);
    f.most = Measure::ratio(e.most);
  } else {
    f.value = e.value;
    f.least = e.least;
    f.most = e.most;
  }
  f.digits = digits;
  f.note = std::move(note);
  return f;
}

/// Something that was allowed only so far, and whether it keeps to that.
struct TuneJudgement {
  std::string key{};  ///< in JSON
  std::string what{};
  tune::Judgement judgement = tune::Judgement::unsure;
  std::string reason{};
};

/// A line to be written into a file or typed in, as it stands.
struct TuneLine {
  std::string where{};  ///< "[axis.x] of the machine file"
  std::string line{};
};

/// What a set of measurements says.
struct TuneAnswer {
  std::string question{};
  std::string title{};  ///< what was given
  std::vector<TuneFigure> figures{};
  std::vector<AnswerTable> tables{};
  std::vector<TuneJudgement> judgements{};
  std::vector<std::string> advice{};  ///< what to do, one sentence or two each
  std::vector<TuneLine> lines{};
  std::vector<std::string> notes{};
  std::vector<std::string> formula{};
  std::string source{};

  [[nodiscard]] bool fails() const {
    for (const TuneJudgement& j : judgements)
      if (j.judgement == tune::Judgement::fails) return true;
    return false;
  }
};

/// An answer for people: at most 80 columns. `explain` adds the formula and its source.
std::string print_tune_answer(const TuneAnswer& answer, bool explain);

/// An answer as one JSON object, in coherent SI units with all digits; null where a figure is not
/// known or has no end. Keys are only ever added.
std::string tune_answer_as_json(const TuneAnswer& answer);

}  // namespace pitchline::io
