#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "pitchline/units.hpp"

namespace pitchline::structure {

/// Beam of a gantry between its two ends, of one section all along.
struct Beam {
  Length span = unset<Length>();                 ///< L, between the supports
  Pressure elastic_modulus = unset<Pressure>();  ///< E
  /// I, of the section in the direction of the bending that is asked: sideways for what
  /// acceleration does, upright for the sag.
  SecondMoment second_moment = unset<SecondMoment>();
  Mass mass = unset<Mass>();  ///< m, of the whole beam, spread evenly over the span
  /// ζ, of its first mode; no formula here uses it. The low end of the customary 0.01 to 0.03 of
  /// bolted frames. Common practice, no source.
  DampingRatio damping_ratio{0.01};
};

/// What stands on a beam, as a point mass.
struct Carriage {
  Mass mass = unset<Mass>();          ///< M
  Length position = unset<Length>();  ///< x, from one end
};

/// A frequency that lies between two others.
struct FrequencyBounds {
  Frequency lower{};
  Frequency upper{};
};

namespace detail {

inline void require_valid(const Beam& beam) {
  require_positive("beam span", beam.span);
  require_positive("elastic modulus", beam.elastic_modulus);
  require_positive("second moment", beam.second_moment);
  require_positive("beam mass", beam.mass);
}
inline void require_on_beam(const Beam& beam, Length position) {
  require_valid(beam);
  if (!(position > metres(0) && position < beam.span))
    throw InvalidInput("carriage position", "> 0 and < beam span", in_millimetres(position), "mm");
}
inline void require_valid(const Beam& beam, const Carriage& carriage) {
  require_on_beam(beam, carriage.position);
  require_not_negative("carriage mass", carriage.mass);
}

// z = β L of the first mode of the bare beam.
inline constexpr double supported_root = std::numbers::pi;
// f of z = β L: ω = β² √(E I/μ).
inline Frequency frequency_of(const Beam& beam, double z) {
  const Stiffness k =
      beam.elastic_modulus * beam.second_moment / (beam.span * beam.span * beam.span);
  return z * z / (2.0 * std::numbers::pi) * square_root(k / beam.mass);
}

// 1/f² = 1/f_beam² + 1/f_mass², the latter of the mass alone on stiffness k; as z.
inline double dunkerley_root(const Beam& beam, const Carriage& carriage, Stiffness k, double bare) {
  const Frequency f = 2.0 * std::numbers::pi * frequency_of(beam, bare);
  return bare / std::sqrt(std::sqrt(1.0 + number(f * f * carriage.mass / k)));
}
inline Frequency of_mass(Stiffness k, Mass mass) {
  return square_root(k / mass) / (2.0 * std::numbers::pi);
}

}  // namespace detail

/// Force per deflection at x, the load standing there; both ends free to turn.
///
///     k = 3 E I L/(x² (L − x)²)        48 E I/L³ in the middle
///
///     E  elastic_modulus  Pa   > 0
///     I  second_moment    m⁴   > 0, of the direction of the bending
///     L  span             m    > 0
///     x  position         m    (0, L)
///     k  result           N/m
///
/// Valid for a slender beam in the elastic range. Leaves out shear, and what the ends, guides and
/// belts give way themselves.
///
/// \throws InvalidInput  a number outside the table, or never set; beam mass not above zero
///
/// Source: the standard case of a point load between two supports; checked against [Wentzell] 3.2.
inline Stiffness lateral_stiffness_at(const Beam& beam, Length position) {
  detail::require_on_beam(beam, position);
  const Area product = position * (beam.span - position);
  return 3.0 * beam.elastic_modulus * beam.second_moment * beam.span / (product * product);
}

/// Static deflection at the carriage while beam and carriage accelerate sideways, or hang under
/// gravity; both ends free to turn.
///
///     y = m q x (L³ − 2 L x² + x³)/(24 E I L)  +  M q x² (L − x)²/(3 E I L)
///
///     q  acceleration   m/s²  any; the deflection has its sign
///     m  beam mass      kg    > 0
///     M  carriage mass  kg    ≥ 0
///     x  position       m     (0, L)
///     E, I, L           as in `lateral_stiffness_at`
///     y  result         m
///
/// Largest with the carriage in the middle. An acceleration that sets in at once deflects a beam by
/// up to twice as much. Valid and left out: as in `lateral_stiffness_at`; besides, a carriage whose
/// mass hangs off the beam's axis twists it.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: standard cases of the even and of the point load, superposed; [independent derivation]
/// beam, against finite elements.
inline Length bending_at(const Beam& beam, const Carriage& carriage, Acceleration acceleration) {
  detail::require_valid(beam, carriage);
  require_finite("acceleration", acceleration);
  const Length L = beam.span;
  const double x = number(carriage.position / L);
  const Stiffness unit = beam.elastic_modulus * beam.second_moment / (L * L * L);
  const Length own = beam.mass * acceleration / unit * (x * (1.0 - 2.0 * x * x + x * x * x) / 24.0);
  return own + carriage.mass * acceleration / lateral_stiffness_at(beam, carriage.position);
}

/// Static sag at the carriage under gravity: `bending_at` with the second moment of the upright
/// direction in `beam`.
inline Length sag_at(const Beam& beam, const Carriage& carriage) {
  return bending_at(beam, carriage, standard_gravity);
}

/// Exact first frequency of bending, both ends free to turn: the lower bound of a real beam.
///
///     1 = ω² M H,  ω = β² √(E I/μ),  μ = m/L,  a = x, b = L − x
///     H = (sin βa sin βb/sin βL − sinh βa sinh βb/sinh βL)/(2 E I β³)
///
///     m  beam mass      kg  > 0
///     M  carriage mass  kg  ≥ 0; without it β = π/L
///     x  position       m   (0, L)
///     E, I, L           as in `lateral_stiffness_at`
///
/// Its lowest root lies below π/L. Real ends are neither free to turn nor clamped: their frequency
/// is between this and `clamped_first_frequency`, which is 2 to 2.27 times as high with the
/// carriage in the middle and up to 2.36 times at a quarter. Valid for a slender beam, a carriage
/// without extent, and ends that do not move. Leaves out shear, the turning of sections, twist, and
/// the drives under the ends.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived from the equation of the beam, see [independent derivation] beam; bare:
/// [Thomson], [Hicks].
Frequency first_frequency(const Beam& beam, const Carriage& carriage);

/// Exact first frequency of bending, both ends clamped: the upper bound of a real beam.
///
///     1 = ω² M H,  H = N/(2 E I β³ D),  P = cosh − cos, Q = sinh − sin, R = sinh + sin
///     N = P(βa) (P(βb) Q(βL) − Q(βb) P(βL)) + Q(βa) (R(βL) Q(βb) − P(βL) P(βb))
///     D = P(βL)² − Q(βL) R(βL) = 2 (1 − cos βL cosh βL)
///
/// Symbols, ranges and validity as in `first_frequency`; without a carriage β L = 4.7300.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived as `first_frequency`; bare: [Thomson].
Frequency clamped_first_frequency(const Beam& beam, const Carriage& carriage);

/// Upper bound of `first_frequency`: Rayleigh's, of the shape that a force at the carriage bends.
///
///     f = √(k/(M + m_e))/2π,   m_e/m = ((c² a³/3 − 2 c a⁵/5 + a⁷/7)/(4 a⁴ b²)
///                                     + (d² b³/3 − 2 d b⁵/5 + b⁷/7)/(4 b⁴ a²))/L,
///     a = x, b = L − x, c = L² − b², d = L² − a²;   17/35 in the middle
///
/// Other symbols and ranges as in `first_frequency`. Too high by 0.13 % in the middle, 2 % at a
/// quarter and 12 % at a tenth for a carriage of 0.64 of the beam; by 0.72 % for the bare middle.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, see [independent derivation] beam; bare: textbook figure.
inline Frequency static_shape_frequency(const Beam& beam, const Carriage& carriage) {
  detail::require_valid(beam, carriage);
  // Lengths over the span. Kinetic energy of the part of length s beside the one of length t.
  const auto part = [](double s, double t) {
    const double c = (1.0 - t) * (1.0 + t);
    return (c * c / 3.0 - 2.0 * c * s * s / 5.0 + s * s * s * s / 7.0) / (4.0 * s * t * t);
  };
  const double a = number(carriage.position / beam.span);
  const double b = number((beam.span - carriage.position) / beam.span);
  return detail::of_mass(lateral_stiffness_at(beam, carriage.position),
                         carriage.mass + beam.mass * (part(a, b) + part(b, a)));
}

/// Upper bound of `first_frequency`: Rayleigh's, of half a sine wave.
///
///     f = √(π⁴ E I/(2 L³)/(M sin²(π x/L) + m/2))/2π
///
/// Symbols and ranges as in `first_frequency`; the nearer one where the carriage stands near an
/// end.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, see [independent derivation] beam.
inline Frequency sine_shape_frequency(const Beam& beam, const Carriage& carriage) {
  detail::require_valid(beam, carriage);
  const double sine = std::sin(std::numbers::pi * number(carriage.position / beam.span));
  return detail::frequency_of(beam, detail::supported_root) /
         std::sqrt(1.0 + 2.0 * sine * sine * number(carriage.mass / beam.mass));
}

/// Lower bound of `first_frequency`: Dunkerley's, of the beam alone and the carriage alone.
///
///     1/f² = 1/f_beam² + 1/f_carriage²,  f_beam = (π/2) √(E I/(m L³)),  f_carriage = √(k/M)/2π
///
///     k  lateral_stiffness_at
///
/// Other symbols and ranges as in `first_frequency`.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: derived, see [independent derivation] beam.
inline Frequency dunkerley_frequency(const Beam& beam, const Carriage& carriage) {
  detail::require_valid(beam, carriage);
  return detail::frequency_of(
      beam, detail::dunkerley_root(beam, carriage, lateral_stiffness_at(beam, carriage.position),
                                   detail::supported_root));
}

/// What `first_frequency` lies between, without solving for it: Dunkerley's below, the lower of
/// Rayleigh's two above.
///
/// \throws InvalidInput  as `first_frequency`
inline FrequencyBounds first_frequency_bounds(const Beam& beam, const Carriage& carriage) {
  return {.lower = dunkerley_frequency(beam, carriage),
          .upper = std::min(static_shape_frequency(beam, carriage),
                            sine_shape_frequency(beam, carriage))};
}

/// Mass that swings at `first_frequency` on `lateral_stiffness_at` the carriage: with these two a
/// beam is one mass on one spring, carriage included.
///
///     m_1 = k/(2π f)²
///
/// At the carriage this has the frequency and the give of the beam. Its answer to an acceleration
/// of the supports is not the beam's: that bends it by `bending_at`, up to 1.27 times q/(2π f)².
///
/// \throws InvalidInput  as `first_frequency`
inline Mass modal_mass(const Beam& beam, const Carriage& carriage) {
  const Frequency omega = 2.0 * std::numbers::pi * first_frequency(beam, carriage);
  return lateral_stiffness_at(beam, carriage.position) / (omega * omega);
}

}  // namespace pitchline::structure
