#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "equations.hpp"

namespace pitchline::simulate::detail {

// The longest step at which the classic weights are stable and belt, beam and field are followed.
template <std::size_t Motors>
double finest_needed(const Equations<Motors>& e, double top_speed) {
  const double lightest = Motors == 1 ? e.m : std::min(e.m11, e.m22) / 2.0;
  const double mobility = e.t * e.t / e.J + (lightest > 0.0 ? 1.0 / lightest : 0.0);
  const double k = std::max({e.spring.k, e.spring.up, e.spring.down});
  const double belt = e.rigid ? 0.0 : std::max(std::sqrt(k * mobility), e.c * mobility);
  const double beam = e.beam ? std::sqrt(e.beam_k * (1.0 / e.beam_mass + 1.0 / lightest)) : 0.0;
  const double turning = e.J + (e.rigid ? e.m * e.t * e.t : 0.0);
  const double field = std::sqrt(e.N * e.strongest * e.K * e.I / turning) + (e.B + e.D) / turning;
  double contact = 0.0;
  if (e.smooth) {
    for (std::size_t n = 0; n < Motors; ++n)
      contact += e.rotor[n].kinetic / e.rotor[n].speed_scale / turning +
                 (e.rigid ? 0.0 : e.load[n].kinetic / e.load[n].speed_scale / lightest);
  }
  const double electrical = e.N * top_speed / e.t;
  // A twentieth of a swing for what swings, two decays for what only decays, and a fifth of a
  // radian of the field: together they leave an error of the load angle below 1e-4.
  return std::min({0.3 / std::max({belt + beam, field, 1e-9}), 2.0 / std::max(contact, 1e-9),
                   1.0 / 5.0 / std::max(electrical, 1e-9)});
}

// At rest, or at the speed with which the command begins: the belt carries gravity and friction,
// and the field lags behind as far as it must.
template <std::size_t Motors>
State<Motors> start_of(const Equations<Motors>& e, double speed) {
  const int sense = (speed > 0.0) - (speed < 0.0);
  State<Motors> y{};
  for (std::size_t n = 0; n < Motors; ++n) {
    double* own = y.data() + of_motor * n;
    const double friction = e.rigid ? 0.0 : e.load[n].kinetic * sense;
    const double force = e.gravity[n] + friction;
    const double torque =
        e.t * force + e.rotor_friction(n, force, sense) * sense + e.B * speed / e.t;
    own[i_a] = e.I * e.gain / (e.gain + e.R);
    const double holds = e.share_at(speed / e.t) * e.K * own[i_a];
    if (!(std::fabs(torque) < holds))
      throw OutsideValidity(
          fmt::format("the field holds {:.4g} N*m, which is not above the {:.4g} N*m of the load "
                      "at the start",
                      holds, std::fabs(torque)));
    own[theta] = -std::asin(torque / holds) / e.N;
    own[omega] = speed / e.t;
    double stretch = e.rigid ? 0.0 : force / e.spring.k;
    if (!e.rigid && e.spring.region(stretch) > 0)
      stretch = (force - e.spring.tension) / e.spring.up;
    if (!e.rigid && e.spring.region(stretch) < 0)
      stretch = (force + e.spring.tension) / e.spring.down;
    own[x] = e.t * own[theta] - stretch;
    own[v] = speed;
  }
  y[tool<Motors>] = e.under_tool(y.data(), x);
  y[tool<Motors> + 1] = speed;
  return y;
}

}  // namespace pitchline::simulate::detail
