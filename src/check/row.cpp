#include "pitchline/check/row.hpp"

#include <fmt/format.h>

#include <iterator>
#include <string>
#include <utility>
#include <vector>

namespace pitchline::check {

const std::vector<Row>& rows() {
  static const std::vector<Row> all = [] {
    std::vector<Row> list;
    for (const auto& family :
         {drive_rows(),      holding_rows(), accuracy_rows(),       beam_rows(),
          belt_rows(),       stage_rows(),   motor_shaft_rows(),    gantry_rows(),
          turning_rows(),    step_rows(),    screw_rows(),          lift_belt_rows(),
          controller_rows(), motor_rows(),   supply_voltage_rows(), stability_rows(),
          vibration_rows(),  raster_rows(),  duty_rows(),           figure_rows()})
      list.insert(list.end(), family.begin(), family.end());
    return list;
  }();
  return all;
}

const Row* row_named(std::string_view key) {
  for (const Row& row : rows())
    if (row.key == key) return &row;
  return nullptr;
}

std::string rows_in_markdown() {
  const auto binds = [](const Row& row) -> std::string {
    switch (row.binds) {
      case Binds::nothing:
        return "";
      case Binds::acceleration:
        return fmt::format("acceleration: {}", row.mechanism);
      case Binds::speed:
      case Binds::speed_at_all:
        return fmt::format("speed: {}", row.mechanism);
    }
    return "";
  };
  std::string text =
      "# The rows of the check\n\n"
      "What `pitchline-check` asks of an axis, in the order of its report. `--explain AXIS.ROW` "
      "shows the\nworking of one. A row is judged where the axis is made of what it asks about. "
      "What binds names the\nmechanism under which the row limits acceleration or speed.\n\n"
      "| row | what is compared | binds |\n| --- | --- | --- |\n";
  for (const Row& row : rows())
    text += fmt::format("| `{}` | {} | {} |\n", row.key, row.asks, binds(row));
  return text;
}

namespace {

// A row that cannot be worked out says so, and stops no other.
Finding not_worked_out(const Row& row, const std::string& why) {
  Finding f;
  f.key = row.key;
  f.what = row.mechanism.empty() ? row.key : row.mechanism;
  f.value_text = "unknown";
  f.reason = "it cannot be worked out: " + why;
  f.remedy = "mend the figure that the reason names";
  f.source = "not known";
  return f;
}

void append(std::vector<Finding>& list, std::vector<Finding> more) {
  list.insert(list.end(), std::make_move_iterator(more.begin()),
              std::make_move_iterator(more.end()));
}

std::vector<Finding> found_by(const Row& row, const AxisState& s) {
  return row.judge != nullptr ? std::vector<Finding>{row.judge(s)} : row.judge_all(s);
}

std::vector<Finding> found_or_unsure(const Row& row, const AxisState& s) {
  try {
    return found_by(row, s);
  } catch (const InvalidInput& e) {
    return {not_worked_out(row, e.what())};
  } catch (const OutsideValidity& e) {
    return {not_worked_out(row, e.what())};
  }
}

}  // namespace

std::vector<Finding> judged_by(const std::vector<Row>& some, const AxisState& s) {
  std::vector<Finding> list;
  for (const Row& row : some)
    if (row.applies(s)) append(list, found_by(row, s));
  return list;
}

std::vector<Finding> findings_of(const AxisState& s) {
  std::vector<Finding> list;
  for (const Row& row : rows()) {
    if (!row.applies(s)) continue;
    append(list, found_or_unsure(row, s));
  }
  return list;
}

}  // namespace pitchline::check
