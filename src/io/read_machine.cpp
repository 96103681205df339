#include "pitchline/io/read_machine.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>

#include "detail/read_parts.hpp"

namespace pitchline::io {
namespace {

using detail::Diagnostics;
using detail::TableReader;

// Bounds that no machine of this kind reaches; beyond them stands a slip of the unit.
const Length longest = metres(20);
const Mass heaviest = kilograms(2000);
const Force strongest = newtons(20'000);
const Speed fastest = metres_per_second(20);
const Acceleration hardest = metres_per_second_squared(200);

// Defaults. Each is named in the report where the file leaves the key out.
const Length span_beyond_travel = millimetres(200);
constexpr double usual_belt_efficiency = 0.95;  // [SDP handbook] p. T-22: more than 95 %

class MachineReader {
 public:
  MachineReader(std::string_view text, std::string_view file, const Catalogue& catalogue)
      : text_(text), file_(file), catalogue_(catalogue) {}

  machine::Machine read() {
    const toml::table root = detail::parse_toml(text_, file_);
    TableReader top(root, "", diagnostics_);

    machine::Machine machine{.torque_margin = TorqueMargin(1)};
    if (const auto* t = top.table("machine", true, "{ name = \"...\", torque_margin = 1.1 }"))
      read_header({*t, "machine", diagnostics_}, machine);
    if (const auto* t = top.table("supply", true, "{ voltage = \"36 V\", power = \"350 W\" }"))
      read_supply({*t, "supply", diagnostics_}, machine.supply);
    if (const auto* t = top.table("controller", true, "{ pulse_rate = \"200 kHz\", decimals = 3 }"))
      read_controller({*t, "controller", diagnostics_}, machine.controller);
    if (const auto* t = top.table("axis", true, "{ x = { ... } }, or a table [axis.x]"))
      read_axes(*t, top, machine);
    top.finish();
    if (!diagnostics_.empty()) throw UnusableInput(diagnostics_.sorted(), file_, text_);
    return machine;
  }

 private:
  struct AxisEntry {
    std::string name;
    const toml::table* table = nullptr;
    std::vector<std::pair<std::string, const toml::node*>> carries;
  };

  static void read_header(TableReader reader, machine::Machine& machine) {
    machine.name = reader.text("name", true, "Kite loft").value_or("");
    if (const auto margin = reader.ratio<TorqueMargin>("torque_margin", true, "1.1"))
      machine.torque_margin = *margin;
    reader.finish();
  }

  static void read_supply(TableReader reader, parts::Supply& supply) {
    if (const auto v = reader.positive<Voltage>("voltage", true, volts(400))) supply.voltage = *v;
    if (const auto p = reader.positive<Power>("power", true, watts(20'000))) supply.power = *p;
    reader.finish();
  }

  static void read_controller(TableReader reader, machine::Controller& controller) {
    if (const auto rate = reader.positive<PulseRate>("pulse_rate", true, pulses_per_second(100e6)))
      controller.pulse_rate = *rate;
    if (const auto decimals = reader.whole("decimals", true, 0, 9, "3"))
      controller.decimals = static_cast<int>(*decimals);
    reader.finish();
  }

  void read_axes(const toml::table& axes, TableReader& top, machine::Machine& machine) {
    std::vector<AxisEntry> entries;
    for (const auto& [key, node] : axes) {
      AxisEntry entry{std::string(key.str()), node.as_table(), {}};
      if (entry.table == nullptr) {
        top.error(node, fmt::format("axis.{} must be a table", entry.name));
      } else {
        entries.push_back(std::move(entry));
      }
    }
    if (entries.empty() && axes.empty())
      diagnostics_.add(axes.source(), "no axis is given", "add a table [axis.x]");
    // The parser sorts keys by name; people read their machine in the order they wrote it.
    std::stable_sort(entries.begin(), entries.end(), [](const AxisEntry& a, const AxisEntry& b) {
      return a.table->source().begin.line < b.table->source().begin.line;
    });
    for (AxisEntry& entry : entries) {
      machine::Axis axis{.name = entry.name,
                         .drive = {.guide = {.friction = FrictionCoefficient(0)}}};
      read_axis({*entry.table, "axis." + entry.name, diagnostics_}, axis, entry);
      machine.axes.push_back(std::move(axis));
    }
    add_carried_axes(entries, machine);
  }

  void read_axis(TableReader reader, machine::Axis& axis, AxisEntry& entry) {
    axis::BeltAxis& drive = axis.drive;
    if (const auto travel = reader.positive<Length>("travel", true, longest))
      drive.travel = *travel;
    read_moving_mass(reader, drive);
    if (auto carries = reader.list_of_texts("carries")) entry.carries = std::move(*carries);
    if (const auto incline = reader.quantity<Angle>(
            "incline", false, "from 0 to 90 deg",
            [](const Angle& a) { return a >= degrees(0) && a <= degrees(90); }))
      drive.incline = *incline;
    if (const auto* t = reader.table(
            "guide", true, "{ kind = \"profile rail\", friction = 0.004, drag = \"4 N\" }"))
      read_guide({*t, reader.path() + ".guide", diagnostics_}, axis);
    if (const auto motors = reader.whole("motors", false, 1, 2, "2"))
      drive.motors = static_cast<int>(*motors);
    const bool motor_known = read_motor(reader, drive);
    if (const auto* t = reader.table(
            "driver", true, "{ current = \"2.0 A\", current_is = \"rms\", microsteps = 16 }"))
      read_driver({*t, reader.path() + ".driver", diagnostics_}, drive, motor_known);
    if (const auto* t = reader.table(
            "drive", true,
            "{ kind = \"belt\", profile = \"GT 2 mm\", width = \"9 mm\", pulley_teeth = 20 }"))
      read_belt_drive({*t, reader.path() + ".drive", diagnostics_}, axis);
    if (const auto* t =
            reader.table("want", true, "{ speed = \"600 mm/s\", acceleration = \"5 m/s^2\" }"))
      read_want({*t, reader.path() + ".want", diagnostics_}, axis.want);
    reader.finish();
  }

  static void read_moving_mass(TableReader& reader, axis::BeltAxis& drive) {
    constexpr std::string_view key = "moving_mass";
    const toml::node* node =
        reader.find(key, true, "\"1.9 kg\", or { beam = \"2.1 kg\", ends = \"1.6 kg\" }");
    if (node == nullptr) return;
    if (const toml::table* table = node->as_table()) {
      TableReader parts(*table, fmt::format("{}.{}", reader.path(), key), reader.diagnostics());
      if (table->empty()) reader.error(*node, "moving_mass must name at least one part");
      for (const auto& [name, value] : *table) {
        if (const auto mass = parts.positive<Mass>(name.str(), true, heaviest))
          drive.moving.push_back({std::string(name.str()), *mass});
      }
      parts.finish();
    } else if (const auto mass = reader.positive<Mass>(key, true, heaviest)) {
      drive.moving.push_back({"the moving part", *mass});
    }
  }

  static void read_guide(TableReader reader, machine::Axis& axis) {
    static const std::vector<std::string_view> kinds{"profile rail", "wheels", "round shaft",
                                                     "plain"};
    parts::Guide& guide = axis.drive.guide;
    if (const auto kind = reader.choice("kind", true, kinds)) guide.kind = kinds[*kind];
    if (const auto blocks = reader.whole("blocks", false, 1, 64, "2"))
      guide.blocks = static_cast<int>(*blocks);
    if (const auto friction = reader.ratio<FrictionCoefficient>("friction", true, "0.004"))
      guide.friction = *friction;
    if (const auto drag = reader.not_negative<Force>("drag", false, strongest)) {
      guide.drag = *drag;
    } else if (!reader.has("drag")) {
      axis.assumed.emplace_back("no drag of the guide (guide.drag)");
    }
    reader.finish();
  }

  bool read_motor(TableReader& reader, axis::BeltAxis& drive) {
    const toml::node* node = reader.find("motor", false, {});
    if (node == nullptr) {
      std::string names;
      for (const auto& [name, motor] : catalogue_.motors)
        names += fmt::format("{}\"{}\"", names.empty() ? "" : ", ", name);
      reader.missing("motor", fmt::format("one of the catalogue ({}), or a table with the figures "
                                          "of its data sheet",
                                          names));
      return false;
    }
    if (const toml::table* table = node->as_table()) {
      auto motor = detail::read_motor({*table, reader.path() + ".motor", diagnostics_},
                                      "motor of this file");
      if (motor) drive.motor = std::move(*motor);
      return motor.has_value();
    }
    const auto name = reader.text("motor", true, "nema17 48mm 2A");
    if (!name) return false;
    const auto found = catalogue_.motors.find(*name);
    if (found == catalogue_.motors.end()) {
      reader.unknown_word(*node, "motor", *name, names_of(catalogue_.motors));
      return false;
    }
    drive.motor = found->second;
    return true;
  }

  static void read_driver(TableReader reader, axis::BeltAxis& drive, bool motor_known) {
    parts::Driver& driver = drive.driver;
    if (const auto current = reader.positive<Current>("current", true, amperes(50)))
      driver.current = *current;
    if (const auto is = reader.choice("current_is", true, {"rms", "peak"}))
      driver.current_is = *is == 0 ? parts::CurrentIs::rms : parts::CurrentIs::peak;
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
      if (motor_known &&
          in_pulses(driver.pulses_per_turn) < in_full_steps(drive.motor.full_steps_per_turn)) {
        reader.error(*reader.find("pulses_per_turn", false, {}),
                     fmt::format("pulses_per_turn must be at least the motor's {:.0f} full steps, "
                                 "got {}",
                                 in_full_steps(drive.motor.full_steps_per_turn), *pulses_a_turn));
      }
    } else if (microsteps && motor_known) {
      driver.pulses_per_turn =
          drive.motor.full_steps_per_turn * pulses_per_full_step(static_cast<double>(*microsteps));
    }
    reader.finish();
  }

  std::optional<parts::BeltProfile> read_profile(TableReader& reader) {
    const toml::node* node = reader.find("profile", true, "\"GT 2 mm\"");
    if (node == nullptr) return std::nullopt;
    if (const toml::table* table = node->as_table()) {
      return detail::read_belt_profile({*table, reader.path() + ".profile", diagnostics_},
                                       "belt of this file");
    }
    const auto name = reader.text("profile", true, "GT 2 mm");
    if (!name) return std::nullopt;
    const auto found = catalogue_.belts.find(*name);
    if (found != catalogue_.belts.end()) return found->second;
    reader.unknown_word(*node, "belt profile", *name, names_of(catalogue_.belts));
    return std::nullopt;
  }

  void read_belt_drive(TableReader reader, machine::Axis& axis) {
    axis::BeltAxis& drive = axis.drive;
    reader.choice("kind", true, {"belt"});
    if (auto profile = read_profile(reader)) drive.belt.profile = std::move(*profile);
    if (const auto width = reader.positive<Length>("width", true, millimetres(500)))
      drive.belt.width = *width;
    if (const auto tooth_count = reader.whole("pulley_teeth", true, 6, 500, "20"))
      drive.pulley_teeth = static_cast<int>(*tooth_count);
    if (const auto ends = reader.choice("belt", false, {"open ended", "closed loop", "welded"})) {
      static constexpr std::array kinds{parts::BeltEnds::open, parts::BeltEnds::closed_loop,
                                        parts::BeltEnds::welded};
      drive.belt.ends = kinds.at(*ends);
    }
    if (const auto force = reader.positive<Force>("tension_per_strain", false, newtons(1e8))) {
      drive.belt.profile.stiffness_per_width = *force / drive.belt.width;
      drive.belt.profile.stiffness_source = "given in the machine file";
    }
    if (const auto* t = reader.table(
            "stage", false,
            "{ profile = \"GT 2 mm\", width = \"6 mm\", motor_teeth = 20, driven_teeth = 60, "
            "centre_distance = \"90 mm\" }"))
      read_stage({*t, reader.path() + ".stage", diagnostics_}, drive);
    read_span(reader, axis);
    if (const auto efficiency = reader.ratio<Efficiency>("efficiency", false, "0.95")) {
      drive.efficiency = *efficiency;
    } else if (!reader.has("efficiency")) {
      const double stages = drive.stage ? usual_belt_efficiency : 1.0;
      drive.efficiency = Efficiency(usual_belt_efficiency * stages);
      axis.assumed.push_back(fmt::format("efficiency {} of the belts (drive.efficiency)",
                                         significant(drive.efficiency.value(), 3)));
    }
    if (const auto inertia =
            reader.not_negative<Inertia>("pulley_inertia", false, kilogram_square_metres(1))) {
      drive.pulley_inertia = *inertia;
    } else if (!reader.has("pulley_inertia") && drive.pulley_teeth > 0 &&
               !is_unset(drive.belt.width) && drive.belt.profile.pitch_millimetres > Fraction(0)) {
      drive.pulley_inertia =
          belt::assumed_pulley_inertia(drive.belt.profile, drive.belt.width, drive.pulley_teeth);
      axis.assumed.push_back(
          fmt::format("{} for each pulley, a solid aluminium one "
                      "(drive.pulley_inertia)",
                      drive.pulley_inertia));
    }
    reader.finish();
  }

  static void read_span(TableReader& reader, machine::Axis& axis) {
    axis::BeltAxis& drive = axis.drive;
    const auto span = reader.positive<Length>("span", false, longest);
    if (span && !is_unset(drive.travel) && *span < drive.travel) {
      reader.error(*reader.find("span", false, {}),
                   fmt::format("span must be at least the travel of {}, got {}",
                               print_plain(drive.travel), print_plain(*span)),
                   "span is the distance from the centre of the drive pulley to that of the idler");
    } else if (span) {
      drive.span = *span;
    } else if (!reader.has("span")) {
      drive.span = drive.travel + span_beyond_travel;
      axis.assumed.push_back(fmt::format("pulleys {} apart, travel and {} (drive.span)", drive.span,
                                         span_beyond_travel));
    }
  }

  void read_stage(TableReader reader, axis::BeltAxis& drive) {
    parts::BeltStage stage;
    const auto profile = read_profile(reader);
    const auto width = reader.positive<Length>("width", true, millimetres(500));
    const auto motor_teeth = reader.whole("motor_teeth", true, 6, 500, "20");
    const auto driven_teeth = reader.whole("driven_teeth", true, 6, 500, "60");
    const auto distance = reader.positive<Length>("centre_distance", true, metres(5));
    reader.finish();
    if (!profile || !width || !motor_teeth || !driven_teeth || !distance) return;
    stage.profile = *profile;
    stage.width = *width;
    stage.motor_teeth = static_cast<int>(*motor_teeth);
    stage.driven_teeth = static_cast<int>(*driven_teeth);
    stage.centre_distance = *distance;
    drive.stage = std::move(stage);
  }

  static void read_want(TableReader reader, machine::Want& want) {
    if (const auto speed = reader.positive<Speed>("speed", true, fastest)) want.speed = *speed;
    if (const auto a = reader.positive<Acceleration>("acceleration", true, hardest))
      want.acceleration = *a;
    if (const auto e = reader.positive<Length>("position_error", false, metres(1)))
      want.position_error = *e;
    if (const auto e = reader.positive<Length>("corner_error", false, metres(1)))
      want.corner_error = *e;
    reader.finish();
  }

  // A carried axis adds all that moves with it, itself and what it carries in turn.
  void add_carried_axes(const std::vector<AxisEntry>& entries, machine::Machine& machine) {
    std::map<std::string, std::size_t> place;
    for (std::size_t i = 0; i < entries.size(); ++i) place[entries[i].name] = i;
    std::vector<std::vector<std::size_t>> carried(entries.size());
    for (std::size_t i = 0; i < entries.size(); ++i) {
      std::set<std::string> seen;
      for (const auto& [name, node] : entries[i].carries) {
        TableReader reader(*entries[i].table, "", diagnostics_);
        const auto found = place.find(name);
        if (found == place.end()) {
          reader.unknown_word(*node, "axis", name, names_of(place));
        } else if (!seen.insert(name).second) {
          reader.error(*node, fmt::format("axis \"{}\" is carried twice", name));
        } else {
          carried[i].push_back(found->second);
        }
      }
    }
    std::vector<int> state(entries.size(), 0);  // 0 untouched, 1 being added, 2 done
    const auto add = [&](const auto& self, std::size_t i) -> void {
      if (state[i] == 2) return;
      if (state[i] == 1) {
        diagnostics_.add(entries[i].table->source(),
                         fmt::format("axis {} carries itself", entries[i].name),
                         "carries names the axes that ride on this one");
        return;
      }
      state[i] = 1;
      for (const std::size_t k : carried[i]) {
        self(self, k);
        machine.axes[i].drive.moving.push_back({.name = "axis " + entries[k].name,
                                                .mass = axis::moving_mass(machine.axes[k].drive),
                                                .travels_along_beam = true});
      }
      state[i] = 2;
    };
    for (std::size_t i = 0; i < entries.size(); ++i) add(add, i);
  }

  template <class Map>
  static std::vector<std::string> names_of(const Map& map) {
    std::vector<std::string> names;
    names.reserve(map.size());
    for (const auto& [name, value] : map) names.push_back(name);
    return names;
  }

  std::string_view text_;
  std::string_view file_;
  const Catalogue& catalogue_;
  Diagnostics diagnostics_;
};

}  // namespace

machine::Machine read_machine(std::string_view text, std::string_view file,
                              const Catalogue& catalogue) {
  return MachineReader(text, file, catalogue).read();
}

std::string read_file(const std::string& path) {
  std::error_code ignored;  // a path that cannot be asked about cannot be opened either
  std::ifstream in;
  if (!std::filesystem::is_directory(path, ignored)) in.open(path, std::ios::binary);
  std::string text;
  if (in.is_open())
    text.assign(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
  if (!in.is_open() || in.bad()) {
    Diagnostic d;
    d.message = "cannot be read";
    d.help = "check the name and that it is a file you may read";
    throw UnusableInput({d}, path, "");
  }
  return text;
}

}  // namespace pitchline::io
