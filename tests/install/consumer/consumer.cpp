#include <fmt/format.h>

#include <pitchline/units.hpp>

int main() {
  const auto mass = pitchline::read_quantity<pitchline::Mass>("2 kg");
  const auto acceleration = pitchline::read_quantity<pitchline::Acceleration>("30 m/s^2");
  const pitchline::Force force = mass * acceleration;
  fmt::print("{}\n", force);
}
