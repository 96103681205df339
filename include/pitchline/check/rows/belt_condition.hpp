#pragma once

#include <optional>
#include <string>

#include "pitchline/belt/service_factor.hpp"
#include "pitchline/belt/strength.hpp"
#include "pitchline/belt/tension.hpp"
#include "pitchline/belt/tension_to_set.hpp"
#include "pitchline/check/axis_state.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::check {

namespace detail {

// Speed of the drive pulley at the wanted speed.
AngularSpeed pulley_speed(const AxisState& s);

// A force against what a part bears; unsure, with what to ask its maker, where that is unknown.
Finding against(std::string key, std::string what, Force required, const belt::Limit& limit);

// The factor that a belt is chosen with: as the builder says, else that of its makers.
struct FactorInUse {
  double value = 1.0;
  std::string rule{};
  bool given = false;
};

FactorInUse service_factor(const AxisState& s, parts::Construction construction,
                           belt::FactorUse use);

// A force as computed, and with the service factor on the pull in it.
struct FactoredForce {
  Force plain = unset<Force>();
  Force with_factor = unset<Force>();
};

// As `against`. A builder's own factor is a demand and is judged. The customary one, which
// handbooks ask of drives in general, covers shocks, of which the swings of the move are already in
// the force, on a limit far below breaking: where only that exceeds the limit the row is tight.
Finding against_with_factor(const AxisState& s, std::string key, std::string what,
                            const FactoredForce& force, const belt::Limit& limit,
                            const FactorInUse& factor);

std::string with_factor_in_words(Force force, const FactorInUse& factor);

belt::CarriageDrive carriage(const AxisState& s);

// The one recommendation of `belt::tension_to_set`, with what the axis needs and bears.
belt::TensionToSet tension_to_set(const AxisState& s);

// Tension of each strand of the axis' belt at rest: as given, else as recommended.
Force strand_tension(const AxisState& s);

// One belt from clamp to clamp, for a carriage without a gap: the longest that it can be.
Length belt_to_order(const AxisState& s);

// The note of the returning strand at a tension; nothing where the mass of the belt is not known.
// A strand whose note would be too low to hear is shortened: something holds it still further on.
std::optional<report::StrandNote> strand_note(const AxisState& s, Force tension);

void show_breaking_load(Finding& f, const parts::Belt& belt, const belt::Limit& allowed);

std::string belt_to_change(const FactorInUse& factor);

}  // namespace detail

/// The tension to set, and the largest tension of a strand against what the belt may carry.
///
/// Where the builder does not say the tension, the one to set keeps the slack strand tight at the
/// peak of the wanted move, wherever the carriage stands, and is no less than the maker's least
/// for this width. The service factor counts on the pull and not on the tension at rest.
Finding belt_tension_finding(const AxisState& s);

/// The force at which a strand goes slack under the tension that is set, against the peak of the
/// move. Only where the builder says the tension: the one that `belt_tension_finding` works out
/// keeps both strands tight.
Finding slack_strand_finding(const AxisState& s);

/// The force that the teeth in mesh pass on, against what they bear.
Finding tooth_mesh_finding(const AxisState& s);

namespace detail {

// Teeth of a pulley against the fewest that the belt bends round at its speed.
Finding smallest_pulley(std::string key, std::string what, const parts::BeltProfile& profile,
                        int tooth_count, AngularSpeed speed);

}  // namespace detail

/// The drive pulley against the smallest that the belt bends round at its speed.
Finding smallest_pulley_finding(const AxisState& s);

}  // namespace pitchline::check
