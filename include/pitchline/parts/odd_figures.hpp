#pragma once

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/parts/carrier.hpp"
#include "pitchline/parts/linear_guide.hpp"
#include "pitchline/parts/listed_driver.hpp"
#include "pitchline/parts/material.hpp"
#include "pitchline/parts/screw_end.hpp"
#include "pitchline/parts/section.hpp"
#include "pitchline/parts/stock_pulley.hpp"
#include "pitchline/units.hpp"

// What looks wrong in the figures of a part, compared with each other: doubts for the reader to
// settle, never errors. Empty where nothing does; figures that are not published are not
// questioned. Bands without a derivation beside them hold the listed parts, opened by about a
// fifth.

namespace pitchline::parts {

namespace detail {

struct UsualRatio {
  std::string_view what;
  double low;
  double high;
  std::string_view look_for;
};
inline void question_ratio(std::vector<std::string>& all, double ratio, const UsualRatio& usual) {
  if (std::isnan(ratio) || (ratio >= usual.low && ratio <= usual.high)) return;
  all.push_back(fmt::format("{} is {:.3g}, usual is {:.3g} to {:.3g}: {}", usual.what, ratio,
                            usual.low, usual.high, usual.look_for));
}
// Balls on two or four rows rate so; a digit or kN for N does not.
inline void question_ratings(std::vector<std::string>& all, Force dynamic_rating,
                             Force static_rating, double low, double high) {
  question_ratio(all, number(static_rating / dynamic_rating),
                 {"static over dynamic rating", low, high, "look for N taken for kN"});
}

}  // namespace detail

/// Ratings and moments of a rail, which grow with the ball rows and their distance.
inline std::vector<std::string> questions(const Rail& r) {
  std::vector<std::string> all;
  detail::question_ratings(all, r.dynamic_rating, r.static_rating, 0.7, 2.5);
  detail::question_ratio(all, number(r.roll_moment * radian / (r.static_rating * r.size)),
                         {"roll moment over static rating and size", 0.15, 1.8,
                          "look for N*mm taken for N*m, or another axis"});
  detail::question_ratio(all,
                         number(r.pitch_moment * radian / (r.static_rating * r.bearing_length)),
                         {"pitch moment over static rating and bearing length", 0.05, 0.3,
                          "look for N*mm taken for N*m, or another axis"});
  return all;
}

inline std::vector<std::string> questions(const Roller& r) {
  std::vector<std::string> all;
  detail::question_ratings(all, r.dynamic_rating, r.static_rating, 0.45, 1.0);
  return all;
}

inline std::vector<std::string> questions(const Bush& b) {
  std::vector<std::string> all;
  detail::question_ratings(all, b.dynamic_rating, b.static_rating, 1.0, 2.2);
  return all;
}

inline std::vector<std::string> questions(const Bearing& b) {
  std::vector<std::string> all;
  if (b.type == "thrust")
    detail::question_ratings(all, b.dynamic_rating, b.static_rating, 1.2, 2.3);
  else
    detail::question_ratings(all, b.dynamic_rating, b.static_rating, 0.27, 0.7);
  if (!(b.bore < b.outer_diameter)) all.emplace_back("the bore is not thinner than the bearing");
  return all;
}

/// The mass of a metre is area times density; a side of b by h bends no stiffer than a full bar,
/// b h³/12; and twisting is no stiffer than the polar second moment, the sum of both.
inline std::vector<std::string> questions(const Section& s) {
  std::vector<std::string> all;
  detail::question_ratio(all, number(s.mass / (s.area * s.density)),
                         {"mass over area times density", 0.96, 1.04, "look for a slip of a unit"});
  const Area square = s.height * s.height;
  if (s.strong_second_moment > s.width * s.height * square / 12.0)
    all.emplace_back("the strong second moment is above that of a full bar: look for cm^4");
  if (s.weak_second_moment > s.strong_second_moment)
    all.emplace_back("the weak second moment is above the strong one");
  if (s.torsion_constant > s.strong_second_moment + s.weak_second_moment)
    all.emplace_back("the torsion constant is above the sum of both second moments");
  return all;
}

/// A pulley weighs no more than a steel cylinder of its largest diameter and whole length.
inline std::vector<std::string> questions(const StockPulley& p) {
  std::vector<std::string> all;
  const Length widest = p.flange_diameter > p.outer_diameter ? p.flange_diameter : p.outer_diameter;
  if (p.mass > std::numbers::pi / 4.0 * (widest * widest) * p.length * steel_density)
    all.emplace_back("the mass is above that of a solid steel cylinder of its size");
  if (p.flange_diameter < p.outer_diameter) all.emplace_back("its flanges are below its teeth");
  if (p.length < p.face_width) all.emplace_back("it is shorter than its toothed part");
  return all;
}

/// RMS is 0.71 of a peak, and a driver counts no faster than its pulse and gap let it.
inline std::vector<std::string> questions(const ListedDriver& d) {
  std::vector<std::string> all;
  if (d.lowest_voltage > d.highest_voltage)
    all.emplace_back("the lowest voltage is above the highest");
  detail::question_ratio(all, number(d.most_current_rms / d.most_current),
                         {"RMS over peak current", 0.68, 0.74, "look for the convention"});
  if (d.pulse_rate * (d.pulse_width + d.pulse_gap) > pulses_per_second(1.01) * seconds(1))
    all.emplace_back("its pulse rate leaves no time for its pulse and gap");
  return all;
}

inline std::vector<std::string> questions(const ListedSupply& s) {
  std::vector<std::string> all;
  detail::question_ratio(all, number(s.power / (s.voltage * s.current)),
                         {"power over voltage times current", 0.95, 1.05, "look for a peak"});
  return all;
}

/// A spider stiffens with load, and bears more for a moment than for good.
inline std::vector<std::string> questions(const Coupling& c) {
  std::vector<std::string> all;
  if (c.highest_torque < c.nominal_torque)
    all.emplace_back("the highest torque is below the nominal one");
  if (c.reversing_torque > c.nominal_torque)
    all.emplace_back("the reversing torque is above the nominal one");
  if (c.stiffness_at_quarter > c.stiffness_at_half ||
      c.stiffness_at_half > c.stiffness_at_three_quarters ||
      c.stiffness_at_three_quarters > c.stiffness)
    all.emplace_back("its stiffness does not rise with the load");
  return all;
}

inline std::vector<std::string> questions(const ScrewSupport& s) {
  std::vector<std::string> all;
  detail::question_ratio(
      all, number(s.axial_load / s.dynamic_rating),
      {"permitted axial load over dynamic rating", 0.35, 1.6, "look for N taken for kN"});
  return all;
}

inline std::vector<std::string> questions(const Nut& n) {
  std::vector<std::string> all;
  detail::question_ratings(all, n.dynamic_rating, n.static_rating, 1.1, 3.0);
  detail::question_ratio(all, number(n.lead / n.screw_diameter),
                         {"lead over diameter", 0.04, 3.0, "look for an inch taken for mm"});
  return all;
}

/// The bend is half a turn round the radius, and a link straight at each end: π R + 2 pitches.
inline std::vector<std::string> questions(const Carrier& c) {
  std::vector<std::string> all;
  detail::question_ratio(
      all, number(c.loop_length / (std::numbers::pi * c.bend_radius + 2.0 * c.pitch)),
      {"loop length over that of bend and two links", 0.95, 1.05, "look for another radius"});
  return all;
}

inline std::vector<std::string> questions(const Tube& t) {
  std::vector<std::string> all;
  detail::question_ratio(all, number(t.peak_power / t.rated_power),
                         {"peak over rated power", 1.05, 1.4, "look for a peak sold as rated"});
  return all;
}

}  // namespace pitchline::parts
