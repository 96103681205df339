#pragma once

#include <optional>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Part of a full step by which a rotor may stand wrong without load; it does not accumulate.
///
/// Source: [MinebeaMitsumi glossary], [Geckodrive] section 8: ±5 %.
inline constexpr double step_error_share = 0.05;

/// What moves the load away from where the controller believes it, at its worst all one way.
struct PositionError {
  Length belt{};        ///< stretch
  Length load_angle{};  ///< rotor behind the field
  Length step_error{};
  [[nodiscard]] Length sum() const { return belt + load_angle + step_error; }
};

/// Position error of the axis under a force at the load and a torque at the motor, at one speed.
/// Nothing where the motor does not have the torque.
///
/// The torque is counted in proportion to the loss-free torque over the dependable one, because
/// what the motor loses inside loads its field too.
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
