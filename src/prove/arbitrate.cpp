#include "pitchline/prove/arbitrate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/accuracy.hpp"
#include "pitchline/prove/runs_of_move.hpp"

namespace pitchline::prove {

using report::Finding;
using report::Verdict;

namespace {

// Motion of all runs of a machine: some tenth of a second of computing.
const Time motion_of_a_machine = seconds(40);
// What is added to the largest force and error of the runs, for what lies between them.
constexpr double between_the_runs = 1.1;

bool rests_on(std::string_view key, check::RestsOn what) {
  const check::Row* row = check::row_named(key);
  return row != nullptr && row->rests_on == what;
}
bool is_by_force(std::string_view key) { return rests_on(key, check::RestsOn::force); }
bool is_by_torque(std::string_view key) { return rests_on(key, check::RestsOn::torque); }
bool in_doubt(const Finding& f) {
  return f.verdict == Verdict::fails || f.verdict == Verdict::unsure;
}

std::string in_words(const RunsOfMove& runs, const check::AxisState& s) {
  std::string strokes;
  for (const Length& each : runs.strokes)
    strokes += (strokes.empty() ? "" : ", ") + print_plain(each, 3);
  return fmt::format(
      "simulated over {} with stiffness and damping over their range and half of the motor's "
      "damping, {} runs with 1/{} of the torque",
      strokes, runs.runs, significant(s.machine.torque_margin.value(), 3));
}

// The row judged anew by the forces and errors of the runs.
std::optional<Finding> judged_by_runs(const check::AxisState& s, const RunsOfMove& runs,
                                      std::string_view key) {
  if (key == "corner_error") {
    const auto still = check::position_error(s, s.stiffness, Force{}, Torque{}, AngularSpeed{});
    if (!still) return std::nullopt;
    const Length error = between_the_runs * runs.error + still->step_error;
    Finding f = check::compared("corner_error", "corner error", error, report::Bound::at_most,
                                s.axis.want.corner_error);
    f.reason = fmt::format("the tool is off by up to {}, step {}", runs.error, still->step_error);
    f.source = "simulated";
    return f;
  }
  const check::Row* row = check::row_named(key);
  if (row == nullptr || row->judge == nullptr || !row->applies(s)) return std::nullopt;
  check::AxisState simulated = s;
  check::MoveLoads loads = s.loads();
  loads.belt_force = std::min(loads.belt_force, Force(between_the_runs * runs.belt_force));
  simulated.known_loads = loads;
  simulated.known_move = check::wanted_move(s.axis.want);
  return row->judge(simulated);
}

void let_hold(Finding& f, const std::string& how) {
  f.verdict = Verdict::holds;
  f.reason += "; it completes, " + how;
  f.remedy.clear();
}

// What binds allows what the row was found to allow.
void bind(report::AxisReport& axis, const Finding& f, Acceleration wanted) {
  for (report::Binding& b : axis.binds) {
    if (b.key != f.key || !(b.allowed < wanted || b.verdict == Verdict::unsure)) continue;
    if (b.allowed < wanted) {
      b.at_worst = b.allowed;
      b.allowed = wanted;
    }
    b.least = {};
    b.margin = number(b.allowed / wanted);
    b.verdict = f.verdict;
    b.reason = f.reason;
  }
}

void decide(report::AxisReport& axis, const check::AxisState& s, const RunsOfMove& runs) {
  const std::string how = in_words(runs, s);
  const Acceleration wanted = s.axis.want.acceleration;
  for (Finding& f : axis.findings) {
    if (!in_doubt(f)) continue;
    if (is_by_torque(f.key)) {
      if (runs.lost == 0) {
        let_hold(f, how);
      } else if (f.key != "stability") {
        f.verdict = Verdict::fails;
        f.reason += fmt::format(
            "; {}: {} lose steps, as at {} of the stiffness with a damping of {}", how, runs.lost,
            significant(runs.stiffness_of_lost, 2), significant(runs.damping_of_lost.value(), 2));
        continue;
      } else {
        f.reason += fmt::format("; {}: {} lose steps", how, runs.lost);
        continue;
      }
    } else if (runs.lost == 0 && (is_by_force(f.key) || f.key == "corner_error")) {
      std::optional<Finding> anew = judged_by_runs(s, runs, f.key);
      if (!anew || anew->verdict >= f.verdict) continue;
      anew->reason += "; " + how;
      f = std::move(*anew);
    } else {
      continue;
    }
    bind(axis, f, wanted);
  }
  std::stable_sort(axis.binds.begin(), axis.binds.end(),
                   [](const report::Binding& x, const report::Binding& y) {
                     if (is_unset(x.allowed) || is_unset(y.allowed)) return !is_unset(x.allowed);
                     return x.allowed < y.allowed;
                   });
}

// Whether runs could change what a report says of an axis.
bool asks_for_runs(const report::AxisReport& axis) {
  bool any = false;
  for (const Finding& f : axis.findings) {
    // What a rigid axis lacks torque for, an elastic one does not get.
    if ((f.key == "accelerating_torque" || f.key == "constant_speed_torque" ||
         f.key == "pull_out_torque") &&
        f.verdict == Verdict::fails)
      return false;
    const bool decidable = is_by_torque(f.key) || is_by_force(f.key) || f.key == "corner_error";
    any = any || (decidable && in_doubt(f) && f.margin == f.margin) ||
          (f.key == "stability" && in_doubt(f));
  }
  return any;
}

bool swings_in_doubt(const report::AxisReport& axis) {
  return std::any_of(axis.findings.begin(), axis.findings.end(),
                     [](const Finding& f) { return f.key == "stability" && in_doubt(f); });
}

}  // namespace

void arbitrate(report::Report& report, const machine::Machine& machine) {
  for (report::AxisReport& axis : report.axes) {
    const auto own =
        std::find_if(machine.axes.begin(), machine.axes.end(),
                     [&](const machine::Axis& each) { return each.name == axis.name; });
    if (own == machine.axes.end())
      throw InvalidInput("axes of the report", "those of the machine", 0.0, "");
    if (!asks_for_runs(axis)) continue;
    const check::AxisState s = check::state_of(machine, *own);
    const Time most = motion_of_a_machine / static_cast<double>(report.axes.size());
    if (const auto runs = runs_of_wanted_move(s, swings_in_doubt(axis), most))
      decide(axis, s, *runs);
  }
}

report::Report checked(const machine::Machine& machine, const check::Effort& effort) {
  report::Report report = check::check_machine(machine, effort);
  arbitrate(report, machine);
  return report;
}

}  // namespace pitchline::prove
