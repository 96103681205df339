#pragma once

#include <numbers>

namespace pitchline {

/// How many coherent units one named unit is, held as a quotient: 3 · (1/1000) is 0.003 rounded
/// once, 3 · 1e-3 is rounded twice and differs in the last digit for many numbers.
struct Scale {
  double numerator;
  double denominator;

  [[nodiscard]] constexpr double to_coherent(double x) const { return x * numerator / denominator; }
  [[nodiscard]] constexpr double from_coherent(double x) const {
    return x * denominator / numerator;
  }
};

/// Every unit factor of the library. All are exact by definition, but for π in the angles.
/// Sources: [SI brochure 2019] for prefixes, minute, hour and degree; [SP 811] Appendix B for the
/// inch (25.4 mm), foot, avoirdupois pound (0.453 592 37 kg) and ounce (1/16 of it), pound-force
/// and ounce-force (times 9.806 65 m/s²), kilogram-force, horsepower of 550 ft·lbf/s, and bar.
/// tests/units/gnu_units.cmake compares each with an independent program.
namespace scale {
inline constexpr Scale one{1, 1};
inline constexpr Scale nano{1, 1e9};
inline constexpr Scale micro{1, 1e6};
inline constexpr Scale milli{1, 1000};
inline constexpr Scale centi{1, 100};
inline constexpr Scale deci{1, 10};
inline constexpr Scale kilo{1000, 1};
inline constexpr Scale mega{1e6, 1};
inline constexpr Scale giga{1e9, 1};

inline constexpr Scale inch{254, 10'000};
inline constexpr Scale foot{3048, 10'000};
inline constexpr Scale gram{1, 1000};
inline constexpr Scale tonne{1000, 1};
inline constexpr Scale pound{45'359'237, 1e8};
inline constexpr Scale ounce{45'359'237, 16e8};
inline constexpr Scale minute{60, 1};
inline constexpr Scale hour{3600, 1};
inline constexpr Scale kilogram_force{980'665, 1e5};
inline constexpr Scale pound_force{45'359'237.0 * 980'665.0, 1e13};
inline constexpr Scale ounce_force{45'359'237.0 * 980'665.0, 16e13};
inline constexpr Scale horsepower{45'359'237.0 * 980'665.0 * 550.0 * 3048.0, 1e17};
inline constexpr Scale bar{1e5, 1};
inline constexpr Scale psi{45'359'237.0 * 980'665.0, 254.0 * 254.0 * 1e5};
inline constexpr Scale degree{std::numbers::pi, 180};
inline constexpr Scale turn{2.0 * std::numbers::pi, 1};
inline constexpr Scale turn_per_minute{2.0 * std::numbers::pi, 60};
}  // namespace scale

}  // namespace pitchline
