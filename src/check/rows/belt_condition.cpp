#include "pitchline/check/rows/belt_condition.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "pitchline/belt/mesh.hpp"
#include "pitchline/belt/open_length.hpp"
#include "pitchline/belt/plucked_span.hpp"
#include "pitchline/belt/pulley.hpp"
#include "pitchline/belt/service_factor.hpp"
#include "pitchline/belt/strength.hpp"
#include "pitchline/belt/tension.hpp"
#include "pitchline/belt/tension_to_set.hpp"
#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"

namespace pitchline::check {

namespace detail {

namespace {
// Below it a plucked belt is felt more than heard, and a tuning program shows nothing: common
// practice, no source.
const Frequency lowest_note = hertz(60);
}  // namespace

AngularSpeed pulley_speed(const AxisState& s) {
  return s.axis.want.speed /
         belt::pulley_transmission(s.belt().belt.profile, s.belt().pulley_teeth);
}

Finding against(std::string key, std::string what, Force required, const belt::Limit& limit) {
  Finding f = compared(std::move(key), std::move(what), required, Bound::at_most, limit.value);
  if (!limit.known()) {
    f.limit = Measure::ratio(std::nan(""));
    f.remedy = limit.asks;
    f.source = "not known";
  } else {
    f.source = limit.source;
  }
  return f;
}

FactorInUse service_factor(const AxisState& s, parts::Construction construction,
                           belt::FactorUse use) {
  if (const auto& given = s.axis.fitting.service_factor)
    return {given->value(), "as given in drive.service_factor", true};
  const belt::NamedServiceFactor usual = belt::usual_service_factor(construction, use);
  return {usual.factor.value(), std::string(usual.edition), false};
}

Finding against_with_factor(const AxisState& s, std::string key, std::string what,
                            const FactoredForce& force, const belt::Limit& limit,
                            const FactorInUse& factor) {
  // A factor that the builder names for this belt counts; the customary one is a rule of the trade
  // on a limit far below breaking, and the peak already holds the swings that it stands for.
  Finding f = against(std::move(key), std::move(what),
                      factor.given ? force.with_factor : force.plain, limit);
  if (!factor.given) {
    f.margin_with_factor = belt::margin(limit, force.with_factor);
    if (f.margin_with_factor < 1.0) f.verdict = std::max(f.verdict, Verdict::tight);
  }
  if (!s.in_words) return f;
  f.source += fmt::format("; service factor {}: {}", significant(factor.value, 2), factor.rule);
  f.details.push_back(detail_of("without service factor", force.plain));
  f.details.push_back(detail_of("with service factor", force.with_factor));
  if (limit.known())
    f.details.push_back(detail_of("margin with service factor",
                                  Measure::ratio(belt::margin(limit, force.with_factor))));
  f.details.push_back(detail_of("service factor", Measure::ratio(factor.value)));
  return f;
}

std::string with_factor_in_words(Force force, const FactorInUse& factor) {
  if (factor.value == 1.0) return "no service factor";
  return fmt::format("{} with {} service factor of {}", force,
                     factor.given ? "the" : "the customary", significant(factor.value, 2));
}

belt::CarriageDrive carriage(const AxisState& s) {
  return {.span = s.belt().span, .travel = s.belt().travel, .force = belt_peak_force(s)};
}

belt::TensionToSet tension_to_set(const AxisState& s) {
  // What is set shall leave the rows of belt and shaft more than tight.
  constexpr double spare = 1.2;
  const axis::BeltAxis& drive = s.belt();
  const belt::CarriageDrive pulled = carriage(s);
  belt::TensionNeeds needs{.slack_free = belt::slack_free_tension(pulled)};
  const belt::Limit limit = belt::allowable_tension(drive.belt);
  if (limit.known()) {
    const FactorInUse factor =
        service_factor(s, drive.belt.profile.construction, belt::FactorUse::clamped_strand);
    needs.bearable = limit.value / spare - factor.value * needs.slack_free;
  }
  const Force shaft = s.motor().shaft_load;
  if (!is_unset(shaft) && !drive.stage)
    needs.bearable = std::min(needs.bearable, shaft / (2 * spare));
  needs.bearable = std::max(needs.bearable, newtons(1e-9));
  return belt::tension_to_set(drive.belt, needs);
}

Force strand_tension(const AxisState& s) {
  if (!is_unset(s.axis.fitting.tension)) return s.axis.fitting.tension;
  const belt::TensionToSet set = tension_to_set(s);
  return set.known() ? set.value : newtons(0);
}

Length belt_to_order(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  const Length radius = belt::pitch_diameter(drive.belt.profile, drive.pulley_teeth) / 2.0;
  return belt::order_length({.profile = drive.belt.profile,
                             .span = drive.span,
                             .drive_pitch_line_radius = radius,
                             .idler_pitch_line_radius = radius,
                             .carriage_gap = metres(0),
                             .ending = {.teeth_in_each_clamp =
                                            belt::clamp_teeth(drive.belt.profile.construction)}})
      .to_order;
}

std::optional<report::StrandNote> strand_note(const AxisState& s, Force tension) {
  const axis::BeltAxis& drive = s.belt();
  const LinearDensity mass = parts::mass_per_length(drive.belt);
  if (is_unset(mass) || !(tension > newtons(0))) return std::nullopt;
  const auto note_of = [&](Length span) {
    return belt::plucked_frequency({.free_length = span, .mass_per_length = mass}, tension);
  };
  const Frequency whole = note_of(drive.span);
  if (whole >= lowest_note) return report::StrandNote{drive.span, true, whole};
  // The note is higher by as much as the span is shorter. Down to a whole number of centimetres, of
  // which a rule shows each; a strand so short that none is left is blocked where the note is.
  const Length heard = number(whole / lowest_note) * drive.span;
  const Length round = millimetres(10.0 * std::floor(in_millimetres(heard) / 10.0));
  const Length span = round > metres(0) ? round : heard;
  return report::StrandNote{span, false, note_of(span)};
}

void show_breaking_load(Finding& f, const parts::Belt& belt, const belt::Limit& allowed) {
  const belt::Limit breaking = belt::breaking_load(belt);
  if (breaking.known() && allowed.known())
    f.details.push_back(detail_of("breaking load over what is allowed",
                                  Measure::ratio(number(breaking.value / allowed.value))));
}

std::string belt_to_change(const FactorInUse& factor) {
  return factor.given ? ""
                      : "; or give drive.service_factor where the maker of your belt names another";
}

}  // namespace detail

Finding belt_tension_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  const belt::CarriageDrive carriage = detail::carriage(s);
  const bool given = !is_unset(s.axis.fitting.tension);
  const Force tension = detail::strand_tension(s);
  const detail::FactorInUse factor =
      detail::service_factor(s, drive.belt.profile.construction, belt::FactorUse::clamped_strand);
  belt::CarriageDrive factored = carriage;
  factored.force = factor.value * carriage.force;
  const detail::FactoredForce largest{belt::largest_strand_tension(carriage, tension),
                                      belt::largest_strand_tension(factored, tension)};
  const belt::Limit limit = belt::allowable_tension(drive.belt);

  Finding f = detail::against_with_factor(s, "belt_tension", "largest belt tension", largest, limit,
                                          factor);
  if (!s.in_words) return f;
  const belt::TensionToSet set = detail::tension_to_set(s);
  f.reason =
      fmt::format("{} at rest, {}; the tight strand carries {} at the peak of {}, {}",
                  given ? fmt::format("{} are set", tension) : fmt::format("set to {}", tension),
                  given ? "as the file says" : set.source, largest.plain, carriage.force,
                  detail::with_factor_in_words(largest.with_factor, factor));
  if (limit.known() && f.verdict != Verdict::holds)
    f.remedy =
        "a wider or stronger belt, less acceleration or less mass" + detail::belt_to_change(factor);
  const parts::Sourced<Force> least = belt::least_tension(drive.belt);
  if (given && least.known() && tension < least.value && f.verdict != Verdict::fails) {
    f.verdict = Verdict::unsure;
    f.remedy = fmt::format("set each strand to {} or more, the least of the maker", least.value);
  }
  f.formula =
      "T = max(T0 + c F (1 - x/(2 S)), c F); T0 tension at rest, F peak force, c service factor, "
      "S span, x = (S - travel)/2";
  f.details.push_back(detail_of(
      given ? "tension that is set, each strand" : "tension to set, each strand", tension));
  if (!is_unset(set.least)) f.details.push_back(detail_of("of it at least", set.least));
  if (!is_unset(set.most)) f.details.push_back(detail_of("of it at most", set.most));
  if (least.known()) f.details.push_back(detail_of("least tension of the maker", least.value));
  detail::show_breaking_load(f, drive.belt, limit);
  f.details.push_back(
      detail_of("load on the pulley's shaft at rest", belt::shaft_load_at_rest(tension)));
  f.details.push_back(
      detail_of("belt to order for each side, clamps included", detail::belt_to_order(s)));
  const LinearDensity mass = parts::mass_per_length(drive.belt);
  if (!is_unset(mass) && tension > newtons(0)) {
    const Frequency tone =
        belt::plucked_frequency({.free_length = drive.span, .mass_per_length = mass}, tension);
    f.details.push_back(detail_of("tone of the returning strand, plucked", tone));
  }
  return f;
}

Finding slack_strand_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  const belt::CarriageDrive carriage = detail::carriage(s);
  const Force tension = s.axis.fitting.tension;
  const Force slackens =
      belt::slackening_force({.span = drive.span, .travel = drive.travel, .pretension = tension});
  Finding f =
      compared("slack_strand", "force that slackens", slackens, Bound::at_least, carriage.force);
  if (!s.in_words) return f;
  f.reason = fmt::format("with {} in each strand at rest, one goes slack at {}; the peak is {}",
                         tension, slackens, carriage.force);
  f.source = "two springs side by side, derived; [Elatech] p. 55 asks for no slack strand";
  f.formula = "F = T0/(1 - x/(2 S)); T0 tension at rest, S span, x = (S - travel)/2";
  const Force enough = belt::slack_free_tension(carriage);
  f.details.push_back(detail_of("tension that keeps both tight", enough));
  const belt::ClampedLoop loop = belt::clamped_loop(drive.belt, drive.span);
  if (!is_unset(loop.tension_per_strain)) {
    // It happens first nearest to the drive pulley, where the near strand is the one to slacken.
    const Length nearest = (drive.span - drive.travel) / 2.0;
    const auto stiffness = [&](Force pull) {
      return belt::strand_state(loop, {.position = nearest, .pretension = tension, .pull = pull})
          .stiffness;
    };
    const Stiffness taut = stiffness(newtons(0));
    const Stiffness left = stiffness(-2.0 * slackens - newtons(1));
    f.details.push_back(detail_of("stiffness there, both tight", taut));
    f.details.push_back(detail_of("stiffness there, one slack", left));
    f.source += "; stiffness: " + loop.source;
    if (f.verdict == Verdict::fails)
      f.reason += fmt::format(", and then {} are left of {}", left, taut);
  }
  if (f.verdict != Verdict::holds)
    f.remedy = fmt::format(
        "set {} or more in each strand: a slack strand lets teeth jump, and the errors of position "
        "are reckoned with both tight",
        enough);
  return f;
}

Finding tooth_mesh_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.belt();
  const Force peak = belt_peak_force(s);
  // Drive pulley and idler of one size: half a turn of wrap.
  const int meshing = belt::teeth_in_mesh(drive.pulley_teeth, degrees(180));
  const detail::FactorInUse factor =
      detail::service_factor(s, drive.belt.profile.construction, belt::FactorUse::clamped_teeth);
  const belt::Limit limit = belt::allowable_pull(
      drive.belt, {.teeth_in_mesh = meshing, .speed = detail::pulley_speed(s)});
  const Force factored = factor.value * peak;
  Finding f = detail::against_with_factor(s, "tooth_mesh", "force on the teeth", {peak, factored},
                                          limit, factor);
  if (!s.in_words) return f;
  f.reason = fmt::format("{} at the peak on {} teeth in mesh, {}", peak, meshing,
                         detail::with_factor_in_words(factored, factor));
  if (limit.known() && f.verdict != Verdict::holds)
    f.remedy =
        "more pulley teeth, a wider belt or less acceleration" + detail::belt_to_change(factor);
  f.formula = "c F; F peak force, c service factor";
  return f;
}

std::vector<Row> belt_rows() {
  const auto has_belt = [](const AxisState& s) { return s.has_belt(); };
  return {{.key = "belt_tension",
           .asks = "largest tension of a strand against what the belt may carry",
           .applies = has_belt,
           .judge = belt_tension_finding,
           .binds = Binds::acceleration,
           .mechanism = "belt strength",
           .rests_on = RestsOn::force},
          {.key = "slack_strand",
           .asks = "force that slackens a strand under the tension that is set against the peak",
           .applies =
               [](const AxisState& s) { return s.has_belt() && !is_unset(s.axis.fitting.tension); },
           .judge = slack_strand_finding,
           .binds = Binds::acceleration,
           .mechanism = "slack strand",
           .rests_on = RestsOn::force},
          {.key = "tooth_mesh",
           .asks = "force on the teeth in mesh against what they bear",
           .applies = has_belt,
           .judge = tooth_mesh_finding,
           .binds = Binds::acceleration,
           .mechanism = "teeth in mesh",
           .rests_on = RestsOn::force},
          {.key = "smallest_pulley",
           .asks = "teeth of the drive pulley against the fewest that the belt bends round",
           .applies = has_belt,
           .judge = smallest_pulley_finding}};
}

}  // namespace pitchline::check
