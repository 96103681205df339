#pragma once

#include <string>

#include "support/catch.hpp"

namespace pitchline::testing {

/// Matches a quantity within an absolute tolerance of the same kind: half a unit of the last digit
/// that the source prints.
template <class Q>
class IsNearMatcher : public Catch::MatcherBase<Q> {
 public:
  IsNearMatcher(Q wanted, Q tolerance) : wanted_(wanted), tolerance_(tolerance) {}
  bool match(const Q& met) const override {
    const Q difference = met > wanted_ ? met - wanted_ : wanted_ - met;
    return difference <= tolerance_;
  }
  std::string describe() const override {
    return "is within " + Catch::Detail::stringify(tolerance_) + " of " +
           Catch::Detail::stringify(wanted_);
  }

 private:
  Q wanted_;
  Q tolerance_;
};

template <class Q>
IsNearMatcher<Q> IsNear(const Q& wanted, const Q& tolerance) {
  return {wanted, tolerance};
}

}  // namespace pitchline::testing
