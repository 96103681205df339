#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>

#include "pitchline/axis/belt_axis.hpp"
#include "pitchline/machine/kinds/traits.hpp"
#include "pitchline/units/print.hpp"

namespace pitchline::machine {

/// One or two belts along the travel.
template <>
struct DriveTraits<axis::BeltAxis> : StraightDrive<axis::BeltAxis> {
  using Drive = axis::BeltAxis;
  static constexpr std::string_view stiffer = "a wider or stiffer belt, a shorter span";
  static constexpr std::string_view unpowered = "a belt holds nothing up when power goes";
  static constexpr std::string_view several_motors =
      "motors that face each other turn opposite ways for one motion: try each with its belt off "
      "first";

  static std::string_view word(const Drive&) { return "belt"; }
  static std::string in_words(const Drive& d) {
    std::string text = fmt::format("belt {}, {} wide, {} teeth", d.belt.profile.name,
                                   print_plain(d.belt.width), d.pulley_teeth);
    if (d.stage)
      text += fmt::format("; stage {} to {} teeth", d.stage->motor_teeth, d.stage->driven_teeth);
    if (d.cross_shaft)
      text += fmt::format("; cross shaft {} to a second belt",
                          print_plain(d.cross_shaft->shaft.diameter));
    return text;
  }
  static void change_drag(Drive& d, double factor) {
    StraightDrive::change_drag(d, factor);
    d.belt_drag *= factor;
  }
  static std::string stiffness_source(const Drive& d) {
    return "belt stiffness: " + parts::sourced_tension_per_strain(d.belt).source;
  }
  static DampingRatio damping(const Drive& d) { return d.belt_damping; }
  static DampingRatio least_damping(const Drive& d) { return d.least_belt_damping; }
  static bool moved_at_both_ends(const Drive& d) {
    return d.motors > 1 || d.cross_shaft.has_value();
  }
};

}  // namespace pitchline::machine
