#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>

#include "pitchline/axis/screw_axis.hpp"
#include "pitchline/machine/kinds/traits.hpp"
#include "pitchline/units/print.hpp"

namespace pitchline::machine {

/// One or several screws along the travel.
template <>
struct DriveTraits<axis::ScrewAxis> : StraightDrive<axis::ScrewAxis> {
  using Drive = axis::ScrewAxis;
  static constexpr std::string_view unpowered =
      "a screw may turn back under its load when power goes";
  static constexpr std::string_view several_motors =
      "try each motor with its screw uncoupled first: all must move the axis the same way";

  static std::string_view word(const Drive&) { return "screw"; }
  static std::string in_words(const Drive& d) {
    return fmt::format(
        "screw {}{} thick, lead {}{}", d.screw.name.empty() ? "" : d.screw.name + ", ",
        print_plain(d.screw.outer_diameter),
        print_plain(millimetres(to_double(d.screw.lead_millimetres))),
        d.screws_per_motor > 1 ? fmt::format(", {} a motor", d.screws_per_motor) : "");
  }
  static std::string stiffness_source(const Drive&) {
    return "screw stiffness: stretch and wind-up of its core, derived";
  }
  static bool moved_at_both_ends(const Drive& d) { return axis::number_of_screws(d) > 1; }
};

}  // namespace pitchline::machine
