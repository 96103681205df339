#pragma once

#include "pitchline/units.hpp"

namespace pitchline {

namespace detail {
struct MeanCurrentShareMeaning {
  static constexpr std::string_view name = "current share";
  static constexpr std::string_view rule = "> 0 and <= 1";
  static constexpr bool holds(double x) { return x > 0 && x <= 1; }
};
struct VoltageShareMeaning {
  static constexpr std::string_view name = "voltage share";
  static constexpr std::string_view rule = "> 0 and <= 1";
  static constexpr bool holds(double x) { return x > 0 && x <= 1; }
};
struct InductanceRatioMeaning {
  static constexpr std::string_view name = "inductance ratio";
  static constexpr std::string_view rule = ">= 1 and <= 10";
  static constexpr bool holds(double x) { return x >= 1 && x <= 10; }
};
struct CharacteristicShareMeaning {
  static constexpr std::string_view name = "characteristic current share";
  static constexpr std::string_view rule = "> 0 and <= 100";
  static constexpr bool holds(double x) { return x > 0 && x <= 100; }
};
struct ResistanceRatioMeaning {
  static constexpr std::string_view name = "resistance ratio";
  static constexpr std::string_view rule = ">= 1 and <= 10";
  static constexpr bool holds(double x) { return x >= 1 && x <= 10; }
};
struct DragShareMeaning {
  static constexpr std::string_view name = "drag share";
  static constexpr std::string_view rule = ">= 0 and <= 10";
  static constexpr bool holds(double x) { return x >= 0 && x <= 10; }
};
}  // namespace detail

/// Mean current that is counted on, over the current that is set.
using MeanCurrentShare = Ratio<detail::MeanCurrentShareMeaning>;
/// Voltage that reaches the winding, over that of the supply.
using VoltageShare = Ratio<detail::VoltageShareMeaning>;
/// Inductance as it acts, over what the sheet states.
using InductanceRatio = Ratio<detail::InductanceRatioMeaning>;
/// Characteristic current K_t/(N_r L) of a motor, over its rated amplitude √2 I_r.
using CharacteristicShare = Ratio<detail::CharacteristicShareMeaning>;
/// Resistance of the warm winding, over that of the cold one.
using ResistanceRatio = Ratio<detail::ResistanceRatioMeaning>;
/// Torque lost at every speed, over another torque of the motor.
using DragShare = Ratio<detail::DragShareMeaning>;

}  // namespace pitchline

namespace pitchline::motor {

/// Torque over time: ties the eddy-current resistance to inductance and holding torque.
using EddyConstant = Quotient<Torque, Time>;

/// What a motor and its driver lose, each loss by name. The defaults are what a verdict rests on
/// while a motor has no published point of its own; sources in reference/sources.md, [pull-out].
struct LossModel {
  /// Ripple, blanking and lag of a chopper, saturation at the full current and the tolerance of the
  /// holding torque together. Fitted: 0.9 of the least share that a published point below the
  /// corner shows, rounded down.
  MeanCurrentShare current_share{0.80};
  /// Bridge drop, shortest off time and sag of the supply together. Common practice, no source.
  VoltageShare voltage_share{0.95};
  /// Least inductance that acts, over the sheet's: the top of the tolerance of ±20 % that sheets
  /// print, and a quarter more, because they measure a small signal at 1 kHz, where eddy currents
  /// and the foot of the magnetisation curve hide some. The quarter is common practice, no source.
  /// It decides for motors of little flux only, such as of 0.9°; for all that were compared
  /// `characteristic_share` asks for more.
  InductanceRatio inductance{1.5};
  /// Most that the characteristic current may be of the rated amplitude. Times supply voltage it is
  /// the shaft power at speed, and published power over V √2 I_r differs less from motor to motor
  /// than the inductance that acts over the sheet's. Fitted: 0.9 of the largest at which no
  /// published point is exceeded with the inductance of the sheet, rounded down.
  CharacteristicShare characteristic_share{0.28};
  /// Copper 80 K above the temperature of the sheet, class B: 1 + 80 K · 0.00393/K (the
  /// coefficient is from memory).
  ResistanceRatio hot_winding{1.31};
  /// Hysteresis and friction as a share of the holding torque: half of the least detent torque that
  /// six sheets print, 3.3 to 5.1 % of it, and a little more. The half is common practice, no
  /// source.
  DragShare drag{0.02};
  /// Hysteresis and friction as a share of the detent torque, where the sheet gives one: the rest
  /// comes back within a step while the rotor turns. Common practice, no source.
  DragShare drag_of_detent{0.5};
  /// The same for a short motor, whose detent does not shrink with its holding torque: half of the
  /// 0.022 N·m that are printed for a NEMA 17 of 0.14 N·m.
  Torque least_drag = newton_metres(0.011);
  /// Γ of the eddy-current resistance R_fe = Γ L/T_h, for heat and supply current alone, see
  /// `eddy_loss`: the torque at speed is an inductance's matter here.
  EddyConstant eddy_constant = newton_metres(30'000) / seconds(1);
};

/// Refuses a model whose quantities no motor has; the ratios check themselves.
///
/// \throws InvalidInput  least drag below zero or not finite; eddy constant not greater than zero
inline void require_valid(const LossModel& model) {
  require_not_negative("least drag", model.least_drag);
  if (!(model.eddy_constant > newton_metres(0) / seconds(1)))
    throw InvalidInput("eddy constant", "> 0", in_newton_metres(model.eddy_constant * seconds(1)),
                       "N*m/s");
}

}  // namespace pitchline::motor
