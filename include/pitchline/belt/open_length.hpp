#pragma once

#include <cmath>
#include <numbers>

#include "pitchline/belt/strength.hpp"
#include "pitchline/belt/two_pulleys.hpp"

namespace pitchline::belt {

/// What a run needs besides its path: both ends in clamps, and something to pull.
struct BeltEnding {
  int teeth_in_each_clamp = clamp_teeth(parts::Construction::unknown);
  Length adjustment{};  ///< of belt beyond the clamps, to grip it and to set the tension
};

/// A belt clamped at the carriage that runs round a drive pulley at one end and an idler at the
/// other.
struct CarriageLoop {
  parts::BeltProfile profile{};
  Length span = unset<Length>();                     ///< centre of drive pulley to that of idler
  Length drive_pitch_line_radius = unset<Length>();  ///< see belt/pitch_line_radius.hpp
  Length idler_pitch_line_radius = unset<Length>();
  Length carriage_gap = unset<Length>();  ///< without belt, from where it enters one clamp to the
                                          ///< same point of the other
  BeltEnding ending{};
};

/// A belt laid along the beam and held at both its ends. The motor rides on the carriage: its
/// pulley stands over the belt, teeth against teeth, between two idlers that press on the back.
struct BeamBelt {
  parts::BeltProfile profile{};
  Length between_clamps = unset<Length>();  ///< along the beam, where the belt leaves the clamps
  Length drive_pitch_line_radius = unset<Length>();
  Length idler_pitch_line_radius = unset<Length>();  ///< of both, on the back of the belt
  Length idler_centres = unset<Length>();  ///< from one idler to the other, the drive pulley midway
  /// Centre of the drive pulley from the line of both idler centres, away from the belt.
  Length drive_height = unset<Length>();
  BeltEnding ending{};
};

/// Belt to order for one run, and what it is made of: path + in clamps + adjustment.
struct OpenLength {
  int belts = 1;                        ///< how many of this length
  Length path = unset<Length>();        ///< free and on pulleys
  Length in_clamps = unset<Length>();   ///< both ends together
  Length adjustment = unset<Length>();  ///< beyond the clamps
  Length least = unset<Length>();       ///< the sum
  int teeth = 0;                        ///< rounded up to whole ones
  Length to_order = unset<Length>();    ///< of one belt: teeth times pitch
  bool clamps_hold_enough = false;      ///< at least `clamp_teeth` in each
};

/// How the belt lies round the drive pulley of a `BeamBelt`.
struct BeamBeltWrap {
  PulleyWrap drive{};
  Angle idler = unset<Angle>();             ///< wrap on each idler, half that on the drive pulley
  Length idler_to_drive = unset<Length>();  ///< free length of each of the two strands there
  Length detour = unset<Length>();          ///< belt that the way round takes more than straight on
};

namespace detail {

inline BeltPitch required_pitch(const parts::BeltProfile& profile) {
  const BeltPitch p = parts::pitch(profile);
  require_positive("pitch", p);
  return p;
}

inline OpenLength open_length(const parts::BeltProfile& profile, Length path,
                              const BeltEnding& ending) {
  const BeltPitch p = required_pitch(profile);
  require_at_least("teeth in each clamp", ending.teeth_in_each_clamp, 1);
  require_not_negative("adjustment", ending.adjustment);
  OpenLength o{.path = path,
               .in_clamps = 2.0 * teeth(ending.teeth_in_each_clamp) * p,
               .adjustment = ending.adjustment};
  o.least = o.path + o.in_clamps + o.adjustment;
  o.teeth = counted_teeth(std::ceil(in_teeth(o.least / p) - 1e-9));
  o.to_order = teeth(o.teeth) * p;
  o.clamps_hold_enough = ending.teeth_in_each_clamp >= clamp_teeth(profile.construction);
  return o;
}

}  // namespace detail

/// Belt to order for a loop clamped at the carriage.
///
///     L = 2 √(S² − (r_d − r_i)²) + π (r_d + r_i) + 2 (r_d − r_i) asin((r_d − r_i)/S) − gap
///         + 2 n_c p + adjustment        equal radii: L = 2 S + 2π r − gap + 2 n_c p + adjustment
///
///     S           span                     m  > r_d + r_i
///     r_d         drive_pitch_line_radius  m  > 0
///     r_i         idler_pitch_line_radius  m  > 0
///     gap         carriage_gap             m  ≥ 0, shorter than the span
///     n_c         teeth_in_each_clamp      –  ≥ 1
///     adjustment  adjustment               m  ≥ 0
///     L           least                    m  and rounded up to whole teeth in `to_order`
///
/// Leaves out the stretch of the belt under tension, which is far below a tooth, and ends that turn
/// back on themselves in the clamp: count those as adjustment.
///
/// \throws InvalidInput     a number outside the table, or never set
/// \throws OutsideValidity  the pulleys overlap; more than 1e9 teeth
///
/// Source: derived: the closed belt round both pulleys, see `belt_length`, less what the carriage
/// leaves out, plus what the clamps hold.
inline OpenLength order_length(const CarriageLoop& run) {
  detail::required_pitch(run.profile);
  require_positive("drive pitch-line radius", run.drive_pitch_line_radius);
  require_positive("idler pitch-line radius", run.idler_pitch_line_radius);
  detail::require_apart(run.drive_pitch_line_radius, run.idler_pitch_line_radius, run.span);
  if (!(run.carriage_gap >= metres(0) && run.carriage_gap < run.span))
    throw InvalidInput("carriage gap", ">= 0 and < span", in_millimetres(run.carriage_gap), "mm");
  const Length round =
      metres(detail::length_round(in_metres(run.drive_pitch_line_radius),
                                  in_metres(run.idler_pitch_line_radius), in_metres(run.span)));
  return detail::open_length(run.profile, round - run.carriage_gap, run.ending);
}

/// Belt to order for a gantry that is pulled by one such loop on each side: two belts.
///
/// \throws InvalidInput, OutsideValidity  as `order_length`
inline OpenLength order_length_of_pair(const CarriageLoop& one_side) {
  OpenLength o = order_length(one_side);
  o.belts = 2;
  return o;
}

/// How a belt laid along the beam goes up round the drive pulley on the carriage and down again.
///
///     d = √((e/2)² + h²)    t = √(d² − (r_d + r_i)²)    φ = atan2(h, e/2) + asin((r_d + r_i)/d)
///     detour = 2 t + 2 (r_d + r_i) φ − e                wrap on the drive pulley = 2 φ
///
///     e    idler_centres            m    > 2 r_i
///     h    drive_height             m    any
///     r_d  drive_pitch_line_radius  m    > 0
///     r_i  idler_pitch_line_radius  m    > 0
///     φ    idler                    rad
///     t    idler_to_drive           m
///
/// \throws InvalidInput     a number outside the table, or never set
/// \throws OutsideValidity  the drive pulley overlaps the idlers; it presses on the belt that lies
///                          on the beam
///
/// Source: derived: the tangent of circles on opposite sides of the belt, as in belt/loop.hpp; by
/// symmetry each idler turns the belt by half of what the drive pulley turns it back.
inline BeamBeltWrap beam_belt_wrap(const BeamBelt& run) {
  const BeltPitch p = detail::required_pitch(run.profile);
  require_positive("drive pitch-line radius", run.drive_pitch_line_radius);
  require_positive("idler pitch-line radius", run.idler_pitch_line_radius);
  const double drive = in_metres(run.drive_pitch_line_radius);
  const double idler = in_metres(run.idler_pitch_line_radius);
  const double half = in_metres(run.idler_centres) / 2.0;
  const double height = in_metres(run.drive_height);
  if (!(half > idler && std::isfinite(half)))
    throw InvalidInput("idler centres", "> twice the idler pitch-line radius",
                       in_millimetres(run.idler_centres), "mm");
  if (!std::isfinite(height))
    throw InvalidInput("drive height", "given and finite", in_millimetres(run.drive_height), "mm");
  const double d = std::hypot(half, height);
  if (!(d > drive + idler))
    throw OutsideValidity(fmt::format(
        "drive pulley and idlers overlap: centres {:.6g} mm apart, pitch-line radii add up to "
        "{:.6g} mm",
        1e3 * d, 1e3 * (drive + idler)));
  // The belt lies at −r_i from the idler centres.
  if (!(height - drive > -idler))
    throw OutsideValidity(
        fmt::format("the drive pulley presses on the belt between the idlers: its height must be "
                    "above {:.6g} mm, is {:.6g} mm",
                    1e3 * (drive - idler), 1e3 * height));
  const double turn = std::atan2(height, half) + std::asin((drive + idler) / d);
  const double free = std::sqrt((d - drive - idler) * (d + drive + idler));
  return {.drive = detail::wrap_on(run.drive_pitch_line_radius, radians(2.0 * turn), p),
          .idler = radians(turn),
          .idler_to_drive = metres(free),
          .detour = metres(2.0 * (free + (drive + idler) * turn - half))};
}

/// Belt to order for a belt laid along the beam. It does not depend on where the carriage stands.
///
///     L = between_clamps + detour + 2 n_c p + adjustment
///
/// \throws InvalidInput     as `beam_belt_wrap`; the ends closer than the idlers; ending as
///                          `order_length`
/// \throws OutsideValidity  as `beam_belt_wrap`; more than 1e9 teeth
///
/// Source: derived; `detour` see `beam_belt_wrap`.
inline OpenLength order_length(const BeamBelt& run) {
  const BeamBeltWrap wrap = beam_belt_wrap(run);
  if (!(run.between_clamps > run.idler_centres && is_finite(run.between_clamps)))
    throw InvalidInput("distance between the clamps", "> idler centres",
                       in_millimetres(run.between_clamps), "mm");
  return detail::open_length(run.profile, run.between_clamps + wrap.detour, run.ending);
}

}  // namespace pitchline::belt
