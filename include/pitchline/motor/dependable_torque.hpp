#pragma once

#include "pitchline/motor/loss_free_torque.hpp"

namespace pitchline::motor {

/// Share of the loss-free torque that a verdict counts on while nothing is known of a motor's
/// losses: a half.
///
/// Five published curves of four motors lie at 0.51 to 0.98 of the loss-free formula, so a half
/// lies at or below every point read. Fitted to these curves, no bound for other motors; see
/// reference/sources.md, [pull-out].
inline const TorqueShare dependable_share{0.5};

/// The torque that a verdict rests on: the loss-free pull-out torque, halved.
///
/// \throws InvalidInput  as `loss_free_pull_out`
inline Torque dependable_torque(const DrivenWinding& w, AngularSpeed speed) {
  return dependable_share.value() * loss_free_pull_out(w, speed).torque;
}

}  // namespace pitchline::motor
