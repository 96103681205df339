#pragma once

#include <fmt/format.h>

#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>
#include <variant>

#include "pitchline/axis/whole_pulses.hpp"
#include "pitchline/motion/steps_per_turn.hpp"
#include "pitchline/motion/torque_demand.hpp"
#include "pitchline/parts/driver.hpp"
#include "pitchline/parts/solid_cylinder.hpp"
#include "pitchline/parts/stepper_motor.hpp"

namespace pitchline::axis {

/// A round workpiece, solid or hollow, that turns about its level axis.
struct Workpiece {
  Length diameter = unset<Length>();
  Length bore{};  ///< 0 where it is solid
  Length length = unset<Length>();
  Density density = unset<Density>();
  Length eccentricity{};  ///< of its centre of gravity: unbalance, or a crooked bar
};

/// Grips the workpiece at its end and turns it about its own axis.
struct Chuck {
  Fraction motor_turns_per_chuck_turn{1};  ///< of a belt stage; 1 where it sits on the motor
  Inertia inertia{};                       ///< of all that turns with the workpiece
  Torque drag{};                           ///< of its bearings and of a tailstock
};

/// Two equal level rollers on which the workpiece lies and which turn it by friction.
struct Rollers {
  Fraction motor_turns_per_roller_turn{1};
  Fraction diameter_millimetres{0};          ///< exact
  Length centre_distance = unset<Length>();  ///< of the two rollers
  int driven = 1;                            ///< 1 or 2 of them
  FrictionCoefficient grip;                  ///< between roller and workpiece, at its least
  Inertia inertia{};                         ///< of each roller
  Force drag{};                              ///< at their surface
};

/// An axis that turns a workpiece in place of a straight travel.
// NOLINTNEXTLINE(bugprone-exception-escape): its assignment moves reduced fractions only
struct RotaryAxis {
  parts::StepperMotor motor{};
  parts::Driver driver{};
  std::variant<Chuck, Rollers> hold{};
  Workpiece heaviest{};                       ///< that is to be turned
  Fraction heaviest_diameter_millimetres{0};  ///< the same diameter, exact, for the pulses per mm
  Inertia motor_pulley_inertia{};
  Efficiency efficiency{1.0};  ///< from motor shaft to chuck or roller
};

/// Whether the workpiece lies on rollers, rather than in a chuck.
inline bool on_rollers(const RotaryAxis& axis) {
  return std::holds_alternative<Rollers>(axis.hold);
}

namespace detail {
inline void require_valid(const Workpiece& work) {
  require_positive("workpiece diameter", work.diameter);
  if (!(work.bore >= metres(0) && work.bore < work.diameter))
    throw InvalidInput("workpiece bore", ">= 0 and < its diameter", in_millimetres(work.bore),
                       "mm");
  require_positive("workpiece length", work.length);
  require_positive("workpiece density", work.density);
  if (!(work.eccentricity >= metres(0) && work.eccentricity < work.diameter / 2.0))
    throw InvalidInput("eccentricity", ">= 0 and < the workpiece radius",
                       in_millimetres(work.eccentricity), "mm");
}
inline void require_valid(const Chuck& chuck) {
  require_positive("motor turns per chuck turn", chuck.motor_turns_per_chuck_turn, "");
  require_not_negative("chuck inertia", chuck.inertia);
  require_not_negative("chuck drag", chuck.drag);
}
inline void require_valid(const Rollers& rollers) {
  require_positive("motor turns per roller turn", rollers.motor_turns_per_roller_turn, "");
  require_positive("roller diameter", rollers.diameter_millimetres, "mm");
  require_not_negative("roller inertia", rollers.inertia);
  require_not_negative("roller drag", rollers.drag);
}
inline void require_valid(const RotaryAxis& axis) {
  std::visit([](const auto& hold) { require_valid(hold); }, axis.hold);
  // The diameter stands twice, once exact: both must say the same.
  const double exact = to_double(axis.heaviest_diameter_millimetres);
  const double rounded = in_millimetres(axis.heaviest.diameter);
  if (exact > 0 && !is_unset(axis.heaviest.diameter) && std::fabs(rounded - exact) > 1e-9 * exact)
    throw InvalidInput("workpiece diameter", "the exact one", rounded, "mm");
  require_not_negative("pulley inertia", axis.motor_pulley_inertia);
}
inline void require_diameter(const Fraction& millimetres_) {
  require_positive("workpiece diameter", millimetres_, "mm");
}
inline Length diameter(const Rollers& rollers) {
  return millimetres(to_double(rollers.diameter_millimetres));
}
// Turns of the motor per turn of chuck or roller.
inline Fraction ratio(const RotaryAxis& axis) {
  if (const auto* chuck = std::get_if<Chuck>(&axis.hold)) return chuck->motor_turns_per_chuck_turn;
  return std::get<Rollers>(axis.hold).motor_turns_per_roller_turn;
}
}  // namespace detail

/// Mass of a workpiece: π (D² − d²) ρ l/4.
///
/// \throws InvalidInput  a figure of the workpiece outside its range, or never set
inline Mass mass(const Workpiece& work) {
  detail::require_valid(work);
  const Area section =
      std::numbers::pi / 4.0 * (work.diameter - work.bore) * (work.diameter + work.bore);
  return section * work.length * work.density;
}

/// Inertia of a workpiece about its axis: that of the solid one less that of its bore.
///
/// \throws InvalidInput  as `mass`
inline Inertia inertia(const Workpiece& work) {
  detail::require_valid(work);
  const auto solid = [&](Length diameter) {
    return parts::inertia({.diameter = diameter, .length = work.length, .density = work.density});
  };
  const Inertia full = solid(work.diameter);
  return work.bore > metres(0) ? full - solid(work.bore) : full;
}

/// Pulses per degree of the workpiece, exactly. In a chuck its diameter does not matter; on rollers
/// it turns by roller over workpiece diameter as fast as they do.
///
///     chuck: n = N i/360        rollers: n = N i D/(360 d)
///
///     N  pulses per turn of the motor      –
///     i  motor turns per chuck or roller turn
///     D  workpiece diameter, d  roller diameter   mm, exact
///
/// \throws InvalidInput  workpiece diameter, ratio or roller diameter not above zero; pulses per
///                       turn not a whole number from 1 to 1 000 000
inline Fraction pulses_per_degree(const RotaryAxis& axis, const Fraction& diameter_millimetres) {
  detail::require_valid(axis);
  detail::require_diameter(diameter_millimetres);
  Fraction turns = detail::ratio(axis);
  if (const auto* rollers = std::get_if<Rollers>(&axis.hold))
    turns *= diameter_millimetres / rollers->diameter_millimetres;
  return motion::pulses_per_degree_exactly(whole_pulses_per_turn(axis.driver), turns);
}

/// Pulses per millimetre of the workpiece's surface, exactly, with π kept as such.
///
///     chuck: n = N i/(π D)      rollers: n = N i/(π d), whatever the diameter of the workpiece
///
/// Symbols as for `pulses_per_degree`. Leaves out slip and a workpiece that is not round.
///
/// \throws InvalidInput  as `pulses_per_degree`
///
/// Derived: a rim travels π times its diameter a turn; on rollers both surfaces run at one speed.
inline motion::PiFraction pulses_per_surface_millimetre(const RotaryAxis& axis,
                                                        const Fraction& diameter_millimetres) {
  detail::require_valid(axis);
  detail::require_diameter(diameter_millimetres);
  const auto* rollers = std::get_if<Rollers>(&axis.hold);
  return motion::pulses_per_millimetre_exactly(motion::TurningTrain{
      .pulses_per_turn = whole_pulses_per_turn(axis.driver),
      .turns_per_output_turn = detail::ratio(axis),
      .millimetres_per_output_turn =
          motion::rim_travel(rollers ? rollers->diameter_millimetres : diameter_millimetres)});
}

/// Largest workpiece whose surface still moves by no more than `travel_per_pulse` a pulse.
///
///     chuck: D = s N i/π      rollers: any diameter where π d/(N i) ≤ s, else none
///
///     s  travel_per_pulse  m  > 0
///
/// A chuck turns every workpiece by the same angle a pulse, so its surface moves further the
/// thicker it is, and the resolution sets a largest diameter. On rollers it moves by the same
/// whatever the diameter: infinite, or nothing where even the rollers are too coarse.
///
/// \throws InvalidInput  travel per pulse not above zero; otherwise as `pulses_per_degree`
inline std::optional<Length> largest_diameter(const RotaryAxis& axis, Length travel_per_pulse) {
  require_positive("travel per pulse", travel_per_pulse);
  // A workpiece of 1 mm in a chuck; what it moves a pulse grows with its diameter.
  const motion::PiFraction n = pulses_per_surface_millimetre(axis, Fraction(1));
  const double allowed = in_millimetres(travel_per_pulse) * motion::decimal_value(n);
  if (std::holds_alternative<Chuck>(axis.hold)) return millimetres(allowed);
  // A share of 1e-12 is the rounding of what is wanted, no coarser roller.
  if (!(allowed >= 1.0 - 1e-12)) return std::nullopt;
  return unlimited<Length>();
}

/// The axis with its heaviest workpiece as the motor sees it, as if the surface of the workpiece
/// ran straight: travel is along the rim.
///
///     chuck: t = D/(2 i), F = M_d/R       rollers: t = d/(2 i), F = drag
///     both:  m = J_w/R²,  F_g = m_w g e/R
///
///     J_w, m_w  inertia and mass of the workpiece
///     R = D/2   its radius; e  its eccentricity; M_d  drag of the chuck
///
/// The inertia of the workpiece is kept in m; that of chuck or rollers stands behind the stage. On
/// rollers m t² = J_w (d/D)²/i², the same for each diameter of one solid mass: m is half of it.
/// `gravity` is the unbalance where it pulls hardest. Speeds and accelerations are of the surface
/// of the heaviest workpiece. Leaves out what slips: `roller_grip`.
///
/// \throws InvalidInput  a field outside its range, or never set
///
/// Derived: energy, J ω²/2 = m v²/2 with v = ω R; moment m_w g e about the axis of the workpiece.
inline motion::AxisAtMotor axis_at_motor(const RotaryAxis& axis) {
  detail::require_valid(axis);
  const Length radius = axis.heaviest.diameter / 2.0;
  const Mass at_rim = inertia(axis.heaviest) * (radian * radian) / (radius * radius);
  const Force unbalance =
      mass(axis.heaviest) * standard_gravity * number(axis.heaviest.eccentricity / radius);
  const double ratio = to_double(detail::ratio(axis));
  const auto* chuck = std::get_if<Chuck>(&axis.hold);
  const auto* rollers = std::get_if<Rollers>(&axis.hold);
  const Length turned = chuck ? radius : detail::diameter(*rollers) / 2.0;
  const Inertia holder = chuck ? chuck->inertia : 2.0 * rollers->inertia;
  return {.transmission = turned / radian / ratio,
          .mass = at_rim,
          .motor_side_inertia = axis.motor.rotor_inertia + axis.motor_pulley_inertia,
          .driven_side_inertia = holder / (ratio * ratio),
          .friction = chuck ? chuck->drag * radian / radius : rollers->drag,
          .gravity = unbalance,
          .efficiency = axis.efficiency};
}

/// All inertia seen at the motor with the heaviest workpiece.
///
/// \throws InvalidInput  as `axis_at_motor`
inline Inertia inertia_at_motor(const RotaryAxis& axis) {
  return motion::total_inertia(axis_at_motor(axis));
}

}  // namespace pitchline::axis
