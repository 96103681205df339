#pragma once

#include <string_view>

#include "pitchline/units/error.hpp"

namespace pitchline {

/// A dimensionless number with a meaning and a range. Two of different meaning do not convert into
/// each other, nor from a bare number; there is no default, so leaving one out does not compile.
///
/// \throws InvalidInput  the number is outside `Meaning::rule`, or NaN
template <class Meaning>
class Ratio {
 public:
  explicit constexpr Ratio(double value) : value_(value) {
    if (!Meaning::holds(value)) throw InvalidInput(Meaning::name, Meaning::rule, value, "");
  }
  [[nodiscard]] constexpr double value() const { return value_; }
  constexpr bool operator==(const Ratio&) const = default;

 private:
  double value_;
};

namespace detail {
struct FrictionMeaning {
  static constexpr std::string_view name = "friction coefficient";
  static constexpr std::string_view rule = ">= 0 and < 1";
  static constexpr bool holds(double x) { return x >= 0 && x < 1; }
};
struct EfficiencyMeaning {
  static constexpr std::string_view name = "efficiency";
  static constexpr std::string_view rule = "> 0 and <= 1";
  static constexpr bool holds(double x) { return x > 0 && x <= 1; }
};
struct GearRatioMeaning {
  static constexpr std::string_view name = "gear ratio";
  static constexpr std::string_view rule = ">= 0.001 and <= 1000";
  static constexpr bool holds(double x) { return x >= 0.001 && x <= 1000; }
};
struct TorqueMarginMeaning {
  static constexpr std::string_view name = "torque margin";
  static constexpr std::string_view rule = ">= 1 and <= 10";
  static constexpr bool holds(double x) { return x >= 1 && x <= 10; }
};
struct SimultaneityMeaning {
  static constexpr std::string_view name = "simultaneity";
  static constexpr std::string_view rule = "> 0 and <= 1";
  static constexpr bool holds(double x) { return x > 0 && x <= 1; }
};
struct TorqueShareMeaning {
  static constexpr std::string_view name = "torque share";
  static constexpr std::string_view rule = "> 0 and <= 1";
  static constexpr bool holds(double x) { return x > 0 && x <= 1; }
};
struct DampingRatioMeaning {
  static constexpr std::string_view name = "damping ratio";
  static constexpr std::string_view rule = ">= 0 and < 1";
  static constexpr bool holds(double x) { return x >= 0 && x < 1; }
};
struct StiffnessShareMeaning {
  static constexpr std::string_view name = "stiffness share";
  static constexpr std::string_view rule = "> 0 and <= 2";
  static constexpr bool holds(double x) { return x > 0 && x <= 2; }
};
struct StaticRatioMeaning {
  static constexpr std::string_view name = "static over running friction";
  static constexpr std::string_view rule = ">= 1 and <= 10";
  static constexpr bool holds(double x) { return x >= 1 && x <= 10; }
};
}  // namespace detail

/// Coulomb friction force over normal force.
using FrictionCoefficient = Ratio<detail::FrictionMeaning>;
/// Power out over power in.
using Efficiency = Ratio<detail::EfficiencyMeaning>;
/// Turns of the motor per turn of the driven shaft; above 1 the stage slows down.
using GearRatio = Ratio<detail::GearRatioMeaning>;
/// What the builder wants of dependable torque over the peak torque of the real move.
using TorqueMargin = Ratio<detail::TorqueMarginMeaning>;
/// Power drawn at once over the sum of what the axes draw each for itself.
using Simultaneity = Ratio<detail::SimultaneityMeaning>;
/// The part of a loss-free torque that may be counted on.
using TorqueShare = Ratio<detail::TorqueShareMeaning>;
/// Damping over critical damping of a part that swings at its own natural frequency.
using DampingRatio = Ratio<detail::DampingRatioMeaning>;
/// Stiffness of a whole axis over that of its belt alone.
using StiffnessShare = Ratio<detail::StiffnessShareMeaning>;
/// Friction until a load moves over the friction while it does.
using StaticRatio = Ratio<detail::StaticRatioMeaning>;

}  // namespace pitchline
