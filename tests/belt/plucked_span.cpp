#include "pitchline/belt/plucked_span.hpp"

#include <numbers>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::BendingStiffness;
using belt::carriage_loop_spans;
using belt::plucked_frequency;
using belt::plucked_tension;
using belt::PluckedSpan;
using belt::span_to_pluck;
using belt::SpanEnds;
using Catch::Matchers::Message;
using Catch::Matchers::StartsWith;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

BendingStiffness newton_square_metres(double x) { return newtons(x) * square_metres(1); }

PluckedSpan span_of(double metre, double kg_per_m, double stiffness = 0.0,
                    SpanEnds ends = SpanEnds::clamped) {
  return {.free_length = metres(metre),
          .mass_per_length = kilograms_per_metre(kg_per_m),
          .bending_stiffness = newton_square_metres(stiffness),
          .ends = ends};
}

TEST_CASE("plucked_frequency gives the tabled spans, ideal and stiff", "[belt][published]") {
  // reference/published/belt_tension.csv: closed forms, finite elements and a root, made apart (C).
  int rows = 0;
  for (const testing::CsvRow& row : testing::published("belt_tension.csv")) {
    ++rows;
    CAPTURE(row.text("belt"), row.text("width_mm"), row.text("span_m"), row.text("tension_N"));
    const double stiffness = row.number("EI_Nm2");
    PluckedSpan span = span_of(row.number("span_m"), row.number("mass_per_length_kg_m"));
    const Force tension = newtons(row.number("tension_N"));
    const auto near = [&](const char* column) {
      return IsNear(hertz(row.number(column)), hertz(1.01 * row.half_digit(column)));
    };
    // The mass per length follows from the unit mass and the width.
    const parts::Belt belt{
        .profile = {.mass_per_width =
                        kilograms_per_metre(1e-3 * row.number("unit_mass_g_per_m_per_mm")) /
                        millimetres(1)},
        .width = millimetres(row.number("width_mm"))};
    CHECK_THAT(in_kilograms_per_metre(mass_per_length(belt)),
               WithinRel(row.number("mass_per_length_kg_m"), 1e-12));

    CHECK_THAT(plucked_frequency(span, tension), near("f_ideal_Hz"));
    span.bending_stiffness = newton_square_metres(stiffness);
    span.ends = SpanEnds::pinned;
    const Frequency pinned = plucked_frequency(span, tension);
    CHECK_THAT(pinned, near("f_pinned_closed_Hz"));
    CHECK_THAT(in_hertz(pinned), WithinRel(row.number("f_pinned_FE_Hz"), 3e-8));
    span.ends = SpanEnds::clamped;
    const Frequency clamped = plucked_frequency(span, tension);
    CHECK_THAT(clamped, near("f_clamped_exact_Hz"));
    // The series with e = √(EI/(T L²)) leaves out its third power.
    const double e =
        std::sqrt(stiffness / (row.number("tension_N") * std::pow(row.number("span_m"), 2)));
    CHECK_THAT(in_hertz(clamped), WithinRel(row.number("f_clamped_series_Hz"), 30 * e * e * e));

    // Read by the ideal formula, the clamped span seems too tight.
    span.bending_stiffness = {};
    const Force read_high = plucked_tension(span, clamped);
    CHECK_THAT(read_high,
               IsNear(newtons(row.number("tension_from_f_clamped_by_ideal_formula_N")),
                      newtons(1.01 * row.half_digit("tension_from_f_clamped_by_ideal_formula_N"))));
    CHECK_THAT(100 * (number(read_high / tension) - 1),
               WithinAbs(row.number("tension_error_pct"), 1e-7));
  }
  CHECK(rows == 60);
}

TEST_CASE("plucked_frequency gives two worked spans", "[belt][published]") {
  // (C), string formula: 0.007569 kg/m at 18 N, 0.395 m: 61.73 Hz; 0.300 m: 81.28 Hz.
  CHECK_THAT(plucked_frequency(span_of(0.395, 0.007569), newtons(18)),
             IsNear(hertz(61.73), hertz(0.005)));
  CHECK_THAT(plucked_frequency(span_of(0.300, 0.007569), newtons(18)),
             IsNear(hertz(81.28), hertz(0.005)));
}

TEST_CASE("plucked_tension is the rule of the sonic tension meter", "[belt][published]") {
  // [STM] p. 10, Q: T = 4 M W S² f² 1e-9 with g/m per mm, mm, mm, Hz.
  const double m = GENERATE(1.4, 2.8);
  const double width = GENERATE(6.0, 15.0);
  const double s = GENERATE(150.0, 800.0);
  const double f = GENERATE(20.0, 90.0);
  CAPTURE(m, width, s, f);
  CHECK_THAT(in_newtons(plucked_tension(span_of(s / 1000, m * width / 1000), hertz(f))),
             WithinRel(4 * m * width * s * s * f * f * 1e-9, 1e-13));
}

TEST_CASE("plucked_tension inverts plucked_frequency for any ends", "[belt][property]") {
  const double length = GENERATE(0.05, 0.3, 2.0);
  const double stiffness = GENERATE(0.0, 1e-9, 5e-5, 1e-3, 0.1);
  const double tension = GENERATE(0.5, 40.0, 900.0);
  const SpanEnds ends = GENERATE(SpanEnds::pinned, SpanEnds::clamped);
  CAPTURE(length, stiffness, tension);
  const PluckedSpan span = span_of(length, 0.0126, stiffness, ends);
  const Frequency f = plucked_frequency(span, newtons(tension));
  // A span that is nearly a beam hardly answers to its tension: there digits are lost.
  const double beam_share = stiffness * 500 / (length * length * tension);
  CHECK_THAT(in_newtons(plucked_tension(span, f)), WithinRel(tension, 1e-12 * (1 + beam_share)));
}

TEST_CASE("a clamped span without tension sounds as a clamped beam", "[belt][property]") {
  // The textbook root of cos x cosh x = 1: 4.730 040 745. Approached, as tension must be above 0.
  const PluckedSpan span = span_of(0.1, 0.0615, 1e-3);
  const double beam =
      std::pow(4.730040745, 2) / (2 * std::numbers::pi * 0.01) * std::sqrt(1e-3 / 0.0615);
  CHECK_THAT(in_hertz(plucked_frequency(span, newtons(1e-9))), WithinRel(beam, 1e-8));
}

TEST_CASE("a stiff span sounds higher clamped than pinned, and higher than a string",
          "[belt][property]") {
  const double tension = GENERATE(1.0, 30.0, 200.0);
  CAPTURE(tension);
  PluckedSpan span = span_of(0.15, 0.0252, 2e-4);
  const Frequency clamped = plucked_frequency(span, newtons(tension));
  span.ends = SpanEnds::pinned;
  const Frequency pinned = plucked_frequency(span, newtons(tension));
  span.bending_stiffness = {};
  CHECK(clamped > pinned);
  CHECK(pinned > plucked_frequency(span, newtons(tension)));
}

TEST_CASE("plucked_tension_bounds encloses the tension behind a frequency", "[belt][property]") {
  const PluckedSpan span = span_of(0.1, 0.0252, 2e-4);
  PluckedSpan pinned = span;
  pinned.ends = SpanEnds::pinned;
  const Frequency f =
      0.5 * (plucked_frequency(span, newtons(20)) + plucked_frequency(pinned, newtons(20)));
  const auto bounds = plucked_tension_bounds(span, f);
  CHECK(bounds.least < newtons(20));
  CHECK(bounds.most > newtons(20));
  CHECK_THAT(in_newtons(bounds.most), WithinRel(in_newtons(plucked_tension(pinned, f)), 1e-15));
}

TEST_CASE("strands beside a carriage have one tension and frequencies as their lengths",
          "[belt][property]") {
  const auto spans = carriage_loop_spans({.span = millimetres(1000),
                                          .carriage_gap = millimetres(60),
                                          .drive_to_carriage = millimetres(235)});
  CHECK_THAT(spans.drive_side, IsNear(millimetres(235), millimetres(1e-9)));
  CHECK_THAT(spans.idler_side, IsNear(millimetres(705), millimetres(1e-9)));
  CHECK_THAT(spans.return_side, IsNear(millimetres(1000), millimetres(1e-9)));
  PluckedSpan near = span_of(1, 0.0126);
  near.free_length = spans.drive_side;
  PluckedSpan far = near;
  far.free_length = spans.idler_side;
  CHECK_THAT(number(plucked_frequency(near, newtons(30)) / plucked_frequency(far, newtons(30))),
             WithinRel(3.0, 1e-13));
  CHECK(span_to_pluck(spans, true) == spans.return_side);
  CHECK(span_to_pluck(spans, false) == spans.idler_side);
  const auto other = carriage_loop_spans({.span = millimetres(1000),
                                          .carriage_gap = millimetres(60),
                                          .drive_to_carriage = millimetres(700)});
  CHECK(span_to_pluck(other, false) == other.drive_side);
}

TEST_CASE("the plucked formulas refuse what their tables exclude", "[belt][error]") {
  const PluckedSpan good = span_of(0.3, 0.0126, 5e-5);
  const auto refused = [&](auto change, const char* text) {
    PluckedSpan bad = good;
    change(bad);
    CHECK_THROWS_MATCHES(plucked_frequency(bad, newtons(20)), InvalidInput, Message(text));
    CHECK_THROWS_MATCHES(plucked_tension(bad, hertz(90)), InvalidInput, Message(text));
  };
  refused([](PluckedSpan& s) { s.free_length = unset<Length>(); },
          "free length must be > 0, got nan mm");
  refused([](PluckedSpan& s) { s.mass_per_length = kilograms_per_metre(0); },
          "mass per length must be > 0, got 0 kg/m");
  refused([](PluckedSpan& s) { s.bending_stiffness = newton_square_metres(-1); },
          "bending stiffness must be >= 0, got -1 N*m^2");
  CHECK_THROWS_MATCHES(plucked_frequency(good, unset<Force>()), InvalidInput,
                       Message("tension must be > 0, got nan N"));
  CHECK_THROWS_MATCHES(plucked_tension(good, hertz(0)), InvalidInput,
                       Message("frequency must be > 0, got 0 Hz"));
  // Below what the stiffness alone gives: pinned π/(2 L²) √(EI/µ) = 1.1 Hz.
  CHECK_THROWS_WITH(plucked_tension(good, hertz(2)),
                    StartsWith("the span sounds at 2.492 Hz by its bending stiffness alone"));
  PluckedSpan pinned = good;
  pinned.ends = SpanEnds::pinned;
  CHECK_NOTHROW(plucked_tension(pinned, hertz(2)));
  CHECK_THROWS_AS(plucked_tension(pinned, hertz(1)), OutsideValidity);
  CHECK_THROWS_AS(plucked_tension_bounds(good, hertz(2)), OutsideValidity);

  belt::CarriagePlace place{.span = millimetres(1000),
                            .carriage_gap = millimetres(60),
                            .drive_to_carriage = millimetres(940)};
  CHECK_THROWS_MATCHES(
      carriage_loop_spans(place), InvalidInput,
      Message("drive pulley to carriage must be > 0 and < span - carriage gap, got 940 mm"));
  place.carriage_gap = millimetres(-1);
  CHECK_THROWS_MATCHES(carriage_loop_spans(place), InvalidInput,
                       Message("carriage gap must be >= 0 and < span, got -1 mm"));
  place.span = unset<Length>();
  CHECK_THROWS_MATCHES(carriage_loop_spans(place), InvalidInput,
                       Message("span must be > 0, got nan mm"));
}

}  // namespace
}  // namespace pitchline
