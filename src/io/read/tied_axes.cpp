// What ties the axes of a machine together.

#include <algorithm>
#include <cctype>
#include <map>
#include <set>

#include "read/detail/bounds.hpp"
#include "read/detail/read_axis.hpp"
#include "read/detail/read_parts.hpp"
#include "read/keys/axis.hpp"

namespace pitchline::io::detail {
namespace {

// The axis across a raster is another one of the file.
void find_axes_across(const std::vector<AxisEntry>& entries, Diagnostics& diagnostics) {
  for (const AxisEntry& entry : entries) {
    if (entry.across == nullptr) continue;
    TableReader reader(*entry.table, "", diagnostics);
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

// Of each axis the places of those that ride on it.
std::vector<std::vector<std::size_t>> carried_axes(const std::vector<AxisEntry>& entries,
                                                   Diagnostics& diagnostics) {
  std::map<std::string, std::size_t> place;
  for (std::size_t i = 0; i < entries.size(); ++i) place[entries[i].name] = i;
  std::vector<std::vector<std::size_t>> carried(entries.size());
  for (std::size_t i = 0; i < entries.size(); ++i) {
    std::set<std::string> seen;
    for (const auto& [name, node] : entries[i].carries) {
      TableReader reader(*entries[i].table, "", diagnostics);
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
  return carried;
}

// A carried axis adds all that moves with it, itself and what it carries in turn.
void add_carried_axes(const std::vector<AxisEntry>& entries,
                      const std::vector<std::vector<std::size_t>>& carried,
                      machine::Machine& machine, Diagnostics& diagnostics) {
  std::vector<int> state(entries.size(), 0);  // 0 untouched, 1 being added, 2 done
  const auto add = [&](const auto& self, std::size_t i) -> void {
    if (state[i] == 2) return;
    if (state[i] == 1) {
      diagnostics.add(entries[i].table->source(),
                      fmt::format("axis {} carries itself", entries[i].name),
                      "carries names the axes that ride on this one");
      return;
    }
    state[i] = 1;
    for (const std::size_t k : carried[i]) {
      self(self, k);
      // A workpiece with an error has no mass; then nobody asks for this sum.
      if (!diagnostics.empty()) continue;
      machine::straight_fields(machine.axes[i].drive)
          ->moving.push_back({.name = "axis " + entries[k].name,
                              .mass = machine::moving_mass(machine.axes[k].drive),
                              .travels_along_beam = true,
                              .carried_axis = entries[k].name});
      if (const Mass sum = machine::moving_mass(machine.axes[i].drive); sum > heaviest)
        diagnostics.add(entries[i].table->source(),
                        fmt::format("axis {} moves {} with what it carries, and at most {} is "
                                    "taken for possible",
                                    entries[i].name, print_plain(sum), print_plain(heaviest)));
    }
    state[i] = 2;
  };
  for (std::size_t i = 0; i < entries.size(); ++i) add(add, i);
}

// Whether an axis is called by a letter, or by it and a number: z, Z, z2.
bool is_called(std::string_view name, char letter) {
  return !name.empty() && std::tolower(static_cast<unsigned char>(name.front())) == letter &&
         std::all_of(name.begin() + 1, name.end(),
                     [](unsigned char c) { return std::isdigit(c) != 0; });
}

// An axis that others take as the vertical one says its incline: taken for level without a word, a
// load that falls when power goes would seem to need no torque at all.
void require_inclines(const std::vector<AxisEntry>& entries,
                      const std::vector<std::vector<std::size_t>>& carried,
                      const machine::Machine& machine, Diagnostics& diagnostics) {
  const bool has_plane = std::any_of(entries.begin(), entries.end(), [](const AxisEntry& each) {
    return is_called(each.name, 'x') || is_called(each.name, 'y');
  });
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const toml::table& table = *entries[i].table;
    if (table.contains(keys::axis::incline.name) || table.contains(keys::axis::lift.name) ||
        !machine::moves_straight(machine.axes[i].drive))
      continue;
    const bool lifts_axle = std::any_of(carried[i].begin(), carried[i].end(), [&](std::size_t k) {
      return !is_unset(machine.axes[k].turned.axle_height);
    });
    if (!lifts_axle && !(has_plane && is_called(entries[i].name, 'z'))) continue;
    diagnostics.add(
        table.source(), fmt::format("axis.{}.incline is missing", entries[i].name),
        fmt::format("{}: add incline = \"90 deg\" where it goes straight up, \"0 deg\" where it is "
                    "level",
                    lifts_axle ? "it carries an axis whose axle_height it must lift"
                               : "beside x and y, z is the name of a vertical axis"));
  }
}

}  // namespace

void tie_axes(const std::vector<AxisEntry>& entries, machine::Machine& machine,
              Diagnostics& diagnostics) {
  find_axes_across(entries, diagnostics);
  const auto carried = carried_axes(entries, diagnostics);
  require_inclines(entries, carried, machine, diagnostics);
  add_carried_axes(entries, carried, machine, diagnostics);
}

}  // namespace pitchline::io::detail
