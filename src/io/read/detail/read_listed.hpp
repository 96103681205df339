#pragma once

// Reads an entry of a catalogue by the fields of its kind.

#include <array>
#include <optional>
#include <string>
#include <tuple>
#include <type_traits>

#include "read/detail/toml_reader.hpp"
#include "read/keys/listed.hpp"

namespace pitchline::io::detail {

/// What every entry says besides its figures; whether all of it is right. The source is read by the
/// reader of the kind.
bool read_notes(TableReader& reader, parts::Notes& notes);

/// The source of an entry: its own, or that of the entry it takes over and what it changes of that.
std::string source_of(TableReader& reader, const std::string& source);

template <class Part, class K, class Value>
bool read_field(TableReader& reader, const ListedField<Part, K, Value>& each, Part& part) {
  if (!reader.has(*each.key)) {
    if (each.key->required) reader.missing(*each.key);
    return !each.key->required;
  }
  const auto value = reader.read(*each.key);
  if (!value) return false;
  if constexpr (std::is_same_v<Value, std::string> && !std::is_same_v<K, TextKey>)
    part.*each.member = std::string(each.key->words.at(static_cast<std::size_t>(*value)).word);
  else if constexpr (std::is_same_v<Value, int>)
    part.*each.member = static_cast<int>(*value);
  else
    part.*each.member = *value;
  return true;
}

/// Reads the keys of a kind; nothing where any of them is wrong. Calls `finish`.
template <class Part>
std::optional<Part> read_listed(TableReader reader, const std::string& name) {
  Part part;
  part.name = name;
  bool good = true;
  std::apply([&](const auto&... each) { ((good = read_field(reader, each, part) && good), ...); },
             ListedKind<Part>::fields);
  const auto source = reader.read(keys::listed::source);
  if (!read_notes(reader, part.notes)) good = false;
  reader.know(keys::listed::like.name);
  reader.finish();
  if (!good || !source) return std::nullopt;
  part.source = source_of(reader, *source);
  return part;
}

}  // namespace pitchline::io::detail
