#pragma once

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// How an axis swings after its wanted move.
struct SwingLeft {
  /// Of the move as planned; without a stroke the worst of any.
  Length planned{};
  bool any_stroke = false;  ///< the latter
  Length worst{};           ///< with every corner of all moves in succession at its worst
};

/// Works out what the wanted move leaves of a swing.
///
/// \throws InvalidInput  as `motion::residual_amplitude`
SwingLeft swing_left(const AxisState& s, const motion::ElasticMode& mode);

/// Swing of the load after the wanted move, and the time in which it settles to the position error.
///
/// Judged only where something is asked: a position error, and a rest between moves in a row. Then
/// it fails where the move as planned does not settle in that rest, and is `unsure` where only
/// swings that cancel let it, where no stroke is given, or where nothing is known to damp.
///
/// Leaves out Coulomb friction, which ends small swings of a stopped load sooner, and the frame.
///
/// \throws InvalidInput  as `swing_left`
Finding residual_vibration_finding(const AxisState& s);

}  // namespace pitchline::check
