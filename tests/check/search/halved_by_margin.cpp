#include "pitchline/check/search/halved_by_margin.hpp"

#include <cmath>
#include <functional>
#include <limits>

#include "support/catch.hpp"

namespace pitchline {
namespace {

constexpr Acceleration one = metres_per_second_squared(1);

// Both ways from one rung to the next, and how often the margin was asked.
struct Found {
  Acceleration by_margin{}, by_halving{};
  int asked = 0;
};
Found found(const std::function<double(double)>& margin) {
  Found f;
  f.by_margin = check::halved_by_margin({.good = one, .bad = 1.25 * one}, [&](Acceleration a) {
    ++f.asked;
    return margin(number(a / one));
  });
  f.by_halving = motion::halved_between(
      one, 1.25 * one, [&](Acceleration a) { return !(margin(number(a / one)) < 1.0); });
  return f;
}

TEST_CASE("halved_by_margin finds what halving finds, and asks less", "[check][property]") {
  const double edge = GENERATE(take(50, random(1.0, 1.2499)));
  CAPTURE(edge);
  const Found inverse = found([&](double a) { return edge / a; });
  CHECK(inverse.by_margin == inverse.by_halving);
  CHECK(inverse.asked <= 13);
  const Found with_a_root =
      found([&](double a) { return (std::sqrt(edge) + 0.3 * edge) / (std::sqrt(a) + 0.3 * a); });
  CHECK(with_a_root.by_margin == with_a_root.by_halving);
  CHECK(with_a_root.asked <= 13);
  // With a bend, as where another moment of the move becomes the tightest.
  const Found bent =
      found([&](double a) { return a < 1.1 ? 1.0 + edge - a : 1.0 + edge - a - 5.0 * (a - 1.1); });
  CHECK(bent.by_margin == bent.by_halving);
  CHECK(bent.asked <= 18);
}

TEST_CASE("halved_by_margin halves where a margin says only yes or no", "[check][property]") {
  const double edge = GENERATE(take(10, random(1.0, 1.2499)));
  CAPTURE(edge);
  for (const double yes :
       {std::numeric_limits<double>::infinity(), 2.0, std::numeric_limits<double>::quiet_NaN()})
    for (const double no : {0.0, -1.0, 0.5}) {
      const Found f = found([&](double a) { return a <= edge ? yes : no; });
      CHECK(f.by_margin == f.by_halving);
    }
}

}  // namespace
}  // namespace pitchline
