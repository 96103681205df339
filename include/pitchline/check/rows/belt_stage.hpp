#pragma once

#include <string>
#include <vector>

#include "pitchline/belt/two_pulleys.hpp"
#include "pitchline/check/rows/belt_condition.hpp"

namespace pitchline::check {

/// What is known of the closed belt of a reduction stage, computed once.
struct StageState {
  parts::Belt belt{};
  belt::TwoPulleys pulleys{};  ///< the motor's first
  belt::PairWraps wraps{};
  Length motor_diameter = unset<Length>();  ///< pitch diameter of the motor's pulley
  Speed speed = unset<Speed>();             ///< of the belt
  Force pull = unset<Force>();              ///< at the peak of the move
  detail::FactorInUse factor{};
  Force tension = unset<Force>();  ///< to set, each strand
  std::string tension_rule{};
};

/// Works out the belt of the stage, which the axis must have.
///
///     F = F_p d/(D η) + J α/t
///
///     F_p  `belt_peak_force`                       d, D  diameters of drive and driven pulley
///     η    efficiency from motor to load           J     inertia on the driven shaft, at the motor
///     α    acceleration of the motor               t     belt travel per angle of the motor
///
/// All losses count as if they fell behind this belt, so it is no more than F. The tension to set
/// is the larger of the maker's rule and the maker's least. Its wraps are those of the wanted
/// centre distance.
///
/// \throws InvalidInput     a field outside its range, or never set
/// \throws OutsideValidity  the pulleys overlap at the centre distance
///
/// Derived: statics of the driven shaft; the inertia as on a rigid axis. Tension: the edition that
/// `tension_rule` names.
StageState stage_state(const AxisState& s);

/// The tension to set in the stage's belt, and its largest against what the belt may carry.
Finding stage_tension_finding(const AxisState& s, const StageState& stage);

/// The pull on the teeth in mesh with the smaller pulley of the stage, against what they bear.
Finding stage_mesh_finding(const AxisState& s, const StageState& stage);

/// The smaller pulley of the stage against the smallest that the belt bends round at its speed.
Finding stage_pulley_finding(const StageState& stage);

/// How exactly fixed centres must be held; the closed belt then has no other take-up.
///
/// Source: [GT3 manual] p. 173: 0.05 to 0.08 mm, the smaller.
inline constexpr Length fixed_centres_within = millimetres(0.05);

/// The listed closed belt that comes nearest to the wanted centre distance of the stage, and how
/// far the distance must be set from the wanted one for it.
///
/// Leaves out what slipping the belt on takes, and the tolerance of its length, of about 0.2 mm of
/// distance up to 254 mm of belt and 0.33 mm at 1016 mm ([SDP handbook] table 14).
Finding stage_order_finding(const AxisState& s, const StageState& stage);

}  // namespace pitchline::check
