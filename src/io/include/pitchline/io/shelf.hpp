#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace pitchline::io {

/// Entries of a built-in catalogue as they stand in its text, by name.
using EntryTexts = std::map<std::string_view, std::string_view, std::less<>>;

/// The parts of one kind that have a name. Of those that come with the programs only the ones that
/// are asked for are read, so that a program pays for no others; to go through all reads all.
///
/// Not to be shared between threads before everything that is needed has been asked for.
template <class Part>
class Shelf {
 public:
  using Parts = std::map<std::string, Part, std::less<>>;
  using const_iterator = typename Parts::const_iterator;
  /// Makes a part of the text of its entry.
  using Read = Part (*)(std::string_view name, std::string_view text);

  Shelf() = default;
  /// Where the entries of the parts stand that come with the programs; asked when they are needed.
  using BuiltIn = const EntryTexts& (*)();
  Shelf(BuiltIn built_in, Read read) : built_in_(built_in), read_(read) {}

  [[nodiscard]] const_iterator find(std::string_view name) const {
    const auto known = parts_.find(name);
    if (known != parts_.end() || built_in_ == nullptr) return known;
    const auto entry = built_in_().find(name);
    if (entry == built_in_().end()) return parts_.end();
    return parts_.emplace(std::string(name), read_(name, entry->second)).first;
  }
  [[nodiscard]] bool contains(std::string_view name) const {
    return parts_.contains(name) || (built_in_ != nullptr && built_in_().contains(name));
  }
  /// \throws std::out_of_range  there is none of this name
  [[nodiscard]] const Part& at(std::string_view name) const {
    const auto found = find(name);
    return found == parts_.end() ? parts_.at(std::string(name)) : found->second;
  }
  [[nodiscard]] const_iterator begin() const {
    if (built_in_ != nullptr)
      for (const auto& [name, text] : built_in_())
        if (!parts_.contains(name)) parts_.emplace(std::string(name), read_(name, text));
    return parts_.begin();
  }
  [[nodiscard]] const_iterator end() const { return parts_.end(); }
  [[nodiscard]] std::vector<std::string> names() const {
    std::vector<std::string> all;
    for (const auto& [name, part] : parts_) all.push_back(name);
    if (built_in_ != nullptr)
      for (const auto& [name, text] : built_in_())
        if (!parts_.contains(name)) all.emplace_back(name);
    return all;
  }
  [[nodiscard]] std::size_t size() const { return names().size(); }
  [[nodiscard]] bool empty() const { return size() == 0; }

  /// Adds a part, or replaces the one of its name. `text` is its entry, for whoever takes it over
  /// with changes.
  void put(const std::string& name, Part part, std::string text) {
    parts_.insert_or_assign(name, std::move(part));
    texts_.insert_or_assign(name, std::move(text));
  }
  /// Names of the parts that were put there, without those that come with the programs.
  [[nodiscard]] std::vector<std::string> own_names() const {
    std::vector<std::string> own;
    for (const auto& [name, text] : texts_) own.push_back(name);
    return own;
  }
  /// The entry of a part as it stands in a file of the same kind; empty where there is none.
  [[nodiscard]] std::string_view text_of(std::string_view name) const {
    const auto own = texts_.find(name);
    if (own != texts_.end()) return own->second;
    if (built_in_ == nullptr) return {};
    const auto entry = built_in_().find(name);
    return entry == built_in_().end() ? std::string_view{} : entry->second;
  }

 private:
  BuiltIn built_in_ = nullptr;
  Read read_ = nullptr;
  mutable Parts parts_;
  std::map<std::string, std::string, std::less<>> texts_;
};

}  // namespace pitchline::io
