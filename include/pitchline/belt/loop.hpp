#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "pitchline/belt/pitch_line_radius.hpp"
#include "pitchline/belt/two_pulleys.hpp"

namespace pitchline::belt {

/// Which side of the belt a pulley touches.
enum class BeltSide { inside, back };

/// One pulley of a loop, where the belt meets it.
struct LoopPulley {
  std::string name{};
  Length x = unset<Length>();
  Length y = unset<Length>();
  Length pitch_line_radius = unset<Length>();  ///< centre to the pitch line of the belt on it
  BeltSide side = BeltSide::inside;
};

/// A closed belt round pulleys, in the order in which it meets them. Either sense of running round
/// may be given.
struct Loop {
  parts::BeltProfile profile{};
  std::vector<LoopPulley> pulleys{};
};

/// What a solved loop says of one pulley and of the span that leaves it.
struct PulleyOnLoop {
  PulleyWrap wrap{};                      ///< the teeth in it mean something on a toothed pulley
  Length span_to_next = unset<Length>();  ///< free length to the next pulley of the order
  Angle span_direction{};                 ///< of that span, from the x axis towards y
  double length_per_x = 0.0;  ///< change of belt length per shift of this pulley along x
  double length_per_y = 0.0;  ///< and along y
};

/// A loop, solved.
struct SolvedLoop {
  Length length = unset<Length>();
  Teeth teeth = unset<Teeth>();  ///< length over pitch; a belt that can be bought has a whole one
  std::vector<PulleyOnLoop> pulleys{};  ///< in the order of the loop
};

namespace detail {

// Plain metres and radians from here on. `turn` is +1 where the belt turns left on the pulley.
struct Circle {
  double x = 0.0;
  double y = 0.0;
  double r = 0.0;
  double turn = 1.0;
};
struct Point {
  double x = 0.0;
  double y = 0.0;
};
struct Tangent {
  Point from{};
  Point to{};
  double length = 0.0;
  double direction = 0.0;
};

// rho = s_i r_i − s_j r_j, t = √(d² − rho²), direction = atan2(dy, dx) + asin(rho/d). Circles of
// valid layouts do not overlap, so that d > |rho|.
inline Tangent tangent(const Circle& a, const Circle& b) {
  const double dx = b.x - a.x;
  const double dy = b.y - a.y;
  const double d = std::hypot(dx, dy);
  const double rho = a.turn * a.r - b.turn * b.r;
  const double direction = std::atan2(dy, dx) + std::asin(rho / d);
  const double sine = std::sin(direction);
  const double cosine = std::cos(direction);
  return {.from = {a.x + a.turn * a.r * sine, a.y - a.turn * a.r * cosine},
          .to = {b.x + b.turn * b.r * sine, b.y - b.turn * b.r * cosine},
          .length = std::sqrt((d - rho) * (d + rho)),
          .direction = direction};
}

inline double full_turn_part(double angle) {
  const double turn = 2.0 * std::numbers::pi;
  const double rest = std::fmod(angle, turn);
  return rest < 0.0 ? rest + turn : rest;
}

struct LoopShape {
  std::vector<Tangent> spans{};
  std::vector<double> wraps{};
  double length = 0.0;
};

inline LoopShape shape(const std::vector<Circle>& circles) {
  const std::size_t n = circles.size();
  LoopShape s;
  for (std::size_t i = 0; i < n; ++i) s.spans.push_back(tangent(circles[i], circles[(i + 1) % n]));
  for (std::size_t i = 0; i < n; ++i) {
    const double before = s.spans[(i + n - 1) % n].direction;
    s.wraps.push_back(full_turn_part(circles[i].turn * (s.spans[i].direction - before)));
    s.length += s.spans[i].length + circles[i].r * s.wraps.back();
  }
  return s;
}

inline std::string called(const Loop& loop, std::size_t i) {
  const std::string& name = loop.pulleys[i].name;
  return name.empty() ? fmt::format("pulley {}", i + 1) : "\"" + name + "\"";
}

inline double side_of(const Tangent& line, const Point& p) {
  return (line.to.x - line.from.x) * (p.y - line.from.y) -
         (line.to.y - line.from.y) * (p.x - line.from.x);
}
inline bool cross(const Tangent& a, const Tangent& b) {
  return side_of(a, b.from) * side_of(a, b.to) < 0.0 && side_of(b, a.from) * side_of(b, a.to) < 0.0;
}

// Distance of a point from the span, not from the line that it lies on.
inline double distance(const Tangent& span, const Circle& c) {
  const double ux = (span.to.x - span.from.x) / span.length;
  const double uy = (span.to.y - span.from.y) / span.length;
  const double along =
      std::clamp((c.x - span.from.x) * ux + (c.y - span.from.y) * uy, 0.0, span.length);
  return std::hypot(c.x - span.from.x - along * ux, c.y - span.from.y - along * uy);
}

// Why a layout cannot be, or nothing. Which belt runs where is known only once no pulleys overlap.
inline std::string overlap(const Loop& loop, const std::vector<Circle>& circles) {
  for (std::size_t i = 0; i < circles.size(); ++i)
    for (std::size_t j = i + 1; j < circles.size(); ++j) {
      const Circle& a = circles[i];
      const Circle& b = circles[j];
      const double d = std::hypot(b.x - a.x, b.y - a.y);
      if (d > a.r + b.r) continue;
      const std::string_view how =
          d <= std::abs(a.r - b.r) ? "lie one inside the other" : "overlap";
      return fmt::format(
          "{} and {} {}: their centres are {:.6g} mm apart, their pitch-line radii add up to "
          "{:.6g} mm",
          called(loop, i), called(loop, j), how, 1e3 * d, 1e3 * (a.r + b.r));
    }
  return {};
}

inline std::string fault(const Loop& loop, const std::vector<Circle>& circles, const LoopShape& s) {
  const std::size_t n = circles.size();
  const double turn = 2.0 * std::numbers::pi;
  // A belt that no longer reaches a pulley would have to go all the way round it, across itself.
  for (std::size_t i = 0; i < n; ++i) {
    const bool nothing = s.wraps[i] < 1e-9 || s.wraps[i] > turn - 1e-9;
    if (nothing || (n > 2 && cross(s.spans[(i + n - 1) % n], s.spans[i])))
      return fmt::format(
          "the belt does not reach {}: it would pass by and not bend round it on the {}",
          called(loop, i), loop.pulleys[i].side == BeltSide::back ? "back" : "inside");
  }
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = i + 1; j < n; ++j)
      if (cross(s.spans[i], s.spans[j]))
        return fmt::format("the belt crosses itself: the span from {} to {} and that from {} to {}",
                           called(loop, i), called(loop, (i + 1) % n), called(loop, j),
                           called(loop, (j + 1) % n));
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t k = 0; k < n; ++k) {
      if (k == i || k == (i + 1) % n) continue;
      const double d = distance(s.spans[i], circles[k]);
      if (d < circles[k].r * (1.0 - 1e-12))
        return fmt::format(
            "the span from {} to {} runs through {}: {:.6g} mm from its centre, pitch-line radius "
            "{:.6g} mm",
            called(loop, i), called(loop, (i + 1) % n), called(loop, k), 1e3 * d,
            1e3 * circles[k].r);
    }
  double sum = 0.0;
  for (std::size_t i = 0; i < n; ++i)
    sum += loop.pulleys[i].side == BeltSide::back ? -s.wraps[i] : s.wraps[i];
  if (std::abs(sum - turn) > 1e-9)
    return fmt::format(
        "the belt does not close: wraps inside less wraps on the back are {:.6g} deg, not 360",
        sum / turn * 360.0);
  return {};
}

// Left-turning where the loop runs counter-clockwise (`sense` +1) and the pulley lies inside.
inline std::vector<Circle> circles_of(const Loop& loop, double sense) {
  std::vector<Circle> circles;
  for (const LoopPulley& p : loop.pulleys)
    circles.push_back({.x = in_metres(p.x),
                       .y = in_metres(p.y),
                       .r = in_metres(p.pitch_line_radius),
                       .turn = p.side == BeltSide::inside ? sense : -sense});
  return circles;
}

inline void require_valid(const Loop& loop) {
  require_positive("pitch", parts::pitch(loop.profile));
  if (loop.pulleys.size() < 2)
    throw InvalidInput("number of pulleys", ">= 2", static_cast<double>(loop.pulleys.size()), "");
  for (std::size_t i = 0; i < loop.pulleys.size(); ++i) {
    const LoopPulley& p = loop.pulleys[i];
    if (!is_finite(p.x))
      throw InvalidInput("x of " + called(loop, i), "given and finite", in_millimetres(p.x), "mm");
    if (!is_finite(p.y))
      throw InvalidInput("y of " + called(loop, i), "given and finite", in_millimetres(p.y), "mm");
    if (!(p.pitch_line_radius > metres(0) && is_finite(p.pitch_line_radius)))
      throw InvalidInput("pitch-line radius of " + called(loop, i), "> 0",
                         in_millimetres(p.pitch_line_radius), "mm");
  }
}

struct FoundLoop {
  std::vector<Circle> circles{};
  LoopShape shape{};
};

// The sense of running round is that of the polygon of centres, or else the other: of thin loops
// the polygon says nothing.
inline FoundLoop found(const Loop& loop) {
  require_valid(loop);
  double area = 0.0;
  for (std::size_t i = 0; i < loop.pulleys.size(); ++i) {
    const LoopPulley& a = loop.pulleys[i];
    const LoopPulley& b = loop.pulleys[(i + 1) % loop.pulleys.size()];
    area += in_metres(a.x) * in_metres(b.y) - in_metres(b.x) * in_metres(a.y);
  }
  const double likely = area < 0.0 ? -1.0 : 1.0;
  std::string reason = overlap(loop, circles_of(loop, likely));
  if (!reason.empty()) throw OutsideValidity(reason);
  for (const double sense : {likely, -likely}) {
    FoundLoop f{.circles = circles_of(loop, sense)};
    f.shape = shape(f.circles);
    const std::string why_not = fault(loop, f.circles, f.shape);
    if (why_not.empty()) return f;
    if (reason.empty()) reason = why_not;
  }
  throw OutsideValidity(reason);
}

}  // namespace detail

/// Spans, wraps and length of a belt round any number of pulleys.
///
///     rho = s_i r_i − s_j r_j    t = √(d² − rho²)    θ = atan2(dy, dx) + asin(rho/d)
///     wrap_i = s_i (θ_i − θ_(i−1)) mod 2π            L = Σ t + Σ r_i wrap_i
///     dL/dx_i = cos θ_(i−1) − cos θ_i                dL/dy_i = sin θ_(i−1) − sin θ_i
///
///     x, y  x, y               m    any
///     r     pitch_line_radius  m    > 0
///     s     side               –    +1 inside, −1 back, for a loop that runs counter-clockwise
///     d     distance of the centres of neighbours  m
///     θ     span_direction     rad
///     L     length             m
///
/// Valid for a layout that can be built. All pitch circles must be clear of each other, which asks
/// for a little more than the bodies do. The sum of the wraps finds a lost pulley, but neither a
/// belt that crosses itself nor one that runs through a pulley; those are looked for.
///
/// \throws InvalidInput     fewer than two pulleys; a number outside the table, or never set
/// \throws OutsideValidity  pulleys overlap or lie one inside the other; the belt does not reach a
///                          pulley; it crosses itself, runs through a pulley or does not close
///
/// Source: derived, plane geometry; the derivative is the sum of the two unit pulls of the belt on
/// the pulley. Checked against reference/published/belt_length.csv and an integral over the hull.
inline SolvedLoop solved(const Loop& loop) {
  const detail::FoundLoop found = detail::found(loop);
  const BeltPitch p = parts::pitch(loop.profile);
  const std::size_t n = loop.pulleys.size();
  SolvedLoop result{.length = metres(found.shape.length), .teeth = metres(found.shape.length) / p};
  for (std::size_t i = 0; i < n; ++i) {
    const double in = found.shape.spans[(i + n - 1) % n].direction;
    const detail::Tangent& out = found.shape.spans[i];
    result.pulleys.push_back(
        {.wrap =
             detail::wrap_on(loop.pulleys[i].pitch_line_radius, radians(found.shape.wraps[i]), p),
         .span_to_next = metres(out.length),
         .span_direction = radians(std::remainder(out.direction, 2.0 * std::numbers::pi)),
         .length_per_x = std::cos(in) - std::cos(out.direction),
         .length_per_y = std::sin(in) - std::sin(out.direction)});
  }
  return result;
}

/// A line along which one pulley can be set, by shifts from where the loop has it.
struct SettingLine {
  std::size_t pulley = 0;            ///< its place in the loop, from 0
  Angle direction = unset<Angle>();  ///< of a shift above zero, from the x axis towards y
  Length least = unset<Length>();    ///< may be below zero
  Length most = unset<Length>();     ///< above `least`
};

/// The loop with one pulley shifted.
///
/// \throws InvalidInput  no such pulley; direction or shift never set
inline Loop shifted(Loop loop, const SettingLine& line, Length shift) {
  if (line.pulley >= loop.pulleys.size())
    throw InvalidInput("place of the pulley", "below the number of pulleys",
                       static_cast<double>(line.pulley), "");
  require_given("direction", line.direction);
  require_given("shift", shift);
  LoopPulley& p = loop.pulleys[line.pulley];
  p.x += shift * std::cos(in_radians(line.direction));
  p.y += shift * std::sin(in_radians(line.direction));
  return loop;
}

/// A pulley set so that the belt has a whole number of teeth.
struct Setting {
  Length shift = unset<Length>();  ///< along the line
  Length x = unset<Length>();
  Length y = unset<Length>();
};

/// Where on a line a pulley must stand for a belt of so many teeth; nothing where the lengths at
/// both ends of the line do not enclose it.
///
/// All of the line between its ends must be layouts that can be built. Where the length first falls
/// and then rises along it, give one half.
///
/// \throws InvalidInput     as `solved` and `shifted`; belt teeth below 1; `most` not above `least`
/// \throws OutsideValidity  as `solved`, at an end or where the search goes between
inline std::optional<Setting> setting_for_teeth(const Loop& loop, const SettingLine& line,
                                                int belt_teeth) {
  require_at_least("belt teeth", belt_teeth, 1);
  if (!(line.most > line.least))
    throw InvalidInput("longest shift", "> shortest shift", in_millimetres(line.most), "mm");
  const Length wanted = parts::pitch(loop.profile) * teeth(belt_teeth);
  const auto excess = [&](Length shift) {
    return in_metres(solved(shifted(loop, line, shift)).length - wanted);
  };
  const double at_least = excess(line.least);
  const double at_most = excess(line.most);
  if (at_least * at_most > 0.0) return std::nullopt;
  const double sign = at_least <= at_most ? 1.0 : -1.0;
  const Length shift =
      metres(detail::root_between([&](double s) { return sign * excess(metres(s)); },
                                  in_metres(line.least), in_metres(line.most)));
  const LoopPulley set = shifted(loop, line, shift).pulleys[line.pulley];
  return Setting{.shift = shift, .x = set.x, .y = set.y};
}

/// Place in the loop of the pulley that the longest free span leaves: the span to pluck.
///
/// \throws InvalidInput  no pulleys
inline std::size_t longest_span(const SolvedLoop& loop) {
  if (loop.pulleys.empty()) throw InvalidInput("number of pulleys", ">= 2", 0, "");
  std::size_t longest = 0;
  for (std::size_t i = 1; i < loop.pulleys.size(); ++i)
    if (loop.pulleys[i].span_to_next > loop.pulleys[longest].span_to_next) longest = i;
  return longest;
}

}  // namespace pitchline::belt
