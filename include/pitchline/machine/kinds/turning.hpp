#pragma once

#include <fmt/format.h>

#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/axis/rotary_axis.hpp"
#include "pitchline/machine/kinds/traits.hpp"
#include "pitchline/units/print.hpp"

namespace pitchline::machine {

/// Chuck or rollers that turn a workpiece in place of a straight travel. It counts as rigid: what
/// gives there is the workpiece.
template <>
struct DriveTraits<axis::RotaryAxis> : AnyDrive {
  using Drive = axis::RotaryAxis;
  static constexpr bool moves_straight = false;
  static constexpr std::string_view unpowered = "what turns is level";
  static constexpr std::string_view first_jog = "10 degrees";
  static constexpr std::string_view several_motors = "one motor turns it";

  static std::string_view word(const Drive& d) { return axis::on_rollers(d) ? "rollers" : "chuck"; }
  static std::string in_words(const Drive& d) {
    return fmt::format("{}, workpiece up to {}", axis::on_rollers(d) ? "driven rollers" : "chuck",
                       print_plain(d.heaviest.diameter));
  }
  static int motors(const Drive&) { return 1; }
  /// One turn at the surface of the heaviest workpiece.
  static Length travel(const Drive& d) { return std::numbers::pi * d.heaviest.diameter; }
  static std::vector<axis::MovingPart> moving(const Drive&) { return {}; }
  static Mass mass(const Drive& d) { return axis::mass(d.heaviest); }
  static void change_mass(Drive& d, double factor) { d.heaviest.length *= factor; }
  static std::optional<StraightFields> straight_fields(Drive&) { return std::nullopt; }
  static const parts::Guide* guide(const Drive&) { return nullptr; }
  static void change_drag(Drive&, double) {}
  static Angle incline(const Drive&) { return {}; }
  static Stiffness stiffness(const Drive&) { return unlimited<Stiffness>(); }
  static std::string stiffness_source(const Drive&) {
    return "a turning attachment counts as rigid";
  }
  static motion::PiFraction pulses_per_millimetre(const Drive& d) {
    return axis::pulses_per_surface_millimetre(d, d.heaviest_diameter_millimetres);
  }
  static bool moved_at_both_ends(const Drive&) { return false; }
};

}  // namespace pitchline::machine
