#include "pitchline/check/rows/lift_belt.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/axis/tying_belt.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/belt_condition.hpp"
#include "pitchline/check/rows/lift_screw.hpp"
#include "pitchline/check/rows/staying_up.hpp"

namespace pitchline::check {

namespace detail {

// What sets the screws of a lift apart while it works.
struct OutOfLevel {
  Length load{};     // the more loaded nut sinks further
  Length stretch{};  // of the tying belt
  Length lead{};     // of unlike leads over the travel
  bool lead_known = false;
  bool stretch_known = true;
};

}  // namespace detail

LiftBeltState lift_belt_state(const AxisState& s) {
  const machine::LiftBelt& belt = *s.axis.lift->belt;
  const axis::ScrewAxis& drive = screw_drive(s);
  LiftBeltState state{.solved = belt::solved(belt.tying.loop)};
  const Length radius = belt::toothed_pitch_line_radius(belt.belt.profile, belt.motor_teeth);
  state.pull = peak_torque(s) * radian / radius;
  const std::vector<double> shares = axis::screw_shares(drive.stand->places, drive.stand->load_at);
  double sum = 0.0;
  for (const double share : shares) sum += std::max(0.0, share);
  for (const double share : shares)
    state.pulls.push_back(std::max(0.0, share) / sum * std::max(state.pull, newtons(0)));
  state.slack_free = axis::slack_free_tension(belt.tying, state.pulls);
  const parts::Sourced<Force> least = belt::least_tension(belt.belt);
  state.tension = !is_unset(belt.tension) ? belt.tension
                  : least.known()         ? std::max(least.value, state.slack_free)
                                          : state.slack_free;
  state.largest = state.pull;
  if (state.tension >= state.slack_free) {
    for (const bool forwards : {true, false})
      for (const Force& each :
           axis::span_tensions(belt.tying, state.pulls, state.tension, forwards))
        state.largest = std::max(state.largest, each);
  } else {
    // With a slack span no more than all of the pull beyond what is set.
    state.largest = std::max(state.largest, Force(state.tension + state.pull));
  }
  return state;
}

Finding lift_belt_tension_finding(const AxisState& s) {
  const machine::LiftBelt& belt = *s.axis.lift->belt;
  const LiftBeltState state = lift_belt_state(s);
  const belt::Limit limit = belt::allowable_tension(belt.belt);
  Finding f =
      detail::against("lift_belt_tension", "tension of the tying belt", state.largest, limit);
  const bool slack = state.tension < state.slack_free;
  if (slack) {
    f.verdict = Verdict::fails;
    f.margin = number(state.tension / state.slack_free);
  }
  if (!s.in_words) return f;
  f.reason = fmt::format("{} at rest; the screws pull {} in all at the peak, the tightest span {}",
                         state.tension, state.pull, state.largest);
  if (slack) {
    f.reason += fmt::format("; a span goes slack below {} at rest", state.slack_free);
    f.remedy = fmt::format("set {} or more: a slack span lets teeth jump, and the bed tilts",
                           state.slack_free);
  } else if (limit.known() && f.verdict != Verdict::holds) {
    f.remedy = "a wider or stronger belt, or more teeth on all of its pulleys";
  }
  f.formula = "T0 + c - mean of c over the spans, c what the screws pull up to a span";
  f.details.push_back(
      detail_of("tension to set, or that is set, each span at rest", state.tension));
  f.details.push_back(detail_of("tension that keeps every span tight", state.slack_free));
  f.details.push_back(detail_of("length of the belt", state.solved.length));
  const parts::Sourced<Force> strain = parts::sourced_tension_per_strain(belt.belt);
  if (strain.known()) {
    f.details.push_back(detail_of(
        "height of the screws apart by its stretch",
        axis::height_by_stretch(belt.tying, state.pulls, strain.value, lead_of(screw_drive(s)))));
  }
  return f;
}

Finding lift_belt_mesh_finding(const AxisState& s) {
  const machine::LiftBelt& belt = *s.axis.lift->belt;
  const LiftBeltState state = lift_belt_state(s);
  const Angle wrap = state.solved.pulleys.at(belt.tying.motor).wrap.angle;
  const int meshing = belt::teeth_in_mesh(belt.motor_teeth, wrap);
  Finding f;
  if (meshing < 1) {
    f = compared("lift_belt_mesh", "teeth on the motor", Measure::ratio(0), Bound::at_least,
                 Measure::ratio(6));
    f.source = "[GT3 manual] p. 175";
    f.reason = fmt::format("the motor's pulley is wrapped by {}, less than a tooth", wrap);
  } else {
    f = detail::against(
        "lift_belt_mesh", "teeth on the motor", state.pull,
        belt::allowable_pull(belt.belt, {.teeth_in_mesh = meshing, .speed = s.motor_speed()}));
    f.reason = fmt::format("{} on {} teeth in mesh with the motor's pulley, wrapped by {}",
                           state.pull, meshing, wrap);
  }
  if (f.verdict != Verdict::holds && f.remedy.empty())
    f.remedy = "an idler on the back of the belt beside the motor, or more teeth on its pulley";
  f.details.push_back(detail_of("wrap of the motor's pulley", wrap));
  return f;
}

Finding lift_belt_length_finding(const AxisState& s) {
  const machine::LiftBelt& belt = *s.axis.lift->belt;
  const belt::SolvedLoop solved = belt::solved(belt.tying.loop);
  const double teeth = in_teeth(solved.teeth);
  Finding f;
  f.key = "lift_belt_length";
  f.what = "length of the tying belt";
  f.value = solved.length;
  f.source = "plane geometry, derived";
  f.formula = "free spans and wraps of all pulleys";
  const double whole = std::round(teeth);
  if (std::fabs(teeth - whole) < 0.02) {
    f.verdict = Verdict::holds;
    f.margin = std::numeric_limits<double>::infinity();
    f.value_text = fmt::format("{:.0f} teeth", whole);
    f.reason = fmt::format("{} round all pulleys", solved.length);
    return f;
  }
  f.value_text = fmt::format("{:.2f} teeth", teeth);
  f.reason = fmt::format("{} round all pulleys is no whole number of teeth", solved.length);
  f.remedy = "give a pulley of the belt a slide along which it can be set";
  if (!belt.slide) return f;
  f.remedy = "a longer slide, or pulleys set otherwise";
  // The whole number nearest to the layout that the slide reaches.
  for (int off = 0; off <= 6; ++off) {
    for (const double candidate : {std::floor(teeth) - off, std::ceil(teeth) + off}) {
      std::optional<belt::Setting> setting;
      try {
        setting =
            belt::setting_for_teeth(belt.tying.loop, *belt.slide, static_cast<int>(candidate));
      } catch (const OutsideValidity&) {
        continue;  // an end of the slide is no layout that can be built
      }
      if (!setting) continue;
      f.verdict = Verdict::holds;
      f.margin = std::numeric_limits<double>::infinity();
      f.remedy.clear();
      f.value_text = fmt::format("{:.0f} teeth", candidate);
      f.reason =
          fmt::format("{:.2f} as drawn; {} of {:.0f} teeth with \"{}\" at x {}, y {}", teeth,
                      parts::pitch(belt.belt.profile) * pitchline::teeth(candidate), candidate,
                      belt.tying.loop.pulleys.at(belt.slide->pulley).name, setting->x, setting->y);
      return f;
    }
  }
  return f;
}

namespace detail {

namespace {
OutOfLevel out_of_level(const AxisState& s) {
  const machine::Lift& lift = *s.axis.lift;
  const axis::ScrewAxis& drive = screw_drive(s);
  OutOfLevel out;
  if (axis::number_of_screws(drive) > 1 && drive.stand) {
    const std::vector<double> shares =
        axis::screw_shares(drive.stand->places, drive.stand->load_at);
    const auto [least, most] = std::minmax_element(shares.begin(), shares.end());
    out.load = (*most - *least) * (axis::moving_mass(drive) * standard_gravity) /
               axis::screw_stiffness(drive).smallest;
  }
  if (lift.belt) {
    const parts::Sourced<Force> strain = parts::sourced_tension_per_strain(lift.belt->belt);
    out.stretch_known = strain.known();
    if (strain.known())
      out.stretch = axis::height_by_stretch(lift.belt->tying, lift_belt_state(s).pulls,
                                            strain.value, lead_of(drive));
  }
  out.lead_known = !is_unset(lift.lead_error);
  if (out.lead_known) out.lead = lift.lead_error;
  return out;
}
}  // namespace

}  // namespace detail

Finding level_finding(const AxisState& s) {
  const machine::Lift& lift = *s.axis.lift;
  const axis::ScrewAxis& drive = screw_drive(s);
  const detail::OutOfLevel out = detail::out_of_level(s);
  const Length sum = out.load + out.stretch + out.lead;
  const bool asked = !is_unset(lift.level);
  Finding f = compared("level", "screws apart in height", sum, Bound::at_most,
                       asked ? lift.level : unlimited<Length>());
  f.reason = fmt::format("load {}, stretch of the belt {}, leads {}", out.load, out.stretch,
                         out.lead_known ? print(out.lead) : std::string("not known"));
  if (asked && f.verdict != Verdict::fails && (!out.lead_known || !out.stretch_known)) {
    f.verdict = Verdict::unsure;
    f.remedy = out.lead_known
                   ? "take a belt whose stiffness the catalogue knows"
                   : "give lift.lead_error: by how much two screws differ over the travel";
  }
  if (f.verdict == Verdict::fails)
    f.remedy = "screws of one batch, a stiffer belt, or the load nearer to the middle";
  f.source = "statics of a rigid bed on equal springs, derived";
  f.formula =
      "difference of the shares times weight over the stiffness of a screw, and both others";
  const axis::ScrewStand& stand = *drive.stand;
  const Length lead = lead_of(drive);
  if (lift.belt) {
    const Length tooth = axis::height_per_tooth(lead, lift.belt->screw_teeth);
    const axis::Tilt tilt = axis::worst_tilt(stand.places, tooth);
    f.details.push_back(detail_of("a screw belted a tooth wrong is off by", tooth));
    f.details.push_back(detail_of("and tilts the bed by", tilt.angle));
  }
  const axis::Tilt per_micrometre = axis::worst_tilt(stand.places, millimetres(0.001));
  f.details.push_back(detail_of("tilt for each 0.001 mm between two leads", per_micrometre.angle));
  if (drive.motors > 1) {
    const Length lost = axis::level_lost_without_power(lead, s.motor().full_steps_per_turn,
                                                       to_double(drive.motor_turns_per_screw_turn));
    f.reason +=
        fmt::format("; with a motor each, screws may come back {} apart when power was lost", lost);
    f.details.push_back(detail_of("screws apart once power was lost, at most", lost));
  }
  return f;
}

std::vector<Row> lift_belt_rows() {
  const auto is_tied = [](const AxisState& s) { return s.axis.lift && s.axis.lift->belt; };
  return {{.key = "level",
           .asks = "how far the corners of the bed get apart against the level wanted",
           .applies =
               [](const AxisState& s) { return s.axis.lift && screw_drive(s).stand.has_value(); },
           .judge = level_finding},
          {.key = "lift_belt_tension",
           .asks = "tightest span of the belt that ties the screws against what it may carry",
           .applies = is_tied,
           .judge = lift_belt_tension_finding,
           .binds = Binds::acceleration,
           .mechanism = "tying belt strength",
           .rests_on = RestsOn::force},
          {.key = "lift_belt_mesh",
           .asks = "force on its teeth on the motor against what they bear",
           .applies = is_tied,
           .judge = lift_belt_mesh_finding,
           .binds = Binds::acceleration,
           .mechanism = "tying belt teeth in mesh",
           .rests_on = RestsOn::force},
          {.key = "lift_belt_length",
           .asks = "whether its length is a whole number of teeth",
           .applies = is_tied,
           .judge = lift_belt_length_finding}};
}

}  // namespace pitchline::check
