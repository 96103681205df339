#pragma once

#include <fmt/format.h>

#include <toml++/toml.h>
#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/io/diagnostic.hpp"
#include "pitchline/units.hpp"
#include "pitchline/units/fraction.hpp"
#include "read/detail/key.hpp"

namespace pitchline::io::detail {

/// Collects the errors of one file, so that all are reported in one run.
class Diagnostics {
 public:
  void add(const toml::source_region& where, std::string message, std::string help = {},
           std::size_t column_in_text = 0) {
    Diagnostic d;
    // What an entry took over from another one stands in no file of the user's.
    if (where.begin.line == 0 && stand_in_.begin.line != 0) {
      add(stand_in_, std::move(message), std::move(help));
      return;
    }
    d.line = where.begin.line;
    // Inside a quoted string the text starts one column after the opening quote, and a 1-based
    // column in the text adds up right.
    d.column = where.begin.column + column_in_text;
    const bool one_line = where.end.line == where.begin.line && where.end.column > d.column;
    d.length = one_line && column_in_text == 0 ? where.end.column - d.column : 1;
    d.message = std::move(message);
    d.help = std::move(help);
    list_.push_back(std::move(d));
  }
  /// Something that is wrong with the file as a whole.
  void add_for_file(std::string message, std::string help) {
    Diagnostic d;
    d.message = std::move(message);
    d.help = std::move(help);
    list_.push_back(std::move(d));
  }
  /// Takes over what another one collected.
  void add_all(const Diagnostics& other) {
    list_.insert(list_.end(), other.list_.begin(), other.list_.end());
  }
  [[nodiscard]] bool empty() const { return list_.empty(); }
  /// From here on, where what has no place of its own is reported.
  void stand_in(const toml::source_region& where) { stand_in_ = where; }
  /// In the order of the file.
  [[nodiscard]] std::vector<Diagnostic> sorted() const;

 private:
  std::vector<Diagnostic> list_;
  toml::source_region stand_in_{};
};

/// Parses the text of a file; refuses what the parser cannot take.
///
/// \throws UnusableInput  syntax errors, over 1 MiB, a line over 4 kB, bytes that are no UTF-8
toml::table parse_toml(std::string_view text, std::string_view file);

/// Where a table stands, and where what is assumed of it is noted.
struct TablePlace {
  std::string path{};                           ///< "axis.x.drive", in messages
  std::string within{};                         ///< "drive.", before the keys under "assumed"
  std::vector<std::string>* assumed = nullptr;  ///< null: nothing is noted
  /// Table whose keys count where this one leaves them out: of the entry that it takes over.
  const toml::table* base = nullptr;
};

/// Reads the keys of one table, each by its entry. `finish` then reports every key that the table
/// does not have, with the nearest that it has.
class TableReader {
 public:
  /// A table of a file whose keys are listed.
  TableReader(const toml::table& table, const KeyTable& keys, TablePlace place,
              Diagnostics& diagnostics)
      : table_(table),
        path_(std::move(place.path)),
        diagnostics_(diagnostics),
        keys_(&keys),
        within_(std::move(place.within)),
        assumed_(place.assumed),
        base_(place.base) {}
  /// A table whose keys are those that are asked for.
  TableReader(const toml::table& table, std::string path, Diagnostics& diagnostics,
              const toml::table* base = nullptr)
      : table_(table), path_(std::move(path)), diagnostics_(diagnostics), base_(base) {}

  /// The value of an entry; nothing where it is left out, with an error where `required`, or wrong.
  template <class Q>
  std::optional<Q> read(const QuantityKey<Q>& key, bool required) {
    const toml::node* node = asked(key, required);
    if (node == nullptr) return std::nullopt;
    const auto* text = quantity_text(*node, key.name, *kind_of<Q>, key.example);
    if (text == nullptr) return std::nullopt;
    try {
      const Q q = read_quantity<Q>(text->get(), first_quoted(key.example));
      if (in_range(*node, key, q, text->get())) return q;
    } catch (const UnreadableQuantity& e) {
      diagnostics_.add(node->source(), fmt::format("{}: {}", key.name, e.what()), {}, e.column());
    }
    return std::nullopt;
  }
  std::optional<Fraction> read(const ExactLengthKey& key, bool required);
  template <class R>
  std::optional<R> read(const RatioKey<R>& key, bool required) {
    return asked(key, required) == nullptr ? std::nullopt
                                           : ratio<R>(key.name, required, key.example);
  }
  std::optional<std::int64_t> read(const WholeKey& key, bool required) {
    return asked(key, required) == nullptr
               ? std::nullopt
               : whole(key.name, required, key.least, key.most, key.example);
  }
  template <class Value, std::size_t count>
  std::optional<Value> read(const ChoiceKey<Value, count>& key, bool required) {
    if (asked(key, required) == nullptr) return std::nullopt;
    std::vector<std::string_view> words;
    for (const auto& word : key.words) words.push_back(word.word);
    const auto place = choice(key.name, required, words);
    return place ? std::optional<Value>(key.words.at(*place).value) : std::nullopt;
  }
  std::optional<std::string> read(const TextKey& key, bool required);
  std::optional<bool> read(const FlagKey& key, bool required);
  template <class K>
  auto read(const K& key) {
    return read(key, key.required);
  }
  /// Reads an entry into a place, which keeps what it has where nothing is read; whether it was.
  template <class K, class T>
  bool into(const K& key, T& place) {
    const auto value = read(key);
    if (value) place = static_cast<T>(*value);
    return value.has_value();
  }
  /// The table of an entry with its own keys; nothing where it is left out or no table.
  std::optional<TableReader> table(const NodeKey& key, const KeyTable& keys, bool required);
  std::optional<TableReader> table(const NodeKey& key, const KeyTable& keys) {
    return table(key, keys, key.required);
  }
  /// The same where the table stands already: an entry that may be something else too.
  [[nodiscard]] TableReader inside(const Key& key, const toml::table& inner, const KeyTable& keys);
  /// The node of an entry, or null with an error where it is required.
  const toml::node* node(const NodeKey& key) { return asked(key, key.required); }
  [[nodiscard]] bool has(const Key& key) { return has(key.name); }
  /// The node of an entry that is there.
  [[nodiscard]] const toml::node& at(const Key& key) const { return *get(key.name); }
  /// Whether it takes over another table, and changes a key of that.
  [[nodiscard]] bool takes_over() const { return base_ != nullptr; }
  [[nodiscard]] bool changes(const Key& key) const { return base_ && table_.contains(key.name); }
  /// The table itself, without what it takes over.
  [[nodiscard]] const toml::table& own() const { return table_; }
  void missing(const Key& key) { missing(key.name, key.example); }
  void missing(const Key& key, std::string_view example) { missing(key.name, example); }
  /// Whether the table has a key that files must not use any more; `finish` says so.
  [[nodiscard]] bool names_retired() const;
  /// Notes what counts in place of an entry that is left out.
  void assume(const Key& key, std::string_view words);
  /// Notes that, in the words of the entry.
  void assume(const Key& key) { assume(key, key.otherwise); }

  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] Diagnostics& diagnostics() { return diagnostics_; }
  /// Where the table stands.
  [[nodiscard]] const toml::source_region& source() const { return table_.source(); }
  /// Marks a key as known that something else reads.
  void know(std::string_view key);
  [[nodiscard]] bool has(std::string_view key) {
    know(key);
    return get(key) != nullptr;
  }

  /// The node of a key, or null with an error where it must be there.
  const toml::node* find(std::string_view key, bool required, std::string_view example) {
    know(key);
    const toml::node* node = get(key);
    if (node == nullptr && required) missing(key, example);
    return node;
  }

  /// A quantity in text. `rule` and `holds` state the range, in words and as a test.
  template <class Q, class Holds>
  std::optional<Q> quantity(std::string_view key, bool required, std::string_view rule,
                            Holds holds) {
    const toml::node* node = find(key, required, fmt::format("\"{}\"", kind_of<Q>->example));
    if (node == nullptr) return std::nullopt;
    const auto* text = quantity_text(*node, key, *kind_of<Q>, {});
    if (text == nullptr) return std::nullopt;
    try {
      const Q q = read_quantity<Q>(text->get());
      if (holds(q)) return q;
      error(*node, fmt::format("{} must be {}, got \"{}\"", key, rule, text->get()));
    } catch (const UnreadableQuantity& e) {
      diagnostics_.add(node->source(), fmt::format("{}: {}", key, e.what()), {}, e.column());
    }
    return std::nullopt;
  }

  template <class Q>
  std::optional<Q> positive(std::string_view key, bool required, const Q& most) {
    return quantity<Q>(key, required, fmt::format("> 0 and at most {}", print_plain(most)),
                       [&](const Q& q) { return q > 0.0 * q && q <= most; });
  }
  template <class Q>
  std::optional<Q> not_negative(std::string_view key, bool required, const Q& most) {
    return quantity<Q>(key, required, fmt::format(">= 0 and at most {}", print_plain(most)),
                       [&](const Q& q) { return q >= 0.0 * q && q <= most; });
  }

  /// A length without rounding.
  std::optional<Fraction> exact_length(std::string_view key, bool required);

  /// A number without unit that a `Ratio` type accepts.
  template <class R>
  std::optional<R> ratio(std::string_view key, bool required, std::string_view example) {
    const toml::node* node = find(key, required, example);
    if (node == nullptr) return std::nullopt;
    const auto value = node->value<double>();
    if (!value || node->is_boolean() || node->is_string()) {
      error(*node, fmt::format("{} must be a number without unit, got {}", key, describe(*node)),
            fmt::format("for example {} = {}", key, example));
      return std::nullopt;
    }
    try {
      return R(*value);
    } catch (const InvalidInput& e) {
      error(*node, fmt::format("{}: {}", key, e.what()));
      return std::nullopt;
    }
  }

  std::optional<std::int64_t> whole(std::string_view key, bool required, std::int64_t least,
                                    std::int64_t most, std::string_view example);
  std::optional<std::string> text(std::string_view key, bool required, std::string_view example);
  /// One of a few words; returns its place in `words`.
  std::optional<std::size_t> choice(std::string_view key, bool required,
                                    const std::vector<std::string_view>& words);
  const toml::table* table(std::string_view key, bool required, std::string_view example);
  std::optional<std::vector<std::pair<std::string, const toml::node*>>> list_of_texts(
      std::string_view key);

  void error(const toml::node& node, std::string message, std::string help = {}) {
    diagnostics_.add(node.source(), std::move(message), std::move(help));
  }
  void missing(std::string_view key, std::string_view example);
  void unknown_word(const toml::node& node, std::string_view what, std::string_view met,
                    const std::vector<std::string>& known);
  void finish();

  static std::string describe(const toml::node& node);

 private:
  [[nodiscard]] const toml::node* get(std::string_view key) const {
    const toml::node* node = table_.get(key);
    return node == nullptr && base_ != nullptr ? base_->get(key) : node;
  }
  const toml::value<std::string>* quantity_text(const toml::node& node, std::string_view key,
                                                const Kind& kind, std::string_view example);
  // What stands in the first quotes of an example: it may go on in words.
  static std::string_view first_quoted(std::string_view example) {
    const std::size_t from = example.find('"') + 1;
    return example.substr(from, example.find('"', from) - from);
  }
  // The node of an entry; where it is left out an error, or a note of what counts in its place.
  const toml::node* asked(const Key& key, bool required);
  bool is_retired(const toml::key& key);
  template <class Q>
  bool in_range(const toml::node& node, const QuantityKey<Q>& key, const Q& q,
                std::string_view text) {
    const bool low = key.meaning == Least::above_zero ? !(q > 0.0 * q) : !(q >= key.least);
    if (low || !(q <= key.most)) {
      error(node, fmt::format("{} must be {}, got \"{}\"", key.name, range_in_words(key), text));
      return false;
    }
    if (q >= key.least) return true;
    error(node,
          fmt::format("{} must be at least {}, got \"{}\"", key.name, print_plain(key.least), text),
          "so little is a slip of the unit");
    return false;
  }

  const toml::table& table_;
  std::string path_;
  Diagnostics& diagnostics_;
  std::set<std::string> known_;
  const KeyTable* keys_ = nullptr;
  std::string within_;
  std::vector<std::string>* assumed_ = nullptr;
  const toml::table* base_ = nullptr;
};

}  // namespace pitchline::io::detail
