#pragma once

#include <algorithm>
#include <string>

#include "pitchline/belt/mesh.hpp"
#include "pitchline/belt/open_length.hpp"
#include "pitchline/belt/plucked_span.hpp"
#include "pitchline/belt/pulley.hpp"
#include "pitchline/belt/strength.hpp"
#include "pitchline/belt/tension.hpp"
#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

namespace detail {

inline AngularSpeed pulley_speed(const AxisState& s) {
  return s.axis.want.speed /
         belt::pulley_transmission(s.axis.drive.belt.profile, s.axis.drive.pulley_teeth);
}

// A force against what the belt bears; unsure, with what to ask the maker, where that is unknown.
inline Finding against(std::string key, std::string what, Force required,
                       const belt::Limit& limit) {
  Finding f = compared(std::move(key), std::move(what), required, Bound::at_most, limit.value);
  if (!limit.known()) {
    f.limit = Measure::ratio(0);
    f.remedy = limit.asks;
    f.source = "not known";
  } else {
    f.source = limit.source;
  }
  return f;
}

}  // namespace detail

/// The tension to set, and the largest tension of a strand against what the belt may carry.
///
/// The tension to set keeps the slack strand tight at the peak of the wanted start, wherever the
/// carriage stands, and is no less than the maker's least for this width.
inline Finding belt_tension_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.axis.drive;
  const Force peak = belt_peak_force(s);
  const belt::CarriageDrive carriage{.span = drive.span, .travel = drive.travel, .force = peak};
  const parts::Sourced<Force> least = belt::least_tension(drive.belt);
  Force tension = belt::slack_free_tension(carriage);
  if (least.known()) tension = std::max(tension, least.value);
  const Force largest = belt::largest_strand_tension(carriage, tension);

  Finding f = detail::against("belt_tension", "largest belt tension", largest,
                              belt::allowable_tension(drive.belt));
  f.reason = fmt::format(
      "set to {} at rest, so that no strand goes slack at the peak of {}; the tight strand then "
      "carries {}",
      tension, peak, largest);
  if (f.verdict == Verdict::fails || f.verdict == Verdict::tight)
    f.remedy = "a wider or stronger belt, less acceleration or less mass";
  f.details.push_back(detail_of("tension to set, each strand", tension));
  if (least.known()) f.details.push_back(detail_of("least tension of the maker", least.value));
  f.details.push_back(
      detail_of("load on the pulley's shaft at rest", belt::shaft_load_at_rest(tension)));
  const Length radius = belt::pitch_diameter(drive.belt.profile, drive.pulley_teeth) / 2.0;
  // Without a gap at the carriage: the longest that it can be.
  f.details.push_back(detail_of(
      "belt to order for each side, clamps included",
      belt::order_length(
          {.profile = drive.belt.profile,
           .span = drive.span,
           .drive_pitch_line_radius = radius,
           .idler_pitch_line_radius = radius,
           .carriage_gap = metres(0),
           .ending = {.teeth_in_each_clamp = belt::clamp_teeth(drive.belt.profile.construction)}})
          .to_order));
  const LinearDensity mass = parts::mass_per_length(drive.belt);
  if (!is_unset(mass)) {
    const Frequency tone =
        belt::plucked_frequency({.free_length = drive.span, .mass_per_length = mass}, tension);
    f.details.push_back(detail_of("tone of the returning strand, plucked", tone));
  }
  return f;
}

/// The force that the teeth in mesh pass on, against what they bear.
inline Finding tooth_mesh_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.axis.drive;
  const Force peak = belt_peak_force(s);
  // Drive pulley and idler of one size: half a turn of wrap.
  const int meshing = belt::teeth_in_mesh(drive.pulley_teeth, degrees(180));
  Finding f = detail::against("tooth_mesh", "force on the teeth", peak,
                              belt::allowable_pull(drive.belt, {.teeth_in_mesh = meshing,
                                                                .speed = detail::pulley_speed(s)}));
  f.reason = fmt::format("{} at the peak of the start on {} teeth in mesh", peak, meshing);
  if (f.verdict == Verdict::fails || f.verdict == Verdict::tight)
    f.remedy = "more pulley teeth, a wider belt or less acceleration";
  return f;
}

/// The drive pulley against the smallest that the belt bends round at its speed.
inline Finding smallest_pulley_finding(const AxisState& s) {
  const axis::BeltAxis& drive = s.axis.drive;
  const AngularSpeed speed = detail::pulley_speed(s);
  const belt::FewestTeeth fewest = belt::fewest_teeth(drive.belt.profile, speed);
  Finding f = compared("smallest_pulley", "pulley teeth", Measure::ratio(drive.pulley_teeth),
                       Bound::at_least, Measure::ratio(fewest.teeth));
  f.value_text = fmt::format("{}", drive.pulley_teeth);
  f.source = fewest.known() ? fewest.source : "not known";
  if (!fewest.known()) {
    f.margin = std::nan("");
    f.verdict = Verdict::unsure;
    f.reason =
        fmt::format("no smallest pulley of belt profile \"{}\" is known{}", drive.belt.profile.name,
                    fewest.beyond_listed_speed ? " at this speed" : "");
    f.remedy = "ask the maker of the belt for the smallest pulley at this speed";
    return f;
  }
  // Tooth counts are whole: the smallest allowed is allowed, and one more is no better margin.
  f.verdict = drive.pulley_teeth >= fewest.teeth ? Verdict::holds : Verdict::fails;
  f.reason = fmt::format("{} teeth at {}; the belt bends round {} or more", drive.pulley_teeth,
                         speed, fewest.teeth);
  if (f.verdict == Verdict::fails) f.remedy = "a larger pulley, with a reduction stage if need be";
  return f;
}

}  // namespace pitchline::check
