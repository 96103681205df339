#pragma once

#include <algorithm>

#include "pitchline/units.hpp"

namespace pitchline::motor {

/// A supply as its terminals show it: a voltage without load behind a resistance.
struct SupplySource {
  Voltage no_load = unset<Voltage>();  ///< > 0
  Resistance resistance{};             ///< ≥ 0, leads included; 0 for a regulated supply in range
};

/// A moving axis that its motor stops, perhaps after it has held it back on the way down.
struct Braking {
  Speed speed = unset<Speed>();                       ///< > 0, when the stop begins
  Acceleration deceleration = unset<Acceleration>();  ///< > 0, of the stop
  Mass mass = unset<Mass>();   ///< ≥ 0, moved, with what turns behind the reduction as J/t²
  Mass motor_side_mass{};      ///< ≥ 0, rotor and what is on its shaft, as J/t²
  Force gravity{};             ///< ≥ 0, along the motion: m g for a lift that goes down
  Length lowered{};            ///< ≥ 0, at constant speed, held back, before the stop
  Force friction{};            ///< ≥ 0, against the motion
  Efficiency efficiency{1.0};  ///< of the drive
  Power copper_loss{};         ///< ≥ 0, of the motor while it brakes
};

/// Where the energy of a moving axis goes. `to_bus` is what is left of the others.
struct BrakingEnergy {
  Energy kinetic{};      ///< of all that moves and turns
  Energy falling{};      ///< of the height that is lost, while lowering and while stopping
  Energy friction{};     ///< taken by friction
  Energy drive_loss{};   ///< taken by the drive
  Energy copper_loss{};  ///< taken by the windings
  Energy to_bus{};       ///< below zero: the supply has to give it
  Power peak{};          ///< to the bus at the beginning of the stop; below zero as above
  Time duration{};       ///< of lowering and stop

  /// What reaches the bus if nothing is lost: no stop returns more.
  [[nodiscard]] Energy most() const { return kinetic + falling; }
};

/// Refuses a field outside its range.
///
/// \throws InvalidInput  such a field, or one never set
inline void require_valid(const SupplySource& source) {
  require_positive("no-load voltage", source.no_load);
  require_not_negative("source resistance", source.resistance);
}

namespace detail {

inline void require_valid(const Braking& b) {
  require_positive("speed", b.speed);
  require_positive("deceleration", b.deceleration);
  require_not_negative("mass", b.mass);
  require_not_negative("motor side mass", b.motor_side_mass);
  require_not_negative("gravity", b.gravity);
  require_not_negative("lowered", b.lowered, shown::metres);
  require_not_negative("friction", b.friction);
  require_not_negative("copper loss", b.copper_loss);
}

inline void require_energy(Energy energy) { require_not_negative("energy", energy); }
inline void require_capacitance(Capacitance capacitance) {
  require_positive("capacitance", capacitance);
}
inline void require_bus(Voltage bus) { require_positive("bus voltage", bus); }
inline void require_bus(Voltage bus, Voltage limit) {
  require_bus(bus);
  if (!(limit > bus) || !is_finite(limit))
    throw InvalidInput("voltage limit", "above the bus voltage", in_volts(limit), "V");
}

// Work of a force of the load at the motor: what drives the motor loses on the way, what the motor
// has to push costs more.
template <class Work>
Work through_drive(const Braking& b, Work work) {
  const double efficiency = b.efficiency.value();
  return work * (work > 0.0 * work ? efficiency : 1.0 / efficiency);
}

}  // namespace detail

/// What a supply gives without load and under a load.
struct MeasuredSupply {
  Voltage no_load = unset<Voltage>();       ///< V₀
  Voltage full_load = unset<Voltage>();     ///< V₁
  Current load_current = unset<Current>();  ///< I₁
};

/// A supply from its voltages without and with load, as a transformer's plate or a test gives them.
///
///     R = (V₀ − V₁)/I₁
///
///     V₀  no_load       V  ≥ V₁
///     V₁  full_load     V  > 0
///     I₁  load_current  A  > 0
///
/// Where a regulation r is stated instead, V₀ = (1 + r) V₁: per cent of the voltage under full load
/// (usual definition, from memory). A straight line; a rectifier with its capacitor sags faster at
/// small load.
///
/// \throws InvalidInput  a number outside the table
///
/// Source: definition.
inline SupplySource supply_source(const MeasuredSupply& supply) {
  require_positive("full-load voltage", supply.full_load);
  if (!(supply.no_load >= supply.full_load) || !is_finite(supply.no_load))
    throw InvalidInput("no-load voltage", ">= that under full load", in_volts(supply.no_load), "V");
  require_positive("load current", supply.load_current);
  return {.no_load = supply.no_load,
          .resistance = (supply.no_load - supply.full_load) / supply.load_current};
}

/// Voltage that is left at the drivers under a load of constant power, which a driver is: it takes
/// more current as the voltage falls.
///
///     V = (V₀ + √(V₀² − 4 R P))/2
///
///     V₀  no_load     V  > 0
///     R   resistance  Ω  ≥ 0
///     P   power       W  ≥ 0, mean over the ripple: shaft, copper, iron and driver
///
/// \throws InvalidInput     a number outside the table, or never set
/// \throws OutsideValidity  4 R P > V₀²: no voltage gives that power, the supply collapses
///
/// Source: derived, V = V₀ − R P/V; of its two roots the one that is V₀ without load.
inline Voltage voltage_under_load(const SupplySource& source, Power power) {
  require_valid(source);
  require_not_negative("power", power);
  const auto square = source.no_load * source.no_load;
  const auto root = square - 4.0 * source.resistance * power;
  if (root < 0.0 * root)
    throw OutsideValidity(fmt::format("the supply collapses: {} is above the {} it can give",
                                      print(power),
                                      print(Power(square / (4.0 * source.resistance)))));
  return (source.no_load + square_root(root)) / 2.0;
}

/// Energy of a stop, with the lowering before it, and what of it reaches the supply's capacitor.
///
///     d = v²/(2 a),  h = l + d,  t = l/v + v/a
///     at the motor   E = (m v²/2 + (G − F) d)' + (G − F)' l + m_m v²/2 − P_c t
///     ' : times η where above zero, over η where below
///
///     v    speed            m/s   > 0        G    gravity      N  ≥ 0
///     a    deceleration     m/s²  > 0        F    friction     N  ≥ 0
///     m    mass             kg    ≥ 0        l    lowered      m  ≥ 0
///     m_m  motor_side_mass  kg    ≥ 0        P_c  copper_loss  W  ≥ 0
///     η    efficiency       –     (0, 1]     E    to_bus       J
///     kinetic (m + m_m) v²/2, falling G h, friction F h, peak power ((m a + G − F)' + m_m a) v −
///     P_c
///
/// Leaves out iron and driver losses and the current of other axes, which all take from E: with a
/// copper loss that is not too large, E is what comes back at most; `most` is so without any. If
/// the drivers lose their supply they do not brake: then nothing here holds, and a lift falls.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, energy balance.
inline BrakingEnergy braking_energy(const Braking& b) {
  detail::require_valid(b);
  const Length stop = b.speed * b.speed / (2.0 * b.deceleration);
  const Length path = b.lowered + stop;
  const Force along = b.gravity - b.friction;
  const Energy load = 0.5 * b.mass * b.speed * b.speed + along * stop;
  const Energy lowering = along * b.lowered;
  const Energy rotor = 0.5 * b.motor_side_mass * b.speed * b.speed;
  const Energy arriving = detail::through_drive(b, load) + detail::through_drive(b, lowering);
  BrakingEnergy energy;
  energy.kinetic = 0.5 * b.mass * b.speed * b.speed + rotor;
  energy.falling = b.gravity * path;
  energy.friction = b.friction * path;
  energy.drive_loss = load + lowering - arriving;
  energy.duration = b.lowered / b.speed + b.speed / b.deceleration;
  energy.copper_loss = b.copper_loss * energy.duration;
  energy.to_bus = arriving + rotor - energy.copper_loss;
  const Force braking = detail::through_drive(b, Force(b.mass * b.deceleration + along)) +
                        b.motor_side_mass * b.deceleration;
  energy.peak = braking * b.speed - b.copper_loss;
  return energy;
}

/// Voltage of the bus after it has taken up an energy that no supply takes back.
///
///     V = √(V₀² + 2 E/C)
///
///     V₀  bus          V  > 0
///     E   energy       J  ≥ 0
///     C   capacitance  F  > 0, of the bus: supply and drivers together
///
/// \throws InvalidInput  a number outside the table
///
/// Source: energy of a capacitor, C V²/2.
inline Voltage voltage_after(Voltage bus, Energy energy, Capacitance capacitance) {
  detail::require_bus(bus);
  detail::require_energy(energy);
  detail::require_capacitance(capacitance);
  return square_root(bus * bus + 2.0 * energy / capacitance);
}

/// From where to where a bus may rise.
struct BusRise {
  Voltage bus = unset<Voltage>();    ///< V₀, before
  Voltage limit = unset<Voltage>();  ///< V
};

/// Energy that a capacitance takes up between two voltages: C (V² − V₀²)/2.
///
/// \throws InvalidInput  bus or capacitance not above zero, limit not above the bus
///
/// Source: as `voltage_after`, which it inverts.
inline Energy absorbed_energy(const BusRise& rise, Capacitance capacitance) {
  detail::require_bus(rise.bus, rise.limit);
  detail::require_capacitance(capacitance);
  return 0.5 * capacitance * (rise.limit * rise.limit - rise.bus * rise.bus);
}

/// Smallest capacitance that takes up an energy below a voltage: 2 E/(V² − V₀²). It has to be there
/// at the end of its tolerance.
///
/// \throws InvalidInput  energy below zero, bus not above zero, limit not above the bus
///
/// Source: as `voltage_after`, which it inverts.
inline Capacitance least_capacitance(const BusRise& rise, Energy energy) {
  detail::require_bus(rise.bus, rise.limit);
  detail::require_energy(energy);
  return 2.0 * energy / (rise.limit * rise.limit - rise.bus * rise.bus);
}

/// Energy that a brake resistor has to take in one stop, beyond what the capacitance takes up
/// before the limit; 0 where that takes all of it.
///
/// \throws InvalidInput  as `absorbed_energy`; energy below zero
///
/// Source: energy balance.
inline Energy brake_resistor_energy(const BusRise& rise, Capacitance capacitance, Energy energy) {
  detail::require_energy(energy);
  return std::max(Energy{}, Energy(energy - absorbed_energy({.bus = rise.bus, .limit = rise.limit},
                                                            capacitance)));
}

/// Largest brake resistor that takes a braking power at the voltage limit: V²/P. A larger one lets
/// the voltage rise on.
///
/// \throws InvalidInput  limit or power not above zero
///
/// Source: Joule's law.
inline Resistance largest_brake_resistor(Voltage limit, Power power) {
  require_positive("voltage limit", limit);
  require_positive("braking power", power);
  return limit * limit / power;
}

}  // namespace pitchline::motor
