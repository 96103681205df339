#include "pitchline/io/print_move.hpp"
#include "pitchline/report/finding.hpp"
#include "write/document.hpp"

namespace pitchline::io {
namespace {

using detail::Record;
using detail::Value;

Record record_of(const motion::RunningMove& move) {
  Record j;
  j["speed"] = Measure(move.speed);
  j["acceleration"] = Measure(move.acceleration);
  j["stroke"] = Measure(move.stroke);
  j["jerk_time"] = Measure(move.jerk_time);
  j["in_succession"] = move.in_succession;
  j["dwell"] = Measure(move.dwell);
  return j;
}

Record record_of(const simulate::EnergyAccount& e) {
  Record j;
  j["electrical"] = Measure(e.electrical);
  j["copper"] = Measure(e.copper);
  j["friction"] = Measure(e.friction);
  j["drag"] = Measure(e.drag);
  j["damping"] = Measure(e.damping);
  j["stored"] = Measure(e.stored);
  j["imbalance"] = e.imbalance();
  j["bridge"] = Measure(e.bridge);
  j["supply"] = Measure(e.supply);
  j["supply_loss"] = Measure(e.supply_loss);
  j["capacitor"] = Measure(e.capacitor);
  return j;
}

Record record_of(const report::LineProof& lines) {
  Record j;
  j["line"] = Measure(lines.line);
  j["overrun"] = Measure(lines.overrun);
  j["room"] = Measure(lines.room);
  j["line_pitch"] = Measure(lines.line_pitch);
  j["error_one_way_least"] = Measure(lines.errors.up_from);
  j["error_one_way_most"] = Measure(lines.errors.up_to);
  j["error_other_way_least"] = Measure(lines.errors.down_from);
  j["error_other_way_most"] = Measure(lines.errors.down_to);
  j["offset"] = Measure(lines.errors.offset());
  j["wandering"] = Measure(lines.errors.wandering());
  return j;
}

Record record_of(const report::MoveProof& proof, bool bus) {
  const simulate::MoveAnswer& answer = proof.proved.answer;
  const simulate::Outcome& outcome = answer.outcome;
  Record j = record_of(proof.move);
  j["succession"] = proof.succession == simulate::Succession::to_and_fro ? "to and fro" : "onward";
  j["top_speed"] = Measure(proof.top_speed);
  j["completes"] = proof.completes();
  j["passed_edge_after"] = outcome.slipped;
  j["largest_load_angle_electrical"] = Measure(outcome.largest_load_angle);
  j["final_load_angle_electrical"] = Measure(outcome.final_load_angle);
  j["share_of_edge"] = proof.load_share;
  j["full_steps"] = proof.full_steps();
  j["following_error_largest"] = Measure(outcome.largest_following_error);
  j["following_error_cruising"] = Measure(answer.cruising_error);
  j["rest_error"] = Measure(answer.rest_error);
  j["overshoot"] = Measure(answer.overshoot);
  j["ringing"] = Measure(answer.ringing);
  j["tolerance"] = Measure(proof.tolerance);
  j["tolerance_is_wanted"] = proof.asked;
  j["settles_after"] = answer.settled;
  j["watched_after_end"] = Measure(proof.watched);
  j["peak_drive_force"] = Measure(outcome.peak_belt_force);
  j["peak_phase_current"] = Measure(outcome.peak_current);
  j["supply_lowest"] = bus ? Measure(outcome.lowest_bus) : Value();
  j["supply_highest"] = bus ? Measure(outcome.highest_bus) : Value();
  j["largest_skew"] = Measure(outcome.largest_skew);
  j["lines"] = proof.line ? record_of(*proof.line) : Value();
  j["energy"] = record_of(outcome.energy);
  j["step"] = Measure(proof.proved.step);
  j["change_by_halving"] = proof.proved.change;
  return j;
}

Record record_of(const report::LargestProof& largest) {
  Record j;
  j["move"] = record_of(largest.move);
  j["completes"] = largest.proved.found.completes;
  j["fails"] = largest.proved.found.fails;
  j["allowed_by_torque"] = Measure(largest.allowed);
  j["torque_margin"] = largest.margin.value();
  j["ratio"] = largest.ratio();
  j["steady_running"] = report::word(largest.steady);
  j["steady_reason"] = largest.steady_reason;
  j["wanted_completes"] = largest.wanted_completes();
  j["from"] = Measure(largest.from);
  j["up_to"] = Measure(largest.up_to);
  j["step"] = Measure(largest.proved.step);
  j["change_by_halving"] = largest.proved.change;
  return j;
}

Record record_of(const report::TrustMap& map) {
  Record j;
  j["move"] = record_of(map.move);
  j["wanted_completes"] = map.wanted_completes().value_or(false);
  j["accelerations"] = Value::List{};
  for (const Acceleration& a : map.range.accelerations) j["accelerations"].push_back(Measure(a));
  j["columns"] = Value::List{};
  for (const report::TrustColumn& each : map.columns) {
    Record c;
    c["speed"] = Measure(each.column().speed);
    c["stroke"] = Measure(each.stroke);
    c["allowed_by_torque"] = Measure(each.allowed);
    c["completes"] = each.column().completes;
    c["fails"] = each.column().fails;
    c["step"] = Measure(each.proved.step);
    c["proved"] = each.proved.proved;
    j["columns"].push_back(std::move(c));
  }
  return j;
}

}  // namespace

std::string move_as_json(const report::MoveReport& report) {
  Record root;
  root["schema"] = 1;
  root["name"] = report.name;
  root["parts"] = report.parts;
  root["wanted_completes"] = report.wanted_completes();
  root["place_along_beam"] = report.pair ? Value(report.place) : Value();
  root["move"] = report.move ? record_of(*report.move, report.bus) : Value();
  root["largest"] = report.largest ? record_of(*report.largest) : Value();
  root["map"] = report.map ? record_of(*report.map) : Value();
  root["model"] = report.model;
  root["assumed"] = report.assumed;
  root["cautions"] = report.cautions;
  return detail::as_json(root);
}

}  // namespace pitchline::io
