#include "pitchline/units/column.hpp"

#include "pitchline/units/make.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

template <class Q>
Column<Q> column_of(std::initializer_list<Q> values) {
  Column<Q> column(static_cast<Eigen::Index>(values.size()));
  Eigen::Index row = 0;
  for (const Q& q : values) column.set(row++, q);
  return column;
}

TEST_CASE("a column keeps its quantities and their extremes", "[units][property]") {
  const auto mass = column_of({kilograms(1.5), kilograms(-2), kilograms(4)});
  CHECK(mass.rows() == 3);
  CHECK(mass[0] == kilograms(1.5));
  CHECK(mass[2] == kilograms(4));
  CHECK(mass.smallest() == kilograms(-2));
  CHECK(mass.largest() == kilograms(4));
  CHECK(mass.sum() == kilograms(3.5));
  CHECK(mass.si()[1] == -2.0);
}

TEST_CASE("column arithmetic is that of its quantities, row by row", "[units][property]") {
  const auto mass = column_of({kilograms(1.5), kilograms(0.3), kilograms(40)});
  const auto friction = column_of({newtons(4), newtons(0), newtons(12.5)});
  const auto time = column_of({seconds(0.5), seconds(3), seconds(7)});
  const Acceleration a = metres_per_second_squared(5);

  const Column<Force> pull = each(mass) * a + each(friction);
  const Column<Force> rest = each(pull) - each(friction);
  const Column<Quotient<Force, Time>> rate = each(pull) / each(time);
  const Column<Mass> felt = each(rest) / a;
  const Column<Product<Mass, Time>> product = each(mass) * each(time);
  const Column<Mass> half = each(mass) * 0.5;
  const Column<Force> preloaded = each(friction) + newtons(2);
  for (Eigen::Index row = 0; row < mass.rows(); ++row) {
    CAPTURE(row);
    CHECK(pull[row] == mass[row] * a + friction[row]);
    CHECK(rest[row] == pull[row] - friction[row]);
    CHECK(rate[row] == pull[row] / time[row]);
    CHECK(felt[row] == rest[row] / a);
    CHECK(product[row] == mass[row] * time[row]);
    CHECK(half[row] == mass[row] * 0.5);
    CHECK(preloaded[row] == friction[row] + newtons(2));
  }
}

TEST_CASE("smaller and larger choose row by row", "[units][property]") {
  const auto wanted = column_of({newtons(4), newtons(9)});
  const auto limit = column_of({newtons(6), newtons(7)});
  const Column<Force> low = smaller(each(wanted), each(limit));
  const Column<Force> high = larger(each(wanted), each(limit));
  CHECK(low[0] == newtons(4));
  CHECK(low[1] == newtons(7));
  CHECK(high[0] == newtons(6));
  CHECK(high[1] == newtons(9));
}

TEST_CASE("a column may be assigned an expression that reads it", "[units][property]") {
  auto force = column_of({newtons(1), newtons(2)});
  force = each(force) + each(force);
  CHECK(force[0] == newtons(2));
  CHECK(force[1] == newtons(4));
}

}  // namespace
}  // namespace pitchline
