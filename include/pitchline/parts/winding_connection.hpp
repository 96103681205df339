#pragma once

#include <numbers>

#include "pitchline/parts/stepper_motor.hpp"
#include "pitchline/units.hpp"

namespace pitchline::parts {

/// How the two halves of each phase winding are connected.
enum class Connection {
  single,     ///< one winding a phase, its halves not brought out: 4 leads
  half_coil,  ///< one half carries the current, the other none: 6 or 8 leads
  series,     ///< both halves in series: 8 leads, and 6 leads from end to end
  parallel,   ///< both halves side by side: 8 leads
};

/// Refuses a connection that the leads do not allow.
///
/// \throws InvalidInput  leads not 4, 6 or 8; not 4 for single, 6 or 8 for half coil and series, 8
///                       for parallel
inline void require_possible(int leads, Connection connection) {
  const auto require = [leads](bool holds, const char* rule) {
    if (!holds) throw InvalidInput("leads", rule, leads, "");
  };
  require(leads == 4 || leads == 6 || leads == 8, "4, 6 or 8");
  switch (connection) {
    case Connection::single:
      return require(leads == 4, "4 where the halves of a winding are not brought out");
    case Connection::half_coil:
      return require(leads != 4, "6 or 8 for a half coil");
    case Connection::series:
      return require(leads != 4, "6 or 8 for halves in series");
    case Connection::parallel:
      return require(leads == 8, "8 for halves in parallel");
  }
}

/// The same motor with `turns` times the turns of a wire that is thinner in proportion: the same
/// copper, torque, loss and curves at another voltage and current.
///
///     R → a² R,  L → a² L,  I → I/a,  K_t → a K_t,  V → a V
///
///     a  turns  –  > 0, over the turns before
///
/// Torque, detent and inertia stay; the published curves move to the voltage and current that
/// belong to them.
///
/// \throws InvalidInput  turns not above zero or not finite
///
/// Source: derived; the machine equations keep their form. A property of every curve, see
/// tests/motor.
inline StepperMotor rewound(StepperMotor motor, double turns) {
  require_positive("turns ratio", turns);
  motor.resistance *= turns * turns;
  motor.inductance *= turns * turns;
  motor.rated_current /= turns;
  for (PublishedCurve& curve : motor.curves) {
    curve.voltage *= turns;
    curve.amplitude /= turns;
  }
  return motor;
}

namespace detail {
// Both halves carry the rated loss of one each: loss per half R I² stays, so in series the current
// falls by √2 while the turns double.
inline StepperMotor series_from_half_coil(StepperMotor motor) {
  motor.resistance *= 2.0;
  motor.inductance *= 4.0;
  motor.rated_current /= std::numbers::sqrt2;
  motor.holding_torque *= std::numbers::sqrt2;
  motor.curves.clear();
  return motor;
}
inline StepperMotor half_coil_from_series(StepperMotor motor) {
  motor.resistance /= 2.0;
  motor.inductance /= 4.0;
  motor.rated_current *= std::numbers::sqrt2;
  motor.holding_torque /= std::numbers::sqrt2;
  motor.curves.clear();
  return motor;
}
}  // namespace detail

/// What a sheet's figures and the wiring of one motor have to do with each other.
struct Reconnection {
  int leads = 8;                           ///< 4, 6 or 8
  Connection stated = Connection::series;  ///< for which the sheet states its figures
  Connection used = Connection::parallel;  ///< in which the motor is wired
};

/// `sheet` with the figures that hold for the connection used.
///
///     of the half coil:   R      L      I        T        K_t
///     series              2 R    4 L    I/√2     √2 T     2 K_t
///     parallel            R/2    L      √2 I     √2 T     K_t
///
/// Rated currents of equal copper loss in all the copper that carries current. Valid for linear
/// magnetics; a sheet may round, or state 300 where √2 gives 304. Detent and inertia stay. Between
/// series and parallel published curves are rewound with the rest; to or from a half coil another
/// amount of copper works and they do not hold, so the result has none.
///
/// \throws InvalidInput  see `require_possible`, for either connection
///
/// Source: derived, equal copper loss; checked against the three columns of [23-305-DS8A].
inline StepperMotor reconnected(const StepperMotor& sheet, const Reconnection& wiring) {
  require_possible(wiring.leads, wiring.stated);
  require_possible(wiring.leads, wiring.used);
  if (wiring.stated == wiring.used) return sheet;
  StepperMotor series = sheet;
  if (wiring.stated == Connection::parallel) series = rewound(sheet, 2.0);
  if (wiring.stated == Connection::half_coil) series = detail::series_from_half_coil(sheet);
  if (wiring.used == Connection::parallel) return rewound(series, 0.5);
  if (wiring.used == Connection::half_coil) return detail::half_coil_from_series(series);
  return series;
}

}  // namespace pitchline::parts
