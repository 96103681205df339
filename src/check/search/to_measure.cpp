#include "pitchline/check/search/to_measure.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <string>
#include <string_view>

#include "pitchline/check/row.hpp"

namespace pitchline::check {

namespace {

using machine::UsualFigure;

struct Range {
  UsualFigure figure;
  std::string_view what;
  std::string_view key;
  bool rows_have_a_band;
  std::function<std::string(axis::BeltAxis&, bool)> set;  // to an end; what it is then, in words
};

std::string end_of(double value) { return significant(value, 2); }

double most_static_ratio(std::string_view kind) {
  if (kind == "wheels") return 2.0;
  return kind == "plain" ? 2.3 : 1.5;
}

const std::array<Range, 4>& ranges() {
  static const std::array<Range, 4> all = {
      Range{UsualFigure::stiffness_share, "stiffness of the axis", "drive.stiffness_share", true,
            [](axis::BeltAxis& d, bool low) {
              d.stiffness_share = StiffnessShare(low ? 0.4 : 1.0);
              return end_of(d.stiffness_share.value());
            }},
      Range{UsualFigure::belt_damping, "damping of the load on its belt", "drive.damping_ratio",
            true,
            [](axis::BeltAxis& d, bool low) {
              d.belt_damping = DampingRatio(low ? 0.01 : 0.07);
              return end_of(d.belt_damping.value());
            }},
      Range{UsualFigure::belt_drag, "drag of the belt", "drive.belt_drag", false,
            [](axis::BeltAxis& d, bool low) {
              d.belt_drag *= low ? 1.0 / 3.0 : 3.0;
              return print(d.belt_drag, 2);
            }},
      Range{UsualFigure::static_friction, "static friction", "guide.breakaway", false,
            [](axis::BeltAxis& d, bool low) {
              d.guide.static_ratio = StaticRatio(low ? 1.0 : most_static_ratio(d.guide.kind));
              return end_of(d.guide.static_ratio.value()) + " times the running one";
            }}};
  return all;
}

void append(std::string& list, std::string_view name) {
  list += (list.empty() ? "" : ", ") + std::string(name);
}

}  // namespace

std::vector<report::FigureToMeasure> to_measure(const AxisState& s,
                                                const std::vector<Finding>& now) {
  std::vector<report::FigureToMeasure> list;
  if (!s.has_belt()) return list;
  for (const Range& range : ranges()) {
    const auto& usual = s.axis.usual;
    if (std::find(usual.begin(), usual.end(), range.figure) == usual.end()) continue;
    for (const bool low : {true, false}) {
      machine::Axis other = s.axis;
      const std::string value = range.set(machine::belt_drive(other), low);
      AxisState there = state_of(s.machine, other);
      there.in_words = false;
      std::string failing;
      std::string holding;
      for (const Finding& then : findings_of(there)) {
        const Row* row = row_named(then.key);
        if (range.rows_have_a_band && row != nullptr && row->rests_on != RestsOn::nothing) continue;
        const auto same = std::find_if(now.begin(), now.end(),
                                       [&](const Finding& f) { return f.key == then.key; });
        if (same == now.end()) continue;
        const bool fails = then.verdict == Verdict::fails;
        if (fails == (same->verdict == Verdict::fails)) continue;
        append(fails ? failing : holding, then.what);
      }
      const auto add = [&](std::string rows, bool fails) {
        if (rows.empty()) return;
        list.push_back({.what = std::string(range.what),
                        .key = std::string(range.key),
                        .value = value,
                        .rows = std::move(rows),
                        .fails = fails});
      };
      add(std::move(failing), true);
      add(std::move(holding), false);
    }
  }
  return list;
}

}  // namespace pitchline::check
