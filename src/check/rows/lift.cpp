#include "pitchline/check/rows/lift.hpp"

#include <string>
#include <utility>
#include <vector>

#include "pitchline/check/rows/lift_balls.hpp"
#include "pitchline/check/rows/lift_belt.hpp"
#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/check/rows/staying_up.hpp"

namespace pitchline::check {

std::vector<Finding> lift_screw_findings(const AxisState& s) {
  const axis::ScrewAxis& drive = screw_drive(s);
  const bool slides = std::holds_alternative<axis::ThreadFriction>(drive.loss);
  std::vector<Finding> list{staying_up_finding(s, *s.axis.lift)};
  if (slides) list.push_back(starting_torque_finding(s));
  list.push_back(column_finding(s));
  list.push_back(critical_speed_finding(s));
  if (drive.screw.thread == parts::ThreadKind::ball) {
    list.push_back(ball_speed_finding(s));
    list.push_back(ball_life_finding(s));
    if (!is_unset(drive.screw.static_rating)) list.push_back(ball_static_finding(s));
  }
  if (slides)
    for (Finding& f : nut_findings(s)) list.push_back(std::move(f));
  list.push_back(height_step_finding(s));
  return list;
}

std::vector<Finding> lift_findings(const AxisState& s) {
  std::vector<Finding> list = lift_screw_findings(s);
  if (screw_drive(s).stand) list.push_back(level_finding(s));
  if (s.axis.lift->belt) {
    list.push_back(lift_belt_tension_finding(s));
    list.push_back(lift_belt_mesh_finding(s));
    list.push_back(lift_belt_length_finding(s));
  }
  return list;
}

std::vector<std::string> lift_cautions(const AxisState& s) {
  std::vector<std::string> list;
  const auto up = staying_up_of(screw_drive(s));
  if (!up || up->verdict != screw::StaysUp::holds) {
    list.push_back(
        fmt::format("Axis {}: {}, so the bed falls when power goes. Never reach under it; hold it "
                    "by a brake, a "
                    "counterweight or a screw of less lead.",
                    s.axis.name,
                    !up ? "nobody knows whether its screw locks"
                    : up->verdict == screw::StaysUp::may_creep
                        ? "its screw locks only while friction is high, and "
                          "vibration lowers it"
                        : "its screw back-drives"));
  } else {
    list.push_back(fmt::format(
        "Axis {}: its screw holds the bed by friction alone. Oil, wear and shaking lower friction: "
        "never reach under a bed that nothing else holds.",
        s.axis.name));
  }
  if (s.motors() > 1) {
    list.push_back(
        fmt::format("Axis {}: its screws have a motor each and lose their common level when power "
                    "goes. Level the bed anew before it moves.",
                    s.axis.name));
  }
  return list;
}

}  // namespace pitchline::check
