#include "pitchline/belt/two_pulleys.hpp"

#include <boost/math/tools/toms748_solve.hpp>
#include <cstdint>
#include <functional>

namespace pitchline::belt::detail {

double root_between(const std::function<double(double)>& f, double low, double high) {
  const double at_low = f(low);
  const double at_high = f(high);
  if (at_low >= 0.0) return low;
  if (at_high <= 0.0) return high;
  std::uintmax_t steps = 200;
  const auto bracket = boost::math::tools::toms748_solve(
      f, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(50), steps);
  return 0.5 * (bracket.first + bracket.second);
}

}  // namespace pitchline::belt::detail
