#include <algorithm>
#include <array>
#include <cassert>

#include "pitchline/units/nearest.hpp"
#include "read/detail/toml_reader.hpp"

namespace pitchline::io::detail {
namespace {

[[maybe_unused]] bool lists(const KeyTable& table, std::string_view name) {
  return std::any_of(table.rows.begin(), table.rows.end(),
                     [&](const KeyRow& each) { return each.key->name == name; });
}

}  // namespace

std::vector<Diagnostic> Diagnostics::sorted() const {
  std::vector<Diagnostic> list = list_;
  std::stable_sort(list.begin(), list.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return a.line != b.line ? a.line < b.line : a.column < b.column;
  });
  return list;
}

toml::table parse_toml(std::string_view text, std::string_view file) {
  const auto refuse = [&](std::size_t line, std::size_t column, std::string message,
                          std::string help = {}) {
    Diagnostic d;
    d.help = std::move(help);
    d.line = line;
    d.column = column;
    d.message = std::move(message);
    throw UnusableInput({d}, file, text);
  };
  // The parser recurses over dotted keys and nested values without a limit of its own; these bounds
  // keep its stack small.
  constexpr std::size_t most_bytes = 1U << 20U;
  constexpr std::size_t most_in_line = 4096;
  if (text.size() > most_bytes) refuse(0, 0, "the file is larger than 1 MiB");
  std::size_t line = 1;
  std::size_t start = 0;
  for (std::size_t i = 0; i <= text.size(); ++i) {
    if (i < text.size() && text[i] != '\n') continue;
    if (i - start > most_in_line) refuse(line, 1, "the line is longer than 4096 bytes");
    start = i + 1;
    ++line;
  }
  try {
    return toml::parse(text, file);
  } catch (const toml::parse_error& e) {
    refuse(e.source().begin.line, std::max<std::size_t>(e.source().begin.column, 1),
           fmt::format("not TOML: {}", e.description()),
           "text and quantities stand in straight quotes: travel = \"900 mm\"");
  }
  return {};
}

std::string TableReader::describe(const toml::node& node) {
  if (const auto* s = node.as_string()) return fmt::format("\"{}\"", s->get());
  if (const auto* i = node.as_integer()) return fmt::format("{}", i->get());
  if (const auto* f = node.as_floating_point()) return fmt::format("{}", f->get());
  if (const auto* b = node.as_boolean()) return b->get() ? "true" : "false";
  if (node.is_table()) return "a table";
  if (node.is_array()) return "a list";
  return "a date or time";
}

void TableReader::know(std::string_view key) {
  // What a reader asks for stands in the table, else no reference would name it.
  assert(keys_ == nullptr || lists(*keys_, key));
  known_.insert(std::string(key));
}

const toml::node* TableReader::asked(const Key& key, bool required) {
  const toml::node* node = find(key.name, required, key.example);
  if (node == nullptr && !required && key.weight == Otherwise::decides) assume(key);
  return node;
}

void TableReader::assume(const Key& key, std::string_view words) {
  if (assumed_ == nullptr) return;
  std::string text = fmt::format("{} ({}{})", words, within_, key.name);
  // The strokes of a cycle leave the same out.
  if (std::find(assumed_->begin(), assumed_->end(), text) == assumed_->end())
    assumed_->push_back(std::move(text));
}

std::optional<Fraction> TableReader::read(const ExactLengthKey& key, bool required) {
  const toml::node* node = asked(key, required);
  if (node == nullptr) return std::nullopt;
  const auto* text = quantity_text(*node, key.name, *kind_of<Length>, key.example);
  if (text == nullptr) return std::nullopt;
  try {
    const Fraction value = exact_millimetres(text->get());
    const Length length = millimetres(to_double(value));
    if (value > Fraction(0) && length >= key.least && length <= key.most) return value;
    error(*node, value > Fraction(0) && length < key.least
                     ? fmt::format("{} must be at least {}, got \"{}\"", key.name,
                                   print_plain(key.least), text->get())
                     : fmt::format("{} must be > 0 and at most {}, got \"{}\"", key.name,
                                   print_plain(key.most), text->get()));
  } catch (const UnreadableQuantity& e) {
    diagnostics_.add(node->source(), fmt::format("{}: {}", key.name, e.what()), {}, e.column());
  }
  return std::nullopt;
}

std::optional<std::string> TableReader::read(const TextKey& key, bool required) {
  if (asked(key, required) == nullptr) return std::nullopt;
  // The example stands in quotes, as the file writes it.
  return text(key.name, required, key.example.substr(1, key.example.size() - 2));
}

std::optional<bool> TableReader::read(const FlagKey& key, bool required) {
  const toml::node* node = asked(key, required);
  if (node == nullptr) return std::nullopt;
  if (const auto* value = node->as_boolean()) return value->get();
  error(*node, fmt::format("{} must be true or false, got {}", key.name, describe(*node)));
  return std::nullopt;
}

std::optional<TableReader> TableReader::table(const NodeKey& key, const KeyTable& keys,
                                              bool required) {
  if (asked(key, required) == nullptr) return std::nullopt;
  const toml::table* inner = table(key.name, required, key.example);
  return inner == nullptr ? std::nullopt : std::optional(inside(key, *inner, keys));
}

TableReader TableReader::inside(const Key& key, const toml::table& inner, const KeyTable& keys) {
  return {inner,
          keys,
          {.path = path_.empty() ? std::string(key.name) : fmt::format("{}.{}", path_, key.name),
           .within = fmt::format("{}{}.", within_, key.name),
           .assumed = assumed_},
          diagnostics_};
}

void TableReader::missing(std::string_view key, std::string_view example) {
  const std::string help =
      example.empty() ? std::string() : fmt::format("add {} = {}", key, example);
  if (path_.empty()) {
    diagnostics_.add_for_file(fmt::format("{} is missing", key), help);
  } else {
    diagnostics_.add(table_.source(), fmt::format("{}.{} is missing", path_, key), help);
  }
}

void TableReader::unknown_word(const toml::node& node, std::string_view what, std::string_view met,
                               const std::vector<std::string>& known) {
  const auto nearest = nearest_word(met, known);
  std::string all;
  for (const std::string& word : known) {
    all += all.empty() ? "" : ", ";
    all += fmt::format("\"{}\"", word);
  }
  error(node, fmt::format("unknown {} \"{}\"", what, met),
        nearest ? fmt::format("did you mean \"{}\"? known: {}", *nearest, all)
                : fmt::format("known: {}", all));
}

const toml::value<std::string>* TableReader::quantity_text(const toml::node& node,
                                                           std::string_view key, const Kind& kind,
                                                           std::string_view example) {
  if (const auto* text = node.as_string()) return text;
  const std::string shown =
      example.empty() ? fmt::format("\"{}\"", kind.example) : std::string(example);
  error(node,
        node.is_number()
            ? fmt::format("{} needs a unit: {} is written as text", key, kind.name)
            : fmt::format("{} must be {} in text, got {}", key, kind.name, describe(node)),
        fmt::format("for example {} = {}", key, shown));
  return nullptr;
}

std::optional<Fraction> TableReader::exact_length(std::string_view key, bool required) {
  const toml::node* node = find(key, required, "\"2 mm\"");
  if (node == nullptr) return std::nullopt;
  const auto* text = quantity_text(*node, key, *kind_of<Length>, {});
  if (text == nullptr) return std::nullopt;
  try {
    const Fraction value = exact_millimetres(text->get());
    if (value > Fraction(0)) return value;
    error(*node, fmt::format("{} must be > 0, got \"{}\"", key, text->get()));
  } catch (const UnreadableQuantity& e) {
    diagnostics_.add(node->source(), fmt::format("{}: {}", key, e.what()), {}, e.column());
  }
  return std::nullopt;
}

std::optional<std::int64_t> TableReader::whole(std::string_view key, bool required,
                                               std::int64_t least, std::int64_t most,
                                               std::string_view example) {
  const toml::node* node = find(key, required, example);
  if (node == nullptr) return std::nullopt;
  const auto* number = node->as_integer();
  if (number == nullptr) {
    error(*node, fmt::format("{} must be a whole number, got {}", key, describe(*node)),
          fmt::format("for example {} = {}", key, example));
    return std::nullopt;
  }
  if (number->get() < least || number->get() > most) {
    error(*node, fmt::format("{} must be from {} to {}, got {}", key, least, most, number->get()));
    return std::nullopt;
  }
  return number->get();
}

std::optional<std::string> TableReader::text(std::string_view key, bool required,
                                             std::string_view example) {
  const toml::node* node = find(key, required, fmt::format("\"{}\"", example));
  if (node == nullptr) return std::nullopt;
  const auto* value = node->as_string();
  if (value == nullptr || value->get().empty()) {
    error(*node,
          fmt::format("{} must be a text, got {}", key,
                      value == nullptr ? describe(*node) : "an empty one"),
          fmt::format("for example {} = \"{}\"", key, example));
    return std::nullopt;
  }
  return value->get();
}

std::optional<std::size_t> TableReader::choice(std::string_view key, bool required,
                                               const std::vector<std::string_view>& words) {
  const auto value = text(key, required, words.front());
  if (!value) return std::nullopt;
  const auto found = std::find(words.begin(), words.end(), *value);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  unknown_word(*get(key), key, *value, {words.begin(), words.end()});
  return std::nullopt;
}

const toml::table* TableReader::table(std::string_view key, bool required,
                                      std::string_view example) {
  const toml::node* node = find(key, required, example);
  if (node == nullptr) return nullptr;
  if (const toml::table* t = node->as_table()) return t;
  error(*node, fmt::format("{} must be a table, got {}", key, describe(*node)),
        fmt::format("for example {} = {}", key, example));
  return nullptr;
}

std::optional<std::vector<std::pair<std::string, const toml::node*>>> TableReader::list_of_texts(
    std::string_view key) {
  const toml::node* node = find(key, false, {});
  if (node == nullptr) return std::nullopt;
  std::vector<std::pair<std::string, const toml::node*>> list;
  const toml::array* array = node->as_array();
  if (array == nullptr) {
    error(*node, fmt::format("{} must be a list of texts, got {}", key, describe(*node)),
          fmt::format("for example {} = [\"x\"]", key));
    return std::nullopt;
  }
  for (const toml::node& item : *array) {
    if (const auto* value = item.as_string()) {
      list.emplace_back(value->get(), &item);
    } else {
      error(item, fmt::format("{} must hold texts, got {}", key, describe(item)));
    }
  }
  return list;
}

void TableReader::finish() {
  if (keys_ != nullptr)
    for (const KeyRow& each : keys_->rows) known_.insert(std::string(each.key->name));
  for (const auto& [key, node] : table_) {
    const std::string name(key.str());
    if (known_.contains(name) || is_retired(key)) continue;
    const auto nearest = nearest_word(name, known_);
    std::string all;
    for (const std::string& word : known_) all += (all.empty() ? "" : ", ") + word;
    diagnostics_.add(key.source(),
                     path_.empty() ? fmt::format("unknown key \"{}\"", name)
                                   : fmt::format("unknown key \"{}\" in {}", name, path_),
                     nearest ? fmt::format("did you mean {}? known here: {}", *nearest, all)
                             : fmt::format("known here: {}", all));
  }
}

bool TableReader::names_retired() const {
  return keys_ != nullptr &&
         std::any_of(keys_->retired.begin(), keys_->retired.end(),
                     [&](const RetiredKey& each) { return table_.contains(each.name); });
}

bool TableReader::is_retired(const toml::key& key) {
  if (keys_ == nullptr) return false;
  const auto found = std::find_if(keys_->retired.begin(), keys_->retired.end(),
                                  [&](const RetiredKey& each) { return each.name == key.str(); });
  if (found == keys_->retired.end()) return false;
  diagnostics_.add(key.source(), std::string(found->message), std::string(found->help));
  return true;
}

}  // namespace pitchline::io::detail
