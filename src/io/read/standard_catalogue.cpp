// The catalogue that comes with the programs, of which only what is asked for is read.

#include <fmt/format.h>

#include "pitchline/io/catalogue.hpp"
#include "read/detail/built_in.hpp"
#include "read/detail/catalogue_kinds.hpp"

namespace pitchline::io {
namespace {

using detail::CatalogueKind;

// The entries of a built-in file, each from its head to the next.
void add_entries(EntryTexts& entries, std::string_view text, std::string_view word) {
  const std::string table_head = fmt::format("\n[{}.\"", word);
  for (std::size_t at = text.find(table_head); at != std::string_view::npos;) {
    const std::size_t name = at + table_head.size();
    const std::size_t next = text.find(table_head, name);
    entries.emplace(text.substr(name, text.find("\"]", name) - name),
                    text.substr(at + 1, next == std::string_view::npos ? next : next - at - 1));
    at = next;
  }
}

std::string_view line_of(std::string_view& text) {
  const std::size_t end = text.find('\n');
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  return line;
}

// The lines of a table of stock pulleys, by their first cell.
void add_lines(EntryTexts& entries, std::string_view text) {
  line_of(text);
  while (!text.empty()) {
    const std::string_view line = line_of(text);
    if (!line.empty()) entries.emplace(line.substr(0, line.find(',')), line);
  }
}

template <class Part>
Part read_entry(std::string_view name, std::string_view text) {
  const std::string entry = detail::entry_as_toml(text);
  const toml::table root = detail::parse_toml(entry, "built-in catalogue");
  detail::Diagnostics diagnostics;
  const toml::table& table = *root.begin()->second.as_table()->begin()->second.as_table();
  auto part = CatalogueKind<Part>::read(
      table, {.path = fmt::format("{}.{}", CatalogueKind<Part>::word, name)}, diagnostics,
      std::string(name));
  if (!part || !diagnostics.empty())
    throw UnusableInput(diagnostics.sorted(), "built-in catalogue", entry);
  return std::move(*part);
}

// Made when a part of the kind is first asked for.
template <const std::string_view& text, class Part>
const EntryTexts& entries_in() {
  static const EntryTexts entries = [] {
    EntryTexts all;
    add_entries(all, text, CatalogueKind<Part>::word);
    return all;
  }();
  return entries;
}

template <const std::string_view& text, class Part>
Shelf<Part> shelf_of() {
  return {entries_in<text, Part>, read_entry<Part>};
}

const EntryTexts& entries_of_pulleys() {
  static const EntryTexts entries = [] {
    EntryTexts all;
    add_entries(all, detail::built_in_pulleys, CatalogueKind<parts::StockPulley>::word);
    add_lines(all, detail::built_in_pulleys_inch);
    add_lines(all, detail::built_in_pulleys_metric);
    return all;
  }();
  return entries;
}

}  // namespace

namespace detail {

std::string entry_as_toml(std::string_view text) {
  if (text.starts_with("[")) return std::string(text);
  std::string_view all = built_in_pulleys_metric;
  std::string_view head = line_of(all);
  const auto cell_of = [](std::string_view& line) {
    const std::size_t comma = line.find(',');
    const std::string_view cell = line.substr(0, comma);
    line.remove_prefix(comma == std::string_view::npos ? line.size() : comma + 1);
    return cell;
  };
  std::string entry;
  while (!head.empty()) {
    std::string_view key = cell_of(head);
    const std::string_view cell = cell_of(text);
    if (cell.empty()) continue;
    if (key == "name") {
      entry = fmt::format("[pulley.\"{}\"]\n", cell);
    } else if (key == "teeth") {
      entry += fmt::format("teeth = {}\n", cell);
    } else if (key.ends_with("_mm") || key.ends_with("_kg")) {
      // The head has the unit behind the key.
      const std::string_view unit = key.substr(key.size() - 2);
      entry += fmt::format("{} = \"{} {}\"\n", key.substr(0, key.size() - 3), cell, unit);
    } else {
      entry += fmt::format("{} = \"{}\"\n", key, cell);
    }
  }
  return entry;
}

}  // namespace detail

const Catalogue& standard_catalogue() {
  static const Catalogue catalogue{
      .motors = shelf_of<detail::built_in_motors, parts::StepperMotor>(),
      .motors_in_part = shelf_of<detail::built_in_motors_in_part, parts::StepperMotor>(),
      .belts = shelf_of<detail::built_in_belts, parts::BeltProfile>(),
      .screws = shelf_of<detail::built_in_screws, parts::Screw>(),
      .rails = shelf_of<detail::built_in_rails, parts::Rail>(),
      .rollers = shelf_of<detail::built_in_rollers, parts::Roller>(),
      .bushes = shelf_of<detail::built_in_bushes, parts::Bush>(),
      .sections = shelf_of<detail::built_in_sections, parts::Section>(),
      .pulleys = {entries_of_pulleys, read_entry<parts::StockPulley>},
      .drivers = shelf_of<detail::built_in_drivers, parts::ListedDriver>(),
      .supplies = shelf_of<detail::built_in_supplies, parts::ListedSupply>(),
      .couplings = shelf_of<detail::built_in_couplings, parts::Coupling>(),
      .bearings = shelf_of<detail::built_in_bearings, parts::Bearing>(),
      .supports = shelf_of<detail::built_in_supports, parts::ScrewSupport>(),
      .nuts = shelf_of<detail::built_in_nuts, parts::Nut>(),
      .carriers = shelf_of<detail::built_in_carriers, parts::Carrier>(),
      .tubes = shelf_of<detail::built_in_tubes, parts::Tube>()};
  return catalogue;
}

}  // namespace pitchline::io
