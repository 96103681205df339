#include "pitchline/screw/column.hpp"

#include <map>
#include <string>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using screw::Column;
using screw::EndFixity;
using testing::IsNear;

const Pressure psi = pounds_force(1) / (inches(1) * inches(1));

// A round bar of steel in psi: Wentzell's.
Column bar(Length diameter, Length length) {
  Column column = screw::core_column({.minor_diameter = diameter, .length = length});
  column.elastic_modulus = 30e6 * psi;
  column.yield_strength = 42'000.0 * psi;
  return column;
}

TEST_CASE("euler_load gives the printed loads of textbook columns", "[screw][published]") {
  // reference/published/columns.csv. Where a book prints a size, that size must give its load back;
  // the share is what half of the last printed digit of the size makes of it. The load does not
  // depend on the area, so that any will do.
  for (const testing::CsvRow& row : testing::published("columns.csv")) {
    CAPTURE(row.text("source"));
    const bool inch = row.text("length_unit") == "in";
    const Length unit = inch ? inches(1) : millimetres(1);
    const Force force = inch ? pounds_force(1) : newtons(1);
    const double area = inch ? 7.0 : 500.0;
    const Column column{.length = row.number("length") * unit,
                        .area = area * unit * unit,
                        .radius_of_gyration = std::sqrt(row.number("second_moment") / area) * unit,
                        .elastic_modulus = row.number("elastic_modulus") * force / (unit * unit)};
    const Force met = screw::euler_load(column) / row.number("safety");
    const double printed = row.number("printed_load");
    const double tolerance = row.text("tolerance_share").empty()
                                 ? row.half_digit("printed_load")
                                 : row.number("tolerance_share") * printed;
    CHECK_THAT(met, IsNear(printed * force, tolerance * force));
    if (!row.text("recomputed_load").empty())
      CHECK_THAT(met, IsNear(row.number("recomputed_load") * force,
                             row.half_digit("recomputed_load") * force));
  }
}

TEST_CASE("a slender round bar is one of Euler's at the printed slenderness",
          "[screw][published]") {
  // [Wentzell] 3.5, Q2: diameter 0.625 in, 30 in, 30e6 psi, 42 000 psi: 192 above 118.74, so
  // 2464.16 lb.
  const auto strength = screw::column_strength(bar(inches(0.625), inches(30)));
  CHECK_THAT(strength.slenderness, WithinRel(192.0, 1e-12));
  CHECK_THAT(strength.transition, WithinAbs(118.74, 0.005));
  CHECK(strength.rule == screw::ColumnRule::euler);
  CHECK_THAT(strength.load, IsNear(pounds_force(2464.16), pounds_force(0.005)));
  // [Levinson] 16.1, Q2: 10e6 psi, 6000 psi at a slenderness of 128; recomputed 128.25 (C). At the
  // transition Euler's stress is half the yield strength.
  Column column = bar(inches(1), inches(30));
  column.elastic_modulus = 10e6 * psi;
  column.yield_strength = 12'000.0 * psi;
  CHECK_THAT(screw::transition_slenderness(column), WithinAbs(128.25, 0.005));
  column.length = 128.25 * column.radius_of_gyration;
  const Pressure met = screw::euler_load(column) / column.area;
  CHECK_THAT(met, IsNear(6000.0 * psi, 0.5 * psi));
  // [Levinson] 16.5, Q2: 0.5 in, 0.8 · 40 in: 4520 psi; recomputed 4517.9.
  column = bar(inches(0.5), inches(32));
  CHECK_THAT(Pressure(screw::euler_load(column) / column.area), IsNear(4517.9 * psi, 0.05 * psi));
}

TEST_CASE("half of Euler's load is what a maker of screws prints", "[screw][published]") {
  // reference/published/whirling.csv: P1 = η2 d⁴/ℓ² · 10⁴ N, mm; the 0.5 is inside. The printed η2
  // are rounded to two digits.
  const std::map<std::string, EndFixity> ends{
      {"fixed_free", EndFixity::fixed_free},
      {"supported_supported", EndFixity::supported_supported},
      {"fixed_supported", EndFixity::fixed_supported},
      {"fixed_fixed", EndFixity::fixed_fixed}};
  for (const testing::CsvRow& row : testing::published("whirling.csv")) {
    CAPTURE(row.text("ends"));
    const auto push = screw::allowed_push(screw::core_column({.minor_diameter = millimetres(10),
                                                              .length = millimetres(1000),
                                                              .ends = ends.at(row.text("ends"))}));
    CHECK(push.bound == screw::PushBound::euler);
    const double met = in_newtons(push.load) / (1e4 / 1e6 * 1e4);
    CHECK_THAT(met, WithinAbs(row.number("recomputed_column_constant"), 0.005));
    CHECK_THAT(met, WithinRel(row.number("printed_column_constant"), 0.05));
  }
  // [THK KR] p. 13, Q: factor 4, 1300 mm, 17.5 mm: 11 000 N; recomputed 11 077 (C).
  const Column column = screw::core_column({.minor_diameter = millimetres(17.5),
                                            .length = millimetres(1300),
                                            .ends = EndFixity::fixed_fixed});
  CHECK_THAT(screw::allowed_push(column).load, IsNear(newtons(11'000), newtons(500)));
  CHECK_THAT(screw::allowed_push(column).load, IsNear(newtons(11'077), newtons(0.5)));
  // P2 = 116 d², Q; 147 MPa make 115.45 (C).
  CHECK_THAT(screw::compression_limit(column),
             IsNear(newtons(115.45 * 17.5 * 17.5), newtons(0.005 * 17.5 * 17.5)));
  CHECK_THAT(in_newtons(screw::compression_limit(column)), WithinRel(116 * 17.5 * 17.5, 0.005));
}

TEST_CASE("the column factors are those of the buckling equations", "[screw][property]") {
  // A bar held at one end bends like half of one twice as long, one held at both like the middle
  // half of one: 1/4 and 4. Fixed and supported: tan x = x.
  double x = 4.4934094579;
  CHECK_THAT(std::tan(x) - x, WithinAbs(0.0, 1e-7));
  x /= std::numbers::pi;
  CHECK_THAT(x * x, WithinAbs(2.0457, 5e-5));
  CHECK(screw::column_factor(EndFixity::fixed_supported) == 2.0);
  CHECK(screw::column_factor(EndFixity::fixed_supported) < x * x);
  CHECK(screw::column_factor(EndFixity::fixed_free) == 0.25);
  CHECK(screw::column_factor(EndFixity::supported_supported) == 1.0);
  CHECK(screw::column_factor(EndFixity::fixed_fixed) == 4.0);
}

TEST_CASE("Euler and Johnson meet at half the yield strength with one slope", "[screw][property]") {
  const EndFixity ends = GENERATE(EndFixity::fixed_free, EndFixity::supported_supported,
                                  EndFixity::fixed_supported, EndFixity::fixed_fixed);
  const auto strength = [&](double share_of_transition) {
    Column column = bar(millimetres(10), millimetres(100));
    column.ends = ends;
    column.length =
        share_of_transition * screw::transition_slenderness(column) * column.radius_of_gyration;
    return screw::column_strength(column);
  };
  const Force yield = 42'000.0 * psi * bar(millimetres(10), millimetres(1)).area;
  CHECK_THAT(number(strength(1 - 1e-9).load / yield), WithinRel(0.5, 1e-8));
  CHECK_THAT(number(strength(1 + 1e-9).load / yield), WithinRel(0.5, 1e-8));
  CHECK(strength(1 - 1e-9).rule == screw::ColumnRule::johnson);
  CHECK(strength(1 + 1e-9).rule == screw::ColumnRule::euler);
  const double h = 1e-4;
  const double below = number((strength(1 - h).load - strength(1 - 2 * h).load) / yield) / h;
  const double above = number((strength(1 + 2 * h).load - strength(1 + h).load) / yield) / h;
  CHECK_THAT(below, WithinAbs(-1.0, 1e-3));
  CHECK_THAT(above, WithinAbs(-1.0, 1e-3));
  CHECK_THAT(number(strength(1e-6).load / yield), WithinRel(1.0, 1e-9));
  // Halfway: Johnson 1 − (1/2)²/2, where Euler alone would promise twice the yield strength.
  CHECK_THAT(number(strength(0.5).load / yield), WithinRel(0.875, 1e-12));
  double last = 2.0;
  for (int i = 1; i <= 40; ++i) {
    const double met = number(strength(0.1 * i).load / yield);
    CAPTURE(i);
    CHECK(met < last);
    last = met;
  }
}

TEST_CASE("the push that is allowed names what bounds it", "[screw][property]") {
  // Yield strength 294 MPa is twice 147: a short screw comes near the core's limit from below, as
  // half of Johnson's. A stronger steel is bounded by the core.
  Column column =
      screw::core_column({.minor_diameter = millimetres(10), .length = millimetres(50)});
  CHECK(screw::allowed_push(column).bound == screw::PushBound::johnson);
  CHECK(screw::allowed_push(column).load < screw::compression_limit(column));
  column.yield_strength = megapascals(600);
  CHECK(screw::allowed_push(column).bound == screw::PushBound::core_stress);
  CHECK(screw::allowed_push(column).load == screw::compression_limit(column));
  column.length = millimetres(2000);
  const auto push = screw::allowed_push(column, 0.25);
  CHECK(push.bound == screw::PushBound::euler);
  CHECK_THAT(number(push.load / push.strength.load), WithinRel(0.25, 1e-14));
}

TEST_CASE("a column with a figure outside its range is refused by name", "[screw][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    Column bad = bar(millimetres(10), millimetres(2000));
    spoil(bad);
    CHECK_THROWS_MATCHES(screw::slenderness(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(screw::transition_slenderness(bad), InvalidInput);
    CHECK_THROWS_AS(screw::euler_load(bad), InvalidInput);
    CHECK_THROWS_AS(screw::johnson_load(bad), InvalidInput);
    CHECK_THROWS_AS(screw::column_strength(bad), InvalidInput);
    CHECK_THROWS_AS(screw::compression_limit(bad), InvalidInput);
    CHECK_THROWS_AS(screw::allowed_push(bad), InvalidInput);
  };
  refuses([](auto& c) { c.length = unset<Length>(); }, "column length must be > 0, got nan mm");
  refuses([](auto& c) { c.area = square_metres(0); }, "column area must be > 0, got 0 mm^2");
  refuses([](auto& c) { c.radius_of_gyration = unlimited<Length>(); },
          "radius of gyration must be > 0, got inf mm");
  refuses([](auto& c) { c.elastic_modulus = megapascals(-1); },
          "elastic modulus must be > 0, got -1 MPa");
  refuses([](auto& c) { c.yield_strength = unset<Pressure>(); },
          "yield strength must be > 0, got nan MPa");
  refuses([](auto& c) { c.ends = static_cast<EndFixity>(7); },
          "end fixity must be one of the four, got 7");
  CHECK_THROWS_AS(screw::column_factor(static_cast<EndFixity>(-1)), InvalidInput);
  CHECK_THROWS_MATCHES(screw::core_column({.length = millimetres(100)}), InvalidInput,
                       Message("minor diameter must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(screw::core_column({.minor_diameter = millimetres(8)}), InvalidInput,
                       Message("column length must be > 0, got nan mm"));
  const Column good = bar(millimetres(10), millimetres(2000));
  CHECK_THROWS_MATCHES(screw::compression_limit(good, megapascals(0)), InvalidInput,
                       Message("allowed stress must be > 0, got 0 MPa"));
  for (const double share : {0.0, 1.01, std::nan("")})
    CHECK_THROWS_AS(screw::allowed_push(good, share), InvalidInput);
  CHECK_THROWS_AS(screw::johnson_load(good), OutsideValidity);
  CHECK_NOTHROW(screw::johnson_load(bar(millimetres(10), millimetres(200))));
}

}  // namespace
}  // namespace pitchline
