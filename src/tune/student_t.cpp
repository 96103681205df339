#include "pitchline/tune/student_t.hpp"

#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace pitchline::tune {

namespace {
void require_degrees_of_freedom(int degrees_of_freedom) {
  require_at_least("degrees of freedom", degrees_of_freedom, 1);
}
}  // namespace

double student_factor(Confidence confidence, int degrees_of_freedom) {
  require_degrees_of_freedom(degrees_of_freedom);
  return boost::math::quantile(boost::math::students_t(degrees_of_freedom),
                               0.5 + confidence.value() / 2.0);
}

double student_significance(double t, int degrees_of_freedom) {
  require_degrees_of_freedom(degrees_of_freedom);
  if (!(t == t)) throw InvalidInput("t", "a number", t, "");
  if (std::isinf(t)) return 0.0;
  return 2.0 * boost::math::cdf(boost::math::complement(boost::math::students_t(degrees_of_freedom),
                                                        std::abs(t)));
}

double fisher_significance(const MeanSquareRatio& squares) {
  require_degrees_of_freedom(squares.numerator_freedom);
  require_degrees_of_freedom(squares.denominator_freedom);
  require_not_negative_or_infinite("ratio of mean squares", squares.ratio);
  if (std::isinf(squares.ratio)) return 0.0;
  return boost::math::cdf(boost::math::complement(
      boost::math::fisher_f(squares.numerator_freedom, squares.denominator_freedom),
      squares.ratio));
}

}  // namespace pitchline::tune
