#include "pitchline/check/to_order.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

namespace detail {

std::optional<std::string> text_of(const std::vector<Finding>& findings, std::string_view key,
                                   std::string_view label) {
  for (const Finding& f : findings) {
    if (f.key != key) continue;
    if (label.empty()) return f.value_text.empty() ? f.value.text() : f.value_text;
    for (const Detail& d : f.details)
      if (d.label == label) return d.text;
  }
  return std::nullopt;
}

}  // namespace detail

std::string to_order(const AxisState& s, const std::vector<Finding>& findings) {
  if (!s.has_belt()) return {};
  const axis::BeltAxis& drive = s.belt();
  const bool two_sides = drive.motors == 2 || drive.cross_shaft;
  std::string text;
  if (const auto length = detail::text_of(findings, "belt_tension",
                                          "belt to order for each side, clamps included")) {
    text = fmt::format("{}belt {}, {} wide, {} long, clamps included", two_sides ? "2 times " : "",
                       drive.belt.profile.name, print_plain(drive.belt.width), *length);
  }
  return text;
}

std::string to_set(const AxisState& s, const std::vector<Finding>& findings) {
  std::string text;
  const auto add = [&](std::string_view what, const std::optional<std::string>& value) {
    if (value) text += fmt::format("{}{} {}", text.empty() ? "" : "; ", what, *value);
  };
  add("steps per mm", detail::text_of(findings, "steps_per_mm", ""));
  add("pulses per degree", detail::text_of(findings, "steps_per_degree", ""));
  add("driver",
      fmt::format("{} RMS = {} peak", parts::current_rms(s.driver()), s.winding().amplitude));
  add("tension of each strand",
      detail::text_of(findings, "belt_tension", "tension to set, each strand"));
  return text;
}

}  // namespace pitchline::check
