#include "pitchline/io/catalogue.hpp"

#include "read/detail/built_in.hpp"
#include "read/detail/read_parts.hpp"

namespace pitchline::io {

void read_catalogue(std::string_view text, std::string_view file, Catalogue& catalogue) {
  const toml::table root = detail::parse_toml(text, file);
  detail::Diagnostics diagnostics;
  detail::TableReader top(root, "", diagnostics);
  Catalogue found;
  if (const toml::table* motors = top.table("motor", false, "")) {
    for (const auto& [key, node] : *motors) {
      const std::string name(key.str());
      if (const toml::table* table = node.as_table()) {
        auto motor = detail::read_motor({*table, "motor." + name, diagnostics}, name);
        if (motor) found.motors[name] = std::move(*motor);
      } else {
        top.error(node, "motor." + name + " must be a table");
      }
    }
  }
  if (const toml::table* belts = top.table("belt", false, "")) {
    for (const auto& [key, node] : *belts) {
      const std::string name(key.str());
      if (const toml::table* table = node.as_table()) {
        auto belt = detail::read_belt_profile({*table, "belt." + name, diagnostics}, name);
        if (belt) found.belts[name] = std::move(*belt);
      } else {
        top.error(node, "belt." + name + " must be a table");
      }
    }
  }
  if (const toml::table* screws = top.table("screw", false, "")) {
    for (const auto& [key, node] : *screws) {
      const std::string name(key.str());
      if (const toml::table* table = node.as_table()) {
        auto screw = detail::read_screw({*table, "screw." + name, diagnostics}, name);
        if (screw) found.screws[name] = std::move(*screw);
      } else {
        top.error(node, "screw." + name + " must be a table");
      }
    }
  }
  top.finish();
  if (!diagnostics.empty()) throw UnusableInput(diagnostics.sorted(), file, text);
  for (auto& [name, motor] : found.motors) catalogue.motors[name] = std::move(motor);
  for (auto& [name, belt] : found.belts) catalogue.belts[name] = std::move(belt);
  for (auto& [name, screw] : found.screws) catalogue.screws[name] = std::move(screw);
}

const Catalogue& standard_catalogue() {
  static const Catalogue catalogue = [] {
    Catalogue c;
    read_catalogue(detail::built_in_motors, "motors.toml (built in)", c);
    read_catalogue(detail::built_in_belts, "belts.toml (built in)", c);
    read_catalogue(detail::built_in_screws, "screws.toml (built in)", c);
    return c;
  }();
  return catalogue;
}

}  // namespace pitchline::io
