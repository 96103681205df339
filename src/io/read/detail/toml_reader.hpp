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

namespace pitchline::io::detail {

/// Collects the errors of one file, so that all are reported in one run.
class Diagnostics {
 public:
  void add(const toml::source_region& where, std::string message, std::string help = {},
           std::size_t column_in_text = 0) {
    Diagnostic d;
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
  /// In the order of the file.
  [[nodiscard]] std::vector<Diagnostic> sorted() const;

 private:
  std::vector<Diagnostic> list_;
};

/// Parses the text of a file; refuses what the parser cannot take.
///
/// \throws UnusableInput  syntax errors, over 1 MiB, a line over 4 kB, bytes that are no UTF-8
toml::table parse_toml(std::string_view text, std::string_view file);

/// Reads the keys of one table. Every accessor marks its key as known; `finish` then reports every
/// key that nobody asked for, with the nearest that is known.
class TableReader {
 public:
  TableReader(const toml::table& table, std::string path, Diagnostics& diagnostics)
      : table_(table), path_(std::move(path)), diagnostics_(diagnostics) {}

  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] Diagnostics& diagnostics() { return diagnostics_; }
  /// Where the table stands.
  [[nodiscard]] const toml::source_region& source() const { return table_.source(); }
  /// Marks a key as known that something else reads.
  void know(std::string_view key) { known_.insert(std::string(key)); }
  [[nodiscard]] bool has(std::string_view key) {
    known_.insert(std::string(key));
    return table_.contains(key);
  }

  /// The node of a key, or null with an error where it must be there.
  const toml::node* find(std::string_view key, bool required, std::string_view example) {
    known_.insert(std::string(key));
    const toml::node* node = table_.get(key);
    if (node == nullptr && required) missing(key, example);
    return node;
  }

  /// A quantity in text. `rule` and `holds` state the range, in words and as a test.
  template <class Q, class Holds>
  std::optional<Q> quantity(std::string_view key, bool required, std::string_view rule,
                            Holds holds) {
    const toml::node* node = find(key, required, fmt::format("\"{}\"", kind_of<Q>->example));
    if (node == nullptr) return std::nullopt;
    const auto* text = quantity_text(*node, key, *kind_of<Q>);
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
  const toml::value<std::string>* quantity_text(const toml::node& node, std::string_view key,
                                                const Kind& kind);

  const toml::table& table_;
  std::string path_;
  Diagnostics& diagnostics_;
  std::set<std::string> known_;
};

}  // namespace pitchline::io::detail
