#pragma once

#include <string>
#include <utility>
#include <vector>

#include "pitchline/io/read_machine.hpp"
#include "read/detail/toml_reader.hpp"

namespace pitchline::io::detail {

/// An axis of a file with what ties it to others.
struct AxisEntry {
  std::string name{};
  const toml::table* table = nullptr;
  std::vector<std::pair<std::string, const toml::node*>> carries{};
  const toml::node* across = nullptr;  ///< what its raster names
};

/// Reads the keys of an axis but for what ties it to others. Calls `finish`.
void read_axis(TableReader reader, machine::Axis& axis, AxisEntry& entry,
               const Catalogue& catalogue, LiftScrews screws);

/// Ties the axes together once each is read: rasters name axes that are there, what rides on an
/// axis adds its mass, and an axis that others take as the vertical one says its incline.
void tie_axes(const std::vector<AxisEntry>& entries, machine::Machine& machine,
              Diagnostics& diagnostics);

/// What the file does not describe of an axis, so that no row judges it; needs the whole machine.
std::vector<std::string> not_looked_at(const machine::Machine& machine, const machine::Axis& axis);

}  // namespace pitchline::io::detail
