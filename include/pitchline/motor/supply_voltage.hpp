#pragma once

#include <cmath>
#include <concepts>
#include <optional>
#include <vector>

#include "pitchline/motor/loss_free_torque.hpp"

namespace pitchline::motor {

/// The trade's rule for the most useful supply voltage of a stepper.
///
///     V = 32 V · √(L / 1 mH)
///
///     L  inductance of one phase  H  > 0
///
/// A rule of thumb: it knows neither the current nor the speed. Compare `voltage_for_current` and
/// `least_voltage`.
///
/// \throws InvalidInput  inductance not above zero
///
/// Source: [controller integrator manual], steppers: 4 mH gives 64 V.
inline Voltage customary_supply_voltage(Inductance inductance) {
  require_positive("inductance", inductance);
  return volts(32) * std::sqrt(number(inductance / millihenries(1)));
}

/// The trade's rule for the largest supply voltage: 90 % of what the driver stands.
///
/// \throws InvalidInput  driver_maximum not above zero
///
/// Source: [controller integrator manual], steppers: 80 V gives 72 V.
inline Voltage customary_voltage_limit(Voltage driver_maximum) {
  require_positive_or_infinite("driver maximum", driver_maximum);
  return 0.9 * driver_maximum;
}

/// Voltages of a winding that carries its full current at a speed, as amplitudes.
struct VoltageForCurrent {
  Voltage resistive{};  ///< R I
  Voltage back_emf{};   ///< K_t ω
  Voltage inductive{};  ///< N_r ω L I, a quarter turn ahead of the other two
  Voltage all{};        ///< what the supply must give
};

/// Supply voltage that still forces the full current, and so the full torque, at a speed.
///
///     V = √((N_r ω L I)² + (R I + K_t ω)²)
///
/// Symbols and ranges as in `loss_free_pull_out`; `winding.voltage` has no part in it. More voltage
/// than this buys nothing at that speed. Loss-free: published curves lie below it ([pull-out]), so
/// a real motor needs more.
///
/// \throws InvalidInput  as `loss_free_pull_out`
///
/// Source: derived, `corner_speed` solved for V. Its parts are checked against [Duet].
inline VoltageForCurrent voltage_for_current(const DrivenWinding& winding, AngularSpeed speed) {
  detail::require_valid(winding);
  require_not_negative("speed", speed);
  const Voltage resistive = winding.resistance * winding.amplitude;
  const Voltage back_emf = winding.torque_constant * speed;
  const Voltage inductive =
      winding.pole_pairs * speed * winding.inductance * winding.amplitude / radian;
  const Voltage along = resistive + back_emf;
  return {.resistive = resistive,
          .back_emf = back_emf,
          .inductive = inductive,
          .all = square_root(inductive * inductive + along * along)};
}

/// A function that tells the torque at one speed for a supply voltage.
template <class Function>
concept TorqueOverVoltage = requires(const Function& torque_at, Voltage voltage) {
  { torque_at(voltage) } -> std::convertible_to<Torque>;
};

/// Supply voltages from `least` to `most`.
struct VoltageRange {
  Voltage least = unset<Voltage>();
  Voltage most = unset<Voltage>();
};

namespace detail {
inline void require_valid(const VoltageRange& range) {
  require_positive("least voltage", range.least);
  if (!(range.most >= range.least) || !is_finite(range.most))
    throw InvalidInput("most voltage", ">= the least", in_volts(range.most), "V");
}
}  // namespace detail

/// Torque that a supply voltage gives at the speed in question.
struct VoltageGain {
  Voltage voltage{};
  Torque torque{};
  Torque gain{};  ///< over the first row
};

/// What more voltage buys: the torque at `rows` voltages, evenly from the least to the most.
///
/// \throws InvalidInput  least not above zero, most below least, rows below 2
template <TorqueOverVoltage Function>
std::vector<VoltageGain> voltage_gains(const VoltageRange& range, int rows,
                                       const Function& torque_at) {
  detail::require_valid(range);
  require_at_least("rows", rows, 2);
  std::vector<VoltageGain> gains;
  for (int i = 0; i < rows; ++i) {
    const double share = static_cast<double>(i) / (rows - 1);
    const Voltage voltage = (1.0 - share) * range.least + share * range.most;
    const Torque torque = torque_at(voltage);
    gains.push_back({.voltage = voltage,
                     .torque = torque,
                     .gain = gains.empty() ? Torque{} : torque - gains.front().torque});
  }
  return gains;
}

/// Smallest voltage of the range at which the torque is `wanted` or more; nothing where not even
/// the most gives it. Asked for the torque at the most, it tells where more voltage stops to help.
///
/// By bisection, to the last digit, for a torque that does not fall as the voltage rises; the
/// loss-free torque does not, since a larger voltage circle holds the smaller one. Of another
/// function it gives some voltage at which the wanted torque is reached.
///
/// \throws InvalidInput  least not above zero, most below least, wanted not a number
template <TorqueOverVoltage Function>
std::optional<Voltage> least_voltage(const VoltageRange& range, Torque wanted,
                                     const Function& torque_at) {
  detail::require_valid(range);
  if (is_unset(wanted))
    throw InvalidInput("wanted torque", "a number", in_newton_metres(wanted), "N*m");
  const auto reaches = [&](Voltage voltage) { return Torque(torque_at(voltage)) >= wanted; };
  if (reaches(range.least)) return range.least;
  if (!reaches(range.most)) return std::nullopt;
  Voltage low = range.least;
  Voltage high = range.most;
  for (;;) {
    const Voltage middle = low + (high - low) / 2.0;
    if (!(middle > low) || !(middle < high)) return high;
    (reaches(middle) ? high : low) = middle;
  }
}

}  // namespace pitchline::motor
