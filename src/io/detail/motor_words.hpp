#pragma once

#include <string>
#include <string_view>

#include "pitchline/report/motor_sheet.hpp"

namespace pitchline::io::detail {

/// What limits the torque, in words; no comma in any of them.
constexpr std::string_view limit_in_words(motor::Region region) {
  switch (region) {
    case motor::Region::current:
      return "current";
    case motor::Region::both:
      return "both";
    case motor::Region::voltage:
      return "voltage";
    case motor::Region::none:
      return "no torque";
  }
  return "";
}

constexpr std::string_view in_words(motor::Excitation excitation) {
  switch (excitation) {
    case motor::Excitation::pulses:
      return "jumps of the pulses";
    case motor::Excitation::detent:
      return "detent torque";
    case motor::Excitation::unequal_currents:
      return "unequal currents";
    case motor::Excitation::current_offset:
      return "offset of a current";
  }
  return "";
}

constexpr std::string_view in_words(motor::ThermalBasis basis) {
  switch (basis) {
    case motor::ThermalBasis::stated:
      return "as stated";
    case motor::ThermalBasis::frame_class:
      return "default of the frame, drawn from one motor of it on its maker's test plate";
    case motor::ThermalBasis::rating:
      return "as if the rated current made the 80 K of class B on the maker's test plate";
  }
  return "";
}

/// "36 V, 2.404 A peak".
inline std::string in_words(const motor::Feed& feed) {
  return fmt::format("{}, {} peak", print_plain(feed.voltage), print_plain(feed.amplitude));
}

}  // namespace pitchline::io::detail
