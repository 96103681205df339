#pragma once

// Names of entries in files, read forgivingly.

#include <optional>
#include <string>
#include <type_traits>

#include "pitchline/io/part_names.hpp"
#include "read/detail/toml_reader.hpp"

namespace pitchline::io::detail {

/// The name of the entry that somebody means; nothing, with an error at `at`, where none or several
/// may be.
template <class Part>
std::optional<std::string> name_in(TableReader& reader, const toml::node& at,
                                   std::string_view asked, std::string_view what,
                                   const Shelf<Part>& shelf) {
  Named found = named(asked, what, shelf);
  if (!found.name) reader.error(at, found.message, found.help);
  return found.name;
}

}  // namespace pitchline::io::detail
