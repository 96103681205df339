#pragma once

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <optional>
#include <string_view>

#include "pitchline/motor/working_point.hpp"

namespace pitchline::motor {

/// Rise of copper's resistance per kelvin, of its value at 20 °C. From memory, 99 % sure.
inline constexpr auto copper_per_kelvin = 0.00393 / kelvins(1);

/// Winding temperature that insulation class B allows over the surroundings, as data sheets of
/// steppers print it ([23HS30-2804S] and others, as transcribed).
inline constexpr TemperatureRise class_b_rise = kelvins(80);

namespace detail {
struct CurrentShareMeaning {
  static constexpr std::string_view name = "current share";
  static constexpr std::string_view rule = "> 0 and <= 1";
  static constexpr bool holds(double x) { return x > 0 && x <= 1; }
};
inline void require_power(std::string_view field, Power power) {
  require_not_negative(field, power);
}
inline void require_thermal_resistance(ThermalResistance resistance) {
  require_positive("thermal resistance", resistance);
}
}  // namespace detail

/// A current over the one it is compared with: rated, or running.
using CurrentShare = Ratio<detail::CurrentShareMeaning>;

// ---- Copper loss

/// Resistance of a copper winding that is `rise` warmer than where it was measured.
///
///     R = R₀ (1 + α ΔT),  α = copper_per_kelvin
///
///     R₀  cold  Ω  > 0
///     ΔT  rise  K  finite
///
/// α belongs to 20 °C and data sheets measure at 20 to 25 °C; at 25 °C the rise of R comes out 2 %
/// of itself too large.
///
/// \throws InvalidInput     a number outside the table
/// \throws OutsideValidity  1 + α ΔT not above zero: colder than the straight line reaches
///
/// Source: linear law of copper; α see `copper_per_kelvin`.
inline Resistance warm_resistance(Resistance cold, TemperatureRise rise) {
  require_positive("resistance", cold);
  if (!is_finite(rise)) throw InvalidInput("rise", "a finite number", in_kelvins(rise), "K");
  const double factor = 1.0 + number(copper_per_kelvin * rise);
  if (!(factor > 0))
    throw OutsideValidity(
        fmt::format("copper {:.4g} K colder than measured is outside the "
                    "straight line of its resistance",
                    -in_kelvins(rise)));
  return cold * factor;
}

/// Copper loss of both phases together.
///
///     P = 2 I² R
///
///     I  rms         A  ≥ 0, RMS of a sine; or the current of each phase with both on
///     R  resistance  Ω  > 0, of one phase, as warm as it is
///
/// At standstill as in motion: I_pk² cos² + I_pk² sin² is the same at every microstep. At rest on a
/// pole all of it is in one phase. Where the voltage limits take the RMS from `phase_amplitude`.
///
/// \throws InvalidInput  a number outside the table
///
/// Source: derived; checked against reference/published/rated_current.csv.
inline Power copper_loss(Current rms, Resistance resistance) {
  require_not_negative("RMS current", rms);
  require_positive("resistance", resistance);
  return 2.0 * rms * rms * resistance;
}

/// Amplitude of the phase current at a working point: the full one while the driver forces it,
/// whatever the load; less once the voltage limits.
///
///     |i| = √(i_d² + i_q²)
inline Current phase_amplitude(const WorkingPoint& point) {
  return square_root(point.direct * point.direct + point.quadrature * point.quadrature);
}

// ---- What to set

/// How a driver steps.
enum class Stepping {
  full,  ///< both phases on, each at the full current
  half,  ///< two phases on and one on in turn, always at the full current
  sine,  ///< microsteps
};

/// Peak over RMS of the phase current: 1; 1.1547, as a phase is on in six of eight half steps; √2.
///
/// Source: derived. [AMCI] calls the rise of half stepping 15 %.
inline double crest_factor(Stepping stepping) {
  switch (stepping) {
    case Stepping::full:
      return 1.0;
    case Stepping::half:
      return 2.0 / std::numbers::sqrt3;
    case Stepping::sine:
      break;
  }
  return std::numbers::sqrt2;
}

/// What to type into a driver, in both ways in which makers count, and what it gives.
struct DriverSetting {
  Current rms{};
  Current peak{};
  Torque holding_torque{};  ///< the least of all positions: half stepping has weaker ones
  Power copper_loss{};      ///< cold
};

/// Setting that sends `share` of a motor's rated current through its winding.
///
///     I_rms = share · I_r,  I_pk = crest factor · I_rms
///     full: T = √2 K_t I_pk;  half, on one phase, and sine: T = K_t I_pk
///
/// \throws InvalidInput  see `parts::require_valid`
///
/// Source: [AMCI], [Duet] and others: the rated current is the RMS of a sine.
inline DriverSetting driver_setting(const parts::StepperMotor& motor, Stepping stepping,
                                    CurrentShare share = CurrentShare(1.0)) {
  const TorqueConstant k = torque_constant(motor);
  const Current rms = share.value() * motor.rated_current;
  const Current peak = crest_factor(stepping) * rms;
  const double phases = stepping == Stepping::full ? std::numbers::sqrt2 : 1.0;
  return {.rms = rms,
          .peak = peak,
          .holding_torque = phases * k * peak,
          .copper_loss = copper_loss(rms, motor.resistance)};
}

/// What is left at standstill when a driver lowers its current.
struct IdleHold {
  Current rms{};
  Torque holding_torque{};  ///< proportional to the current; detent torque comes on top
  Power copper_loss{};      ///< falls with the square
};

/// A microstepping winding at rest with a share of its running current, which the supply can force.
///
/// \throws InvalidInput  a field of the winding not above zero, or never set
///
/// Source: derived, linear magnetics.
inline IdleHold idle_hold(const DrivenWinding& running, CurrentShare kept) {
  detail::require_valid(running);
  const Current amplitude = kept.value() * running.amplitude;
  const Current rms = amplitude / std::numbers::sqrt2;
  return {.rms = rms,
          .holding_torque = running.torque_constant * amplitude,
          .copper_loss = copper_loss(rms, running.resistance)};
}

// ---- Temperature

/// Where a thermal resistance comes from.
enum class ThermalBasis {
  stated,       ///< given by the user or a data sheet
  frame_class,  ///< default of the frame: a ceiling drawn from one motor of it
  rating,       ///< from the motor's own rating: as if its rated current made the class B rise
};

/// Thermal resistance from winding to surroundings, as mounted.
struct ThermalPath {
  ThermalResistance resistance = unset<ThermalResistance>();
  ThermalBasis basis = ThermalBasis::stated;
};

/// The largest thermal resistance with which the rated current, both phases on, stays within the
/// class B rise.
///
///     R_th = 80 K / (2 I_r² R (1 + α · 80 K))
///
/// A ceiling for a motor whose data sheet says so, mounted as in the maker's test; else an
/// assumption. At rated current and standstill it gives 80 K by its own making.
///
/// \throws InvalidInput  see `parts::require_valid`
///
/// Source: derived from the rating of data sheets, "80 K max., rated current, 2 phases on".
inline ThermalPath rated_thermal_path(const parts::StepperMotor& motor) {
  parts::require_valid(motor);
  const Power hot =
      copper_loss(motor.rated_current, warm_resistance(motor.resistance, class_b_rise));
  return {.resistance = class_b_rise / hot, .basis = ThermalBasis::rating};
}

/// Default thermal resistance of a NEMA frame: 6.9, 3.4, 3.4, 1.9 K/W for 17, 23, 24, 34. Nothing
/// for another frame.
///
/// Derived, not measured: the ceiling of `rated_thermal_path` for one motor of each frame with its
/// maker's test plate (17HS19-2004D-E1K, 23HS30-2804S, 34HE46-6004D-E1000; [thermal ceilings]). 24
/// takes the figure of 23, without a source of its own. Short motors of a frame may lie above: the
/// rating of 17HS08-1004S gives 8.2 K/W.
inline std::optional<ThermalPath> frame_thermal_path(int frame) {
  const auto of_frame = [](double x) {
    return ThermalPath{.resistance = kelvins_per_watt(x), .basis = ThermalBasis::frame_class};
  };
  switch (frame) {
    case 17:
      return of_frame(6.9);
    case 23:
    case 24:
      return of_frame(3.4);
    case 34:
      return of_frame(1.9);
    default:
      return std::nullopt;
  }
}

/// The thermal resistance to count with: what is stated, else the smaller of what the frame's
/// default and the motor's own rating imply. Both are ceilings, so the smaller one is nearer to the
/// truth. A frame of 0 is not known. It is not guessed from the holding torque: those of
/// neighbouring frames overlap (0.65 N·m of a 17, 0.60 N·m of a 23).
///
/// \throws InvalidInput  stated not above zero; see `parts::require_valid`
inline ThermalPath thermal_path(const parts::StepperMotor& motor, int frame = 0,
                                std::optional<ThermalResistance> stated = std::nullopt) {
  if (stated) {
    detail::require_thermal_resistance(*stated);
    return {.resistance = *stated, .basis = ThermalBasis::stated};
  }
  const ThermalPath of_rating = rated_thermal_path(motor);
  const std::optional<ThermalPath> of_frame = frame_thermal_path(frame);
  return of_frame && of_frame->resistance < of_rating.resistance ? *of_frame : of_rating;
}

/// What heats a motor.
struct HeatSources {
  Power copper_loss = unset<Power>();  ///< with the resistance of the data sheet, as if cold
  Power iron_loss{};                   ///< and friction; mean over the working cycle
  /// Surroundings over the temperature at which the resistance was measured.
  TemperatureRise surroundings{};
};

/// Where the temperature of a winding settles.
struct WindingHeat {
  /// Over the surroundings. Nothing where it never settles: a constant current into a resistance
  /// that grows faster with its own heat than the motor sheds it.
  std::optional<TemperatureRise> rise{};
  Power loss{};           ///< copper, hot, and iron; 0 where it never settles
  double feedback = 0.0;  ///< α R_th P₀; at 1 and above the temperature runs away
};

namespace detail {
// Loss of a winding as warm as the surroundings, and α R_th P₀.
struct HeatBalance {
  Power at_start;
  double feedback;
};
inline HeatBalance heat_balance(const HeatSources& sources, ThermalResistance resistance) {
  require_power("copper loss", sources.copper_loss);
  require_power("iron loss", sources.iron_loss);
  require_thermal_resistance(resistance);
  const double warm = warm_resistance(ohms(1), sources.surroundings) / ohms(1);
  return {.at_start = sources.copper_loss * warm + sources.iron_loss,
          .feedback = number(copper_per_kelvin * resistance * sources.copper_loss)};
}
}  // namespace detail

/// Temperature at which a winding settles, with its resistance growing as it warms.
///
///     ΔT = R_th (P₀ (1 + α (ΔT + ΔT_s)) + P_fe), which gives
///     ΔT = R_th (P₀ (1 + α ΔT_s) + P_fe)/(1 − α R_th P₀)
///     P₀)
///
///     P₀    copper_loss   W    ≥ 0, cold
///     P_fe  iron_loss     W    ≥ 0
///     ΔT_s  surroundings  K    1 + α ΔT_s > 0
///     R_th  resistance    K/W  > 0, winding to surroundings
///     ΔT    rise          K    ≥ 0
///
/// One thermal resistance for the whole motor: the winding is somewhat hotter than that where its
/// insulation is, and iron loss counts as if it arose in the winding. Constant current.
///
/// \throws InvalidInput     a number outside the table, or a field never set
/// \throws OutsideValidity  as `warm_resistance`, of the surroundings
///
/// Source: derived, fixed point of the heat balance in closed form.
inline WindingHeat winding_heat(const HeatSources& sources, ThermalResistance resistance) {
  const auto [at_start, feedback] = detail::heat_balance(sources, resistance);
  if (!(feedback < 1.0)) return {.feedback = feedback};
  const TemperatureRise rise = resistance * at_start / (1.0 - feedback);
  return {.rise = rise, .loss = rise / resistance, .feedback = feedback};
}

/// Thermal time constant of a motor on a plate, short and long estimate: a third of the 30 to 45
/// minutes after which [STM23] says that the final temperature is reached. Derived.
inline constexpr Time short_thermal_time_constant = seconds(600);
inline constexpr Time long_thermal_time_constant = seconds(900);

/// A moment while a motor warms up.
struct Warming {
  Time time_constant = unset<Time>();  ///< τ
  Time elapsed = unset<Time>();        ///< t, since the cold start
};

/// How warm a winding is some time after a cold start.
///
///     ΔT(t) = ΔT_∞ (1 − e^(−(1 − α R_th P₀) t/τ))
///
///     τ  time_constant  s  > 0, heat capacity times R_th; see `long_thermal_time_constant`
///     t  elapsed        s  ≥ 0
///
/// Other symbols, limits and errors as in `winding_heat`. It holds where the temperature runs away
/// too, and tells how soon.
///
/// \throws InvalidInput     time_constant not above zero, elapsed below zero, or as `winding_heat`
/// \throws OutsideValidity  as `winding_heat`
///
/// Source: derived, C dΔT/dt = P(ΔT) − ΔT/R_th with one heat capacity.
inline TemperatureRise rise_after(const HeatSources& sources, const ThermalPath& path,
                                  const Warming& warming) {
  const auto [at_start, feedback] = detail::heat_balance(sources, path.resistance);
  require_positive("time constant", warming.time_constant);
  require_not_negative("elapsed", warming.elapsed);
  const double loop = 1.0 - feedback;
  const double t = number(warming.elapsed / warming.time_constant);
  // (1 − e^(−l t))/l, whose limit at l = 0 is t.
  const double share = loop == 0.0 ? t : -std::expm1(-loop * t) / loop;
  return path.resistance * at_start * share;
}

// ---- Supply

/// Where the power from the supply goes.
struct PowerBalance {
  Power mechanical{};  ///< torque times speed, while it drives
  Power copper{};
  Power iron{};
  Power driver{};
};

/// Mean direct current that one motor draws from its supply.
///
///     I_dc = (P_mech + P_cu + P_fe + P_drv) / V
///
///     P    each part  W  ≥ 0
///     V    supply     V  > 0
///
/// A chopper exchanges voltage for current, so this is not the phase current. Leaves out the
/// ripple, and braking, which feeds back.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: energy balance.
inline Current supply_current(const PowerBalance& balance, Voltage supply) {
  detail::require_power("mechanical power", balance.mechanical);
  detail::require_power("copper loss", balance.copper);
  detail::require_power("iron loss", balance.iron);
  detail::require_power("driver loss", balance.driver);
  require_positive("supply voltage", supply);
  return (balance.mechanical + balance.copper + balance.iron + balance.driver) / supply;
}

/// The trade's rule for the supply current of one motor: two thirds of the rated phase current of a
/// winding in parallel. In series the same rule says one third of that current; the motor in series
/// carries half of it, so it is two thirds of the current as connected there too.
///
/// A rule of thumb: it knows neither voltage nor load. Compare `supply_current`.
///
/// \throws InvalidInput  rated_current not above zero
///
/// Source: [controller integrator manual], steppers.
inline Current customary_supply_current(Current rated_current) {
  require_positive("rated current", rated_current);
  return 2.0 / 3.0 * rated_current;
}

}  // namespace pitchline::motor
