#include "pitchline/check/rows/lift.hpp"

#include <string>
#include <utility>
#include <vector>

#include "pitchline/check/rows/lift_balls.hpp"
#include "pitchline/check/rows/lift_belt.hpp"
#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/check/rows/staying_up.hpp"

namespace pitchline::check {

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
