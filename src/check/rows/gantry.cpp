#include "pitchline/check/rows/gantry.hpp"

#include <algorithm>
#include <optional>
#include <vector>

#include "pitchline/axis/motor_pair.hpp"
#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"

namespace pitchline::check {

Finding out_of_square_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  const axis::MotorPair pair{.transmission = s.seen.transmission,
                             .full_steps_per_turn = drive.motor.full_steps_per_turn,
                             .belt_distance = drive.belt_distance};
  const axis::StartJump jump = axis::start_jump(pair);
  const bool asked = !is_unset(s.axis.want.position_error) && !drive.each_side_homed;
  Finding f = compared("out_of_square", "out of square at power on", jump.apart, Bound::at_most,
                       asked ? s.axis.want.position_error : unlimited<Length>());
  if (f.verdict == Verdict::fails) f.verdict = Verdict::unsure;
  f.reason = fmt::format(
      "either motor jumps up to {} to where its field holds it, so the two sides may come to stand "
      "{} out of square ({}), beside what they had before{}",
      jump.each, jump.apart, jump.skew,
      drive.each_side_homed ? "; homing each side takes that out" : "");
  if (f.verdict != Verdict::holds)
    f.remedy = "home each side on a switch of its own, drive.homed = \"each side\", before work";
  f.source = "two full steps of a motor to either side, derived";
  f.formula = "4 full steps of travel: 2 of each motor";
  f.details.push_back(detail_of("jump of one motor, at most", jump.each));
  f.details.push_back(detail_of("travel lost with every stall", axis::lost_per_stall(pair)));
  return f;
}

std::optional<Finding> racking_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  const axis::MotorPair pair{.transmission = s.seen.transmission,
                             .full_steps_per_turn = drive.motor.full_steps_per_turn,
                             .belt_distance = drive.belt_distance};
  // The most that it can pull: slow, and without the losses that a verdict otherwise counts on.
  const Torque torque = s.curve.loss_free(radians_per_second(0)).torque;
  const Force friction = s.seen.friction + s.seen.gravity;
  if (!(torque / s.seen.transmission > friction)) return std::nullopt;
  // Until the skew is beyond what the statics of a small angle can say.
  const Time until = std::min(until_a_hand_stops_it, Time(0.99 * in_radians(axis::largest_skew) *
                                                          pair.belt_distance / s.axis.want.speed));
  const axis::Racking racked = axis::racking(pair, {.pull_out_torque = torque,
                                                    .friction = friction,
                                                    .speed = s.axis.want.speed,
                                                    .until_noticed = until});
  Finding f = compared("one_side_stalls", "pull on a beam that jams", racked.force, Bound::at_most,
                       unlimited<Force>());
  f.reason = fmt::format(
      "where one motor stalls, the other racks the beam with up to {} and {} on its guides; after "
      "{} it is {} behind, {}",
      racked.force, racked.guide_moment, until, racked.lag, racked.skew);
  f.source = "statics of a rigid beam, nothing resisting, derived";
  f.formula = "pull-out torque over the travel per angle, less friction; times the belt distance";
  f.details.push_back(detail_of("moment on the guides", racked.guide_moment));
  f.details.push_back(detail_of("time looked at", until));
  f.details.push_back(detail_of("lag of the standing side", racked.lag));
  return f;
}

Finding cross_shaft_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  const Transmission travel = belt::pulley_transmission(drive.belt.profile, drive.pulley_teeth);
  const axis::CrossShaft cross = axis::cross_shaft(*drive.cross_shaft, travel, drive.belt_distance,
                                                   2.0 * drive.pulley_inertia);
  const double share = number(axis::far_side_mass(drive) / axis::moving_mass(drive));
  const Force force = share * belt_peak_force(s);
  const Force per_strain = parts::tension_per_strain(drive.belt);
  const bool belt_known = !is_unset(per_strain);
  const Stiffness belt =
      belt_known ? belt::smallest_strand_stiffness(
                       {.tension_per_strain = per_strain, .span = drive.span}, drive.travel)
                 : unlimited<Stiffness>();
  const axis::FarSideLag lag = axis::far_side_lag(cross, belt, force);
  const bool asked = !is_unset(s.axis.want.corner_error);
  Finding f = compared("cross_shaft", "lag of the far side", lag.sum(), Bound::at_most,
                       asked ? s.axis.want.corner_error : unlimited<Length>());
  if (!s.in_words) return f;
  f.reason = fmt::format(
      "{} at the far belt, the carriage over it, winds the shaft up by {}: {} of lag, and {} of "
      "the "
      "belt; the beam is {} out of square",
      force, lag.wind_up, lag.by_shaft, belt_known ? print(lag.by_belt) : "an unknown part",
      lag.skew);
  if (!belt_known) f.verdict = std::max(f.verdict, Verdict::unsure);
  if (f.verdict != Verdict::holds)
    f.remedy =
        "a thicker or hollow shaft of larger diameter, stiffer couplings, less mass or "
        "acceleration";
  f.source = "torsion of a round shaft, derived; a beam on two supports";
  f.formula = "F t^2/k_shaft + F/k_belt, F the share of the far side";
  f.details.push_back(detail_of("share of the far side", Measure::ratio(share)));
  f.details.push_back(detail_of("torque in the shaft", lag.shaft_torque));
  f.details.push_back(
      detail_of("shear stress in it", structure::shear_stress(cross.shaft, lag.shaft_torque)));
  if (belt_known) {
    f.details.push_back(detail_of("natural frequency of the far side",
                                  belt::natural_frequency(axis::far_side_stiffness(cross, belt),
                                                          axis::far_side_mass(drive))));
  }
  return f;
}

std::vector<Row> gantry_rows() {
  const auto is_pair = [](const AxisState& s) {
    return s.has_belt() && s.motors() == 2 && !is_unset(s.belt().belt_distance);
  };
  return {{.key = "cross_shaft",
           .asks = "lag of the far side behind a cross shaft against the corner error",
           .applies =
               [](const AxisState& s) { return s.has_belt() && s.belt().cross_shaft.has_value(); },
           .judge = cross_shaft_finding,
           .binds = Binds::acceleration,
           .mechanism = "lag of the far side",
           .is_asked = [](const AxisState& s) { return !is_unset(s.axis.want.corner_error); },
           .rests_on = RestsOn::force},
          {.key = "out_of_square",
           .asks = "skew of two sides with a motor each when power comes against the wanted error",
           .applies = is_pair,
           .judge = out_of_square_finding},
          {.key = "one_side_stalls",
           .asks = "what racks the beam when one motor of a pair stands; nothing is asked of it",
           .applies = is_pair,
           .judge_all = [](const AxisState& s) {
             const auto racked = racking_finding(s);
             return racked ? std::vector<Finding>{*racked} : std::vector<Finding>{};
           }}};
}

}  // namespace pitchline::check
