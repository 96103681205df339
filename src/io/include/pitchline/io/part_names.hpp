#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/io/catalogue.hpp"

namespace pitchline::io {

/// An entry of a catalogue as somebody may ask for it.
struct Described {
  std::string name{};
  std::string figures{};  ///< what tells it from its neighbours, "1.89 N*m, 2.8 A, 5.4 mH"
  std::string source{};   ///< a part number may be asked for too
};

/// What words may mean among entries.
struct Meaning {
  /// All that have every word and figure that was asked for, the likeliest first. One: that is
  /// meant. Several: it has to be asked which.
  std::vector<Described> meant{};
  /// Where none has them all, the likeliest, by how much of what was asked for they have.
  std::vector<Described> near{};
};

/// What `asked` means among `entries`: case, blanks, hyphens and order of words do not count, a
/// figure with its unit is one whichever unit of its kind it has, rounded as it was written, and a
/// figure without a unit is any of that number. Where the words are those of one name and no more,
/// that one is meant. A misspelt word finds neighbours only beside something that it shares with
/// them.
Meaning meaning_of(std::string_view asked, const std::vector<Described>& entries);

/// Whether an entry has every word and figure of `asked`: words of its name, its kind, its figures
/// or its source.
bool is_asked_for(std::string_view asked, std::string_view kind, const Described& entry);

/// Two names that differ by case, blanks, hyphens or how a number is written are one: what both
/// come to.
std::string plain_name(std::string_view name);

/// The entries of a kind, described. Reads all of them.
std::vector<Described> described(const Shelf<parts::StepperMotor>& shelf);
std::vector<Described> described(const Shelf<parts::BeltProfile>& shelf);
std::vector<Described> described(const Shelf<parts::Screw>& shelf);

/// Where a name was found, or what to say of it.
struct Named {
  std::optional<std::string> name{};  ///< of the entry that is meant
  std::string message{};              ///< else: what is wrong
  std::string help{};                 ///< and what helps
};

/// What the entries that a name may mean have to say; `what` is the kind in words, "motor".
Named named(std::string_view asked, std::string_view what, const std::vector<Described>& entries);

/// The name of the entry that is meant. Reads no entry where the name says enough.
template <class Part>
Named named(std::string_view asked, std::string_view what, const Shelf<Part>& shelf) {
  if (shelf.contains(asked)) return {.name = std::string(asked)};
  const std::string plain = plain_name(asked);
  std::optional<std::string> same;
  bool several = false;
  for (const std::string& name : shelf.names()) {
    if (plain_name(name) != plain) continue;
    several = several || same.has_value();
    same = name;
  }
  if (same && !several) return {.name = std::move(same)};
  return named(asked, what, described(shelf));
}

/// A motor of the catalogue. One that lacks a figure is not found: what it lacks is said.
Named named_motor(std::string_view asked, const Catalogue& catalogue);

/// A motor that somebody takes over: one that lacks a figure too.
Named named_motor_to_change(std::string_view asked, const Catalogue& catalogue);

}  // namespace pitchline::io
