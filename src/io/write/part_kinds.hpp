#pragma once

// The kinds of a catalogue as they are listed: words, columns, and every part as a record.

#include <string>
#include <string_view>
#include <vector>

#include "pitchline/io/part_names.hpp"
#include "write/document.hpp"

namespace pitchline::io::detail {

/// One part of a catalogue, whatever its kind.
struct ListedPart {
  Described as{};
  Record record{};
  std::vector<std::string> questions{};  ///< what looks wrong in its figures
};

/// A kind as it is listed.
struct PartKind {
  std::string_view word;   ///< of its entries in a file, "rail"
  std::string_view also;   ///< other words by which it is asked for
  std::string_view about;  ///< what it holds, in a line
  std::vector<Column> columns;
  std::size_t (*count)(const Catalogue&);
  std::vector<ListedPart> (*all)(const Catalogue&);
  /// Those that a file of the user's added.
  std::vector<ListedPart> (*own)(const Catalogue&);
};

/// All kinds, in the order in which they are listed.
const std::vector<PartKind>& part_kinds();

}  // namespace pitchline::io::detail
