#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace pitchline::io::detail {

/// A word or a figure of a name.
struct NameWord {
  std::string text{};   ///< a word in small letters; empty of a figure
  double number = 0.0;  ///< of a figure, as it is written
  double slack = 0.0;   ///< half of its last digit
  double value = 0.0;   ///< in the unit of its kind
  std::string kind{};   ///< "length", ...; empty: it has no unit
  [[nodiscard]] bool is_figure() const { return text.empty(); }
};

/// The words and figures of a name, in its order: "NEMA 17 48mm 2A" is nema17, 48 mm, 2 A.
std::vector<NameWord> name_words(std::string_view name);

/// Whether a word that was asked for is one of an entry: a figure as near as it was written, a
/// figure without a unit of any unit.
bool same_word(const NameWord& asked, const NameWord& had);

}  // namespace pitchline::io::detail
