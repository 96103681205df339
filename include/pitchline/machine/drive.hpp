#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <variant>
#include <vector>

#include "pitchline/machine/kinds/belt.hpp"
#include "pitchline/machine/kinds/screw.hpp"
#include "pitchline/machine/kinds/turning.hpp"

namespace pitchline::machine {

/// What moves an axis. Whoever needs no formula of one kind asks the functions below, which hand
/// the question on to `DriveTraits`.
using Drive = std::variant<axis::BeltAxis, axis::ScrewAxis, axis::RotaryAxis>;

/// The drive as one of its kinds, or null where it is of another.
template <class D>
const D* as(const Drive& drive) {
  return std::get_if<D>(&drive);
}
template <class D>
D* as(Drive& drive) {
  return std::get_if<D>(&drive);
}

/// `question(traits, d)` of the kind that the drive is of.
template <class AnyDrive, class Question>
decltype(auto) of_its_kind(AnyDrive& drive, Question&& question) {
  return std::visit(
      [&](auto& d) -> decltype(auto) {
        return question(DriveTraits<std::remove_cvref_t<decltype(d)>>{}, d);
      },
      drive);
}

inline const parts::StepperMotor& motor_of(const Drive& drive) {
  return std::visit([](const auto& d) -> const parts::StepperMotor& { return d.motor; }, drive);
}
inline parts::StepperMotor& motor_of(Drive& drive) {
  return std::visit([](auto& d) -> parts::StepperMotor& { return d.motor; }, drive);
}
inline const parts::Driver& driver_of(const Drive& drive) {
  return std::visit([](const auto& d) -> const parts::Driver& { return d.driver; }, drive);
}
inline parts::Driver& driver_of(Drive& drive) {
  return std::visit([](auto& d) -> parts::Driver& { return d.driver; }, drive);
}

/// Motors that move the axis together; a turning attachment has one.
inline int motors_of(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.motors(d); });
}

/// Whether the axis has a straight travel, rather than something that it turns.
inline bool moves_straight(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto&) { return kind.moves_straight; });
}

/// The kind of the drive in a word: belt, screw, chuck or rollers.
inline std::string_view word_of(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.word(d); });
}

/// What it is made of: "belt HTD 3M, 9 mm wide, 20 teeth".
inline std::string in_words(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.in_words(d); });
}

/// The axis as its deciding motor sees it.
///
/// \throws InvalidInput  a field outside its range, or never set
inline motion::AxisAtMotor axis_at_motor(const Drive& drive) {
  return std::visit([](const auto& d) { return axis::axis_at_motor(d); }, drive);
}

/// Pulses that move the axis by a millimetre, exactly; of a turning attachment at the surface of
/// the heaviest workpiece.
///
/// \throws InvalidInput  pulses per turn not a whole number from 1 to 1 000 000; a ratio, lead or
///                       diameter not above zero
inline motion::PiFraction pulses_per_millimetre(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.pulses_per_millimetre(d); });
}

/// Stiffness between motor and load at its smallest; unset where it is not known. A turning
/// attachment counts as rigid: what gives there is the workpiece.
///
/// \throws InvalidInput  a field outside its range, or never set
inline Stiffness smallest_stiffness(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.stiffness(d); });
}

/// Where that stiffness comes from.
inline std::string stiffness_source(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.stiffness_source(d); });
}

/// What would make the drive stiffer.
inline std::string_view stiffer(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto&) { return kind.stiffer; });
}

/// Damping of the load as it swings on its drive: the belt's, or the same for other drives, of
/// which no measurement was found either.
inline DampingRatio damping_of(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.damping(d); });
}

/// The same where less of it is the danger.
inline DampingRatio least_damping_of(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.least_damping(d); });
}

/// Travel of the axis; of a turning attachment one turn at the surface of the heaviest workpiece.
inline Length travel_of(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.travel(d); });
}

/// Everything that moves along the axis; empty for a turning attachment.
inline std::vector<axis::MovingPart> moving_parts(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.moving(d); });
}

/// Sum of all that moves along the axis, or turns with a turning attachment.
inline Mass moving_mass(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.mass(d); });
}

/// Changes all of that to so many times what it is.
inline void change_moving_mass(Drive& drive, double factor) {
  of_its_kind(drive, [&](auto kind, auto& d) { kind.change_mass(d, factor); });
}

/// What the axis has by moving straight; nothing where it turns.
inline std::optional<StraightFields> straight_fields(Drive& drive) {
  return of_its_kind(drive, [](auto kind, auto& d) { return kind.straight_fields(d); });
}

/// The guide that the axis runs on; null where it has none.
inline const parts::Guide* guide_of(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.guide(d); });
}

/// Changes friction and drag of all that rubs along the travel to so many times what they are.
inline void change_drag(Drive& drive, double factor) {
  of_its_kind(drive, [&](auto kind, auto& d) { kind.change_drag(d, factor); });
}

/// Incline of the axis: 0 level, 90° straight up.
inline Angle incline_of(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.incline(d); });
}

/// Whether the drive itself moves both ends of a wide load, by two motors, a cross shaft or two
/// screws.
inline bool moved_at_both_ends(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto& d) { return kind.moved_at_both_ends(d); });
}

/// What happens to a load on an incline when power goes.
inline std::string_view when_power_goes(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto&) { return kind.unpowered; });
}

/// How far to move it when its direction is tried.
inline std::string_view first_jog(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto&) { return kind.first_jog; });
}

/// How the direction of one motor of several is tried.
inline std::string_view trial_of_several(const Drive& drive) {
  return of_its_kind(drive, [](auto kind, const auto&) { return kind.several_motors; });
}

}  // namespace pitchline::machine
