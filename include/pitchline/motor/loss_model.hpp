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
struct SpeedRatioMeaning {
  static constexpr std::string_view name = "speed ratio";
  static constexpr std::string_view rule = "> 1 and <= 100";
  static constexpr bool holds(double x) { return x > 1 && x <= 100; }
};
}  // namespace detail

/// Mean current that a driver forces, over the current that is set.
using MeanCurrentShare = Ratio<detail::MeanCurrentShareMeaning>;
/// Voltage that reaches the winding, over that of the supply.
using VoltageShare = Ratio<detail::VoltageShareMeaning>;
/// Inductance as it may be, over what the sheet states.
using InductanceRatio = Ratio<detail::InductanceRatioMeaning>;
/// Resistance of the warm winding, over that of the cold one.
using ResistanceRatio = Ratio<detail::ResistanceRatioMeaning>;
/// Torque lost at every speed, over the holding torque.
using DragShare = Ratio<detail::DragShareMeaning>;
/// A speed over the corner speed.
using SpeedRatio = Ratio<detail::SpeedRatioMeaning>;

}  // namespace pitchline

namespace pitchline::motor {

/// Torque over time: ties the eddy-current resistance to inductance and holding torque.
using EddyConstant = Quotient<Torque, Time>;

/// What a motor and its driver lose, each loss by name. The defaults are what a verdict rests on
/// while a motor has no published point of its own; sources in reference/sources.md, [pull-out].
struct LossModel {
  /// A chopper's mean current stays below its set peak: ripple, blanking, lag. Simulated choppers
  /// below the corner give 0.93 to 0.99 of the set current's torque (clocked, mixed decay), 0.948
  /// in the mean with fast decay.
  MeanCurrentShare current_share{0.95};
  /// Bridge drop, shortest off time and sag of the supply together. Common practice, no source.
  VoltageShare voltage_share{0.95};
  /// Inductance at the top of the tolerance that two sheets print, ±20 %. 1 for a measured one.
  InductanceRatio inductance{1.20};
  /// Copper 80 K above the temperature of the sheet, class B: 1 + 80 K · 0.00393/K (the
  /// coefficient is from memory).
  ResistanceRatio hot_winding{1.31};
  /// Hysteresis, detent and friction as a share of the holding torque. Six sheets print a detent
  /// torque of 3.3 to 5.1 % of it.
  DragShare drag{0.05};
  /// The same for a short motor, whose detent does not shrink with its holding torque: 0.022 N·m is
  /// printed for a NEMA 17 of 0.14 N·m. A detent torque of the motor that is larger replaces it.
  Torque least_drag = newton_metres(0.022);
  /// Γ of the eddy-current resistance R_fe = Γ L/T_h. Fitted to the published curves: 0.9 of the
  /// largest at which no point of four motors is exceeded with the inductance of the sheet. It
  /// charges to the shaft whatever is missing at speed, so it is no measured iron loss.
  EddyConstant eddy_constant = newton_metres(30'000) / seconds(1);
  /// Share of the loss-free torque that is never exceeded far above the corner, where an open-loop
  /// motor may lose step with torque to spare. The lowest share that a published point shows is
  /// 0.51: fitted to the published curves. 1 leaves this reserve out.
  TorqueShare share_at_speed{0.5};
  /// Speed over the loss-free corner speed at which that share is reached; between, it falls in
  /// proportion to speed. Common practice, no source.
  SpeedRatio share_reached_at{2.0};
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
