#include "read/detail/read_parts.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "pitchline/parts/winding_connection.hpp"
#include "read/detail/read_listed.hpp"
#include "read/keys/motor.hpp"

namespace pitchline::io::detail {
namespace {

/// One pull-out curve of a motor: points as pairs of speed and torque.
std::optional<parts::PublishedCurve> read_published(TableReader reader) {
  parts::PublishedCurve curve;
  const auto voltage = reader.read(keys::published::voltage);
  const auto current = reader.read(keys::published::current);
  const auto is = reader.read(keys::published::current_is);
  const auto source = reader.read(keys::published::source);
  const toml::node* points = reader.node(keys::published::points);
  reader.finish();
  bool good = voltage && current && is && source && points != nullptr;
  if (points == nullptr) return std::nullopt;
  const toml::array* list = points->as_array();
  if (list == nullptr || list->empty()) {
    reader.error(*points, "points must be a list of pairs of speed and torque",
                 "for example points = [[\"300 rpm\", \"0.41 N*m\"]]");
    return std::nullopt;
  }
  for (const toml::node& item : *list) {
    const toml::array* pair = item.as_array();
    if (pair == nullptr || pair->size() != 2 || !pair->get(0)->is_string() ||
        !pair->get(1)->is_string()) {
      reader.error(item, "a point must be a pair of speed and torque",
                   "for example [\"300 rpm\", \"0.41 N*m\"]");
      good = false;
      continue;
    }
    const auto read = [&](std::size_t place, auto& into) {
      const toml::node& node = *pair->get(place);
      try {
        into = read_quantity<std::decay_t<decltype(into)>>(**node.as_string());
        if (into > 0.0 * into) return;
        reader.error(node, fmt::format("must be > 0, got {}", TableReader::describe(node)));
      } catch (const UnreadableQuantity& e) {
        reader.diagnostics().add(node.source(), e.what(), {}, e.column());
      }
      good = false;
    };
    parts::CurvePoint point;
    read(0, point.speed);
    read(1, point.torque);
    if (good && !curve.points.empty() && !(point.speed > curve.points.back().speed)) {
      reader.error(item, "the points must go by rising speed");
      good = false;
    }
    curve.points.push_back(point);
  }
  if (!good) return std::nullopt;
  curve.voltage = *voltage;
  curve.amplitude = *is == 0 ? std::numbers::sqrt2 * *current : *current;
  curve.source = *source;
  return curve;
}

/// The connection that the sheet states its figures for and the one in use; nothing where the motor
/// has four leads or does not say.
std::optional<parts::Reconnection> read_leads(TableReader& reader) {
  const auto leads = reader.read(keys::motor::leads);
  const bool more = leads && *leads > 4;
  const auto stated = reader.read(keys::motor::figures_for, more);
  const auto used = reader.read(keys::motor::connected, more);
  if (!leads || !stated || !used) return std::nullopt;
  const parts::Reconnection wiring{
      .leads = static_cast<int>(*leads), .stated = *stated, .used = *used};
  try {
    parts::require_possible(wiring.leads, wiring.stated);
    parts::require_possible(wiring.leads, wiring.used);
  } catch (const InvalidInput& e) {
    reader.error(reader.at(keys::motor::leads), e.what());
    return std::nullopt;
  }
  return wiring;
}

std::optional<Angle> read_step_angle(TableReader& reader) {
  const QuantityKey<Angle>& key = keys::motor::step_angle;
  auto angle = reader.read(key);
  if (!angle) return std::nullopt;
  const double steps = number(revolution / *angle);
  if (std::fabs(steps / 4 - std::round(steps / 4)) < 1e-9) return angle;
  reader.error(reader.at(key), fmt::format("{} must be {}, got {}", key.name, key.rule,
                                           TableReader::describe(reader.at(key))));
  return std::nullopt;
}

void read_shaft(TableReader& reader, parts::StepperMotor& motor) {
  reader.into(keys::motor::shaft, motor.shaft_diameter);
  reader.into(keys::motor::shaft_load, motor.shaft_load);
  reader.into(keys::motor::shaft_load_at, motor.shaft_load_at);
  reader.into(keys::motor::axial_load, motor.axial_load);
  reader.into(keys::motor::shaft_length, motor.shaft_length);
  reader.into(keys::motor::length, motor.length);
  reader.into(keys::motor::mass, motor.mass);
}

// Which of the figures that may be missing are said to be, and are; whether the list is right.
bool read_lacks(TableReader& reader, std::vector<std::string>& lacks) {
  const std::array<const Key*, 3> may_lack{&keys::motor::resistance, &keys::motor::inductance,
                                           &keys::motor::rotor_inertia};
  const auto named = reader.list_of_texts(keys::motor::lacks.name);
  if (!named) return !reader.has(keys::motor::lacks);
  bool good = true;
  for (const auto& [name, node] : *named) {
    const auto* key = std::find_if(may_lack.begin(), may_lack.end(),
                                   [&, n = name](const Key* each) { return each->name == n; });
    if (key == may_lack.end()) {
      reader.unknown_word(*node, "figure that a motor may lack", name,
                          {"resistance", "inductance", "rotor_inertia"});
      good = false;
    } else if (!reader.has(**key)) {
      lacks.push_back(name);
    }
  }
  return good;
}

// Whether the entry changes what a published curve of the one that it takes over rests on.
bool changes_winding(const TableReader& reader) {
  const std::array<const Key*, 10> keys{&keys::motor::step_angle,    &keys::motor::holding_torque,
                                        &keys::motor::rated,         &keys::motor::current,
                                        &keys::motor::resistance,    &keys::motor::inductance,
                                        &keys::motor::detent_torque, &keys::motor::leads,
                                        &keys::motor::figures_for,   &keys::motor::connected};
  return std::any_of(keys.begin(), keys.end(),
                     [&](const Key* key) { return reader.changes(*key); });
}

// The published curves; nothing where any is wrong.
std::optional<std::vector<parts::PublishedCurve>> read_curves(TableReader& reader) {
  std::vector<parts::PublishedCurve> curves;
  const toml::node* published = reader.node(keys::motor::published);
  if (published == nullptr) return curves;
  if (!reader.changes(keys::motor::published) && changes_winding(reader)) return curves;
  const toml::array* list = published->as_array();
  if (list == nullptr) {
    reader.error(*published, "published must be a list of tables",
                 fmt::format("for example published = {}", keys::motor::published.example));
    return std::nullopt;
  }
  bool good = true;
  for (const toml::node& item : *list) {
    const toml::table* table = item.as_table();
    auto curve =
        table == nullptr
            ? std::nullopt
            : read_published(reader.inside(keys::motor::published, *table, keys::published::table));
    if (table == nullptr) reader.error(item, "published must hold tables");
    good = good && curve;
    if (curve) curves.push_back(std::move(*curve));
  }
  if (!good) return std::nullopt;
  return curves;
}

// A figure that the motor may lack, unset where it does; nothing where it is missing or wrong.
template <class Q>
std::optional<Q> read_figure(TableReader& reader, const QuantityKey<Q>& key,
                             const std::vector<std::string>& lacks) {
  const bool lacking = std::find(lacks.begin(), lacks.end(), key.name) != lacks.end();
  return lacking ? std::optional(unset<Q>()) : reader.read(key);
}

}  // namespace

std::optional<parts::StepperMotor> read_motor(TableReader reader, const std::string& name) {
  parts::StepperMotor motor;
  motor.name = name;
  const bool lacks_are_right = read_lacks(reader, motor.lacks);
  const auto step = read_step_angle(reader);
  const auto torque = reader.read(keys::motor::holding_torque);
  const auto rated = reader.read(keys::motor::rated);
  const auto current = reader.read(keys::motor::current);
  const auto resistance = read_figure(reader, keys::motor::resistance, motor.lacks);
  const auto inductance = read_figure(reader, keys::motor::inductance, motor.lacks);
  const auto inertia = read_figure(reader, keys::motor::rotor_inertia, motor.lacks);
  const auto source = reader.read(keys::motor::source);
  const auto detent = reader.read(keys::motor::detent_torque);
  const auto frame = reader.read(keys::motor::frame);
  read_shaft(reader, motor);
  const auto wiring = read_leads(reader);
  auto curves = read_curves(reader);
  const bool notes_are_right = read_notes(reader, motor.notes);
  reader.know(keys::listed::like.name);
  reader.finish();
  if (!lacks_are_right || !notes_are_right || !curves || !step || !torque || !rated || !current ||
      !resistance || !inductance || !inertia)
    return std::nullopt;
  motor.full_steps_per_turn = full_steps(4 * std::round(number(revolution / *step) / 4));
  motor.holding_torque = *torque;
  motor.holding_rating =
      *rated == 0 ? parts::HoldingRating::two_phases_on : parts::HoldingRating::one_phase_on;
  motor.rated_current = *current;
  motor.resistance = *resistance;
  motor.inductance = *inductance;
  motor.rotor_inertia = *inertia;
  motor.curves = std::move(*curves);
  motor.source = source_of(reader, source.value_or("given in the machine file"));
  if (detent) motor.detent_torque = *detent;
  if (frame) motor.frame = static_cast<int>(*frame);
  return wiring && motor.lacks.empty() ? parts::reconnected(motor, *wiring) : motor;
}

}  // namespace pitchline::io::detail
