#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace pitchline::motion::detail {

// The rule of `swing_bound` in plain numbers: SI, every force over the mass that moves, in m/s².

struct SwingCase {
  double omega_low = 0.0;  // ends of the band, rad/s
  double omega_high = 0.0;
  double zeta_low = 0.0;
  double zeta_high = 0.0;
  double friction = 0.0;           // F, largest believed: what loads the motor
  double credited_friction = 0.0;  // smallest believed: what damps a swing
  double breakaway = 0.0;          // B
  double acceleration = 0.0;       // a, before the jerk time cuts it
  double jerk_time = 0.0;          // t_j
  double top = 0.0;                // speed reached
  double trapezoid_top = 0.0;      // the same before the jerk time cuts it: of ramps that overlap
  double cruise = 0.0;             // t_c, of the unsmoothed trapezoid
  double credited_top = 0.0;       // least speed reached, where friction damps a swing
  // Every stroke that reaches from `credited_top` to `top`: no phase, no decay in a move is known.
  bool any_stroke = false;
  double dwell = 0.0;
  int moves = 1;
  bool wound = false;  // the first start follows another move
  // Factor by which a swing that friction eats may exceed what a start alone leaves.
  double saturation = 1.15;
};

// Largest |sin| and cos over an interval.
inline double most_sine(double low, double high) {
  constexpr double pi = std::numbers::pi;
  if (std::floor(high / pi - 0.5) > std::floor(low / pi - 0.5)) return 1.0;
  return std::max(std::abs(std::sin(low)), std::abs(std::sin(high)));
}
inline double most_cosine(double low, double high) {
  constexpr double turn = 2.0 * std::numbers::pi;
  if (std::floor(high / turn) > std::floor(low / turn) || high - low >= turn) return 1.0;
  return std::max(std::cos(low), std::cos(high));
}

// Whether slowing down begins while the acceleration still fades.
inline bool overlapping(const SwingCase& c) {
  return c.jerk_time > 0.0 && (c.any_stroke || c.cruise < c.jerk_time);
}

// Speed that a trapezoid reaches once a box of the jerk time has smoothed it.
inline double smoothed_top(double top, double acceleration, double cruise, double jerk_time) {
  if (!(cruise < jerk_time)) return top;
  const double beside = std::min((jerk_time - cruise) / 2.0, top / acceleration);
  return (top * cruise + beside * (2.0 * top - acceleration * beside)) / jerk_time;
}

// What the band and the command settle once for all moves of a run.
struct SwingTerms {
  double ramp = 0.0;         // tau
  double reached = 0.0;      // a_p
  double jerk = 0.0;         // infinite without a jerk time
  double bare_corner = 0.0;  // what one corner adds
  double pair = 0.0;         // what the two corners of a ramp add
  double rising = 0.0;       // corner', while the acceleration builds up
  double damped = 1.0;       // 1/sqrt(1 - zeta_high^2)
  double decay = 0.0;        // in a move, 1/s
  [[nodiscard]] double left_after(double seconds) const {
    return std::exp(-decay * std::max(0.0, seconds));
  }
  [[nodiscard]] double length(const SwingCase& c) const { return ramp + c.jerk_time; }
};

inline SwingTerms swing_terms(const SwingCase& c) {
  SwingTerms t{};
  t.ramp = c.trapezoid_top / c.acceleration;
  t.reached = c.acceleration;
  t.jerk = std::numeric_limits<double>::infinity();
  t.rising = c.acceleration;
  t.damped = 1.0 / std::sqrt((1.0 - c.zeta_high) * (1.0 + c.zeta_high));
  t.decay = c.any_stroke ? 0.0 : c.zeta_low * c.omega_low;
  // Two boxes make the ramp; which of them is the shorter does not matter to the command.
  const double shorter = std::min(t.ramp, c.jerk_time);
  const double longer = std::max(t.ramp, c.jerk_time);
  double softened = 1.0;
  if (c.jerk_time > 0.0) {
    t.reached = std::min(c.acceleration, c.trapezoid_top / c.jerk_time);
    t.jerk = c.acceleration / c.jerk_time;
    t.rising = std::min(t.reached, 2.0 * t.jerk / c.omega_low);
    const double x = c.omega_low * shorter / 2.0;
    const double sine = most_sine(x, c.omega_high * shorter / 2.0);
    // With damping nothing cancels wholly: |e^{pt} - 1|^2 = (1 - q)^2 + 4 q sin^2, convex in q.
    const double q = std::exp(-c.zeta_high * c.omega_high * shorter);
    const double damped = std::sqrt((1.0 - q) * (1.0 - q) / 4.0 + q * sine * sine);
    softened = std::min(1.0, std::max(sine, damped) / x);
    // 2 j/w, whichever of the boxes is the shorter.
    if (c.any_stroke) softened = std::min(1.0, 2.0 * t.jerk / (c.omega_low * t.reached));
  }
  const double step = t.reached * softened * t.damped;
  const double whole = c.omega_high * c.top;  // the speed change at once
  t.bare_corner = std::min(step, whole);
  const double faded = c.any_stroke ? 0.0 : -std::expm1(-c.zeta_high * c.omega_high * longer);
  const double sine =
      c.any_stroke ? 1.0 : most_sine(c.omega_low * longer / 2.0, c.omega_high * longer / 2.0);
  t.pair = std::min(step * std::sqrt(faded * faded + 4.0 * sine * sine), whole);
  return t;
}

// A start: what friction winds up and lets go.
struct SwingStart {
  double swing = 0.0;  // G, about F + a
  double after = 0.0;  // R, about F, once the ramp is over
  double until = 0.0;  // the swing is as large as that until then, and decays from then on
  bool may_restick = false;
};

// Speed of the command at the release, as a force over mass, and when that is.
struct SwingRelease {
  double least = 0.0;
  double most = 0.0;
  double earliest = 0.0;
  double latest = 0.0;
  double sudden = 0.0;  // without a jerk time
  bool late = false;    // some of the band lets go only at full speed
};

inline SwingRelease swing_release(const SwingCase& c, const SwingTerms& t, double wind,
                                  bool any_wind) {
  SwingRelease r{};
  r.sudden = std::sqrt(2.0 * c.acceleration * wind);
  r.late = r.sudden > c.omega_low * (c.any_stroke ? c.credited_top : c.top);
  if (!(c.jerk_time > 0.0)) {
    r.least = r.most = r.sudden;
    r.earliest = r.sudden / (c.acceleration * c.omega_high);
    r.latest = r.sudden / (c.acceleration * c.omega_low);
  } else {
    const double build = std::min(c.jerk_time, t.ramp);
    const auto at = [&](double omega, double& when) {
      const double time = std::cbrt(6.0 * wind / (t.jerk * omega * omega));
      when = time;
      if (time <= build) return omega * t.jerk * time * time / 2.0;
      const double left = 2.0 * wind - t.reached * omega * omega * build * build / 12.0;
      const double speed = std::sqrt(t.reached * std::max(0.0, left));
      when = speed / (omega * t.reached) + build / 2.0;
      return speed;
    };
    r.least = at(c.omega_high, r.earliest);
    r.most = at(c.omega_low, r.latest);
  }
  if (any_wind) {
    // A load that still slips when the command turns round stops a little later: the release comes
    // with P^2 = 2 a W + e a^2, where e = q^2 - 2 (1 - cos x - p sin x), p = (x - sin x)/(1 - cos
    // x), q = x - p is 0.141 at most (x = 1.62).
    const double later = 0.15 * t.reached * t.reached;
    r.sudden = std::sqrt(r.sudden * r.sudden + later);
    r.most = std::sqrt(r.most * r.most + later);
    r.least = 0.0;
    r.earliest = 0.0;
  }
  if (c.any_stroke) r.least = 0.0;
  r.least = std::min(r.least, c.omega_low * c.top);
  r.most = std::min(r.most, c.omega_high * c.top);
  // Past the plateau the command gains less; past the ramp it goes on at full speed.
  const double plateau = std::max(t.ramp, c.jerk_time);
  if (r.latest > plateau) {
    const double travel = wind / (c.omega_low * c.omega_low);
    r.latest = t.length(c) + std::max(0.0, travel / c.top - t.length(c) / 2.0);
  }
  return r;
}

// The swing right after a release, about the middle that the acceleration gives.
inline double swing_of_release(const SwingCase& c, const SwingTerms& t, const SwingRelease& r) {
  const double a = t.reached;
  const double B = c.breakaway;
  const double behind = r.late ? B : 0.0;
  if (!(c.jerk_time > 0.0)) return std::hypot(std::max(std::abs(a - B), behind), r.most);
  const double build = std::min(c.jerk_time, t.ramp);
  const double low = t.jerk / c.omega_high;
  const double high = t.jerk / c.omega_low;
  double swing = 0.0;
  if (r.latest <= build) {
    const double offset =
        std::max(std::abs(t.jerk * r.latest - B), std::abs(t.jerk * r.earliest - B));
    const double speed = std::max(std::abs(r.most - low), std::abs(r.least - high));
    swing = std::hypot(offset, speed) + high;
  } else {
    const double first = std::abs(std::min(a, t.jerk * r.earliest) - B);
    swing = std::hypot(std::max({std::abs(a - B), first, behind}), r.most) +
            (r.earliest < build ? high : 0.0);
  }
  const double cap =
      std::hypot(std::max(std::abs(a - B), behind), std::min(r.sudden, c.omega_high * c.top)) +
      std::min(a, high);
  return c.any_stroke ? cap : std::min(swing, cap);
}

// Acceleration over B from which on no load stops again once it was let go: max(-sin x/x) =
// 0.217234 = a/(B - a).
inline constexpr double never_restick = 0.178465;

// Whether a load that was let go may stop again, and the largest swing it comes to by that.
struct Resticking {
  bool possible = false;
  double swing = 0.0;
  double until = 0.0;
};
inline Resticking resticking(const SwingCase& c, const SwingTerms& t, double wind, double least) {
  constexpr double pi = std::numbers::pi;
  const double B = c.breakaway;
  double a = t.reached;
  if (c.any_stroke && c.jerk_time > 0.0) a = std::min(a, c.credited_top / c.jerk_time);
  if (c.jerk_time > 0.0)
    a = std::min(a, std::cbrt(6.0 * wind * t.jerk * t.jerk / (c.omega_high * c.omega_high)));
  if (!(B > 0.0) || a >= never_restick * B) return {};
  // (sqrt(a^2 + x) - a)/(2 zeta), without cancellation
  const double x = c.zeta_low * B * B / pi;
  const double stops_below = c.zeta_low > 0.0 || a > 0.0
                                 ? B * B / pi / (2.0 * (std::sqrt(a * a + x) + a))
                                 : std::numeric_limits<double>::infinity();
  if (least > stops_below) return {};
  const double plus = stops_below + 2.0 * pi * t.reached;
  const double last = std::min(c.omega_high * c.top, std::sqrt(plus * plus + 2.0 * t.reached * B));
  return {.possible = true,
          .swing = std::hypot(std::max(B, std::abs(B - t.reached)), last),
          .until = last / (c.omega_low * c.acceleration) + c.jerk_time + 2.0 * pi / c.omega_low};
}

// What a start leaves when its ramp is over; q is the phase that has passed at the release.
inline double swing_after_ramp(const SwingCase& c, const SwingTerms& t, const SwingRelease& r,
                               double swing) {
  const double a = c.acceleration;
  const double B = c.breakaway;
  const double speed = c.omega_high * c.top;
  double after = 0.0;
  if (c.jerk_time > 0.0) {
    after = swing * t.left_after(t.length(c) - r.latest) + t.bare_corner;
  } else {
    const auto q = [&](double p) { return p / a + std::atan2(p, B - a); };
    double q_low = std::min(q(r.least), q(r.most));
    double q_high = std::max(q(r.least), q(r.most));
    if (const double turn = (a - B) * B; turn > 0.0) {
      const double p = std::clamp(std::sqrt(turn), r.least, r.most);
      q_low = std::min(q_low, q(p));
      q_high = std::max(q_high, q(p));
    }
    const double cosine =
        c.any_stroke ? 1.0
                     : most_cosine(c.omega_low * t.ramp - q_high, c.omega_high * t.ramp - q_low);
    const double passed = c.any_stroke ? 0.0 : std::max(0.0, c.omega_low * t.ramp - r.most / a);
    const double most_passed = std::max(passed, c.omega_high * t.ramp - r.least / a);
    const auto at = [&](double x) {
      return std::sqrt(std::max(0.0, x * x + a * a + 2.0 * a * x * cosine));
    };
    after = t.damped * std::max(at(swing * std::exp(-c.zeta_low * passed)),
                                at(swing * std::exp(-c.zeta_high * most_passed)));
  }
  // Let go at full speed, which is then below that of a release while the ramp goes on.
  if (r.late)
    after = std::max(after, std::hypot(B, std::min(speed, c.omega_high / c.omega_low * r.sudden)));
  return std::min(after, speed + std::hypot(B, r.least) - r.least);
}

// A start from rest: `wind` N/kg at most; `any_wind` where it may be less, down to nothing.
inline SwingStart swing_start(const SwingCase& c, const SwingTerms& t, double wind, bool any_wind) {
  const SwingRelease r = swing_release(c, t, wind, any_wind);
  SwingStart s{};
  s.swing = swing_of_release(c, t, r);
  s.until = r.latest;
  s.after = swing_after_ramp(c, t, r, s.swing);
  const Resticking again = resticking(c, t, wind, r.least);
  s.may_restick = again.possible;
  if (!again.possible) return s;
  s.swing = std::max(s.swing, again.swing);
  s.until = std::max(s.until, again.until);
  s.after = std::max(s.after, s.swing * t.left_after(t.length(c) - s.until) + t.bare_corner);
  return s;
}

}  // namespace pitchline::motion::detail
