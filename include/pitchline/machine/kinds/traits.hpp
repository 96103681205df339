#pragma once

#include <algorithm>
#include <optional>
#include <string_view>
#include <vector>

#include "pitchline/axis/belt_axis.hpp"
#include "pitchline/motion/steps_per_turn.hpp"
#include "pitchline/parts/guide.hpp"

namespace pitchline::machine {

/// What every axis has that moves straight, whatever drives it.
struct StraightFields {
  Length& travel;
  std::vector<axis::MovingPart>& moving;
  parts::Guide& guide;
  Angle& incline;
  int& motors;
};

/// What everything that reckons with any kind of drive asks of it. Each kind has one
/// specialisation, in a file of its own beside this one; `machine/drive.hpp` hands the questions
/// on.
///
/// | member | what it says of the drive |
/// | --- | --- |
/// | `moves_straight` | false: it turns what it holds |
/// | `word(d)` | its kind in a word: "belt" |
/// | `in_words(d)` | its parts: "belt HTD 3M, 9 mm wide, 20 teeth" |
/// | `motors(d)` | motors that move the axis together |
/// | `travel(d)` | of the axis; of what turns one turn at the surface |
/// | `moving(d)`, `mass(d)`, `change_mass(d, x)` | what it moves; x times as much of it |
/// | `straight_fields(d)` | what it has by moving straight; nothing where it turns |
/// | `guide(d)`, `change_drag(d, x)` | null where it has none; x times the drag of all that rubs |
/// | `incline(d)` | 0 level, 90° straight up |
/// | `stiffness(d)` | motor to load, at its smallest; unset where it is not known |
/// | `stiffness_source(d)`, `stiffer` | where that comes from, and what would make it more |
/// | `damping(d)`, `least_damping(d)` | of the load on it, and where less is the danger |
/// | `pulses_per_millimetre(d)` | exactly |
/// | `moved_at_both_ends(d)` | whether a wide load is held square by the drive |
/// | `unpowered` | what a load on an incline does to it when power goes |
/// | `first_jog`, `several_motors` | how to try its direction, and that of motors in company |
template <class D>
struct DriveTraits;

/// What is said of a kind that says nothing else of it. No damping but that of belts was found
/// measured, and so counts for all.
struct AnyDrive {
  static constexpr std::string_view stiffer = "a stiffer drive";

  template <class D>
  static DampingRatio damping(const D&) {
    return axis::usual_damping;
  }
  template <class D>
  static DampingRatio least_damping(const D&) {
    return axis::usual_least_damping;
  }
};

/// What all kinds share that move along a guide.
template <class D>
struct StraightDrive : AnyDrive {
  static constexpr bool moves_straight = true;
  static constexpr std::string_view first_jog = "10 mm";

  static int motors(const D& d) { return d.motors; }
  static Length travel(const D& d) { return d.travel; }
  static std::vector<axis::MovingPart> moving(const D& d) { return d.moving; }
  static Mass mass(const D& d) { return moving_mass(d); }
  static void change_mass(D& d, double factor) {
    for (axis::MovingPart& part : d.moving) part.mass *= factor;
  }
  static std::optional<StraightFields> straight_fields(D& d) {
    return StraightFields{d.travel, d.moving, d.guide, d.incline, d.motors};
  }
  static const parts::Guide* guide(const D& d) { return &d.guide; }
  static void change_drag(D& d, double factor) {
    d.guide.drag *= factor;
    d.guide.friction = FrictionCoefficient(std::min(0.999, factor * d.guide.friction.value()));
  }
  static Angle incline(const D& d) { return d.incline; }
  static Stiffness stiffness(const D& d) { return smallest_stiffness(d); }
  static motion::PiFraction pulses_per_millimetre(const D& d) {
    return {.factor = motion::pulses_per_millimetre_exactly(step_train(d))};
  }
};

}  // namespace pitchline::machine
