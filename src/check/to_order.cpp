#include "pitchline/check/to_order.hpp"

#include <variant>
#include <vector>

#include "pitchline/axis/turned_work.hpp"
#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/rows/belt_condition.hpp"
#include "pitchline/check/rows/steps.hpp"
#include "pitchline/motion/steps_per_turn.hpp"

namespace pitchline::check {

namespace {

report::PulsesToSet pulses_to_set(const AxisState& s) {
  report::PulsesToSet pulses{.decimals = s.machine.controller.decimals,
                             .per_degree = s.is_turning()};
  if (const auto* turning = s.drive_as<axis::RotaryAxis>())
    pulses.exact = axis::pulses_per_degree(*turning, turning->heaviest_diameter_millimetres);
  else
    pulses.exact = exact_steps_per_millimetre(s);
  pulses.kept = motion::kept_at(pulses.exact, pulses.decimals);
  return pulses;
}

}  // namespace

std::vector<report::BeltToOrder> to_order(const AxisState& s) {
  if (!s.has_belt()) return {};
  const axis::BeltAxis& drive = s.belt();
  const bool two_sides = drive.motors == 2 || drive.cross_shaft;
  return {{.pieces = two_sides ? 2 : 1,
           .profile = drive.belt.profile.name,
           .width = drive.belt.width,
           .length = detail::belt_to_order(s)}};
}

report::ToSet to_set(const AxisState& s) {
  report::ToSet set{.pulses = pulses_to_set(s),
                    .rms = parts::current_rms(s.driver()),
                    .peak = s.winding().amplitude};
  if (s.has_belt() && is_unset(s.axis.fitting.tension)) {
    const belt::TensionToSet tension = detail::tension_to_set(s);
    set.strand_tension = detail::strand_tension(s);
    if (!is_unset(tension.least)) set.strand_tension_least = tension.least;
    if (!is_unset(tension.most)) set.strand_tension_most = tension.most;
    set.note = detail::strand_note(s, *set.strand_tension);
  }
  return set;
}

}  // namespace pitchline::check
