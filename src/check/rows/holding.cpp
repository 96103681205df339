#include "pitchline/check/rows/holding.hpp"

#include <algorithm>
#include <optional>
#include <string>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/motion/duty_of_moves.hpp"
#include "pitchline/screw/power_screw.hpp"

namespace pitchline::check {

Torque turning_back_torque(const AxisState& s) {
  if (const auto* drive = s.drive_as<axis::ScrewAxis>()) {
    if (const auto* thread = std::get_if<axis::ThreadFriction>(&drive->loss)) {
      screw::PowerScrew slippery = axis::power_screw(drive->screw, *thread, thread->least);
      slippery.collar_friction = thread->least_collar_friction;
      return -screw::lowering_torque(slippery, s.seen.gravity) /
             to_double(drive->motor_turns_per_screw_turn);
    }
  }
  return motion::torque_at_rest(s.seen);
}

std::optional<Finding> holding_finding(const AxisState& s) {
  if (!(s.seen.gravity > newtons(0))) return std::nullopt;
  const double share = standstill_share(s);
  const Torque back = turning_back_torque(s);
  const Torque has = share * s.at_rest.torque;
  Finding f =
      compared("holding", "holding at standstill", std::max(Torque{}, back), Bound::at_most, has);
  f.source = fmt::format("statics; torque at rest: {}", s.at_rest.basis_in_words);
  f.formula =
      "gravity along the axis times the travel per angle, less what a thread takes at its "
      "least friction; against the torque at rest times standstill over running current";
  if (back <= Torque{}) {
    f.reason = "the thread locks by itself even at its least friction; vibration may lower that";
  } else {
    f.reason = fmt::format(
        "{} at the load turn the motor back with {}; with {} of its current it "
        "holds {}",
        s.seen.gravity, back, share < 1.0 ? significant(share, 3) : "all", has);
  }
  if (f.verdict != Verdict::holds) {
    const Current least = s.driver().current * number(back / s.at_rest.torque);
    f.remedy = back < s.at_rest.torque
                   ? fmt::format("a standstill current of {} or more, a brake or a counterweight",
                                 Current(1.2 * least))
                   : "a brake or a counterweight, a larger motor or a thread of smaller lead";
  }
  f.details.push_back(detail_of("gravity along the axis", s.seen.gravity));
  f.details.push_back(detail_of("part of the current at standstill", Measure::ratio(share)));
  return f;
}

std::vector<Row> holding_rows() {
  return {{.key = "holding",
           .asks = "what the load turns back with at rest against what the motor holds",
           .applies = [](const AxisState& s) { return s.seen.gravity > Force{}; },
           .judge = [](const AxisState& s) { return holding_finding(s).value(); }}};
}

}  // namespace pitchline::check
