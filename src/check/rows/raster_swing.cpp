#include "pitchline/check/rows/raster_swing.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motion/residual_vibration.hpp"
#include "pitchline/motor/load_angle.hpp"
#include "pitchline/motor/lossy_winding.hpp"
#include "pitchline/motor/resonance.hpp"
#include "pitchline/motor/stability.hpp"
#include "pitchline/motor/unstable_bands.hpp"

namespace pitchline::check {

namespace {

Torque of_friction(const AxisState& s) {
  return s.seen.friction * s.seen.transmission / s.seen.efficiency.value();
}

// Stiffness of the field about the load angle that a torque makes, at the shaft.
std::optional<TorsionalStiffness> field_about(const AxisState& s, Speed speed, Torque torque) {
  motor::VerdictMotorAtSpeed& running = s.running(speed / s.seen.transmission);
  // Wide enough to be read off a solution that is found by halving, narrow against the pull-out.
  const Torque apart = 0.01 * s.curve.for_verdict(speed / s.seen.transmission).torque;
  const auto below = running.load_angle(torque - apart);
  const auto above = running.load_angle(torque + apart);
  if (!below || !above || !(*above > *below)) return std::nullopt;
  return 2.0 * apart / motor::shaft_angle(*above - *below, s.winding().pole_pairs);
}

// Damping that a saturated motor takes away from a swing of this frequency on its field.
RotaryDrag taken_away(const AxisState& s, TorsionalStiffness field, Frequency swing, Speed speed) {
  motor::DrivenWinding winding = s.winding();
  // As for the stability of the motor: a saturated bridge approaches a square wave.
  winding.voltage *= 4.0 / std::numbers::pi;
  const Frequency omega = 2.0 * std::numbers::pi * swing;
  const auto need = motor::critical_damping(winding, {.inertia = field / (omega * omega),
                                                      .speed = speed / s.seen.transmission,
                                                      .torque = of_friction(s)});
  return need ? need->damping : RotaryDrag{};
}

}  // namespace

std::optional<LineMode> line_mode(const AxisState& s, Stiffness drive, Speed speed, Torque torque) {
  const auto field = field_about(s, speed, torque);
  if (!field) return std::nullopt;
  const Transmission t = s.seen.transmission;
  const Inertia inertia = s.seen.motor_side_inertia + s.seen.driven_side_inertia;
  const Mass rotor = inertia / (t * t);
  const Mass load = s.seen.mass;
  if (!(load > kilograms(0))) return std::nullopt;
  const motor::AxisModes modes = motor::axis_modes({.field_stiffness = *field,
                                                    .motor_side_inertia = inertia,
                                                    .mass = load,
                                                    .transmission = t,
                                                    .belt_stiffness = drive});
  const Frequency omega = 2.0 * std::numbers::pi * modes.first;
  const bool rigid = !is_finite(drive);
  const double ratio = rigid ? 1.0 : 1.0 - number(load * omega * omega / drive);
  const Mass swinging = load + ratio * ratio * rotor;
  const RotaryDrag taken = taken_away(s, *field, modes.first, speed);
  const auto of_motor =
      (motor::assumed_motor_damping(s.motor()) - taken) / (t * t) * (ratio * ratio);
  double zeta = number(of_motor / (2.0 * omega * swinging));
  if (!rigid) {
    const double of_drive = machine::damping_of(s.axis.drive).value();
    zeta += of_drive * number(square_root(drive * load) / (omega * swinging)) * (1.0 - ratio) *
            (1.0 - ratio);
  }
  return LineMode{.mode = {.natural_frequency = modes.first,
                           .damping_ratio = DampingRatio(std::clamp(zeta, 0.0, 0.99))},
                  .amplitude = number((load + ratio * rotor) / swinging),
                  .field = *field / (t * t),
                  .fed_by_motor = taken > RotaryDrag{}};
}

std::optional<RasterSwing> raster_swing(const AxisState& s, motion::LinesInTurn run,
                                        Length tolerance) {
  if (is_unset(s.stiffness)) return std::nullopt;
  const Transmission t = s.seen.transmission;
  const Mass moved =
      s.seen.mass + (s.seen.motor_side_inertia + s.seen.driven_side_inertia) / (t * t);
  // While it speeds up the field is softer: about what the ramp asks, and about the crest of it.
  const Torque friction = of_friction(s);
  const Torque iron = motor::drag_torque(s.motor(), s.curve.losses());
  const Torque ramp = moved * run.acceleration * t;
  const Torque most = 0.9 * s.curve.for_verdict(run.speed / t).torque;
  const std::array<Torque, 2> on_ramp{std::min<Torque>(friction + ramp, most),
                                      std::min<Torque>(friction + 2.0 * ramp, most)};
  constexpr int shares = 33;
  std::optional<RasterSwing> last;
  bool fed = false;
  for (int i = 0; i < shares; ++i) {
    const double share =
        least_drive_stiffness * std::pow(most_drive_stiffness / least_drive_stiffness,
                                         static_cast<double>(i) / (shares - 1.0));
    const Stiffness drive = share * s.stiffness;
    const auto found = line_mode(s, drive, run.speed, friction);
    if (!found) return std::nullopt;
    fed = fed || found->fed_by_motor;
    const auto amplitude_of = [&](const LineMode& of) {
      const Frequency omega = 2.0 * std::numbers::pi * of.mode.natural_frequency;
      // What friction stretches belt and field by, and what iron and bearings the field alone.
      run.friction = s.seen.friction /
                     (is_finite(drive) ? belt::in_series(drive, of.field) : of.field) * omega *
                     omega;
      run.in_drive = iron / t / of.field * omega * omega;
      return of.amplitude * motion::largest_swing_on_lines(of.mode, run);
    };
    Length amplitude = amplitude_of(*found);
    for (const Torque& torque : on_ramp)
      if (const auto softer = line_mode(s, drive, run.speed, torque); softer && torque > friction)
        amplitude = std::max(amplitude, amplitude_of(*softer));
    amplitude *= softening_field;
    const Time settling =
        motion::settling_time(found->mode, {.amplitude = amplitude, .tolerance = tolerance});
    if (!last || settling > last->settling ||
        (settling == last->settling && amplitude > last->amplitude))
      last = RasterSwing{amplitude, settling, found->mode, share};
    if (!is_finite(s.stiffness)) break;
  }
  if (last) last->fed_by_motor = fed;
  return last;
}

}  // namespace pitchline::check
