#include "detail/measure_as_json.hpp"
#include "pitchline/io/print_move.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::io {
namespace {

using detail::as_json;
using detail::Json;
using detail::number_or_null;

template <Printable Q>
Json quantity(const Q& q) {
  return as_json(Measure(q));
}

Json as_json(const motion::RunningMove& move) {
  Json j;
  j["speed"] = quantity(move.speed);
  j["acceleration"] = quantity(move.acceleration);
  j["stroke"] = quantity(move.stroke);
  j["jerk_time"] = quantity(move.jerk_time);
  j["in_succession"] = move.in_succession;
  j["dwell"] = quantity(move.dwell);
  return j;
}

Json as_json(const simulate::EnergyAccount& e) {
  Json j;
  j["electrical"] = quantity(e.electrical);
  j["copper"] = quantity(e.copper);
  j["friction"] = quantity(e.friction);
  j["drag"] = quantity(e.drag);
  j["damping"] = quantity(e.damping);
  j["stored"] = quantity(e.stored);
  j["imbalance"] = number_or_null(e.imbalance());
  j["bridge"] = quantity(e.bridge);
  j["supply"] = quantity(e.supply);
  j["supply_loss"] = quantity(e.supply_loss);
  j["capacitor"] = quantity(e.capacitor);
  return j;
}

Json as_json(const report::LineProof& lines) {
  Json j;
  j["line"] = quantity(lines.line);
  j["overrun"] = quantity(lines.overrun);
  j["room"] = quantity(lines.room);
  j["line_pitch"] = quantity(lines.line_pitch);
  j["error_one_way_least"] = quantity(lines.errors.up_from);
  j["error_one_way_most"] = quantity(lines.errors.up_to);
  j["error_other_way_least"] = quantity(lines.errors.down_from);
  j["error_other_way_most"] = quantity(lines.errors.down_to);
  j["offset"] = quantity(lines.errors.offset());
  j["wandering"] = quantity(lines.errors.wandering());
  return j;
}

Json as_json(const report::MoveProof& proof, bool bus) {
  const simulate::MoveAnswer& answer = proof.proved.answer;
  const simulate::Outcome& outcome = answer.outcome;
  Json j = as_json(proof.move);
  j["succession"] = proof.succession == simulate::Succession::to_and_fro ? "to and fro" : "onward";
  j["top_speed"] = quantity(proof.top_speed);
  j["completes"] = proof.completes();
  j["passed_edge_after"] = as_json(outcome.slipped);
  j["largest_load_angle_electrical"] = quantity(outcome.largest_load_angle);
  j["final_load_angle_electrical"] = quantity(outcome.final_load_angle);
  j["share_of_edge"] = proof.load_share;
  j["full_steps"] = proof.full_steps();
  j["following_error_largest"] = quantity(outcome.largest_following_error);
  j["following_error_cruising"] = quantity(answer.cruising_error);
  j["rest_error"] = quantity(answer.rest_error);
  j["overshoot"] = quantity(answer.overshoot);
  j["ringing"] = quantity(answer.ringing);
  j["tolerance"] = quantity(proof.tolerance);
  j["tolerance_is_wanted"] = proof.asked;
  j["settles_after"] = as_json(answer.settled);
  j["watched_after_end"] = quantity(proof.watched);
  j["peak_drive_force"] = quantity(outcome.peak_belt_force);
  j["peak_phase_current"] = quantity(outcome.peak_current);
  j["supply_lowest"] = bus ? quantity(outcome.lowest_bus) : Json(nullptr);
  j["supply_highest"] = bus ? quantity(outcome.highest_bus) : Json(nullptr);
  j["largest_skew"] = quantity(outcome.largest_skew);
  j["lines"] = proof.line ? as_json(*proof.line) : Json(nullptr);
  j["energy"] = as_json(outcome.energy);
  j["step"] = quantity(proof.proved.step);
  j["change_by_halving"] = number_or_null(proof.proved.change);
  return j;
}

Json as_json(const report::LargestProof& largest) {
  Json j;
  j["move"] = as_json(largest.move);
  j["completes"] = as_json(largest.proved.found.completes);
  j["fails"] = as_json(largest.proved.found.fails);
  j["allowed_by_torque"] = quantity(largest.allowed);
  j["torque_margin"] = largest.margin.value();
  j["ratio"] = number_or_null(largest.ratio());
  j["steady_running"] = report::word(largest.steady);
  j["steady_reason"] = largest.steady_reason;
  j["wanted_completes"] = largest.wanted_completes();
  j["from"] = quantity(largest.from);
  j["up_to"] = quantity(largest.up_to);
  j["step"] = quantity(largest.proved.step);
  j["change_by_halving"] = number_or_null(largest.proved.change);
  return j;
}

Json as_json(const report::TrustMap& map) {
  Json j;
  j["move"] = as_json(map.move);
  j["wanted_completes"] = map.wanted_completes().value_or(false);
  j["accelerations"] = Json::array();
  for (const Acceleration& a : map.range.accelerations) j["accelerations"].push_back(quantity(a));
  j["columns"] = Json::array();
  for (const report::TrustColumn& each : map.columns) {
    Json c;
    c["speed"] = quantity(each.column().speed);
    c["stroke"] = quantity(each.stroke);
    c["allowed_by_torque"] = quantity(each.allowed);
    c["completes"] = as_json(each.column().completes);
    c["fails"] = as_json(each.column().fails);
    c["step"] = quantity(each.proved.step);
    j["columns"].push_back(std::move(c));
  }
  return j;
}

}  // namespace

std::string move_as_json(const report::MoveReport& report) {
  Json root;
  root["schema"] = 1;
  root["name"] = report.name;
  root["parts"] = report.parts;
  root["wanted_completes"] = report.wanted_completes();
  root["place_along_beam"] = report.pair ? Json(report.place) : Json(nullptr);
  root["move"] = report.move ? as_json(*report.move, report.bus) : Json(nullptr);
  root["largest"] = report.largest ? as_json(*report.largest) : Json(nullptr);
  root["map"] = report.map ? as_json(*report.map) : Json(nullptr);
  root["model"] = report.model;
  root["assumed"] = report.assumed;
  root["cautions"] = report.cautions;
  return root.dump(2) + "\n";
}

}  // namespace pitchline::io
