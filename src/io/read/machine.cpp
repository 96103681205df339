#include "pitchline/io/read_machine.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <variant>

#include "pitchline/io/read_loops.hpp"
#include "read/detail/read_axis.hpp"
#include "read/detail/read_drives.hpp"
#include "read/detail/read_parts.hpp"
#include "read/keys/axis.hpp"
#include "read/keys/machine.hpp"

namespace pitchline::io {
namespace {

using detail::Diagnostics;
using detail::TableReader;
namespace keys = detail::keys;

// What works in a table, a template and on a command line.
bool is_axis_name(std::string_view name) {
  const auto letter = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); };
  const auto other = [](char c) { return (c >= '0' && c <= '9') || c == '_' || c == '-'; };
  return !name.empty() && letter(name.front()) &&
         std::all_of(name.begin(), name.end(), [&](char c) { return letter(c) || other(c); });
}

bool has_stage(const machine::Axis& axis) {
  const auto* belt = machine::as<axis::BeltAxis>(axis.drive);
  return belt != nullptr && belt->stage.has_value();
}

class MachineReader {
 public:
  MachineReader(std::string_view text, std::string_view file, const Catalogue& catalogue,
                LiftScrews screws)
      : text_(text), file_(file), catalogue_(catalogue), screws_(screws) {}

  machine::Machine read() {
    const toml::table root = detail::parse_toml(text_, file_);
    std::vector<std::string> assumed{};
    TableReader top(root, keys::top::table, {.assumed = &assumed}, diagnostics_);

    machine::Machine machine{.torque_margin = TorqueMargin(1)};
    if (auto header = top.table(keys::top::machine, keys::header::table))
      read_header(std::move(*header), machine);
    if (auto supply = top.table(keys::top::supply, keys::supply::table))
      detail::read_supply(std::move(*supply), machine.supply);
    if (auto controller = top.table(keys::top::controller, keys::controller::table))
      read_controller(std::move(*controller), machine.controller);
    if (top.node(keys::top::axis) != nullptr)
      if (const auto* axes = top.table(keys::top::axis.name, true, keys::top::axis.example))
        read_axes(*axes, top, machine, assumed);
    top.finish();
    if (!diagnostics_.empty()) throw UnusableInput(diagnostics_.sorted(), file_, text_);
    // The list of closed belts is long to read, and asked of stages alone.
    if (std::any_of(machine.axes.begin(), machine.axes.end(), has_stage))
      machine.listed_loops = standard_loops();
    for (machine::Axis& axis : machine.axes)
      axis.not_looked_at = detail::not_looked_at(machine, axis);
    return machine;
  }

 private:
  static void read_header(TableReader reader, machine::Machine& machine) {
    reader.into(keys::header::name, machine.name);
    reader.into(keys::header::torque_margin, machine.torque_margin);
    reader.finish();
  }

  static void read_controller(TableReader reader, machine::Controller& controller) {
    reader.into(keys::controller::pulse_rate, controller.pulse_rate);
    reader.into(keys::controller::decimals, controller.decimals);
    reader.finish();
  }

  // `assumed_of_all` is what is assumed of what all axes share, and stands under each.
  void read_axes(const toml::table& axes, TableReader& top, machine::Machine& machine,
                 const std::vector<std::string>& assumed_of_all) {
    std::vector<detail::AxisEntry> entries;
    for (const auto& [key, node] : axes) {
      detail::AxisEntry entry{.name = std::string(key.str()), .table = node.as_table()};
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
    std::stable_sort(entries.begin(), entries.end(), [](const auto& a, const auto& b) {
      return a.table->source().begin.line < b.table->source().begin.line;
    });
    for (detail::AxisEntry& entry : entries) {
      machine::Axis axis{.name = entry.name, .drive = detail::empty_drive(detail::DriveKind::belt)};
      detail::read_axis({*entry.table,
                         keys::axis::table,
                         {.path = "axis." + entry.name, .assumed = &axis.assumed},
                         diagnostics_},
                        axis, entry, catalogue_, screws_);
      axis.assumed.insert(axis.assumed.end(), assumed_of_all.begin(), assumed_of_all.end());
      machine.axes.push_back(std::move(axis));
    }
    detail::tie_axes(entries, machine, diagnostics_);
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
