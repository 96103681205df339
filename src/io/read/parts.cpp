#include "read/detail/read_parts.hpp"

#include <array>
#include <cmath>
#include <numbers>

#include "pitchline/parts/winding_connection.hpp"

namespace pitchline::io::detail {
namespace {

/// One pull-out curve of a motor: points as pairs of speed and torque.
std::optional<parts::PublishedCurve> read_published(TableReader reader) {
  parts::PublishedCurve curve;
  const auto voltage = reader.positive<Voltage>("voltage", true, volts(400));
  const auto current = reader.positive<Current>("current", true, amperes(100));
  const auto is = reader.choice("current_is", true, {"rms", "peak"});
  const auto source = reader.text("source", true, "data sheet of the maker");
  const toml::node* points =
      reader.find("points", true, "[[\"300 rpm\", \"0.41 N*m\"], [\"600 rpm\", \"0.36 N*m\"]]");
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
  const auto leads = reader.whole("leads", false, 4, 8, "8");
  const std::vector<std::string_view> words{"single", "half coil", "series", "parallel"};
  static constexpr std::array connections{parts::Connection::single, parts::Connection::half_coil,
                                          parts::Connection::series, parts::Connection::parallel};
  const bool more = leads && *leads > 4;
  const auto stated = reader.choice("figures_for", more, words);
  const auto used = reader.choice("connected", more, words);
  if (!leads || !stated || !used) return std::nullopt;
  const parts::Reconnection wiring{.leads = static_cast<int>(*leads),
                                   .stated = connections.at(*stated),
                                   .used = connections.at(*used)};
  try {
    parts::require_possible(wiring.leads, wiring.stated);
    parts::require_possible(wiring.leads, wiring.used);
  } catch (const InvalidInput& e) {
    reader.error(*reader.find("leads", false, {}), e.what());
    return std::nullopt;
  }
  return wiring;
}

}  // namespace

void read_shaft(TableReader& reader, parts::StepperMotor& motor) {
  if (const auto shaft = reader.positive<Length>("shaft", false, millimetres(100)))
    motor.shaft_diameter = *shaft;
  if (const auto load = reader.positive<Force>("shaft_load", false, newtons(20'000)))
    motor.shaft_load = *load;
}

std::optional<parts::StepperMotor> read_motor(TableReader reader, const std::string& name) {
  parts::StepperMotor motor;
  motor.name = name;
  const auto step = reader.quantity<Angle>(
      "step_angle", true, "a turn over a whole multiple of four, such as 1.8 deg or 0.9 deg",
      [](const Angle& a) {
        const double steps = number(revolution / a);
        return steps >= 4 && steps <= 4000 && std::fabs(steps / 4 - std::round(steps / 4)) < 1e-9;
      });
  const auto torque = reader.positive<Torque>("holding_torque", true, newton_metres(100));
  const auto rated = reader.choice("rated", true, {"two phases on", "one phase on"});
  const auto current = reader.positive<Current>("current", true, amperes(50));
  const auto resistance = reader.positive<Resistance>("resistance", true, ohms(1000));
  const auto inductance = reader.positive<Inductance>("inductance", true, henries(10));
  const auto inertia = reader.positive<Inertia>("rotor_inertia", true, kilogram_square_metres(1));
  const auto source = reader.text("source", false, "data sheet of the maker");
  const auto detent = reader.positive<Torque>("detent_torque", false, newton_metres(10));
  const auto frame = reader.whole("frame", false, 8, 42, "17");
  read_shaft(reader, motor);
  const auto wiring = read_leads(reader);
  bool curves_are_good = true;
  if (const toml::node* published = reader.find("published", false, {})) {
    const toml::array* list = published->as_array();
    if (list == nullptr) {
      reader.error(*published, "published must be a list of tables",
                   "for example published = [{ voltage = \"24 V\", current = \"2 A\", current_is = "
                   "\"peak\", points = [[\"300 rpm\", \"0.41 N*m\"]], source = \"data sheet\" }]");
      return std::nullopt;
    }
    for (const toml::node& item : *list) {
      const toml::table* table = item.as_table();
      auto curve =
          table == nullptr
              ? std::nullopt
              : read_published({*table, reader.path() + ".published", reader.diagnostics()});
      if (table == nullptr) reader.error(item, "published must hold tables");
      curves_are_good = curves_are_good && curve;
      if (curve) motor.curves.push_back(std::move(*curve));
    }
  }
  reader.finish();
  if (!curves_are_good || !step || !torque || !rated || !current || !resistance || !inductance ||
      !inertia)
    return std::nullopt;
  motor.full_steps_per_turn = full_steps(4 * std::round(number(revolution / *step) / 4));
  motor.holding_torque = *torque;
  motor.holding_rating =
      *rated == 0 ? parts::HoldingRating::two_phases_on : parts::HoldingRating::one_phase_on;
  motor.rated_current = *current;
  motor.resistance = *resistance;
  motor.inductance = *inductance;
  motor.rotor_inertia = *inertia;
  motor.source = source.value_or("given in the machine file");
  if (detent) motor.detent_torque = *detent;
  if (frame) motor.frame = static_cast<int>(*frame);
  return wiring ? parts::reconnected(motor, *wiring) : motor;
}

void read_driver(TableReader reader, parts::Driver& driver, const parts::StepperMotor* motor) {
  if (const auto current = reader.positive<Current>("current", true, amperes(50)))
    driver.current = *current;
  if (const auto is = reader.choice("current_is", true, {"rms", "peak"}))
    driver.current_is = *is == 0 ? parts::CurrentIs::rms : parts::CurrentIs::peak;
  const auto standstill = reader.positive<Current>("standstill", false, amperes(50));
  if (standstill && !is_unset(driver.current) && *standstill > driver.current) {
    const toml::node& node = *reader.find("standstill", false, {});
    reader.error(node,
                 fmt::format("standstill must be at most the current of {}, got {}",
                             print_plain(driver.current), TableReader::describe(node)),
                 "standstill is the reduced setting at rest, in the same sense as current");
  } else if (standstill) {
    driver.at_rest = *standstill;
  }
  if (const auto highest = reader.positive<Voltage>("highest_voltage", false, volts(400)))
    driver.highest = *highest;
  const bool has_pulses = reader.has("pulses_per_turn");
  const bool has_microsteps = reader.has("microsteps");
  const auto pulses_a_turn = reader.whole("pulses_per_turn", false, 4, 1'000'000, "3200");
  const auto microsteps = reader.whole("microsteps", false, 1, 5120, "16");
  if (has_pulses && has_microsteps) {
    reader.error(*reader.find("microsteps", false, {}),
                 "pulses_per_turn and microsteps are both given",
                 "keep the one that your driver's switches name");
  } else if (!has_pulses && !has_microsteps) {
    reader.missing("microsteps", "16, or pulses_per_turn = 3200");
  } else if (pulses_a_turn) {
    driver.pulses_per_turn = pulses(static_cast<double>(*pulses_a_turn));
    if (motor != nullptr &&
        in_pulses(driver.pulses_per_turn) < in_full_steps(motor->full_steps_per_turn)) {
      reader.error(*reader.find("pulses_per_turn", false, {}),
                   fmt::format("pulses_per_turn must be at least the motor's {:.0f} full steps, "
                               "got {}",
                               in_full_steps(motor->full_steps_per_turn), *pulses_a_turn));
    }
  } else if (microsteps && motor != nullptr) {
    driver.pulses_per_turn =
        motor->full_steps_per_turn * pulses_per_full_step(static_cast<double>(*microsteps));
  }
  reader.finish();
}

void read_supply(TableReader reader, parts::Supply& supply) {
  if (const auto v = reader.positive<Voltage>("voltage", true, volts(400))) supply.voltage = *v;
  if (const auto p = reader.positive<Power>("power", true, watts(20'000))) supply.power = *p;
  if (const auto share = reader.ratio<Simultaneity>("simultaneity", false, "0.7"))
    supply.simultaneity = *share;
  if (const auto r = reader.not_negative<Resistance>("resistance", false, ohms(10)))
    supply.resistance = *r;
  if (const auto c = reader.positive<Capacitance>("capacitance", false, farads(1)))
    supply.capacitance = *c;
  reader.finish();
}

}  // namespace pitchline::io::detail
