#pragma once

// Bounds that no machine of this kind reaches; beyond them stands a slip of the unit. Each stands
// here once, for machine files, layouts of belts and measurements.

#include "pitchline/units.hpp"

namespace pitchline::io::detail {

inline constexpr Length nanometre = millimetres(1e-6);  // of a length that must be exact
inline constexpr Length shortest = millimetres(0.001);
inline constexpr Length longest = metres(20);
inline constexpr Length longest_measured = metres(100);
inline constexpr Length finest_error = millimetres(1e-6);
inline constexpr Length largest_error = metres(1);
inline constexpr Length largest_height_error = millimetres(10);
inline constexpr Length thinnest = millimetres(0.1);
inline constexpr Length thickest_shaft = millimetres(100);
inline constexpr Length thickest_screw = millimetres(200);
inline constexpr Length thickest_workpiece = metres(2);
inline constexpr Length narrowest_belt = millimetres(0.5);
inline constexpr Length widest_belt = millimetres(500);
inline constexpr Length longest_centre_distance = metres(5);
inline constexpr Length longest_lead = millimetres(1000);

inline constexpr Mass lightest = kilograms(1e-6);
inline constexpr Mass heaviest = kilograms(2000);
inline constexpr Density lightest_material = kilograms_per_cubic_metre(1);
inline constexpr Density densest = kilograms_per_cubic_metre(25'000);
inline constexpr Inertia smallest_inertia = kilogram_square_metres(1e-12);
inline constexpr Inertia largest_inertia = kilogram_square_metres(1);

inline constexpr Force weakest = newtons(1e-6);
inline constexpr Force strongest = newtons(20'000);
inline constexpr Force highest_rating = newtons(1e6);
inline constexpr Torque smallest_torque = newton_metres(1e-6);

inline constexpr Speed slowest = metres_per_second(1e-6);
inline constexpr Speed fastest = metres_per_second(20);
inline constexpr PulsesPerLength finest_pulses = pulses_per_millimetre(1e6);
inline constexpr Acceleration softest = metres_per_second_squared(1e-6);
inline constexpr Acceleration hardest = metres_per_second_squared(200);
inline constexpr Time longest_pause = seconds(3600);

inline constexpr Current least_current = amperes(0.001);
inline constexpr Current most_current = amperes(50);
inline constexpr Current most_published_current = amperes(100);
inline constexpr Voltage least_voltage = volts(0.1);
inline constexpr Voltage most_voltage = volts(400);

inline constexpr int fewest_teeth = 6;
inline constexpr int most_teeth = 500;
inline constexpr int most_starts = 20;
inline constexpr int most_times = 10'000;

}  // namespace pitchline::io::detail
