#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include "pitchline/belt/pulley.hpp"
#include "pitchline/check/rows/belt_condition.hpp"

namespace pitchline::check {

namespace detail {

Finding smallest_pulley(std::string key, std::string what, const parts::BeltProfile& profile,
                        int tooth_count, AngularSpeed speed) {
  const belt::FewestTeeth fewest = belt::fewest_teeth(profile, speed);
  Finding f = compared(std::move(key), std::move(what), Measure::ratio(tooth_count),
                       Bound::at_least, Measure::ratio(fewest.teeth));
  f.value_text = fmt::format("{}", tooth_count);
  f.source = fewest.known() ? fewest.source : "not known";
  if (!fewest.known()) {
    f.margin = std::nan("");
    f.verdict = Verdict::unsure;
    f.reason = fmt::format("no smallest pulley of belt profile \"{}\" is known{}", profile.name,
                           fewest.beyond_listed_speed ? " at this speed" : "");
    f.remedy = "ask the maker of the belt for the smallest pulley at this speed";
    return f;
  }
  // Tooth counts are whole: the smallest allowed is allowed, and one more is no better margin.
  f.verdict = tooth_count >= fewest.teeth ? Verdict::holds : Verdict::fails;
  if (f.verdict == Verdict::holds) f.margin = std::numeric_limits<double>::infinity();
  f.reason = fmt::format("{} teeth at {}; the belt bends round {} or more", tooth_count, speed,
                         fewest.teeth);
  return f;
}

}  // namespace detail

Finding smallest_pulley_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  Finding f = detail::smallest_pulley("smallest_pulley", "pulley teeth", drive.belt.profile,
                                      drive.pulley_teeth, detail::pulley_speed(s));
  if (f.verdict == Verdict::fails) f.remedy = "a larger pulley, with a reduction stage if need be";
  return f;
}

}  // namespace pitchline::check
