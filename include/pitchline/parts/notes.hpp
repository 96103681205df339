#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "pitchline/units.hpp"

namespace pitchline::parts {

namespace detail {
struct PriceMeaning {
  static constexpr std::string_view name = "price";
  static constexpr std::string_view rule = "> 0 and <= 1000000";
  static constexpr bool holds(double x) { return x > 0 && x <= 1e6; }
};
}  // namespace detail
using PriceAmount = Ratio<detail::PriceMeaning>;

/// What somebody pays for one part, or for one metre of what is cut. Only who owns the entry gives
/// it; none is ever made up.
struct Price {
  PriceAmount amount;
  std::string currency{};  ///< three capital letters, "EUR"
};

/// What an entry of a catalogue says besides its figures.
struct Notes {
  std::string mark{};   ///< how far the figures can be trusted, "read"; empty: not said
  std::string doubt{};  ///< what is odd about them; empty: nothing
  std::optional<Price> price{};
};

}  // namespace pitchline::parts
