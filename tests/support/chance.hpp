#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace pitchline::testing {

/// Numbers by chance that are the same with every standard library: its distributions are not.
class Chance {
 public:
  explicit Chance(std::uint32_t seed) : engine_(seed) {}

  /// Even from one number to another.
  double between(double least, double most) {
    return least + (most - least) * (static_cast<double>(engine_()) + 0.5) / 4294967296.0;
  }
  /// Of the normal distribution with scatter 1, by Box and Muller.
  double normal() {
    const double size = std::sqrt(-2.0 * std::log(between(0.0, 1.0)));
    return size * std::cos(2.0 * std::numbers::pi * between(0.0, 1.0));
  }

 private:
  std::mt19937 engine_;
};

/// By how much the share of hits in `trials` may differ from `rate`: three standard deviations of
/// the binomial distribution, which one in 370 such tests exceeds by chance.
inline double binomial_band(double rate, int trials) {
  return 3.0 * std::sqrt(rate * (1.0 - rate) / trials);
}

}  // namespace pitchline::testing
