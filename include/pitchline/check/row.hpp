#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// What a row limits, where it stands among what binds an axis.
enum class Binds {
  nothing,       ///< it judges the axis as it is and bounds neither
  speed,         ///< its margin is over the wanted speed; the acceleration does not matter to it
  speed_at_all,  ///< likewise, but its margin is of something else: no speed follows from it
  acceleration,  ///< asked again at another acceleration it may come out otherwise
};

/// What of the swings of the wanted move a row rests on. Such a row holds over the band of the
/// state by itself, and a run of the move in time may decide it.
enum class RestsOn { nothing, torque, force };

/// One row of the check, and all that is known of it: findings, what binds, the working and the
/// reference are made from this entry.
///
/// Exactly one of `judge` and `judge_all` is set. A row that binds has `judge`, and gives the
/// margin before it puts anything into words (`AxisState::in_words`).
struct Row {
  std::string_view key;   ///< of its finding, "torque_margin"; where it gives several, their head
  std::string_view asks;  ///< what is compared with what, one line for the reference
  bool (*applies)(const AxisState&) = nullptr;
  Finding (*judge)(const AxisState&) = nullptr;
  std::vector<Finding> (*judge_all)(const AxisState&) = nullptr;
  Binds binds = Binds::nothing;
  std::string_view mechanism{};  ///< its name among what binds, "motor torque"
  /// Where it binds: whether something is asked, so that it can bind; unset: always.
  bool (*is_asked)(const AxisState&) = nullptr;
  /// Where it binds and has no margin: whether it allows what is asked of the axis.
  bool (*allows)(const AxisState&) = nullptr;
  RestsOn rests_on = RestsOn::nothing;
};

/// Of every axis.
inline bool always(const AxisState&) { return true; }

/// The rows of one kind each, in the order of the report.
std::vector<Row> drive_rows();
std::vector<Row> holding_rows();
std::vector<Row> accuracy_rows();
std::vector<Row> beam_rows();
std::vector<Row> belt_rows();
std::vector<Row> stage_rows();
std::vector<Row> motor_shaft_rows();
std::vector<Row> gantry_rows();
std::vector<Row> turning_rows();
std::vector<Row> step_rows();
std::vector<Row> screw_rows();
std::vector<Row> lift_belt_rows();
std::vector<Row> controller_rows();
std::vector<Row> motor_rows();
std::vector<Row> supply_voltage_rows();
std::vector<Row> stability_rows();
std::vector<Row> vibration_rows();
std::vector<Row> raster_rows();
std::vector<Row> duty_rows();
std::vector<Row> figure_rows();

/// All rows of an axis, in the order of the report.
const std::vector<Row>& rows();

/// The row of a key; nothing where there is none.
const Row* row_named(std::string_view key);

/// The rows as a table of the reference, in Markdown: reference/rows.md.
std::string rows_in_markdown();

/// What those of some rows find that apply to an axis.
///
/// \throws InvalidInput, OutsideValidity  as the rows
std::vector<Finding> judged_by(const std::vector<Row>& some, const AxisState& s);

/// What all rows that apply to an axis find.
///
/// Where a row cannot be worked out, it is `unsure`, with the reason; the others are judged all the
/// same.
std::vector<Finding> findings_of(const AxisState& s);

}  // namespace pitchline::check
