#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "pitchline/axis/belt_axis.hpp"
#include "pitchline/axis/lift.hpp"
#include "pitchline/parts/material.hpp"
#include "pitchline/parts/screw.hpp"
#include "pitchline/parts/solid_cylinder.hpp"
#include "pitchline/screw/nut_friction.hpp"
#include "pitchline/screw/power_screw.hpp"
#include "pitchline/screw/steel.hpp"
#include "pitchline/structure/torsion.hpp"

namespace pitchline::axis {

/// The sliding thread of a screw whose friction is known only from least to most.
struct ThreadFriction {
  Angle flank_half_angle = unset<Angle>();
  FrictionCoefficient least;
  FrictionCoefficient most;
  Length collar_mean_diameter{};             ///< 0 where the thrust bearing rolls
  FrictionCoefficient collar_friction{0.0};  ///< at its most
  FrictionCoefficient least_collar_friction{0.0};
  std::optional<screw::NutMaterial> nut{};          ///< nothing where it is not said
  std::optional<screw::Lubrication> lubrication{};  ///< where the range is that of the pair
};

/// Which ends of a screw are held along its axis.
enum class ScrewEnds { one_end_held, both_ends_held };

/// A screw between its bearings.
struct ScrewBody {
  Fraction lead_millimetres{0};               ///< exact: starts × pitch
  int starts = 1;                             ///< pitch is lead over starts
  Length outer_diameter = unset<Length>();    ///< inertia counts it as solid up to here
  Length mean_diameter = unset<Length>();     ///< friction acts there
  Length minor_diameter = unset<Length>();    ///< stiffness counts no more than the core
  Length bearing_distance = unset<Length>();  ///< the travel lies in the middle of it
  ScrewEnds ends = ScrewEnds::one_end_held;
  Pressure elastic_modulus = parts::steel_elastic_modulus;
  Pressure shear_modulus = parts::steel_shear_modulus;
  Density density = parts::steel_density;
  std::string name{};  ///< of the catalogue; empty where the file describes it
  std::optional<parts::ThreadKind> thread{};  ///< nothing where it is not said
  Force dynamic_rating = unset<Force>();      ///< of balls; unset: not known
  Force static_rating = unset<Force>();       ///< likewise
};

/// Whether nothing is said of the screw itself, so that it is to be chosen.
inline bool is_left_open(const ScrewBody& body) {
  return body.lead_millimetres == Fraction(0) && is_unset(body.outer_diameter);
}

/// Least and most efficiency of a ball screw that is not preloaded: the least counts where the
/// motor drives, the most where the load does. Source: [Oriental Motor], 0.85 to 0.95.
inline constexpr double least_ball_screw_efficiency = 0.85;
inline constexpr double most_ball_screw_efficiency = 0.95;

/// Puts a screw of the catalogue between the bearings, in place of the one that is there.
inline void take_screw(ScrewBody& body, const parts::Screw& screw) {
  body.lead_millimetres = screw.lead_millimetres;
  body.starts = screw.starts;
  body.outer_diameter = screw.outer_diameter;
  body.mean_diameter = screw.mean_diameter;
  body.minor_diameter = screw.minor_diameter;
  body.name = screw.name;
  body.thread = screw.thread;
  body.dynamic_rating = screw.dynamic_rating;
  body.static_rating = screw.static_rating;
}

/// How the screws of a lift stand, and where all that they lift acts together.
struct ScrewStand {
  std::vector<ScrewPlace> places{};  ///< one for each screw
  ScrewPlace load_at{};
  Length nut_level = unset<Length>();  ///< by which one nut may stand higher; unset: not known
};

/// A carriage, gantry or table moved by screws, with one to four motors, built of parts.
// NOLINTNEXTLINE(bugprone-exception-escape): its assignment moves reduced fractions only
struct ScrewAxis {
  parts::StepperMotor motor{};
  int motors = 1;  ///< 1 to 4, each with its own screw or screws
  parts::Driver driver{};
  Fraction motor_turns_per_screw_turn{1};  ///< of a belt stage; 1 where the screw is coupled
  Efficiency stage_efficiency{1.0};        ///< of that stage
  Inertia motor_pulley_inertia{};          ///< on the motor shaft, of a stage or a coupling
  ScrewBody screw{};
  int screws_per_motor = 1;                       ///< tied together to turn as one
  Inertia screw_pulley_inertia{};                 ///< of what turns with each screw
  std::variant<Efficiency, ThreadFriction> loss;  ///< of the screw: given, or by its friction
  Stiffness nut_stiffness =
      unlimited<Stiffness>();  ///< along the axis, nut and bearing, each screw
  Length travel = unset<Length>();
  std::vector<MovingPart> moving{};
  parts::Guide guide;
  Angle incline{};                    ///< 0 level, 90° straight up
  std::optional<ScrewStand> stand{};  ///< nothing: all screws share alike
};

namespace detail {
inline void require_valid(const ScrewBody& screw) {
  require_positive("lead", screw.lead_millimetres, "mm");
  require_in_range("starts", screw.starts, 1, 20);
  require_positive("minor diameter", screw.minor_diameter);
  if (!(screw.mean_diameter >= screw.minor_diameter))
    throw InvalidInput("mean diameter", ">= minor diameter", in_millimetres(screw.mean_diameter),
                       "mm");
  if (!(screw.outer_diameter >= screw.mean_diameter && is_finite(screw.outer_diameter)))
    throw InvalidInput("outer diameter", ">= mean diameter", in_millimetres(screw.outer_diameter),
                       "mm");
  require_positive("bearing distance", screw.bearing_distance);
  require_positive_or_infinite("elastic modulus", screw.elastic_modulus);
  require_positive("density", screw.density);
}
inline void require_valid(const ScrewAxis& axis) {
  require_in_range("motors", axis.motors, 1, 4);
  require_positive("motor turns per screw turn", axis.motor_turns_per_screw_turn, "");
  require_in_range("screws per motor", axis.screws_per_motor, 1, 8);
  require_valid(axis.screw);
  for (const Inertia& each : {axis.motor_pulley_inertia, axis.screw_pulley_inertia})
    require_not_negative("pulley inertia", each);
  require_in_range("incline", axis.incline, degrees(0), degrees(90));
  require_not_negative("drag", axis.guide.drag);
  for (const MovingPart& part : axis.moving)
    if (!(part.mass >= kilograms(0) && is_finite(part.mass)))
      throw InvalidInput("mass of " + part.name, ">= 0", in_kilograms(part.mass), "kg");
}
}  // namespace detail

/// Sum of all that moves.
inline Mass moving_mass(const ScrewAxis& axis) {
  Mass sum{};
  for (const MovingPart& part : axis.moving) sum += part.mass;
  return sum;
}

/// Screws of all motors together.
inline int number_of_screws(const ScrewAxis& axis) { return axis.motors * axis.screws_per_motor; }

namespace detail {
// The stiffest that a screw with its nut is over the travel: with the nut nearest to the bearing.
inline Stiffness stiffest_nut(const ScrewAxis& axis) {
  const ScrewBody& screw = axis.screw;
  const Length nearest = (screw.bearing_distance - axis.travel) / 2.0;
  const Area core = std::numbers::pi / 4.0 * screw.minor_diameter * screw.minor_diameter;
  if (!(nearest > metres(0))) return axis.nut_stiffness;
  const Stiffness held = screw.elastic_modulus * core / nearest;
  return is_finite(axis.nut_stiffness) ? 1.0 / (1.0 / held + 1.0 / axis.nut_stiffness) : held;
}
}  // namespace detail

/// The largest part of what stands on the screws that any one of their nuts bears.
///
/// Without a stand the equal share. With it the share of equally stiff screws and what a nut bears
/// more because it stands higher by `nut_level`, but no more than statics leaves any nut; that most
/// where `nut_level` is not known.
///
/// \throws InvalidInput     as `screw_shares`; as many places as screws are wanted; load below
/// zero,
///                          or never set; a field of the axis outside its range
/// \throws OutsideValidity  as `largest_share`
inline double largest_nut_share(const ScrewAxis& axis, Force load) {
  detail::require_valid(axis);
  const int screws = number_of_screws(axis);
  if (!axis.stand) return 1.0 / screws;
  const ScrewStand& stand = *axis.stand;
  if (stand.places.size() != static_cast<std::size_t>(screws))
    throw InvalidInput("number of places", "that of the screws",
                       static_cast<double>(stand.places.size()), "");
  require_not_negative("load", load);
  const double most = largest_share(stand.places, stand.load_at);
  const Stiffness stiffness = detail::stiffest_nut(axis);
  if (is_unset(stand.nut_level) || !is_finite(stiffness) || !(load > newtons(0))) return most;
  const std::vector<double> shares = screw_shares(stand.places, stand.load_at);
  double largest = 0.0;
  for (std::size_t i = 0; i < shares.size(); ++i)
    largest = std::max(
        largest, shares[i] + number(unbalance(stand.places, i, stand.nut_level, stiffness) / load));
  return std::min(largest, most);
}

/// The mass that the most heavily loaded motor must move: its share of what stands on the bed, and
/// all of what travels along the beam, which may stand over its screw. One motor moves all.
///
/// Derived: as `mass_at_deciding_motor(BeltAxis)`; with three or four motors the shares of a rigid
/// table depend on how it was levelled, and this takes a load right over one support as borne by
/// it. The share is equal without a stand, and with it `largest_nut_share` for each of its screws.
///
/// \throws InvalidInput     as `largest_nut_share`
/// \throws OutsideValidity  as `largest_nut_share`
inline Mass mass_at_deciding_motor(const ScrewAxis& axis) {
  Mass standing{};
  Mass travelling{};
  for (const MovingPart& part : axis.moving)
    (part.travels_along_beam ? travelling : standing) += part.mass;
  double share = 1.0 / static_cast<double>(axis.motors);
  if (axis.stand && axis.motors > 1)
    share =
        std::min(1.0, axis.screws_per_motor * largest_nut_share(axis, standing * standard_gravity));
  return share * standing + travelling;
}

/// The mass that the most loaded nut bears, `largest_nut_share` of what stands on the bed and all
/// of what travels along the beam.
///
/// \throws InvalidInput     as `largest_nut_share`
/// \throws OutsideValidity  as `largest_nut_share`
inline Mass mass_at_deciding_nut(const ScrewAxis& axis) {
  Mass standing{};
  Mass travelling{};
  for (const MovingPart& part : axis.moving)
    (part.travels_along_beam ? travelling : standing) += part.mass;
  return largest_nut_share(axis, standing * standard_gravity) * standing + travelling;
}

/// A screw of the axis with a given friction in its thread.
///
/// \throws InvalidInput  lead or diameters outside their range
inline screw::PowerScrew power_screw(const ScrewBody& body, const ThreadFriction& thread,
                                     FrictionCoefficient friction) {
  detail::require_valid(body);
  return {.mean_diameter = body.mean_diameter,
          .lead = millimetres(to_double(body.lead_millimetres)),
          .flank_half_angle = thread.flank_half_angle,
          .thread_friction = friction,
          .collar_mean_diameter = thread.collar_mean_diameter,
          .collar_friction = thread.collar_friction};
}

/// Efficiency of the screw that decides: as given, or with the most friction of the range.
///
/// \throws InvalidInput     a figure of screw or thread outside its range, or never set; least
///                          friction above most
/// \throws OutsideValidity  the screw locks at the most friction
inline Efficiency deciding_efficiency(const ScrewAxis& axis) {
  if (const auto* given = std::get_if<Efficiency>(&axis.loss)) return *given;
  const auto& thread = std::get<ThreadFriction>(axis.loss);
  if (!(thread.least.value() <= thread.most.value()))
    throw InvalidInput("least friction", "<= most friction", thread.least.value(), "");
  return screw::efficiency(power_screw(axis.screw, thread, thread.most));
}

/// Travel of the load per angle of the motor shaft.
///
/// \throws InvalidInput  lead or motor turns not above zero
inline Transmission motor_transmission(const ScrewAxis& axis) {
  detail::require_valid(axis);
  return millimetres(to_double(axis.screw.lead_millimetres / axis.motor_turns_per_screw_turn)) /
         revolution;
}

/// The whole numbers behind the steps per mm of the axis.
///
/// \throws InvalidInput  pulses per turn not a whole number from 1 to 1 000 000; lead or motor
/// turns
///                       not above zero
inline motion::StepTrain step_train(const ScrewAxis& axis) {
  detail::require_valid(axis);
  return {.pulses_per_turn = whole_pulses_per_turn(axis.driver),
          .turns_per_pulley_turn = axis.motor_turns_per_screw_turn,
          .millimetres_per_pulley_turn = axis.screw.lead_millimetres};
}

/// What turns with the deciding motor, all seen at its shaft.
struct ScrewInertiaAtMotor {
  Inertia rotor{};
  Inertia pulleys{};  ///< on the motor and on its screws
  Inertia screws{};
  Inertia load{};  ///< everything in straight motion
  [[nodiscard]] Inertia sum() const { return rotor + pulleys + screws + load; }
};

/// Inertia seen by the deciding motor, by where it comes from. A screw counts as a solid bar of its
/// outer diameter between its bearings, which is no less than it has there.
///
/// \throws InvalidInput  a field outside its range, or never set
inline ScrewInertiaAtMotor inertia_at_motor(const ScrewAxis& axis) {
  detail::require_valid(axis);
  const double ratio = to_double(axis.motor_turns_per_screw_turn);
  const double screws = axis.screws_per_motor / (ratio * ratio);
  const Inertia screw = parts::inertia({.diameter = axis.screw.outer_diameter,
                                        .length = axis.screw.bearing_distance,
                                        .density = axis.screw.density});
  return {.rotor = axis.motor.rotor_inertia,
          .pulleys = axis.motor_pulley_inertia + screws * axis.screw_pulley_inertia,
          .screws = screws * screw,
          .load = motion::carried_inertia(mass_at_deciding_motor(axis), motor_transmission(axis))};
}

/// The axis as its deciding motor sees it. Guide friction is the coefficient times the weight
/// across the guide, and the drag shared among the motors; gravity is m g sin(incline).
///
/// The efficiency lies between screw and load, so the inertia of screws and pulleys counts as the
/// motor's own, ahead of it. While the motor drives, this is exact for the friction given; where
/// the load drives the screw, use `screw::lowering_torque`: the two directions of a sliding thread
/// have different efficiencies, and a self-locking one must be driven down. Raising always takes
/// more.
///
/// \throws InvalidInput     a field outside its range, or never set; as `deciding_efficiency`
/// \throws OutsideValidity  as `deciding_efficiency`
inline motion::AxisAtMotor axis_at_motor(const ScrewAxis& axis) {
  const ScrewInertiaAtMotor turning = inertia_at_motor(axis);
  const Mass mass = mass_at_deciding_motor(axis);
  const Force weight = mass * standard_gravity;
  const Force friction = axis.guide.friction.value() * weight * std::cos(in_radians(axis.incline)) +
                         axis.guide.drag / static_cast<double>(axis.motors);
  return {
      .transmission = motor_transmission(axis),
      .mass = mass,
      .motor_side_inertia = turning.rotor + turning.pulleys + turning.screws,
      .friction = friction,
      .breakaway = parts::static_beyond_running(axis.guide, friction, axis.motors),
      .gravity = weight * std::sin(in_radians(axis.incline)),
      .efficiency = Efficiency(axis.stage_efficiency.value() * deciding_efficiency(axis).value())};
}

/// Where a screw gives way most, and how stiff it is there.
struct ScrewStiffness {
  Length position{};      ///< of the nut, from the driven end, where both together are softest
  Stiffness axial{};      ///< of the core, there
  Stiffness torsional{};  ///< of its wind-up, as the nut feels it, there
  Stiffness smallest{};   ///< both and the nut, one behind the other
};

/// Stiffness of one screw at its smallest over the travel, its driven end held.
///
///     axial      E A/x  one end held;  E A (1/x + 1/(L − x))  both ends held
///     torsional  η G J/(x t²)          t = l/2π
///
///     x  from the driven end, which is held, to the nut   m, up to (L + S)/2
///     L  bearing_distance    m   > 0
///     S  travel              m   (0, L]
///     A  core section        m²  π d²/4 with the minor diameter d; J = π d⁴/32
///     E  elastic_modulus     Pa  > 0;  G  shear_modulus  Pa  > 0
///     l  lead                m   > 0
///     η  deciding_efficiency –   the torque that drives winds the screw up by 1/η more
///
/// Leaves out the thread outside the core, and a screw that bends or buckles. Standing still, the
/// friction in the thread keeps it from winding back, so it is no softer than this.
///
/// \throws InvalidInput  a figure outside its range, or never set; as `deciding_efficiency`
///
/// Derived: the give of both, c(x) = x (L − x)/(E A L) + q x with both ends held, rises up to
/// x = L (1 + q E A)/2, beyond which it falls; with one end held it rises throughout.
inline ScrewStiffness screw_stiffness(const ScrewAxis& axis) {
  detail::require_valid(axis);
  const ScrewBody& screw = axis.screw;
  const Length span = screw.bearing_distance;
  if (!(axis.travel > metres(0) && axis.travel <= span))
    throw InvalidInput("travel", "> 0 and <= bearing distance", in_millimetres(axis.travel), "mm");
  require_positive_or_infinite("nut stiffness", axis.nut_stiffness);
  const Area core = std::numbers::pi / 4.0 * screw.minor_diameter * screw.minor_diameter;
  const Force per_strain = screw.elastic_modulus * core;
  const Transmission travel_per_angle = millimetres(to_double(screw.lead_millimetres)) / revolution;
  const TorsionalStiffness one_metre =
      structure::torsional_stiffness({.diameter = screw.minor_diameter,
                                      .length = metres(1),
                                      .shear_modulus = screw.shear_modulus});
  // Force per share of length wound up, as E A is for stretch.
  const Force per_wind = deciding_efficiency(axis).value() * one_metre * metres(1) /
                         (travel_per_angle * travel_per_angle);
  Length position = (span + axis.travel) / 2.0;
  Stiffness axial = per_strain / position;
  if (screw.ends == ScrewEnds::both_ends_held) {
    position = std::min(position, span / 2.0 * (1.0 + number(per_strain / per_wind)));
    // At the very end of the screw its two bearings leave no give at all.
    axial = position < span ? per_strain / position + per_strain / (span - position)
                            : unlimited<Stiffness>();
  }
  const Stiffness torsional = per_wind / position;
  const auto give = 1.0 / axial + 1.0 / torsional + 1.0 / axis.nut_stiffness;
  return {.position = position, .axial = axial, .torsional = torsional, .smallest = 1.0 / give};
}

/// Stiffness between the deciding motor and its load at its smallest over the travel: all screws of
/// that motor side by side. A belt stage ahead of them is left out.
///
/// \throws InvalidInput     as `screw_stiffness`
/// \throws OutsideValidity  as `deciding_efficiency`
inline Stiffness smallest_stiffness(const ScrewAxis& axis) {
  return static_cast<double>(axis.screws_per_motor) * screw_stiffness(axis).smallest;
}

}  // namespace pitchline::axis
