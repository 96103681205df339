#include "pitchline/report/machine_report.hpp"

#include <limits>

#include "pitchline/check/axis_state.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

using check::compared;
using report::Bound;
using report::Finding;
using report::judge;
using report::Verdict;

constexpr double infinite = std::numeric_limits<double>::infinity();

TEST_CASE("judge turns at exactly one and at exactly 1.15", "[check][property]") {
  CHECK(judge(0.0) == Verdict::fails);
  CHECK(judge(std::nextafter(1.0, 0.0)) == Verdict::fails);
  CHECK(judge(1.0) == Verdict::tight);
  CHECK(judge(std::nextafter(1.15, 0.0)) == Verdict::tight);
  CHECK(judge(1.15) == Verdict::holds);
  CHECK(judge(infinite) == Verdict::holds);
  CHECK(judge(-1.0) == Verdict::fails);
}

TEST_CASE("a margin that is not known is unsure, never a pass", "[check][property]") {
  CHECK(judge(std::nan("")) == Verdict::unsure);
  CHECK(Finding{}.verdict == Verdict::unsure);
  const Length known = millimetres(1);
  const Length unknown = unset<Length>();
  for (const Bound bound : {Bound::at_most, Bound::at_least}) {
    CHECK(compared("k", "w", known, bound, unknown).verdict == Verdict::unsure);
    CHECK(compared("k", "w", unknown, bound, known).verdict == Verdict::unsure);
    CHECK(compared("k", "w", unknown, bound, unknown).verdict == Verdict::unsure);
    CHECK(compared("k", "w", unknown, bound, Length{}).verdict == Verdict::unsure);
    CHECK(compared("k", "w", Length{}, bound, unknown).verdict == Verdict::unsure);
  }
}

TEST_CASE("compared divides what is allowed by what is required", "[check][property]") {
  const Finding most = compared("k", "w", millimetres(2), Bound::at_most, millimetres(5));
  CHECK(most.margin == 2.5);
  CHECK(most.verdict == Verdict::holds);
  const Finding least = compared("k", "w", millimetres(2), Bound::at_least, millimetres(5));
  CHECK(least.margin == 0.4);
  CHECK(least.verdict == Verdict::fails);
  CHECK(least.key == "k");
  CHECK(least.what == "w");
  CHECK(least.value.text() == "2.000 mm");
  CHECK(least.limit.text() == "5.000 mm");
  CHECK(least.bound == Bound::at_least);
  // Nothing required: any value does.
  CHECK(compared("k", "w", Length{}, Bound::at_least, Length{}).margin == infinite);
  CHECK(compared("k", "w", millimetres(-1), Bound::at_most, millimetres(1)).margin == infinite);
  // Without end at most a limit: fails.
  CHECK(compared("k", "w", unlimited<Length>(), Bound::at_most, millimetres(1)).verdict ==
        Verdict::fails);
}

TEST_CASE("worst takes the gravest verdict of every axis and of what they share",
          "[check][property]") {
  const auto with = [](Verdict verdict) {
    Finding f;
    f.verdict = verdict;
    return f;
  };
  report::Report report;
  CHECK(report.worst() == Verdict::holds);
  report.axes.push_back({.name = "x", .findings = {with(Verdict::holds), with(Verdict::tight)}});
  CHECK(report.worst() == Verdict::tight);
  report.common.push_back(with(Verdict::unsure));
  CHECK(report.worst() == Verdict::unsure);
  report.axes.push_back({.name = "y", .findings = {with(Verdict::fails), with(Verdict::holds)}});
  CHECK(report.worst() == Verdict::fails);
}

TEST_CASE("each verdict has its word", "[check][property]") {
  CHECK(report::word(Verdict::holds) == "holds");
  CHECK(report::word(Verdict::tight) == "tight");
  CHECK(report::word(Verdict::unsure) == "unsure");
  CHECK(report::word(Verdict::fails) == "fails");
}

}  // namespace
}  // namespace pitchline
