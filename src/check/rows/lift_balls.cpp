#include "pitchline/check/rows/lift_balls.hpp"

#include <algorithm>
#include <limits>
#include <string>

#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/check/rows/staying_up.hpp"
#include "pitchline/screw/ball_screw_life.hpp"
#include "pitchline/screw/ball_screw_size.hpp"
#include "pitchline/screw/critical_speed.hpp"

namespace pitchline::check {

Finding ball_speed_finding(const AxisState& s) {
  const auto& limit = screw::diameter_speed_limit(screw::BallScrewMake::rolled);
  Finding f = compared("ball_speed", "diameter times speed",
                       screw::diameter_speed(screw_drive(s).screw.mean_diameter, screw_speed(s)),
                       Bound::at_most, limit.limit);
  f.reason = fmt::format("of a {} ball screw at {}", limit.in_words, screw_speed(s));
  if (f.verdict != Verdict::holds)
    f.remedy = "more lead, or a ball screw that its maker rates for it";
  f.source = "[THK screws]";
  return f;
}

Force mean_ball_load(const AxisState& s) {
  const motion::AxisAtMotor nut = at_deciding_nut(s);
  const Force down = nut.gravity - nut.friction;
  const Length way = screw_drive(s).travel;
  return screw::mean_load({{nut.gravity + nut.friction, way}, {std::max(down, -down), way}});
}

Finding ball_life_finding(const AxisState& s) {
  const axis::ScrewBody& body = screw_drive(s).screw;
  const Length wanted = machine::fit_of(s.axis).life;
  const Length lead = lead_of(screw_drive(s));
  const Force load = mean_ball_load(s);
  const screw::LoadFactor& factor = screw::normal_load;
  Finding f;
  f.key = "ball_life";
  f.what = "life of the balls";
  f.value = Measure::ratio(std::nan(""));
  f.value_text = "not known";
  f.margin = is_unset(wanted) ? std::numeric_limits<double>::infinity() : std::nan("");
  f.verdict = is_unset(wanted) ? Verdict::holds : Verdict::unsure;
  f.source = "[THK screws]";
  f.formula =
      "dynamic rating over load factor and cubic mean load, to the third, times 10^6 turns; at "
      "constant speed, up and down";
  f.details.push_back(detail_of("mean load on the most loaded nut", load));
  if (is_unset(body.dynamic_rating)) {
    f.reason = fmt::format("nobody gives the dynamic rating of the screw; {} load it", load);
    f.remedy = is_unset(wanted) ? "" : "give drive.dynamic_rating from its maker";
    return f;
  }
  if (!(load > newtons(0))) {
    f.value_text = "without end";
    f.verdict = Verdict::holds;
    f.margin = std::numeric_limits<double>::infinity();
    f.reason = "nothing loads the balls";
    return f;
  }
  if (!is_unset(wanted)) {
    const Force needed =
        screw::needed_dynamic_rating(wanted / lead * revolution, load, factor.most);
    const Finding compared_to =
        compared("", "", needed, Bound::at_most, Measure(body.dynamic_rating));
    f.value = compared_to.value;
    f.value_text.clear();
    f.limit = compared_to.limit;
    f.margin = compared_to.margin;
    f.verdict = compared_to.verdict;
  }
  const bool outside = load > body.dynamic_rating / 2.0;
  if (outside) {
    f.reason = fmt::format(
        "{} is above half of the dynamic rating of {}, where no law of life "
        "holds",
        load, body.dynamic_rating);
    if (f.verdict != Verdict::fails) f.verdict = Verdict::unsure;
  } else {
    const auto life = [&](double by) {
      return Length(
          screw::ball_screw_life(
              {.dynamic_rating = body.dynamic_rating, .mean_load = load, .load_factor = by}) /
          revolution * lead);
    };
    const Length sure = life(factor.most);
    if (is_unset(wanted)) {
      f.value = sure;
      f.value_text = detail::in_kilometres(sure);
    }
    f.reason = fmt::format(
        "{} under {}, counted {} times{}: nine of ten last so long", detail::in_kilometres(sure),
        load, significant(factor.most, 2),
        is_unset(wanted) ? "" : fmt::format(", of {} wanted", detail::in_kilometres(wanted)));
    f.details.push_back({"life at the most load factor", detail::in_kilometres(sure), sure});
    f.details.push_back(
        {"life at the least", detail::in_kilometres(life(factor.least)), life(factor.least)});
  }
  if (f.verdict != Verdict::holds)
    f.remedy = "a ball screw of a higher rating, more lead, or more screws";
  return f;
}

Finding ball_static_finding(const AxisState& s) {
  const Force rating = screw_drive(s).screw.static_rating;
  const Force force = nut_peak_force(s);
  Finding f = compared("ball_static", "static safety of balls",
                       Measure::ratio(screw::static_safety({.rating = rating, .largest = force})),
                       Bound::at_least, Measure::ratio(screw::calm_static_safety));
  f.reason = fmt::format("{} of {} at the peak in the most loaded nut", rating, force);
  if (f.verdict != Verdict::holds) f.remedy = "a ball screw of a higher rating, or more screws";
  f.source = "[THK screws]: 2 where calm; other makers ask for 1 to 1.3";
  f.details.push_back(
      detail_of("asked for with shock", Measure::ratio(screw::shock_static_safety)));
  return f;
}

}  // namespace pitchline::check
