#pragma once

#include <string>
#include <string_view>

#include "pitchline/units/print.hpp"

namespace pitchline {

/// A quantity whose kind is known only at run time: what a finding carries to a table or to JSON.
/// It can be printed; comparison and arithmetic stay with the typed quantities.
class Measure {
 public:
  // Implicit, because any quantity is meant to pass as a measure.
  template <Printable Q>
  Measure(const Q& q)  // NOLINT(google-explicit-constructor)
      : coherent_(q.value()), kind_(kind_of<Q>) {}
  /// A plain ratio without unit.
  static Measure ratio(double x) {
    Measure m;
    m.coherent_ = x;
    return m;
  }

  [[nodiscard]] double coherent() const { return coherent_; }
  /// The coherent unit in text, empty for a ratio.
  [[nodiscard]] std::string_view si_unit() const { return kind_ ? kind_->si_unit : ""; }
  [[nodiscard]] std::string text(int digits = 4) const {
    return kind_ ? print_coherent(coherent_, *kind_, digits) : significant(coherent_, digits);
  }

 private:
  Measure() = default;
  double coherent_ = 0.0;
  const Kind* kind_ = nullptr;
};

}  // namespace pitchline
