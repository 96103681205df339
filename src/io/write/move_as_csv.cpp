#include <fmt/format.h>

#include "pitchline/io/print_move.hpp"
#include "pitchline/units.hpp"

namespace pitchline::io {
namespace {

// Nine digits, the same from every compiler.
std::string cell(double x) { return fmt::format("{:.9g}", x); }

std::string_view word(simulate::Trial trial) {
  switch (trial) {
    case simulate::Trial::completes:
      return "completes";
    case simulate::Trial::loses_steps:
      return "loses steps";
    case simulate::Trial::above:
      return "above the first that loses steps";
  }
  return "";
}

}  // namespace

std::string trace_as_csv(const report::MoveProof& proof) {
  std::string out =
      "time_s,commanded_mm,following_error_mm,load_angle_electrical_deg,drive_force_N,"
      "phase_current_A\n";
  for (const simulate::TracePoint& p : proof.proved.answer.trace) {
    out += fmt::format("{},{},{},{},{},{}\n", cell(in_seconds(p.time)),
                       cell(in_millimetres(p.commanded)), cell(in_millimetres(p.error)),
                       cell(in_degrees(p.load_angle)), cell(in_newtons(p.belt_force)),
                       cell(in_amperes(p.current)));
  }
  return out;
}

std::string map_as_csv(const report::TrustMap& map) {
  std::string out =
      "speed_mm_per_s,acceleration_m_per_s2,result,the_check_allows_m_per_s2,stroke_mm\n";
  for (const report::TrustColumn& each : map.columns) {
    for (const Acceleration& a : map.range.accelerations) {
      out += fmt::format(
          "{},{},{},{},{}\n", cell(in_millimetres_per_second(each.column().speed)),
          cell(in_metres_per_second_squared(a)), word(simulate::trial_of(each.column(), a)),
          cell(in_metres_per_second_squared(each.allowed)), cell(in_millimetres(each.stroke)));
    }
  }
  return out;
}

}  // namespace pitchline::io
