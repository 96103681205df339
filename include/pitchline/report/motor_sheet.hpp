#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/report/motor_use.hpp"

#include "pitchline/motor/heat.hpp"
#include "pitchline/motor/pull_out_curve.hpp"
#include "pitchline/motor/resonance.hpp"
#include "pitchline/motor/supply_voltage.hpp"
#include "pitchline/motor/unstable_bands.hpp"
#include "pitchline/parts/plausibility.hpp"

namespace pitchline::report {

/// The torque of a motor at one speed, every way that is known.
struct CurveRow {
  AngularSpeed speed{};
  motor::PullOut loss_free{};
  Torque dependable{};
  std::optional<Torque> calibrated{};
  std::optional<Torque> measured{};
  motor::VerdictTorque verdict{};
  Power power{};        ///< at the shaft, with `verdict`
  bool wanted = false;  ///< the speed that the axis is wanted to reach
};

/// The speeds in which a motor may lose step with torque to spare, under one kind of load.
struct StabilityCase {
  std::string load{};  ///< in words
  std::vector<motor::UnstableBand> bands{};
};

/// Swinging at rest and at the rates that excite it.
struct ResonanceSheet {
  TorsionalStiffness field_stiffness{};
  Frequency natural{};                      ///< with all inertia
  std::optional<motor::AxisModes> modes{};  ///< of an axis
  /// Travel speeds are unset without an axis.
  std::vector<motor::RateToAvoid> rates{};
};

/// What the microsteps of a driver are worth.
struct MicrostepSheet {
  PulsesPerFullStep set{};
  Torque torque{};                        ///< of one microstep, at rest
  motor::Deviation step{};                ///< one microstep; travel is unset without an axis
  motor::Deviation error{};               ///< of a full step, either way; likewise
  std::optional<motor::Deviation> lag{};  ///< at rest under the friction of the axis
  /// That still moves the friction of the axis; nothing where not even a full step does, or
  /// without an axis. Infinite where there is no friction.
  std::optional<PulsesPerFullStep> finest{};
};

/// What a motor takes and how warm it gets in one state.
struct DutyRow {
  std::string state{};  ///< in words
  AngularSpeed speed{};
  Torque torque{};        ///< at the shaft
  bool possible = false;  ///< the loss-free motor has that torque; if not, nothing below is set
  Current rms{};          ///< of a phase
  Power copper{};         ///< with the resistance of the sheet
  Power iron{};           ///< eddy currents and drag of the model: an estimate on the high side
  Power shaft{};
  Current supply{};                ///< mean; without the driver's own loss
  bool lasting = false;            ///< a state that can last, so that the rises below say something
  motor::WindingHeat by_copper{};  ///< copper alone heats
  motor::WindingHeat by_all{};     ///< iron loss too
};

/// What the supply voltage does at one speed.
struct VoltageSheet {
  AngularSpeed speed{};
  Voltage customary{};                 ///< rule of thumb
  motor::VoltageForCurrent forcing{};  ///< loss-free, for the full current
  std::vector<motor::VoltageGain> loss_free{};
  std::vector<motor::VoltageGain> verdict{};  ///< at the same voltages
  /// Least voltage at which the torque of a verdict is the peak of the start times the margin;
  /// nothing without an axis, or where five times the supply does not give it.
  std::optional<Voltage> for_load{};
};

/// All that is said of one motor in one use.
struct MotorSheet {
  MotorUse use{};
  TorqueConstant torque_constant{};
  motor::DriverSetting rated_setting{};  ///< microstepping at the rated current
  Current rms{};                         ///< as set, with `use.feed.amplitude` as its peak
  AngularSpeed corner{};                 ///< loss-free
  AngularSpeed dependable_corner{};      ///< with the losses of the model
  std::optional<AngularSpeed> zero_torque{};
  std::vector<CurveRow> rows{};  ///< at round speeds, and at the wanted one
  std::vector<CurveRow> fine{};  ///< close together, for a plot
  CurveRow strongest{};          ///< of `fine`, the most shaft power
  CurveRow at_reference{};       ///< at the wanted speed, else at twice the corner speed
  std::optional<double> loss_level{};
  /// Torque for a verdict at the speed of `at_reference`, were `rms` the peak of the current.
  Torque at_smaller_current{};
  std::optional<motor::Feed> measured_feed{};
  bool points_contradict = false;
  bool points_levelled = false;
  bool current_not_counted = false;  ///< above what a dependable curve counts on
  bool outside_compared = false;     ///< a motor or voltage of a kind that no curve was compared of
  RotaryDrag motor_damping{};
  std::vector<StabilityCase> stability{};
  ResonanceSheet resonance{};
  MicrostepSheet microsteps{};
  motor::ThermalPath thermal{};
  std::vector<DutyRow> duty{};
  motor::IdleHold idle{};  ///< at half of the running current
  Current customary_supply{};
  VoltageSheet voltage{};
  std::vector<parts::Question> questions{};
  std::vector<std::string> assumed{};
};

}  // namespace pitchline::report
