#include "pitchline/check/search/what_binds.hpp"

#include <algorithm>
#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/check/rows/beam.hpp"
#include "pitchline/check/rows/belt_condition.hpp"
#include "pitchline/check/rows/belt_stage.hpp"
#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/rows/gantry.hpp"
#include "pitchline/check/rows/lift.hpp"
#include "pitchline/check/rows/motor_condition.hpp"
#include "pitchline/check/rows/steps.hpp"
#include "pitchline/check/rows/turning.hpp"

namespace pitchline::check {

AxisState at_acceleration(const AxisState& s, Acceleration a) {
  AxisState other = s;
  other.axis.want.acceleration = a;
  return other;
}

namespace detail {

bool allows(const Finding& f) { return !(f.margin < 1.0); }

}  // namespace detail

Binding binding_of(const AxisState& s, const Mechanism& mechanism) {
  const Finding now = mechanism.judge(s);
  Binding b;
  b.key = now.key;
  b.what = mechanism.what;
  b.reason = now.reason;
  if (now.margin != now.margin) return b;
  AxisState tried = s;
  const Acceleration most = hardest_for(s);
  b.allowed = motion::largest_holding(most, [&](Acceleration a) {
    tried.axis.want.acceleration = a;
    return detail::allows(mechanism.judge(tried));
  });
  if (b.allowed >= most) {
    b.allowed = unlimited<Acceleration>();
  } else {
    b.reason = mechanism.judge(at_acceleration(s, b.allowed)).reason;
  }
  b.margin = number(b.allowed / s.axis.want.acceleration);
  b.verdict = judge(b.margin);
  // What is unsure at the wanted acceleration is made neither sure nor a failure by a search.
  if (now.verdict == Verdict::unsure) b.verdict = Verdict::unsure;
  return b;
}

Binding speed_binding(const AxisState& s, const Finding& row, std::string what, Speed limit) {
  Binding b;
  b.key = row.key;
  b.what = std::move(what);
  b.speed_limit = limit;
  b.allowed = detail::allows(row) ? unlimited<Acceleration>() : Acceleration{};
  b.margin = number(limit / s.axis.want.speed);
  b.verdict = judge(b.margin);
  b.reason = row.reason;
  return b;
}

Binding stability_binding(const AxisState& s) {
  Binding b;
  b.key = "stability";
  b.what = "swings of the motor";
  const Finding now = stability_finding(s);
  b.reason = now.reason;
  AxisState tried = s;
  const Acceleration most = hardest_for(s);
  b.allowed = motion::largest_holding(most, [&](Acceleration a) {
    tried.axis.want.acceleration = a;
    return unstable_bands(tried).empty();
  });
  if (b.allowed >= most) b.allowed = unlimited<Acceleration>();
  b.margin = number(b.allowed / s.axis.want.acceleration);
  b.verdict = now.verdict == Verdict::holds ? judge(b.margin) : Verdict::unsure;
  return b;
}

std::vector<Mechanism> mechanisms(const AxisState& s) {
  std::vector<Mechanism> list{{"motor torque", torque_margin_finding}};
  if (s.has_belt()) {
    list.push_back({"belt strength", belt_tension_finding});
    list.push_back({"teeth in mesh", tooth_mesh_finding});
    if (!is_unset(s.axis.fitting.tension)) list.push_back({"slack strand", slack_strand_finding});
  }
  if (!is_unset(s.axis.want.corner_error))
    list.push_back({"stretch and lag while accelerating", corner_error_finding});
  if (s.has_belt() && s.belt().cross_shaft && !is_unset(s.axis.want.corner_error))
    list.push_back({"lag of the far side", cross_shaft_finding});
  if (s.axis.beam && !is_unset(s.axis.want.corner_error))
    list.push_back({"bending of the beam", beam_finding});
  if (s.is_turning() &&
      std::holds_alternative<axis::Rollers>(std::get<axis::RotaryAxis>(s.axis.drive).hold))
    list.push_back({"grip of the rollers", roller_grip_finding});
  if (s.has_belt() && s.belt().stage) {
    list.push_back({"belt of the stage", [](const AxisState& at) {
                      return stage_tension_finding(at, stage_state(at));
                    }});
    list.push_back({"teeth of the stage in mesh",
                    [](const AxisState& at) { return stage_mesh_finding(at, stage_state(at)); }});
  }
  if (s.axis.lift) {
    list.push_back({"push or pull in a screw", column_finding});
    if (s.axis.lift->belt) {
      list.push_back({"belt that ties the screws", lift_belt_tension_finding});
      list.push_back({"its teeth on the motor", lift_belt_mesh_finding});
    }
  }
  return list;
}

std::vector<Binding> what_binds(const AxisState& s,
                                const std::function<Finding(const AxisState&)>& supply) {
  std::vector<Binding> list{};
  for (const Mechanism& each : mechanisms(s)) list.push_back(binding_of(s, each));
  list.push_back(binding_of(s, {"supply power", supply}));
  list.push_back(stability_binding(s));

  const Finding pulses = pulse_rate_finding(s);
  list.push_back(speed_binding(s, pulses, "pulse rate", pulses.margin * s.axis.want.speed));
  if (s.axis.lift) {
    const Finding whirling = critical_speed_finding(s);
    list.push_back(
        speed_binding(s, whirling, "whirling of the screws", whirling.margin * s.axis.want.speed));
    if (screw_drive(s).screw.thread == parts::ThreadKind::ball) {
      const Finding balls = ball_speed_finding(s);
      list.push_back(
          speed_binding(s, balls, "speed of the balls", balls.margin * s.axis.want.speed));
    }
  }
  if (!is_unset(s.axis.want.position_error)) {
    // The lag of the rotor grows with speed, but no closed form gives the speed back.
    Binding b;
    const Finding row = position_error_finding(s);
    b.key = row.key;
    b.what = "stretch and lag at constant speed";
    b.margin = row.margin;
    b.verdict = row.verdict;
    b.reason = row.reason;
    if (row.margin == row.margin)
      b.allowed = detail::allows(row) ? unlimited<Acceleration>() : Acceleration{};
    list.push_back(std::move(b));
  }
  std::stable_sort(list.begin(), list.end(), [](const Binding& x, const Binding& y) {
    if (is_unset(x.allowed) || is_unset(y.allowed)) return !is_unset(x.allowed);
    return x.allowed < y.allowed;
  });
  return list;
}

Acceleration allowed_acceleration(const std::vector<Binding>& binds) {
  return binds.empty() || is_unset(binds.front().allowed) ? unlimited<Acceleration>()
                                                          : binds.front().allowed;
}

}  // namespace pitchline::check
