#pragma once

#include <cmath>

#include "pitchline/motion/torque_demand.hpp"
#include "pitchline/motor/microstep.hpp"
#include "pitchline/motor/winding.hpp"
#include "pitchline/units.hpp"

namespace pitchline::simulate {

/// How Coulomb friction is computed where the speed passes zero.
enum class FrictionModel {
  sticking,  ///< holds what is below the static limit, exactly
  smooth,    ///< F tanh(v/v_s): creeps instead of sticking, and has no events
};

/// A current driver, averaged over its switching: proportional up to its voltage.
struct CurrentDriver {
  /// L over the gain in volts per ampere: how fast the current follows below the limit. The 5 µs
  /// are those of the tables in reference/published/ that were made by simulation; no source beside
  /// them.
  Time current_time_constant = seconds(5e-6);
  /// Jumps of the commanded angle; unlimited: it turns without jumps.
  PulsesPerFullStep microsteps = unlimited<PulsesPerFullStep>();
};

/// One straight axis with its motor, its belt and its driver, as it moves in time.
struct SimulatedAxis {
  motion::AxisAtMotor axis{};  ///< its friction is the kinetic one; efficiency must be 1
  /// Its resistance with driver and cable, hot. Its voltage limits each phase by itself: fully at
  /// the limit the fundamental is 4/π of it.
  motor::DrivenWinding winding{};
  Stiffness belt_stiffness = unset<Stiffness>();  ///< at the load; unlimited: rigid
  DampingRatio belt_damping;  ///< of the load alone on the belt, the rotor held still
  RotaryDrag motor_drag{};
  Torque detent_torque{};      ///< T_d
  Torque iron_torque{};        ///< constant, against the turning of the rotor
  RotaryDrag swing_damping{};  ///< on the rotor's speed less the commanded one, so without drag
  Force static_friction{};     ///< of the load; what is below `axis.friction` counts as that
  FrictionModel friction_model = FrictionModel::sticking;
  /// Of the smooth model. The 2 mm/s are those of the tables in reference/published/.
  Speed friction_speed = metres_per_second(2e-3);
  CurrentDriver driver{};
};

namespace detail {
inline void require_not_negative(double x, const char* field, const char* unit) {
  if (!(x >= 0.0) || !std::isfinite(x)) throw InvalidInput(field, ">= 0", x, unit);
}

inline void require_valid(const SimulatedAxis& a) {
  motion::detail::require_valid(a.axis);
  if (!(a.axis.mass > kilograms(0)) || !is_finite(a.axis.mass))
    throw InvalidInput("mass", "> 0", in_kilograms(a.axis.mass), "kg");
  const double inertia =
      in_kilogram_square_metres(a.axis.motor_side_inertia + a.axis.driven_side_inertia);
  if (!(inertia > 0.0) || !std::isfinite(inertia))
    throw InvalidInput("inertia at the motor", "> 0", inertia, "kg*m^2");
  require_not_negative(in_newtons(a.axis.friction), "friction", "N");
  require_not_negative(in_newtons(a.axis.gravity), "gravity", "N");
  if (a.axis.efficiency.value() != 1.0)
    throw OutsideValidity(fmt::format(
        "efficiency of a simulated axis must be 1, got {:.10g}: give the losses as friction",
        a.axis.efficiency.value()));
  const motor::DrivenWinding& w = a.winding;
  const auto positive = [](double x, const char* field, const char* unit) {
    if (!(x > 0.0) || !std::isfinite(x)) throw InvalidInput(field, "> 0", x, unit);
  };
  positive(in_newton_metres_per_ampere(w.torque_constant), "torque constant", "N*m/A");
  positive(in_ohms(w.resistance), "resistance", "ohm");
  positive(in_henries(w.inductance), "inductance", "H");
  positive(w.pole_pairs, "pole pairs", "");
  positive(in_amperes(w.amplitude), "current amplitude", "A");
  positive(in_volts(w.voltage), "voltage", "V");
  positive(in_seconds(a.driver.current_time_constant), "current time constant", "s");
  if (!(a.belt_stiffness > newtons_per_metre(0)))
    throw InvalidInput("belt stiffness", "> 0", in_newtons_per_metre(a.belt_stiffness), "N/m");
  if (!(a.driver.microsteps >= pulses_per_full_step(1)))
    throw InvalidInput("microsteps", ">= 1", in_pulses_per_full_step(a.driver.microsteps),
                       "pulse/step");
  require_not_negative(in_newton_metre_seconds_per_radian(a.motor_drag), "motor drag", "N*m*s/rad");
  require_not_negative(in_newton_metre_seconds_per_radian(a.swing_damping), "swing damping",
                       "N*m*s/rad");
  require_not_negative(in_newton_metres(a.detent_torque), "detent torque", "N*m");
  require_not_negative(in_newton_metres(a.iron_torque), "iron torque", "N*m");
  require_not_negative(in_newtons(a.static_friction), "static friction", "N");
  positive(in_metres_per_second(a.friction_speed), "friction speed", "m/s");
}
}  // namespace detail

}  // namespace pitchline::simulate
