#include "read/detail/read_listed.hpp"

#include <algorithm>

namespace pitchline::io::detail {

bool read_notes(TableReader& reader, parts::Notes& notes) {
  using namespace keys;
  bool good = true;
  // A key that is there and yields nothing is wrong.
  const auto read = [&](const auto& key) {
    auto value = reader.read(key);
    good = good && (value.has_value() || !reader.has(key));
    return value;
  };
  if (const auto mark = read(listed::mark))
    notes.mark = listed::mark.words.at(static_cast<std::size_t>(*mark)).word;
  if (auto doubt = read(listed::doubt)) notes.doubt = std::move(*doubt);
  const auto price = read(listed::price);
  auto currency = read(listed::currency);
  if (price && currency) {
    const bool letters =
        currency->size() == 3 && std::all_of(currency->begin(), currency->end(),
                                             [](char c) { return c >= 'A' && c <= 'Z'; });
    if (!letters) {
      reader.error(reader.at(listed::currency),
                   fmt::format("currency must be three capital letters, got \"{}\"", *currency),
                   "the code of the currency, for example currency = \"EUR\"");
      return false;
    }
    notes.price = parts::Price{*price, std::move(*currency)};
  } else if (reader.has(listed::price) && !reader.has(listed::currency)) {
    reader.missing(listed::currency);
    good = false;
  } else if (reader.has(listed::currency) && !reader.has(listed::price)) {
    reader.error(reader.at(listed::currency), "currency goes with a price",
                 "add price = 12.50, or leave the currency out");
    good = false;
  }
  return good;
}

namespace {

// The keys that an entry changes, in words; without those that change no figure.
std::string changed_keys(const toml::table& table) {
  constexpr std::array<std::string_view, 4> no_figures{"like", "price", "currency", "doubt"};
  std::string all;
  for (const auto& [key, node] : table)
    if (std::find(no_figures.begin(), no_figures.end(), key.str()) == no_figures.end())
      all += fmt::format("{}{}", all.empty() ? "" : ", ", key.str());
  return all;
}

}  // namespace

std::string source_of(TableReader& reader, const std::string& source) {
  if (!reader.takes_over() || reader.changes(keys::listed::source)) return source;
  const std::string changed = changed_keys(reader.own());
  return changed.empty() ? source : fmt::format("{}; changed: {}", source, changed);
}

}  // namespace pitchline::io::detail
