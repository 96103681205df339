#include "pitchline/prove/arbitrate.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>

#include "pitchline/check/rows/drive.hpp"
#include "pitchline/prove/as_simulated.hpp"
#include "pitchline/prove/move_proof.hpp"
#include "pitchline/simulate/completing.hpp"

namespace pitchline::prove {

using report::Finding;
using report::Verdict;

namespace {

// Of a run that is to take no time. The verdicts of the drawn axes are the same at half of it.
const simulate::Settings quick{.step = seconds(60e-6)};
// Some tenth of a second of computing.
const Time most_motion = seconds(10);

std::array<Acceleration, 6> spread(Acceleration allowed, Acceleration wanted) {
  std::array<Acceleration, 6> list;
  for (std::size_t n = 0; n < 5; ++n)
    list.at(n) = allowed * std::pow(0.03, 1.0 - static_cast<double>(n) / 4.0);
  list.at(5) = wanted;
  std::sort(list.begin(), list.end());
  return list;
}

void let_decide(Finding& f, const machine::Machine& machine, const machine::Axis& axis) {
  const check::AxisState s = check::state_of(machine, axis);
  const Acceleration wanted = axis.want.acceleration;
  const Acceleration allowed = allowed_by_torque(s);
  if (!(s.seen.breakaway > Force{}) || is_unset(s.stiffness) || !(wanted <= allowed)) return;
  motion::RunningMove move = check::wanted_move(axis.want);
  const std::array<Acceleration, 6> tries = spread(allowed, wanted);
  move.stroke = stroke_to_search(s, move.speed, tries.front());
  Time motion{};
  for (const Acceleration& a : tries) {
    move.acceleration = a;
    motion += simulate::command_of(move, simulate::usual_settling).duration();
  }
  if (motion > most_motion) {
    f.remedy = fmt::format(
        "pitchline-move --largest from {} up; here its {} of motion would take too long. Or less "
        "static friction",
        tries.front(), motion);
    return;
  }
  const simulate::SimulatedAxis simulated = as_simulated(s);
  for (const Acceleration& a : tries) {
    move.acceleration = a;
    if (simulate::completes(simulated, move, quick)) continue;
    f.verdict = Verdict::fails;
    f.reason += fmt::format("; simulated: it loses steps at {}", a);
    f.remedy =
        "less static friction, more torque, or another acceleration that pitchline-move "
        "completes";
    return;
  }
  f.verdict = report::judge(f.margin);
  f.reason += fmt::format("; simulated: it completes at {}, {} and four between", tries.front(),
                          tries.back());
  f.remedy.clear();
}

// What binds says of the same row what the row says.
void bind_as_decided(report::AxisReport& axis, const Finding& f) {
  for (report::Binding& b : axis.binds)
    if (b.key == f.key)
      b.verdict = f.verdict == Verdict::fails ? f.verdict : report::judge(b.margin);
}

}  // namespace

void arbitrate(report::Report& report, const machine::Machine& machine) {
  for (report::AxisReport& axis : report.axes) {
    const auto own =
        std::find_if(machine.axes.begin(), machine.axes.end(),
                     [&](const machine::Axis& each) { return each.name == axis.name; });
    if (own == machine.axes.end())
      throw InvalidInput("axes of the report", "those of the machine", 0.0, "");
    for (Finding& f : axis.findings) {
      if (f.key != "torque_margin" || f.verdict != Verdict::unsure) continue;
      let_decide(f, machine, *own);
      if (f.verdict != Verdict::unsure) bind_as_decided(axis, f);
    }
  }
}

}  // namespace pitchline::prove
