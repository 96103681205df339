#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace pitchline {

/// Number of single-character insertions, deletions, replacements and swaps of neighbours that turn
/// `a` into `b`; a change of case counts as a quarter of a replacement, so the result is in
/// quarters.
inline std::size_t spelling_distance(std::string_view a, std::string_view b) {
  const auto lower = [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  };
  const std::size_t width = b.size() + 1;
  std::vector<std::size_t> d((a.size() + 1) * width);
  const auto at = [&](std::size_t i, std::size_t j) -> std::size_t& { return d[i * width + j]; };
  for (std::size_t i = 0; i <= a.size(); ++i) at(i, 0) = 4 * i;
  for (std::size_t j = 0; j <= b.size(); ++j) at(0, j) = 4 * j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change =
          a[i - 1] == b[j - 1] ? 0 : (lower(a[i - 1]) == lower(b[j - 1]) ? 1 : 4);
      std::size_t best = std::min({at(i - 1, j) + 4, at(i, j - 1) + 4, at(i - 1, j - 1) + change});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        best = std::min(best, at(i - 2, j - 2) + 4);
      at(i, j) = best;
    }
  }
  return at(a.size(), b.size());
}

/// True where a word at `distance` may have been meant: at most a third of the letters of the
/// longer of the two, rounded, would have to change, and letters of the wrong case do not count. So
/// "f" may be "ft" and "M" may be "m", but "q" is not close to "m".
inline bool is_close(std::size_t distance, std::string_view met, std::string_view known) {
  return distance / 4 <= (std::max(met.size(), known.size()) + 1) / 3;
}

namespace detail {
// True where `candidate` begins with the three letters or more of `met`, blanks and case aside.
inline bool goes_on_from(std::string_view met, std::string_view candidate) {
  std::string a(met);
  std::string b(candidate);
  for (std::string* text : {&a, &b}) {
    std::erase(*text, ' ');
    for (char& c : *text)
      if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return a.size() >= 3 && b.size() > a.size() && b.starts_with(a);
}
}  // namespace detail

/// The word of `known` that `met` was most likely meant to be, or nothing where none is close. A
/// word cut short after three letters or more counts as less than one change. Of equals the first
/// one is taken.
template <class Range>
std::optional<std::string> nearest_word(std::string_view met, const Range& known) {
  std::optional<std::string> best;
  std::size_t best_distance = 0;
  for (const auto& word : known) {
    const std::string_view candidate(word);
    const std::size_t distance =
        detail::goes_on_from(met, candidate) ? 3 : spelling_distance(met, candidate);
    if (is_close(distance, met, candidate) && (!best || distance < best_distance)) {
      best_distance = distance;
      best = std::string(candidate);
    }
  }
  return best;
}

}  // namespace pitchline
