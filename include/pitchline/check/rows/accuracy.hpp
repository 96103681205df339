#pragma once

#include <optional>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Part of a full step by which a rotor may stand wrong without load; it does not accumulate.
///
/// Source: [MinebeaMitsumi glossary], [Geckodrive] section 8: ±5 %.
inline constexpr double step_error_share = 0.05;

/// By how much the computed lag of a rotor is taken larger: a simulation reads its torque off
/// between tabled speeds, and the lag here is found from 64 parts of half a turn; together they
/// leave 0.5 % open.
inline constexpr double lag_allowance = 1.01;

/// What moves the load away from where the controller believes it, at its worst all one way.
struct PositionError {
  Length belt{};        ///< stretch
  Length load_angle{};  ///< rotor behind the commanded field
  Length driver_lag{};  ///< of it, what the current lags behind its command without load
  Length step_error{};
  [[nodiscard]] Length sum() const { return belt + load_angle + step_error; }
};

/// Position error of the axis under a force at the load and a torque at the motor, at one speed.
/// Nothing where the motor does not have the torque.
///
/// The lag of the rotor is that of `motor::VerdictMotor`, which a simulation moves too: the losses
/// of the rotor load its field, and at the limit of its voltage the driver itself lags.
std::optional<PositionError> position_error(const AxisState& s, Stiffness stiffness, Force force,
                                            Torque torque, AngularSpeed speed);

namespace detail {

void explain(Finding& f, const std::optional<PositionError>& error, Stiffness stiffness,
             const std::string& stiffness_source);

// Where the stiffness between motor and load comes from.
std::string stiffness_source(const AxisState& s);

}  // namespace detail

/// Position error at rest and at constant speed, the larger of the two, against the wanted one.
Finding position_error_finding(const AxisState& s);

/// Position error while accelerating at the wanted rate, overshoot included, against the wanted
/// one.
Finding corner_error_finding(const AxisState& s);

}  // namespace pitchline::check
