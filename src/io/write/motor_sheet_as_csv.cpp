#include <fmt/format.h>

#include <optional>

#include "detail/csv_field.hpp"
#include "detail/motor_words.hpp"
#include "pitchline/io/print_motor_sheet.hpp"

namespace pitchline::io {
namespace {

// Nine digits: more than anybody knows of a motor, and the same from every compiler.
std::string cell(double x) { return fmt::format("{:.9g}", x); }
std::string cell(const std::optional<Torque>& torque) {
  return torque ? cell(in_newton_metres(*torque)) : "";
}

}  // namespace

std::string motor_sheet_as_csv(const report::MotorSheet& sheet) {
  std::string out =
      "speed_rpm,travel_mm_per_s,loss_free_N_m,dependable_N_m,calibrated_N_m,published_N_m,"
      "verdict_N_m,shaft_power_W,limited_by,rests_on\n";
  for (const report::CurveRow& row : sheet.rows) {
    const std::string travel =
        sheet.use.load ? cell(in_millimetres_per_second(row.speed * sheet.use.load->transmission))
                       : "";
    out += fmt::format(
        "{},{},{},{},{},{},{},{},{},{}\n", cell(in_revolutions_per_minute(row.speed)), travel,
        cell(in_newton_metres(row.loss_free.torque)), cell(in_newton_metres(row.dependable)),
        cell(row.calibrated), cell(row.measured), cell(in_newton_metres(row.verdict.torque)),
        cell(in_watts(row.power)), detail::limit_in_words(row.loss_free.region),
        detail::csv_field(row.verdict.basis_in_words));
  }
  return out;
}

}  // namespace pitchline::io
