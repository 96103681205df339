#include "pitchline/check/rows/beam.hpp"

#include <algorithm>

#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/accuracy.hpp"

namespace pitchline::check {

structure::Carriage carriage_in_the_middle(const AxisState& s) {
  Mass mass{};
  for (const axis::MovingPart& part : machine::moving_parts(s.axis.drive))
    if (part.travels_along_beam) mass += part.mass;
  return {.mass = mass, .position = s.axis.beam->span / 2.0};
}

Acceleration bending_acceleration(const machine::Want& want, const motion::ElasticMode& mode) {
  // A load without friction on a spring of this frequency; its mass does not matter.
  const motion::AxisAtMotor load{.transmission = metres_per_radian(1), .mass = kilograms(1)};
  return motion::largest_demand(load, mode, wanted_move(want)).force / load.mass;
}

namespace detail {

namespace {
// How far the drive leaves the tool behind while accelerating; unset where that is not known.
Length drive_error(const AxisState& s) {
  if (is_unset(s.stiffness)) return unset<Length>();
  return metres(corner_error_finding(s).value.coherent());
}
}  // namespace

}  // namespace detail

Finding beam_finding(const AxisState& s) {
  const structure::Beam& beam = *s.axis.beam;
  const machine::Want& want = s.axis.want;
  const structure::Carriage carriage = carriage_in_the_middle(s);
  const Frequency frequency = structure::first_frequency(beam, carriage);
  const Acceleration peak = bending_acceleration(
      want, {.natural_frequency = frequency, .damping_ratio = beam.damping_ratio});
  const Length bending = structure::bending_at(beam, carriage, peak);
  const Length steady = structure::bending_at(beam, carriage, want.acceleration);

  const bool asked = !is_unset(want.corner_error);
  const Length of_drive = asked ? detail::drive_error(s) : Length{};
  const bool drive_known = !is_unset(of_drive);
  auto limit = unlimited<Length>();
  if (asked)
    limit =
        drive_known ? std::max(Length(want.corner_error - of_drive), Length{}) : want.corner_error;
  Finding f = compared("beam", "bending of the beam", bending, Bound::at_most, limit);
  // Beyond the limit, the beam alone may still keep the error.
  if (f.verdict == Verdict::fails && bending <= want.corner_error) f.verdict = Verdict::unsure;
  const bool both_ends = machine::moved_at_both_ends(s.axis.drive);
  if (asked && (!drive_known || !both_ends)) f.verdict = std::max(f.verdict, Verdict::unsure);
  if (!s.in_words) return f;

  f.reason = fmt::format(
      "{} in the middle of {} bends it by {} at a steady {}, with its swings at "
      "{} by up to {}",
      carriage.mass, print_plain(beam.span), steady, print_plain(want.acceleration), frequency,
      bending);
  if (asked && !drive_known) {
    f.reason += "; what the drive adds is not known";
  } else if (asked) {
    f.reason += is_finite(of_drive)
                    ? fmt::format("; the drive takes {} of the {} wanted while accelerating",
                                  of_drive, print_plain(want.corner_error))
                    : "; the drive does not keep up";
  }
  if (!both_ends)
    f.reason +=
        "; one end alone is driven, and the far one counts as driven too, which only a guide "
        "without play comes near";
  if (f.margin < 1.0) {
    f.remedy = fmt::format(
        "a beam of larger second moment sideways, a lighter carriage, a stiffer drive, less "
        "acceleration, or a jerk time of {} or more",
        Time(1.0 / frequency));
  } else if (asked && !both_ends) {
    f.remedy = "drive the far end too, by a second motor or a cross shaft";
  } else if (!drive_known) {
    f.remedy = "see the corner error";
  }
  f.source =
      "exact first mode and static bending of a beam on two supports, derived; damping assumed";
  f.formula =
      "m a x (L^3 - 2 L x^2 + x^3)/(24 E I L) + M a x^2 (L - x)^2/(3 E I L), a with the swings of "
      "the move";
  f.details.push_back(detail_of("what travels along the beam", carriage.mass));
  f.details.push_back(detail_of("first frequency, ends free to turn", frequency));
  f.details.push_back(
      detail_of("the same with clamped ends", structure::clamped_first_frequency(beam, carriage)));
  f.details.push_back(detail_of("stiffness of the beam at the carriage",
                                structure::lateral_stiffness_at(beam, carriage.position)));
  f.details.push_back(detail_of("mass that swings on it", structure::modal_mass(beam, carriage)));
  f.details.push_back(
      detail_of("damping ratio counted", Measure::ratio(beam.damping_ratio.value())));
  f.details.push_back(detail_of("bending at steady acceleration", steady));
  f.details.push_back(detail_of("after one step of acceleration, at most", 2.0 * steady));
  f.details.push_back(detail_of("acceleration with the swings of the move", peak));
  if (asked) f.details.push_back(detail_of("drive and beam together", of_drive + bending));
  return f;
}

std::vector<Row> beam_rows() {
  return {{.key = "beam",
           .asks = "bending of the beam while accelerating against what the drive leaves of the "
                   "corner error",
           .applies = [](const AxisState& s) { return s.axis.beam.has_value(); },
           .judge = beam_finding,
           .binds = Binds::acceleration,
           .mechanism = "bending of the beam",
           .is_asked = [](const AxisState& s) { return !is_unset(s.axis.want.corner_error); }}};
}

}  // namespace pitchline::check
