#include "pitchline/check/rows/motor_shaft.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "pitchline/belt/pulley.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/belt_stage.hpp"

namespace pitchline::check {

namespace detail {

struct KnownShaft {
  UsualShaft range{};  // one diameter where the motor says it
  bool given = false;
  std::string source{};
  [[nodiscard]] bool known() const { return !is_unset(range.thickest); }
};

// The pulley that sits on the motor's shaft.
struct MotorPulley {
  const parts::BeltProfile& profile;
  int teeth = 0;
};

constexpr std::string_view how_to_give_shaft =
    "give the motor's shaft from its data sheet: motor = { like = \"...\", shaft = \"5 mm\" }";

}  // namespace detail

namespace detail {

namespace {
KnownShaft shaft_of(const parts::StepperMotor& motor) {
  if (!is_unset(motor.shaft_diameter))
    return {{motor.frame, motor.shaft_diameter, motor.shaft_diameter},
            true,
            "shaft: figures of the motor"};
  for (const UsualShaft& usual : usual_shafts)
    if (usual.frame == motor.frame)
      return {usual, false,
              fmt::format("shaft: usual for frame {}, not of this motor", usual.frame)};
  return {};
}

MotorPulley motor_pulley(const axis::BeltAxis& drive) {
  if (drive.stage) return {drive.stage->profile, drive.stage->motor_teeth};
  return {drive.belt.profile, drive.pulley_teeth};
}
}  // namespace

std::string in_words(const UsualShaft& shaft) {
  if (shaft.thinnest == shaft.thickest) return print_plain(shaft.thickest);
  return fmt::format("{} or {}", print_plain(shaft.thinnest), print_plain(shaft.thickest));
}

namespace {
// Where the builder says the bore: whether it goes on the shaft. One that does not decides the row.
void judge_fit(Finding& f, Length bore, const KnownShaft& shaft) {
  const Length thickest = shaft.range.thickest;
  f.details.push_back(detail_of("bore of the pulley", bore));
  f.details.push_back(
      detail_of("bore less shaft", belt::shaft_fit({.bore = bore, .shaft = thickest}).clearance));
  if (belt::shaft_fit({.bore = bore, .shaft = shaft.range.thinnest}).fits &&
      belt::shaft_fit({.bore = bore, .shaft = thickest}).fits) {
    f.reason += fmt::format("; the bore of {} fits", print_plain(bore));
    return;
  }
  f.reason += fmt::format("; the bore of {} {} fit", print_plain(bore),
                          shaft.given ? "does not" : "may not");
  if (!shaft.given) {
    f.verdict = std::max(f.verdict, Verdict::unsure);
    f.remedy = how_to_give_shaft;
    return;
  }
  const bool loose = bore > thickest;
  const Finding judged = compared({}, {}, bore, loose ? Bound::at_most : Bound::at_least, thickest);
  f.value = judged.value;
  f.limit = judged.limit;
  f.bound = judged.bound;
  f.margin = judged.margin;
  f.verdict = Verdict::fails;
  f.remedy = fmt::format("a pulley with a bore of {}", print_plain(thickest));
}
}  // namespace

}  // namespace detail

Finding pulley_bore_finding(const AxisState& s) {
  const detail::MotorPulley pulley = detail::motor_pulley(s.belt());
  const detail::KnownShaft shaft = detail::shaft_of(s.motor());
  const Length bore = s.axis.fitting.bore;
  const Length most = belt::bore_at_grooves(pulley.profile, pulley.teeth);
  Finding f;
  f.key = "pulley_bore";
  f.what = "shaft in the pulley";
  f.source = "not known";
  if (!shaft.known()) {
    f.value = unset<Length>();
    f.value_text = "unknown";
    f.reason = "the shaft diameter of the motor is not known";
    f.remedy = detail::how_to_give_shaft;
    return f;
  }
  if (is_unset(most)) {
    f.value = shaft.range.thickest;
    f.reason = fmt::format(
        "no source gives the grooves of \"{}\", so how much bore a pulley of {} "
        "teeth leaves is not known",
        pulley.profile.name, pulley.teeth);
    f.remedy = fmt::format("see in the maker's list whether {} teeth come with a bore of {}",
                           pulley.teeth, detail::in_words(shaft.range));
    f.source = shaft.source;
  } else {
    f = compared("pulley_bore", "shaft in the pulley", shaft.range.thickest, Bound::at_most, most);
    f.reason = fmt::format("the shaft of {} in a pulley of {} teeth, whose grooves leave {}",
                           detail::in_words(shaft.range), pulley.teeth, most);
    f.source = fmt::format("geometry; {}; {}", pulley.profile.pitch_line_differential.source,
                           shaft.source);
    f.formula =
        "largest bore = p z/pi - 2 u - 2 h; p pitch, z teeth, u pitch line to tooth root, h tooth "
        "height";
    // An assumed shaft, or the thickest of several, proves no failure.
    if (f.verdict == Verdict::fails && !shaft.given) f.verdict = Verdict::unsure;
    if (f.verdict == Verdict::fails)
      f.remedy = "more teeth on the motor's shaft";
    else if (f.verdict == Verdict::unsure)
      f.remedy = detail::how_to_give_shaft;
    else if (f.verdict == Verdict::tight)
      f.remedy = "see in the maker's list that this pulley comes with such a bore";
    f.details.push_back(
        detail_of("wall under the grooves",
                  belt::wall_under_teeth(pulley.profile, pulley.teeth, shaft.range.thickest)));
    f.details.push_back(
        detail_of("diameter over the teeth", belt::outside_diameter(pulley.profile, pulley.teeth)));
  }
  if (!is_unset(bore)) detail::judge_fit(f, bore, shaft);
  return f;
}

Finding shaft_load_finding(const AxisState& s) {
  const parts::StepperMotor& motor = s.motor();
  Force tension = detail::strand_tension(s);
  Angle wrap = degrees(180);
  if (s.belt().stage) {
    const StageState stage = stage_state(s);
    tension = stage.tension;
    wrap = stage.wraps.first.angle;
  }
  const Force load =
      belt::shaft_load({.first_strand = tension, .second_strand = tension, .wrap = wrap});
  belt::Limit limit{.value = motor.shaft_load, .source = "figures of the motor"};
  if (limit.known() && !is_unset(motor.shaft_load_at))
    limit.source += fmt::format(", at {} from its flange", print_plain(motor.shaft_load_at));
  if (!limit.known())
    limit.asks = fmt::format(
        "compare {} with the radial load of the motor's data sheet and the place on the shaft that "
        "it names; motor = {{ like = \"...\", shaft_load = \"...\" }} says it here",
        load);
  Finding f = detail::against("shaft_load", "load on the motor shaft", load, limit);
  f.reason = fmt::format("two strands of {} at rest pull at it round {} of wrap", tension, wrap);
  if (!limit.known()) f.reason += "; what the motor bears is not known";
  if (limit.known() && f.verdict != Verdict::holds)
    f.remedy =
        "less belt tension, a reduction stage with its own belt, or a bearing beyond the pulley";
  f.formula = "R = 2 T0 sin(wrap/2); T0 tension of each strand at rest";
  f.details.push_back(detail_of("tension of each strand at rest", tension));
  f.details.push_back(detail_of("wrap of the motor's pulley", wrap));
  if (!is_unset(motor.shaft_load_at))
    f.details.push_back(detail_of("place of the load that it bears", motor.shaft_load_at));
  return f;
}

std::vector<Row> motor_shaft_rows() {
  const auto has_belt = [](const AxisState& s) { return s.has_belt(); };
  return {{.key = "pulley_bore",
           .asks = "shaft of the motor against the largest bore of the pulley on it",
           .applies = has_belt,
           .judge = pulley_bore_finding},
          {.key = "shaft_load",
           .asks = "load of the belt at rest on the motor's shaft against what that bears",
           .applies = has_belt,
           .judge = shaft_load_finding,
           .rests_on = RestsOn::force}};
}

}  // namespace pitchline::check
