#include "pitchline/check/rows/belt_stage.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "pitchline/belt/mesh.hpp"
#include "pitchline/belt/plucked_span.hpp"
#include "pitchline/belt/pulley.hpp"
#include "pitchline/belt/stock.hpp"
#include "pitchline/belt/two_pulleys.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/belt_condition.hpp"

namespace pitchline::check {

StageState stage_state(const AxisState& s) {
  const parts::BeltStage& stage = *s.belt().stage;
  const Transmission travel = belt::pulley_transmission(stage.profile, stage.motor_teeth);
  StageState out{.belt = {.profile = stage.profile,
                          .width = stage.width,
                          .ends = parts::BeltEnds::closed_loop},
                 .pulleys = {.profile = stage.profile,
                             .first_teeth = stage.motor_teeth,
                             .second_teeth = stage.driven_teeth},
                 .motor_diameter = belt::pitch_diameter(stage.profile, stage.motor_teeth),
                 .speed = s.motor_speed() * travel,
                 .factor = detail::service_factor(s, stage.profile.construction,
                                                  belt::FactorUse::rotating_reduction)};
  out.wraps = belt::pair_wraps(out.pulleys, stage.centre_distance);
  const double speed_up = belt::speed_up_addition(static_cast<double>(stage.motor_teeth) /
                                                  static_cast<double>(stage.driven_teeth));
  if (!out.factor.given && out.factor.value > 1.0 && speed_up > 0.0) {
    out.factor.value += speed_up;
    out.factor.rule += ", with its addition for speeding up";
  }
  out.pull = belt_peak_force(s) * number(s.seen.transmission / travel) / s.seen.efficiency.value() +
             s.seen.driven_side_inertia * (s.axis.want.acceleration / s.seen.transmission) / travel;

  const parts::Sourced<Force> of_speed = belt::speed_tension(out.belt, out.speed);
  const parts::Sourced<Force> least = belt::least_tension(out.belt);
  const belt::TensionRule& rule = belt::sdp_rule(out.factor.value);
  out.tension =
      belt::rule_tension(rule, {.torque = out.pull * travel,
                                .pitch_diameter = out.motor_diameter,
                                .service_factor = out.factor.value,
                                .speed_tension = of_speed.known() ? of_speed.value : newtons(0)});
  out.tension_rule = rule.edition;
  if (least.known() && least.value > out.tension) {
    out.tension = least.value;
    out.tension_rule = "the least of the maker, " + least.source;
  }
  return out;
}

Finding stage_tension_finding(const AxisState& s, const StageState& stage) {
  const detail::FactoredForce largest{
      belt::largest_tension_of_pair({.tension = stage.tension, .pull = stage.pull}),
      belt::largest_tension_of_pair(
          {.tension = stage.tension, .pull = stage.factor.value * stage.pull})};
  const belt::Limit limit = belt::allowable_tension(stage.belt);
  Finding f = detail::against_with_factor(s, "stage_belt_tension", "stage belt tension", largest,
                                          limit, stage.factor);
  if (!s.in_words) return f;
  f.reason = fmt::format(
      "the peak of {} at the load pulls {} here; set to {} at rest, the tight strand carries {}, "
      "{}",
      belt_peak_force(s), stage.pull, stage.tension, largest.plain,
      detail::with_factor_in_words(largest.with_factor, stage.factor));
  if (limit.known() && f.verdict != Verdict::holds)
    f.remedy = "a wider stage belt, or larger pulleys on both shafts" +
               detail::belt_to_change(stage.factor);
  f.source += "; tension to set: " + stage.tension_rule;
  f.formula =
      "max(T0 + c F/2, c F), F = F_load d/(D eta) + J alpha/t; T0 tension at rest, c service "
      "factor, d and D diameters of drive and driven pulley, eta efficiency, J what turns with the "
      "driven pulley, seen at the motor, alpha acceleration of the motor, t belt travel per its "
      "angle";
  f.details.push_back(detail_of("pull of the stage's belt", stage.pull));
  f.details.push_back(detail_of("tension to set, each strand", stage.tension));
  detail::show_breaking_load(f, stage.belt, limit);
  const Length free = belt::free_strand(stage.pulleys, s.belt().stage->centre_distance);
  f.details.push_back(detail_of("free length of a strand", free));
  const LinearDensity mass = parts::mass_per_length(stage.belt);
  if (!is_unset(mass) && stage.tension > newtons(0))
    f.details.push_back(detail_of(
        "tone of a strand, plucked",
        belt::plucked_frequency({.free_length = free, .mass_per_length = mass}, stage.tension)));
  return f;
}

Finding stage_mesh_finding(const AxisState& s, const StageState& stage) {
  const bool motor_is_smaller = stage.pulleys.first_teeth <= stage.pulleys.second_teeth;
  const belt::PulleyWrap& wrap = motor_is_smaller ? stage.wraps.first : stage.wraps.second;
  const int tooth_count = std::min(stage.pulleys.first_teeth, stage.pulleys.second_teeth);
  const AngularSpeed speed =
      stage.speed / belt::pulley_transmission(stage.belt.profile, tooth_count);
  const belt::Mesh mesh = belt::mesh(tooth_count, wrap.angle);
  const Force factored = stage.factor.value * stage.pull;
  belt::Limit limit{.value = newtons(0), .source = "no whole tooth is in mesh"};
  if (mesh.teeth >= 1)
    limit = belt::allowable_pull(stage.belt, {.teeth_in_mesh = mesh.teeth, .speed = speed});
  Finding f = detail::against_with_factor(s, "stage_tooth_mesh", "force on stage teeth",
                                          {stage.pull, factored}, limit, stage.factor);
  if (!mesh.enough_wrap) {
    f.verdict = Verdict::fails;
    f.margin = std::min(f.margin, number(wrap.angle / belt::least_wrap));
  }
  if (!s.in_words) return f;
  f.reason =
      fmt::format("{} on {} teeth in mesh, {} of wrap at {} between the centres, {}", stage.pull,
                  mesh.teeth, wrap.angle, print_plain(s.belt().stage->centre_distance),
                  detail::with_factor_in_words(factored, stage.factor));
  if (!mesh.enough_wrap) {
    f.source += "; least wrap of 60 deg: GT3 manual p. 175";
    f.remedy = "a larger centre distance: a loaded pulley wants 60 deg of wrap";
  } else if (limit.known() && f.verdict != Verdict::holds) {
    f.remedy = "more teeth on the small pulley, a wider belt or a larger centre distance" +
               detail::belt_to_change(stage.factor);
  }
  f.formula = "c F on z wrap/(2 pi) teeth, rounded down; c service factor, F pull, z teeth";
  f.details.push_back(detail_of("wrap of the small pulley", wrap.angle));
  f.details.push_back(detail_of("teeth in mesh, exact", Measure::ratio(mesh.exact_teeth)));
  f.details.push_back(
      detail_of("factor for few teeth in mesh", Measure::ratio(mesh.correction.factor)));
  return f;
}

Finding stage_pulley_finding(const StageState& stage) {
  const int tooth_count = std::min(stage.pulleys.first_teeth, stage.pulleys.second_teeth);
  Finding f = detail::smallest_pulley(
      "stage_smallest_pulley", "stage pulley teeth", stage.belt.profile, tooth_count,
      stage.speed / belt::pulley_transmission(stage.belt.profile, tooth_count));
  if (f.verdict == Verdict::fails) f.remedy = "more teeth on both pulleys of the stage";
  return f;
}

Finding stage_order_finding(const AxisState& s, const StageState& stage) {
  const Length wanted = s.belt().stage->centre_distance;
  const bool can_move = !is_unset(s.belt().stage->take_up);
  const Length take_up = can_move ? s.belt().stage->take_up : fixed_centres_within;
  const std::vector<belt::LoopCandidate> candidates =
      belt::loop_candidates(s.machine.listed_loops, {.pulleys = stage.pulleys,
                                                     .centre_distance = wanted,
                                                     .can_move_closer = take_up,
                                                     .can_move_farther = take_up});
  const Length exact = belt::belt_length(stage.pulleys, wanted);
  Finding f;
  if (candidates.empty()) {
    f.key = "stage_belt_order";
    f.what = "stage belt to order";
    f.value = exact;
    f.reason = fmt::format("no listed closed belt of {} goes round {} and {} teeth; {} are wanted",
                           stage.belt.profile.name, stage.pulleys.first_teeth,
                           stage.pulleys.second_teeth, exact);
    f.remedy = "ask makers for closed belts of this profile, or take a profile that is listed";
    f.source = "geometry; the list of closed belts";
    return f;
  }
  const belt::LoopCandidate& nearest = candidates.front();
  const Length move =
      nearest.difference < metres(0) ? Length(-nearest.difference) : nearest.difference;
  f = compared("stage_belt_order", "stage belt, to move by", move, Bound::at_most, take_up);
  const auto in_words = [](const belt::LoopCandidate& c) {
    return fmt::format("{} teeth, {} mm, {} {}", c.loop.teeth, to_double(c.loop.length_millimetres),
                       c.loop.maker, c.loop.series);
  };
  f.reason = fmt::format("a belt of {} ({}) is taut at {} in place of {}", in_words(nearest),
                         belt::name(nearest.loop.status), nearest.centre_distance, wanted);
  if (!can_move) f.reason += "; the file names no take-up";
  if (f.verdict == Verdict::fails && !can_move) f.verdict = Verdict::unsure;
  if (f.verdict != Verdict::holds)
    f.remedy =
        fmt::format("put the shafts {} apart, or {} of {} or more (drive.stage.take_up)",
                    nearest.centre_distance,
                    can_move ? "make slots with a take-up" : "say that they have a take-up", move);
  f.source = "geometry, exact; list: " + nearest.loop.source;
  if (!can_move) f.source += "; fixed centres within 0.05 mm: GT3 manual p. 173";
  f.formula =
      "L = 2 sqrt(C^2 - (R1-R2)^2) + pi (R1+R2) + 2 (R1-R2) asin((R1-R2)/C); C centre distance, "
      "R1 and R2 pitch radii";
  f.details.push_back(detail_of("belt length, exact", exact));
  constexpr std::size_t shown = 3;
  for (std::size_t i = 0; i < std::min(shown, candidates.size()); ++i)
    f.details.push_back(detail_of(in_words(candidates[i]), candidates[i].centre_distance));
  return f;
}

std::vector<Row> stage_rows() {
  const auto has_stage = [](const AxisState& s) {
    return s.has_belt() && s.belt().stage.has_value();
  };
  return {{.key = "stage_belt_tension",
           .asks = "largest tension of the stage's belt against what it may carry",
           .applies = has_stage,
           .judge = [](const AxisState& s) { return stage_tension_finding(s, stage_state(s)); },
           .binds = Binds::acceleration,
           .mechanism = "belt of the stage",
           .rests_on = RestsOn::force},
          {.key = "stage_tooth_mesh",
           .asks = "force on the teeth of the stage in mesh against what they bear",
           .applies = has_stage,
           .judge = [](const AxisState& s) { return stage_mesh_finding(s, stage_state(s)); },
           .binds = Binds::acceleration,
           .mechanism = "teeth of the stage in mesh",
           .rests_on = RestsOn::force},
          {.key = "stage_smallest_pulley",
           .asks = "teeth of the smaller stage pulley against the fewest that the belt bends round",
           .applies = has_stage,
           .judge = [](const AxisState& s) { return stage_pulley_finding(stage_state(s)); }},
          {.key = "stage_belt_order",
           .asks = "way to move the shafts to a listed closed belt against the take-up",
           .applies = has_stage,
           .judge = [](const AxisState& s) { return stage_order_finding(s, stage_state(s)); }}};
}

}  // namespace pitchline::check
