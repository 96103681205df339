#include "pitchline/check/rows/vibration.hpp"

#include <algorithm>
#include <limits>
#include <string>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/motion/residual_vibration.hpp"
#include "pitchline/motion/tuned_ramp.hpp"
#include "pitchline/motion/worst_swing.hpp"

namespace pitchline::check {

SwingLeft swing_left(const AxisState& s, const motion::ElasticMode& mode) {
  const machine::Want& want = s.axis.want;
  SwingLeft left;
  left.any_stroke = is_unset(want.stroke);
  left.worst = motion::worst_swing(s.seen, mode, wanted_move(want), motion::MovePhase::stopped);
  if (left.any_stroke) {
    left.planned = left.worst;
    return left;
  }
  const motion::Trapezoid move =
      motion::fastest_trapezoid(want.stroke, {want.speed, want.acceleration, want.acceleration});
  left.planned = motion::residual_amplitude(
      mode, {.trapezoid = move, .up_jerk_time = want.jerk_time, .down_jerk_time = want.jerk_time});
  return left;
}

Finding residual_vibration_finding(const AxisState& s) {
  const machine::Want& want = s.axis.want;
  Finding f;
  f.key = "residual_vibration";
  f.what = "residual vibration";
  f.source = "superposed step answers, derived [residual vibration]; damping assumed";
  f.formula =
      "ln(amplitude / position error) / (damping ratio * omega); amplitude of the answer to the "
      "move's steps of acceleration, at most 4 * acceleration / omega^2; at the worst phase with "
      "all "
      "moves in a row, and with what the drive winds up against friction before a start";
  if (!s.swing) {
    f.value = unset<Time>();
    f.value_text = "unknown";
    f.reason = "the stiffness of the drive between motor and load is not known";
    f.remedy =
        "give the stiffness of the drive from the maker's data, of a belt "
        "drive.tension_per_strain";
    return f;
  }
  const motion::ElasticMode& mode = *s.swing;
  const SwingLeft left = swing_left(s, mode);
  const bool error_asked = !is_unset(want.position_error);
  const bool rest_asked = error_asked && want.repeats > 1 && want.dwell > seconds(0);
  const std::string swing =
      left.any_stroke ? fmt::format("a move of the worst length leaves a swing of {} at {}",
                                    left.planned, mode.natural_frequency)
                      : fmt::format("the move over {} leaves a swing of {} at {}",
                                    print_plain(want.stroke), left.planned, mode.natural_frequency);
  const auto hold = [&] {
    f.margin = std::numeric_limits<double>::infinity();
    f.verdict = Verdict::holds;
  };
  if (!error_asked) {
    f.value = left.planned;
    f.reason = swing + "; no position error is asked";
    hold();
  } else {
    const Time settling =
        motion::settling_time(mode, {.amplitude = left.planned, .tolerance = want.position_error});
    const Time at_worst =
        motion::settling_time(mode, {.amplitude = left.worst, .tolerance = want.position_error});
    f.value = settling;
    if (!is_finite(settling)) f.value_text = "never settles";
    const std::string settles =
        is_finite(settling)
            ? fmt::format("settles to {} in {}", print_plain(want.position_error), settling)
            : fmt::format("does not settle to {} without damping",
                          print_plain(want.position_error));
    if (rest_asked) {
      // A planned swing counts on the frequency being right; the margin is of the worse of the two.
      const Time longer = std::max(settling, at_worst);
      const Finding judged = compared(f.key, f.what, longer, Bound::at_most, want.dwell);
      f.value = longer;
      f.value_text = is_finite(longer) ? "" : "never settles";
      f.limit = want.dwell;
      f.margin = judged.margin;
      f.verdict = judged.verdict;
      const bool certain = settling > want.dwell && is_finite(settling) && !left.any_stroke;
      if (f.verdict == Verdict::fails && !certain) f.verdict = Verdict::unsure;
      f.reason = fmt::format(
          "{}, which {}; at the worst phase of every corner {}; the rest is {}", swing, settles,
          is_finite(at_worst) ? fmt::format("it takes {}", at_worst) : std::string("it never does"),
          print_plain(want.dwell));
    } else {
      f.reason = fmt::format("{}, which {}; no rest between moves is asked", swing, settles);
      hold();
    }
    f.details.push_back(detail_of("time in which it settles", settling));
    f.details.push_back(detail_of("the same at the worst phase", at_worst));
  }
  const motion::TunedRamp tuned = motion::tuned_ramp(mode, wanted_move(want));
  if (f.verdict != Verdict::holds) {
    f.remedy = fmt::format(
        "ramps of {}, that is {}; or a jerk time of {}; else a stiffer drive or a longer rest",
        tuned.ramp, tuned.acceleration, tuned.jerk_time);
  }
  f.details.push_back(detail_of("frequency of the swing", mode.natural_frequency));
  f.details.push_back(detail_of("damping ratio", Measure::ratio(mode.damping_ratio.value())));
  f.details.push_back(detail_of("swing after the move", left.planned));
  f.details.push_back(detail_of("swing at the worst phase", left.worst));
  f.details.push_back(detail_of("most that one ramp leaves without friction, 2 a/omega^2",
                                motion::worst_residual_of_one_ramp(mode, want.acceleration)));
  f.details.push_back(detail_of("most that one move leaves without friction, 4 a/omega^2",
                                motion::worst_residual(mode, want.acceleration)));
  f.details.push_back(detail_of("tuned ramp", tuned.ramp));
  f.details.push_back(detail_of("acceleration that makes it", tuned.acceleration));
  f.details.push_back(detail_of("swing after one such ramp", tuned.leaves));
  f.details.push_back(detail_of("or a jerk time of", tuned.jerk_time));
  f.details.push_back(detail_of("swing after one ramp with it", tuned.jerk_leaves));
  return f;
}

std::vector<Row> vibration_rows() {
  return {{.key = "residual_vibration",
           .asks = "time in which the swing after a move settles against the rest between two",
           .applies = always,
           .judge = residual_vibration_finding}};
}

}  // namespace pitchline::check
