#include "pitchline/motion/detail/step_answer.hpp"

#include <boost/math/tools/toms748_solve.hpp>
#include <cstdint>

namespace pitchline::motion::detail {

double StepAnswer::turning_point(double low, double high, double middle) const {
  const auto f = [&](double t) { return speed(t, middle); };
  const double at_low = f(low);
  const double at_high = f(high);
  if (!(at_low * at_high < 0.0)) return low;
  std::uintmax_t rounds = 100;
  const auto bracket = boost::math::tools::toms748_solve(
      f, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(40), rounds);
  return bracket.first;
}

}  // namespace pitchline::motion::detail
