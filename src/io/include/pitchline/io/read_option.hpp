#pragma once

#include <cstdint>
#include <stdexcept>
#include <string>
#include <string_view>

#include "pitchline/units.hpp"
#include "pitchline/units/measure.hpp"

namespace pitchline::io {

/// An option that cannot be used, with what helps. `what()` is ready to be shown.
class UnusableOptions : public std::runtime_error {
 public:
  /// \param file  that the complaint is of; empty where it is of the command line alone
  explicit UnusableOptions(const std::string& what, const std::string& help = {},
                           const std::string& file = {});
};

/// Largest figure that an option takes where it has no limit of its own, in coherent units.
inline constexpr double largest_figure = 1e9;

/// Reads an option as a figure above zero; shows what was typed with a mark under what is wrong.
/// \throws UnusableOptions  nothing was typed, it cannot be read, or it is not > 0 and <= `most`
double coherent_of(std::string_view option, const std::string& text, const Kind& kind,
                   double most = largest_figure);

/// Reads an option as a quantity above zero.
/// \throws UnusableOptions  as `coherent_of`
template <class Q>
Q quantity_of(std::string_view option, const std::string& text) {
  coherent_of(option, text, *kind_of<Q>);  // for its checks
  return read_quantity<Q>(text);
}
/// \throws UnusableOptions  also above `most`
template <class Q>
Q quantity_of(std::string_view option, const std::string& text, const Q& most) {
  coherent_of(option, text, *kind_of<Q>, Measure(most).coherent());
  return read_quantity<Q>(text);
}

/// A whole number within limits.
struct WholeOption {
  std::string_view option{};
  std::string_view text{};  ///< as it was typed
  std::int64_t least = 1;
  std::int64_t most = 1;
  std::string_view help{};  ///< where it is refused; may be empty
};
/// \throws UnusableOptions  anything but digits within the limits
std::int64_t whole_of(const WholeOption& whole);

/// A plain number; `rule` says in words what `holds` asks of it.
struct NumberOption {
  std::string_view option{};
  std::string_view text{};
  std::string_view rule{};
  bool (*holds)(double) = nullptr;
  std::string_view help{};
};
/// \throws UnusableOptions  no number, or one that does not keep the rule
double number_of(const NumberOption& number);

/// Refuses an option that would have no effect, for the reason given.
/// \throws UnusableOptions  something was typed
void require_absent(bool typed, std::string_view what, std::string_view help);

}  // namespace pitchline::io
