#include "pitchline/io/read_machine.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <optional>
#include <set>

#include "read/detail/read_drives.hpp"
#include "read/detail/read_parts.hpp"
#include "pitchline/io/read_loops.hpp"

namespace pitchline::io {
namespace {

using detail::Diagnostics;
using detail::DriveKind;
using detail::longest;
using detail::names_of;
using detail::TableReader;

// Bounds that no machine of this kind reaches; beyond them stands a slip of the unit.
const Mass heaviest = kilograms(2000);
const Force strongest = newtons(20'000);
const Speed fastest = metres_per_second(20);
const Acceleration hardest = metres_per_second_squared(200);

// What every axis has that moves straight, whatever drives it.
struct Straight {
  Length& travel;
  std::vector<axis::MovingPart>& moving;
  parts::Guide& guide;
  Angle& incline;
  int& motors;
};
std::optional<Straight> straight(machine::Drive& drive) {
  return std::visit(
      [](auto& d) -> std::optional<Straight> {
        if constexpr (requires { d.guide; })
          return Straight{d.travel, d.moving, d.guide, d.incline, d.motors};
        else
          return std::nullopt;
      },
      drive);
}
parts::StepperMotor& motor_of(machine::Drive& drive) {
  return std::visit([](auto& d) -> parts::StepperMotor& { return d.motor; }, drive);
}

// What works in a table, a template and on a command line.
bool is_axis_name(std::string_view name) {
  const auto letter = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); };
  const auto other = [](char c) { return (c >= '0' && c <= '9') || c == '_' || c == '-'; };
  return !name.empty() && letter(name.front()) &&
         std::all_of(name.begin(), name.end(), [&](char c) { return letter(c) || other(c); });
}

class MachineReader {
 public:
  MachineReader(std::string_view text, std::string_view file, const Catalogue& catalogue,
                LiftScrews screws)
      : text_(text), file_(file), catalogue_(catalogue), screws_(screws) {}

  machine::Machine read() {
    const toml::table root = detail::parse_toml(text_, file_);
    TableReader top(root, "", diagnostics_);

    machine::Machine machine{.torque_margin = TorqueMargin(1), .listed_loops = standard_loops()};
    if (const auto* t = top.table("machine", true, "{ name = \"...\", torque_margin = 1.1 }"))
      read_header({*t, "machine", diagnostics_}, machine);
    if (const auto* t = top.table("supply", true, "{ voltage = \"36 V\", power = \"350 W\" }"))
      detail::read_supply({*t, "supply", diagnostics_}, machine.supply);
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
    const toml::node* across = nullptr;  // what its raster names
  };

  static void read_header(TableReader reader, machine::Machine& machine) {
    machine.name = reader.text("name", true, "Kite loft").value_or("");
    if (const auto margin = reader.ratio<TorqueMargin>("torque_margin", true, "1.1"))
      machine.torque_margin = *margin;
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
      AxisEntry entry{std::string(key.str()), node.as_table(), {}, nullptr};
      if (!is_axis_name(entry.name)) {
        top.error(node, fmt::format("an axis cannot be named \"{}\"", entry.name),
                  "letters, digits, _ and -, beginning with a letter: so the name can be typed, "
                  "stands in tables and templates, and is no formula");
      } else if (entry.table == nullptr) {
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
      machine::Axis axis{.name = entry.name, .drive = detail::empty_drive(DriveKind::belt)};
      read_axis({*entry.table, "axis." + entry.name, diagnostics_}, axis, entry);
      machine.axes.push_back(std::move(axis));
    }
    find_axes_across(entries);
    add_carried_axes(entries, machine);
  }

  void read_axis(TableReader reader, machine::Axis& axis, AxisEntry& entry) {
    const auto* drive = reader.table(
        "drive", true,
        "{ kind = \"belt\", profile = \"GT 2 mm\", width = \"9 mm\", pulley_teeth = 20 }");
    std::optional<TableReader> drive_reader{};
    DriveKind kind = DriveKind::belt;
    if (drive != nullptr) {
      drive_reader.emplace(*drive, reader.path() + ".drive", diagnostics_);
      kind = detail::read_drive_kind(*drive_reader, *drive);
    }
    axis.drive = detail::empty_drive(kind);
    if (detail::is_turning(kind)) {
      refuse_keys_of_straight_axes(reader, kind);
    } else {
      read_straight_axis(reader, axis, entry, kind);
    }
    const bool motor_known = read_motor(reader, motor_of(axis.drive));
    if (const auto* t = reader.table(
            "driver", true, "{ current = \"2.0 A\", current_is = \"rms\", microsteps = 16 }"))
      detail::read_driver({*t, reader.path() + ".driver", diagnostics_},
                          machine::driver_of(axis.drive),
                          motor_known ? &motor_of(axis.drive) : nullptr);
    if (drive_reader) {
      // A lift whose screw is left open is what one program chooses for, and no other can use.
      const auto open = !reader.has("lift")                  ? detail::OpenScrew::unknown
                        : screws_ == LiftScrews::may_be_open ? detail::OpenScrew::allowed
                                                             : detail::OpenScrew::refused;
      detail::read_drive(*drive_reader, kind, axis, catalogue_, open);
    }
    if (const auto* t = reader.table(
            "lift", false, "{ work = \"6 kg\", height_step = \"0.05 mm\", stays_up = true }"))
      detail::read_lift({*t, reader.path() + ".lift", diagnostics_}, kind, axis, catalogue_);
    if (const auto* t =
            reader.table("want", true, "{ speed = \"600 mm/s\", acceleration = \"5 m/s^2\" }"))
      read_want({*t, reader.path() + ".want", diagnostics_}, axis.want);
    entry.across = detail::read_work(reader, kind, axis);
    reader.finish();
  }

  static void refuse_keys_of_straight_axes(TableReader& reader, DriveKind kind) {
    for (const std::string_view key :
         {"travel", "moving_mass", "carries", "beam", "incline", "guide", "motors"}) {
      if (const toml::node* node = reader.find(key, false, {})) {
        reader.error(*node, detail::not_used_with(key, kind),
                     "what turns is described by drive.workpiece, and one motor turns it");
      }
    }
  }

  static void read_straight_axis(TableReader& reader, machine::Axis& axis, AxisEntry& entry,
                                 DriveKind kind) {
    const Straight part = *straight(axis.drive);
    if (const auto travel = reader.positive<Length>("travel", true, longest)) part.travel = *travel;
    read_moving_mass(reader, part.moving);
    if (auto carries = reader.list_of_texts("carries")) entry.carries = std::move(*carries);
    if (const auto incline = reader.quantity<Angle>(
            "incline", false, "from 0 to 90 deg",
            [](const Angle& a) { return a >= degrees(0) && a <= degrees(90); }))
      part.incline = *incline;
    if (const auto* t = reader.table(
            "guide", true, "{ kind = \"profile rail\", friction = 0.004, drag = \"4 N\" }"))
      read_guide({*t, reader.path() + ".guide", reader.diagnostics()}, part.guide, axis.assumed);
    if (const auto* t = reader.table("beam", false,
                                     "{ span = \"1300 mm\", elastic_modulus = \"70 GPa\", "
                                     "second_moment = \"20e4 mm^4\", mass "
                                     "= \"3.9 kg\" }"))
      axis.beam = detail::read_beam({*t, reader.path() + ".beam", reader.diagnostics()},
                                    part.moving, !entry.carries.empty(), axis.assumed);
    const int most_motors = kind == DriveKind::screw ? 4 : 2;
    if (const auto motors = reader.whole("motors", false, 1, most_motors, "2"))
      part.motors = static_cast<int>(*motors);
  }

  static void read_moving_mass(TableReader& reader, std::vector<axis::MovingPart>& moving) {
    constexpr std::string_view key = "moving_mass";
    const toml::node* node =
        reader.find(key, true, "\"1.9 kg\", or { beam = \"2.1 kg\", ends = \"1.6 kg\" }");
    if (node == nullptr) return;
    if (const toml::table* table = node->as_table()) {
      TableReader parts(*table, fmt::format("{}.{}", reader.path(), key), reader.diagnostics());
      if (table->empty()) reader.error(*node, "moving_mass must name at least one part");
      for (const auto& [name, value] : *table) {
        if (const auto mass = parts.positive<Mass>(name.str(), true, heaviest))
          moving.push_back({std::string(name.str()), *mass});
      }
      parts.finish();
    } else if (const auto mass = reader.positive<Mass>(key, true, heaviest)) {
      moving.push_back({"the moving part", *mass});
    }
  }

  static void read_guide(TableReader reader, parts::Guide& guide,
                         std::vector<std::string>& assumed) {
    static const std::vector<std::string_view> kinds{"profile rail", "wheels", "round shaft",
                                                     "plain"};
    if (const auto kind = reader.choice("kind", true, kinds)) guide.kind = kinds[*kind];
    if (const auto blocks = reader.whole("blocks", false, 1, 64, "2"))
      guide.blocks = static_cast<int>(*blocks);
    if (const auto friction = reader.ratio<FrictionCoefficient>("friction", true, "0.004"))
      guide.friction = *friction;
    if (const auto drag = reader.not_negative<Force>("drag", false, strongest)) {
      guide.drag = *drag;
    } else if (!reader.has("drag")) {
      assumed.emplace_back("no drag of the guide (guide.drag)");
    }
    if (const auto breakaway = reader.not_negative<Force>("breakaway", false, strongest)) {
      guide.breakaway = *breakaway;
    } else if (!reader.has("breakaway")) {
      assumed.emplace_back("static friction no more than running friction (guide.breakaway)");
    }
    reader.finish();
  }

  bool read_motor(TableReader& reader, parts::StepperMotor& into) {
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
      TableReader inner(*table, reader.path() + ".motor", diagnostics_);
      if (table->contains("like")) return read_motor_like(inner, into);
      auto motor = detail::read_motor(inner, "motor of this file");
      if (motor) into = std::move(*motor);
      return motor.has_value();
    }
    return take_catalogue_motor(reader, "motor", into);
  }

  bool take_catalogue_motor(TableReader& reader, std::string_view key, parts::StepperMotor& motor) {
    const auto name = reader.text(key, true, "nema17 48mm 2A");
    if (!name) return false;
    const auto found = catalogue_.motors.find(*name);
    if (found == catalogue_.motors.end()) {
      reader.unknown_word(*reader.find(key, false, {}), "motor", *name,
                          names_of(catalogue_.motors));
      return false;
    }
    motor = found->second;
    return true;
  }

  // A motor of the catalogue, and what its data sheet says of the shaft besides.
  bool read_motor_like(TableReader& reader, parts::StepperMotor& motor) {
    const bool known = take_catalogue_motor(reader, "like", motor);
    detail::read_shaft(reader, motor);
    reader.finish();
    return known;
  }

  // Of a turning axis, speed and acceleration are those of the surface of its heaviest workpiece.
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

  // The axis across a raster is another one of the file.
  void find_axes_across(const std::vector<AxisEntry>& entries) {
    for (const AxisEntry& entry : entries) {
      if (entry.across == nullptr) continue;
      TableReader reader(*entry.table, "", diagnostics_);
      const std::string& name = **entry.across->as_string();
      std::vector<std::string> others;
      for (const AxisEntry& other : entries)
        if (other.name != entry.name) others.push_back(other.name);
      if (name == entry.name) {
        reader.error(*entry.across, "across must name another axis",
                     "the one that steps from line to line");
      } else if (std::find(others.begin(), others.end(), name) == others.end()) {
        reader.unknown_word(*entry.across, "axis", name, others);
      }
    }
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
        // A workpiece with an error has no mass; then nobody asks for this sum.
        if (!diagnostics_.empty()) continue;
        straight(machine.axes[i].drive)
            ->moving.push_back({.name = "axis " + entries[k].name,
                                .mass = machine::moving_mass(machine.axes[k].drive),
                                .travels_along_beam = true});
      }
      state[i] = 2;
    };
    for (std::size_t i = 0; i < entries.size(); ++i) add(add, i);
  }

  std::string_view text_;
  std::string_view file_;
  const Catalogue& catalogue_;
  LiftScrews screws_;
  Diagnostics diagnostics_;
};

}  // namespace

machine::Machine read_machine(std::string_view text, std::string_view file,
                              const Catalogue& catalogue, LiftScrews screws) {
  return MachineReader(text, file, catalogue, screws).read();
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
