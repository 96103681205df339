#include <fmt/format.h>

#include "detail/csv_field.hpp"
#include "pitchline/io/print_report.hpp"
#include "pitchline/units.hpp"

namespace pitchline::io {
namespace {

// Nine digits, the same from every compiler.
std::string cell(double x) { return fmt::format("{:.9g}", x); }

}  // namespace

std::string acceleration_as_csv(const report::Report& report) {
  std::string out = "axis,speed_mm_per_s,allowed_m_per_s2,textbook_m_per_s2\n";
  for (const report::AxisReport& axis : report.axes) {
    if (!axis.capability) continue;
    for (const report::SpeedPoint& p : axis.capability->over_speed) {
      out += fmt::format("{},{},{},{}\n", detail::csv_field(axis.name),
                         cell(in_millimetres_per_second(p.speed)),
                         cell(in_metres_per_second_squared(p.allowed)),
                         cell(in_metres_per_second_squared(p.textbook)));
    }
  }
  return out;
}

std::string move_time_as_csv(const report::Report& report) {
  std::string out = "axis,stroke_mm,acceleration_m_per_s2,speed_mm_per_s,time_s\n";
  for (const report::AxisReport& axis : report.axes) {
    if (!axis.capability) continue;
    for (const report::MoveTimePoint& p : axis.capability->move_time) {
      out += fmt::format("{},{},{},{},{}\n", detail::csv_field(axis.name),
                         cell(in_millimetres(axis.capability->stroke)),
                         cell(in_metres_per_second_squared(p.acceleration)),
                         cell(in_millimetres_per_second(p.speed)), cell(in_seconds(p.time)));
    }
  }
  return out;
}

}  // namespace pitchline::io
