#pragma once

// A key of a file is one entry: name, kind of quantity, an example of its own, bounds, what counts
// where it is left out, and one line of documentation. What the reader checks and says, and the
// reference of the machine file, come from it.

#include <fmt/format.h>

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "pitchline/units.hpp"

namespace pitchline::io::detail {

/// What the value that counts in place of a key that is left out means for the verdicts.
enum class Otherwise {
  harmless,  ///< it decides none: a name, or nothing is asked then
  decides,   ///< it may decide one, and is named under "assumed" in the words of the entry
  worded,    ///< likewise, in words that the reader fills with numbers
  unknown,   ///< no value is taken: what would need it is not looked at, or says so
};

/// What every entry says.
struct Key {
  std::string_view name;
  std::string_view example;  ///< as the file writes it behind the equals sign
  std::string_view doc;
  bool required = false;         ///< unless other keys make it so, or take its place
  std::string_view otherwise{};  ///< what counts where it is left out; a part of a sentence
  Otherwise weight = Otherwise::harmless;
};

/// How the least value of a range is meant.
enum class Least { above_zero, zero_too, given };

/// A quantity in text. Of `Least::above_zero` the least value is one below which stands a slip of
/// the unit.
template <class Q>
struct QuantityKey : Key {
  Q least;
  Q most;
  Least meaning = Least::above_zero;
  std::string_view rule{};  ///< in place of the words made of the bounds
};

/// A length without rounding.
struct ExactLengthKey : Key {
  Length least;
  Length most;
};

/// A number without unit; its type has the bounds.
template <class R>
struct RatioKey : Key {};

struct WholeKey : Key {
  std::int64_t least = 0;
  std::int64_t most = 0;
};

template <class Value>
struct Word {
  std::string_view word;
  Value value;
};
/// One of a few words, each with what it means.
template <class Value, std::size_t count>
struct ChoiceKey : Key {
  std::array<Word<Value>, count> words;
};

/// A text of any words.
struct TextKey : Key {};
/// true or false.
struct FlagKey : Key {};
/// A table, a list, or what may be written in several ways; `kind` says it in words.
struct NodeKey : Key {
  std::string_view kind{};
};

/// A key that a file must not use any more.
struct RetiredKey {
  std::string_view name;
  std::string_view message;
  std::string_view help;
};

/// The words for the range of a quantity: "> 0 and at most 20 m".
template <class Q>
std::string range_in_words(const QuantityKey<Q>& key) {
  if (!key.rule.empty()) return std::string(key.rule);
  if (key.meaning == Least::given)
    return fmt::format("from {} to {}", print_plain(key.least), print_plain(key.most));
  return fmt::format("{} 0 and at most {}", key.meaning == Least::zero_too ? ">=" : ">",
                     print_plain(key.most));
}

// What the reference says of an entry: its kind, and its bounds.
template <class Q>
std::string kind_in_words(const QuantityKey<Q>& /*key*/) {
  return std::string(kind_of<Q>->name);
}
inline std::string kind_in_words(const ExactLengthKey& /*key*/) { return "a length, exact"; }
template <class R>
std::string kind_in_words(const RatioKey<R>& /*key*/) {
  return "a number";
}
inline std::string kind_in_words(const WholeKey& /*key*/) { return "a whole number"; }
template <class Value, std::size_t count>
std::string kind_in_words(const ChoiceKey<Value, count>& /*key*/) {
  return "one of";
}
inline std::string kind_in_words(const TextKey& /*key*/) { return "a text"; }
inline std::string kind_in_words(const FlagKey& /*key*/) { return "true or false"; }
inline std::string kind_in_words(const NodeKey& key) { return std::string(key.kind); }

template <class Q>
std::string bounds_in_words(const QuantityKey<Q>& key) {
  if (!key.rule.empty()) return std::string(key.rule);
  if (key.meaning == Least::zero_too) return fmt::format("0 to {}", print_plain(key.most));
  return fmt::format("{} to {}", print_plain(key.least), print_plain(key.most));
}
inline std::string bounds_in_words(const ExactLengthKey& key) {
  return fmt::format("{} to {}", print_plain(key.least), print_plain(key.most));
}
template <class Meaning>
std::string bounds_in_words(const RatioKey<Ratio<Meaning>>& /*key*/) {
  return std::string(Meaning::rule);
}
inline std::string bounds_in_words(const WholeKey& key) {
  return fmt::format("{} to {}", key.least, key.most);
}
template <class Value, std::size_t count>
std::string bounds_in_words(const ChoiceKey<Value, count>& key) {
  std::string all;
  for (const auto& word : key.words)
    all += fmt::format("{}`{}`", all.empty() ? "" : ", ", word.word);
  return all;
}
inline std::string bounds_in_words(const Key& /*key*/) { return ""; }

/// An entry as a table lists it, whatever its type.
struct KeyRow {
  const Key* key;
  std::string (*kind)(const Key&);
  std::string (*bounds)(const Key&);
};
template <class K>
constexpr KeyRow row(const K& key) {
  return {&key, [](const Key& k) { return kind_in_words(static_cast<const K&>(k)); },
          [](const Key& k) { return bounds_in_words(static_cast<const K&>(k)); }};
}

/// The keys of one table of a file, in the order of the reference.
struct KeyTable {
  std::string_view title;  ///< "[supply]", or where it stands: "[axis.NAME.drive], kind = belt"
  std::string_view text;   ///< what the reference says before the keys
  std::span<const KeyRow> rows;
  std::span<const RetiredKey> retired{};
};

}  // namespace pitchline::io::detail
