#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string_view>

#include "pitchline/screw/nut_friction.hpp"
#include "pitchline/screw/power_screw.hpp"
#include "pitchline/units.hpp"

namespace pitchline::screw {

/// The thread of a screw inside its nut, with flanks half a pitch deep: trapezoidal, Acme, square.
struct EngagedThread {
  Length mean_diameter = unset<Length>();
  Length minor_diameter = unset<Length>();  ///< of the screw
  Length pitch = unset<Length>();           ///< from ridge to ridge: lead over starts
  Length nut_length = unset<Length>();      ///< that has thread
};

/// Share of the load on the first thread of the nut. Source: [Shigley] p. 419, from memory;
/// [Bimeccanica] reckons with a third.
inline constexpr double first_thread_share = 0.38;

namespace detail {
inline void require_valid(const EngagedThread& thread) {
  require_positive("minor diameter", thread.minor_diameter);
  if (!(thread.mean_diameter >= thread.minor_diameter && is_finite(thread.mean_diameter)))
    throw InvalidInput("mean diameter", ">= minor diameter", in_millimetres(thread.mean_diameter),
                       "mm");
  require_positive("pitch", thread.pitch);
  if (!(thread.nut_length >= thread.pitch && is_finite(thread.nut_length)))
    throw InvalidInput("nut length", ">= pitch", in_millimetres(thread.nut_length), "mm");
}
}  // namespace detail

/// Threads in the nut, nut length over pitch; of a screw with several starts all of them count.
///
/// \throws InvalidInput  a field outside its range, or never set
inline double engaged_threads(const EngagedThread& thread) {
  detail::require_valid(thread);
  return number(thread.nut_length / thread.pitch);
}

/// Pressure between the flanks, as if all threads bore the same.
///
///     p = F/(π d_m (P/2) Z)
///
///     F    load           N  ≥ 0
///     d_m  mean_diameter  m  > 0
///     P    pitch          m  > 0
///     Z    engaged_threads
///
/// On the area seen along the axis, whatever the flank angle. Times `rubbing_speed` it is the
/// pressure times speed of `nut_limit`.
///
/// \throws InvalidInput  a number outside the table, or a field never set
///
/// Source: [Shigley] eq. 8-10; the same with H1 = P/2 in [accu threads]. Checked against
/// [Bhandari].
inline Pressure bearing_pressure(const EngagedThread& thread, Force load) {
  const double threads = engaged_threads(thread);
  detail::require_load(load);
  return load / (std::numbers::pi * thread.mean_diameter * (thread.pitch / 2.0) * threads);
}

/// Pressure on the flank of the first thread: `bearing_pressure` of one thread with its share.
///
/// \throws InvalidInput  as `bearing_pressure`
///
/// Source: [Shigley] eq. 8-10, example 8-1.
inline Pressure first_thread_pressure(const EngagedThread& thread, Force load) {
  EngagedThread first = thread;
  detail::require_valid(thread);
  first.nut_length = thread.pitch;
  return bearing_pressure(first, first_thread_share * load);
}

/// The pressure to compare with `nut_limit`: in a metal nut that of the first thread, or the mean
/// where few threads make that larger; in a plastic nut, which gives way, the mean.
///
/// \throws InvalidInput  as `bearing_pressure`
///
/// Source: [Bimeccanica] for the first thread of metal; that plastic spreads the load is common
/// practice, no source.
inline Pressure deciding_pressure(const EngagedThread& thread, Force load, NutMaterial nut) {
  const Pressure mean = bearing_pressure(thread, load);
  if (nut == NutMaterial::acetal || nut == NutMaterial::filled_plastic) return mean;
  return std::max(mean, first_thread_pressure(thread, load));
}

/// Bending stress at the root of the first thread of the screw.
///
///     σ_b = 6 s F/(π d_r P)
///
///     s    first_thread_share
///     F    load            N  ≥ 0
///     d_r  minor_diameter  m  > 0
///     P    pitch           m  > 0
///
/// The ridge as a lever of P/4 with a root P/2 thick, which is that of a square thread; a
/// trapezoidal ridge is thicker at its root and has less. Leaves out the notch.
///
/// \throws InvalidInput  as `bearing_pressure`
///
/// Source: [Shigley] eq. 8-11, example 8-1.
inline Pressure root_bending_stress(const EngagedThread& thread, Force load) {
  detail::require_valid(thread);
  detail::require_load(load);
  return 6.0 * first_thread_share * load /
         (std::numbers::pi * thread.minor_diameter * thread.pitch);
}

/// Largest shear stress across the root of the first thread of the screw, at its middle.
///
///     τ = 3 s F/(π d_r P)
///
/// Symbols, and what is left out, as for `root_bending_stress`.
///
/// \throws InvalidInput  as `bearing_pressure`
///
/// Source: [Shigley] eq. 8-12, from memory: 3/2 of the force over the section π d_r P/2.
inline Pressure root_shear_stress(const EngagedThread& thread, Force load) {
  return root_bending_stress(thread, load) / 2.0;
}

/// Stresses in the body of a screw.
struct BodyStress {
  Pressure axial{};       ///< of the load
  Pressure shear{};       ///< of the torque, at the surface of the core
  Pressure equivalent{};  ///< of both, √(σ² + 3 τ²)
};

/// Stresses in the core under a load and a torque.
///
///     σ = 4 F/(π d_r²)      τ = 16 T/(π d_r³)
///
///     F    load            N    ≥ 0, pull or push
///     T    torque          N·m  ≥ 0, of the motor: thread and collar
///     d_r  minor_diameter  m    > 0
///
/// Leaves out notches, buckling and bending of the screw.
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: [Shigley] eq. 8-7, 8-8, example 8-1; the sum of both is that of distortion energy.
inline BodyStress body_stress(Length minor_diameter, Force load, Torque torque) {
  require_positive("minor diameter", minor_diameter);
  detail::require_load(load);
  require_not_negative("torque", torque);
  const Area section = std::numbers::pi / 4.0 * minor_diameter * minor_diameter;
  const Pressure axial = load / section;
  const Pressure shear = 4.0 * (torque * radian) / (section * minor_diameter);
  return {.axial = axial,
          .shear = shear,
          .equivalent = square_root(axial * axial + 3.0 * (shear * shear))};
}

/// The line along which the flanks of a thread slide.
struct ThreadHelix {
  Length mean_diameter = unset<Length>();
  Length lead = unset<Length>();
};

/// Speed at which flank rubs on flank, along the thread at the mean diameter.
///
///     v = n √((π d_m)² + l²)/turn
///
///     d_m  mean_diameter  m      > 0
///     l    lead           m      > 0
///     n    speed          rad/s  ≥ 0, of the screw in its nut
///
/// \throws InvalidInput  a number outside the table, or never set
///
/// Source: geometry; checked against the examples of [THK nuts].
inline Speed rubbing_speed(const ThreadHelix& helix, AngularSpeed speed) {
  const auto [diameter, lead] = helix;
  require_positive("mean diameter", diameter);
  require_positive("lead", lead);
  require_not_negative("speed", speed, shown::revolutions_per_minute);
  const double slope = number(lead / (std::numbers::pi * diameter));
  return diameter / 2.0 * std::hypot(1.0, slope) * (speed / radian);
}

/// Fastest rubbing of a trapezoidal screw in a bronze nut. Source: [Bimeccanica], 25 m/min.
inline constexpr Speed most_rubbing_speed = metres_per_second(25.0 / 60.0);

/// What a nut material bears.
struct NutLimit {
  NutMaterial nut = NutMaterial::bronze;
  Pressure pressure{};                   ///< at rest and moving slowly, of `deciding_pressure`
  PressureVelocity pressure_velocity{};  ///< in steady running, as lubricated as its mark says
  std::string_view source{};
  std::string_view mark{};  ///< as in reference/sources.md: Q read, Q2 second-hand, M from memory
};

/// Limits for sizing, each from the cautious end of what was found. None is a maker's promise for a
/// part: where the mark is M no text with the figure was found, and the nut's own sheet goes
/// before. A nut that runs now and then bears more pressure times speed than one that runs all day.
inline constexpr std::array nut_limits{
    NutLimit{NutMaterial::bronze, megapascals(7.8), megapascal_metres_per_second(1.0),
             "pressure [Bimeccanica] (Q); pressure times speed of oiled bronze from memory, 1 to "
             "1.75",
             "M"},
    NutLimit{NutMaterial::brass, megapascals(7.8), megapascal_metres_per_second(0.36),
             "pressure as bronze; pressure times speed as the zinc alloy of [THK nuts], oiled: "
             "assumed",
             "M"},
    NutLimit{NutMaterial::cast_iron, megapascals(4.1), megapascal_metres_per_second(0.36),
             "pressure [Shigley] table 8-4 from memory; pressure times speed assumed as brass",
             "M"},
    NutLimit{NutMaterial::steel, megapascals(4.1), megapascal_metres_per_second(0.36),
             "assumed not above cast iron; steel on steel seizes", "M"},
    NutLimit{NutMaterial::acetal, megapascals(5.0), megapascal_metres_per_second(0.1),
             "both from memory, dry", "M"},
    NutLimit{NutMaterial::filled_plastic, megapascals(5.0), megapascal_metres_per_second(0.1),
             "assumed as acetal; makers print more for their own", "M"},
};

/// The row of a nut material in `nut_limits`.
///
/// \throws InvalidInput  a material that is not in the table
inline const NutLimit& nut_limit(NutMaterial nut) {
  for (const NutLimit& row : nut_limits)
    if (row.nut == nut) return row;
  throw InvalidInput("nut material", "one of the table", static_cast<int>(nut), "");
}

/// Pressure that a thread bears in motion, by its speed.
struct PressureAtSpeed {
  NutMaterial nut = NutMaterial::bronze;
  Speed up_to{};  ///< rubbing
  Pressure least{};
  Pressure most{};
  std::string_view mark{};
};

/// Source: [Shigley] table 8-4, steel screw, speeds of 10, 40 and 50 ft/min and more for bronze, 8
/// and 40 for cast iron; between the rows the next faster one stands. Q2, or M from memory.
inline constexpr std::array pressures_at_speed{
    PressureAtSpeed{NutMaterial::bronze, metres_per_second(0.0508), megapascals(11),
                    megapascals(17), "Q2"},
    PressureAtSpeed{NutMaterial::bronze, metres_per_second(0.2032), megapascals(5.5),
                    megapascals(9.7), "Q2"},
    PressureAtSpeed{NutMaterial::bronze, unlimited<Speed>(), megapascals(1.0), megapascals(1.7),
                    "M"},
    PressureAtSpeed{NutMaterial::cast_iron, metres_per_second(0.04064), megapascals(12),
                    megapascals(17), "M"},
    PressureAtSpeed{NutMaterial::cast_iron, metres_per_second(0.2032), megapascals(4.1),
                    megapascals(6.9), "M"},
};

/// The row that counts at a rubbing speed; nothing where the table has none.
///
/// \throws InvalidInput  speed below zero, or never set
inline const PressureAtSpeed* pressure_at_speed(NutMaterial nut, Speed rubbing) {
  require_not_negative("rubbing speed", rubbing);
  for (const PressureAtSpeed& row : pressures_at_speed)
    if (row.nut == nut && rubbing <= row.up_to) return &row;
  return nullptr;
}

}  // namespace pitchline::screw
