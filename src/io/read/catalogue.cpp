#include "pitchline/io/catalogue.hpp"

#include <functional>
#include <set>
#include <sstream>
#include <type_traits>
#include <utility>
#include <vector>

#include "detail/listed_record.hpp"
#include "read/detail/catalogue_kinds.hpp"

namespace pitchline::io {
namespace {

using detail::CatalogueKind;
using detail::Diagnostics;
using detail::TableReader;

toml::table with(toml::table base, const toml::table& changes) {
  for (const auto& [key, node] : changes)
    if (key.str() != detail::keys::listed::like.name)
      node.visit([&, k = key.str()](const auto& value) { base.insert_or_assign(k, value); });
  return base;
}

/// Reads the entries of one kind of a file.
template <class Part>
class KindReader {
 public:
  KindReader(const toml::table& entries, const Catalogue& catalogue, Diagnostics& diagnostics)
      : entries_(entries), catalogue_(catalogue), diagnostics_(diagnostics) {}

  /// The parts with their entries; those that are wrong are errors.
  std::vector<std::pair<Part, std::string>> read() {
    std::vector<std::pair<Part, std::string>> found;
    for (const auto& [key, node] : entries_) {
      const std::string name(key.str());
      const std::string path = fmt::format("{}.{}", CatalogueKind<Part>::word, name);
      const toml::table* table = node.as_table();
      if (table == nullptr) {
        diagnostics_.add(node.source(), path + " must be a table");
        continue;
      }
      Diagnostics of_entry;
      of_entry.stand_in(table->source());
      const bool takes_over = table->contains(detail::keys::listed::like.name);
      const auto base = takes_over ? base_of(*table, path, {name}, of_entry) : std::nullopt;
      if (base || !takes_over) {
        auto part = CatalogueKind<Part>::read(
            *table, {.path = path, .base = base ? &*base : nullptr}, of_entry, name);
        if (part) {
          const toml::table whole = base ? with(*base, *table) : *table;
          std::ostringstream text;
          const toml::table root{
              {CatalogueKind<Part>::word, toml::table{{name, toml::table(whole)}}}};
          text << toml::toml_formatter(root);
          found.emplace_back(std::move(*part), text.str());
        }
      }
      diagnostics_.add_all(of_entry);
    }
    return found;
  }

 private:
  // What an entry takes over, through all that this takes over itself.
  std::optional<toml::table> base_of(const toml::table& table, const std::string& path,
                                     std::set<std::string> above, Diagnostics& diagnostics) {
    TableReader reader(table, path, diagnostics);
    const auto name = reader.read(detail::keys::listed::like);
    if (!name) return std::nullopt;
    const toml::node& at = *table.get(detail::keys::listed::like.name);
    if (const toml::table* other = entries_[*name].as_table(); other && *name != *above.begin()) {
      if (!above.insert(*name).second) {
        reader.error(at, fmt::format("\"{}\" takes over itself", *name),
                     "let one of them stand for itself");
        return std::nullopt;
      }
      if (!other->contains(detail::keys::listed::like.name)) return toml::table(*other);
      auto base = base_of(*other, path, std::move(above), diagnostics);
      if (base) return with(std::move(*base), *other);
      return std::nullopt;
    }
    const Named known = named_in_catalogue(*name);
    if (!known.name) reader.error(at, known.message, known.help);
    return known.name ? detail::entry_of<Part>(catalogue_, *known.name) : std::nullopt;
  }

  [[nodiscard]] Named named_in_catalogue(const std::string& name) const {
    if constexpr (std::is_same_v<Part, parts::StepperMotor>)
      return named_motor_to_change(name, catalogue_);
    else
      return named(name, CatalogueKind<Part>::word, catalogue_.*CatalogueKind<Part>::shelf);
  }

  const toml::table& entries_;
  const Catalogue& catalogue_;
  Diagnostics& diagnostics_;
};

template <class Part>
void put(Catalogue& catalogue, Part part, std::string text) {
  const std::string name = part.name;
  if constexpr (std::is_same_v<Part, parts::StepperMotor>) {
    if (!part.lacks.empty()) {
      catalogue.motors_in_part.put(name, std::move(part), std::move(text));
      return;
    }
  }
  (catalogue.*CatalogueKind<Part>::shelf).put(name, std::move(part), std::move(text));
}

}  // namespace

void read_catalogue(std::string_view text, std::string_view file, Catalogue& catalogue) {
  const toml::table root = detail::parse_toml(text, file);
  Diagnostics diagnostics;
  TableReader top(root, "", diagnostics);
  Catalogue found;
  std::vector<std::function<void()>> puts;
  detail::for_each_kind([&]<class Part>(const Part&) {
    const toml::table* entries = top.table(CatalogueKind<Part>::word, false, "");
    if (entries == nullptr) return;
    for (auto& entry : KindReader<Part>(*entries, catalogue, diagnostics).read())
      puts.emplace_back([&catalogue, e = std::move(entry)] { put(catalogue, e.first, e.second); });
  });
  top.finish();
  if (!diagnostics.empty()) throw UnusableInput(diagnostics.sorted(), file, text);
  for (const auto& each : puts) each();
}

}  // namespace pitchline::io
