#include <fmt/format.h>

#include <pitchline/simulate/completing.hpp>
#include <pitchline/structure/beam.hpp>

namespace {
using namespace pitchline;  // NOLINT: a program of one file

simulate::SimulatedAxis axis() {
  return {.axis = {.transmission = metres_per_radian(0.005),
                   .mass = kilograms(1),
                   .motor_side_inertia = kilogram_square_metres(60e-7)},
          .winding = {.torque_constant = newton_metres_per_ampere(0.2),
                      .resistance = ohms(1.5),
                      .inductance = henries(3e-3),
                      .pole_pairs = 50.0,
                      .amplitude = amperes(2),
                      .voltage = volts(24)},
          .belt_stiffness = newtons_per_metre(5e4),
          .belt_damping = DampingRatio(0.05)};
}
}  // namespace

int main() {
  const structure::Beam beam{.span = metres(1),
                             .elastic_modulus = pascals(69e9),
                             .second_moment = metres_to_the_fourth(1e-7),
                             .mass = kilograms(2)};
  fmt::print("{}\n",
             structure::first_frequency(beam, {.mass = kilograms(1), .position = metres(0.5)}));
  const bool completes = simulate::completes(axis(), {.speed = metres_per_second(0.1),
                                                      .acceleration = metres_per_second_squared(1),
                                                      .stroke = metres(0.05)});
  return completes ? 0 : 1;
}
