#include "pitchline/structure/beam.hpp"

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>

namespace pitchline::structure {

namespace {

// First root of cos z cosh z = 1. [Thomson] prints 4.7300; the further digits are solved from that.
constexpr double clamped_root = 4.730040744862704;

// How far the first mode gives way at a under a unit force there, times 2 E I β³, as a quotient;
// `denominator` is zero at the first root of the bare beam and above zero below it.
struct Receptance {
  double numerator;
  double denominator;
};
Receptance receptance_supported(double z, double a, double b) {
  return {std::sin(z * a) * std::sin(z * b) * std::sinh(z) -
              std::sinh(z * a) * std::sinh(z * b) * std::sin(z),
          std::sin(z) * std::sinh(z)};
}
// w = A P(βx) + B Q(βx) + Q(β(x − a))/2 beyond the load, with P = cosh − cos and Q = sinh − sin: no
// deflection and no slope at x = 0; A and B from the same at x = L.
Receptance receptance_clamped(double z, double a, double b) {
  const auto P = [](double s) { return std::cosh(s) - std::cos(s); };
  const auto Q = [](double s) { return std::sinh(s) - std::sin(s); };
  const double slope = std::sinh(z) + std::sin(z);  // P'
  return {P(z * a) * (P(z * b) * Q(z) - Q(z * b) * P(z)) +
              Q(z * a) * (slope * Q(z * b) - P(z) * P(z * b)),
          P(z) * P(z) - Q(z) * slope};
}

// First root of 1 = ω² M H, that is of (M/m)(z/2) numerator = denominator. `low` is no higher than
// it (Dunkerley), `bare` no lower: a mass lowers every frequency.
template <class Function>
double lowest_root(const Beam& beam, const Carriage& carriage, double low, double bare,
                   Function&& receptance) {
  const double a = number(carriage.position / beam.span);
  const double b = number((beam.span - carriage.position) / beam.span);
  const double ratio = number(carriage.mass / beam.mass);
  const auto f = [&](double z) {
    const Receptance h = receptance(z, a, b);
    return ratio * z / 2.0 * h.numerator - h.denominator;
  };
  const double at_low = f(low);
  const double at_bare = f(bare);
  // Where the carriage weighs next to nothing, the bounds meet but for rounding.
  if (at_low >= 0.0) return low;
  if (at_bare <= 0.0) return bare;
  std::uintmax_t rounds = 200;
  const auto bracket = boost::math::tools::toms748_solve(
      f, low, bare, at_low, at_bare, boost::math::tools::eps_tolerance<double>(50), rounds);
  return 0.5 * (bracket.first + bracket.second);
}

}  // namespace

Frequency first_frequency(const Beam& beam, const Carriage& carriage) {
  detail::require_valid(beam, carriage);
  const double low = detail::dunkerley_root(
      beam, carriage, lateral_stiffness_at(beam, carriage.position), detail::supported_root);
  return detail::frequency_of(
      beam, lowest_root(beam, carriage, low, detail::supported_root, receptance_supported));
}

Frequency clamped_first_frequency(const Beam& beam, const Carriage& carriage) {
  detail::require_valid(beam, carriage);
  // Clamped it is stiffer, so this lies below all the more.
  const double low = detail::dunkerley_root(
      beam, carriage, lateral_stiffness_at(beam, carriage.position), clamped_root);
  return detail::frequency_of(beam,
                              lowest_root(beam, carriage, low, clamped_root, receptance_clamped));
}

}  // namespace pitchline::structure
