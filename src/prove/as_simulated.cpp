#include "pitchline/prove/as_simulated.hpp"

#include <algorithm>
#include <variant>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/motor/resonance.hpp"
#include "pitchline/motor/unstable_bands.hpp"
#include "pitchline/motor/verdict_motor.hpp"
#include "pitchline/simulate/axis.hpp"

namespace pitchline::prove {

using namespace check;

namespace detail {

// Of what is known of the torque beyond the wanted speed: `--map` goes to one and a half.
inline constexpr double speeds_known_to = 2.0;

}  // namespace detail

namespace detail {

simulate::DriveLoss loss_of(const AxisState& s) {
  const double efficiency = s.seen.efficiency.value();
  simulate::DriveLoss loss = simulate::loss_of(s.seen.efficiency);
  const auto* drive = s.drive_as<axis::ScrewAxis>();
  const auto* thread = drive ? std::get_if<axis::ThreadFriction>(&drive->loss) : nullptr;
  if (!thread) return loss;
  // Of a sliding thread the two directions differ: lowering takes F t λ' − F t.
  const screw::PowerScrew screw = axis::power_screw(drive->screw, *thread, thread->most);
  const Force any = newtons(1);
  const Transmission lead = screw.lead / revolution;
  loss.driven = 1.0 + number(screw::lowering_torque(screw, any) / (any * lead));
  loss.driving = 1.0 / efficiency - 1.0;
  return loss;
}

namespace {
// The verdict's torque over the model's. Where losses other than the check's are asked for, the
// check's curve says nothing of them.
simulate::TorqueShare share_of(const AxisState& s, const motor::Feed& feed) {
  constexpr int steps = 48;
  const motor::VerdictMotor motor(s.motor(), feed, s.curve);
  simulate::TorqueShare out{.top = speeds_known_to * (s.axis.want.speed / s.seen.transmission)};
  for (int i = 0; i <= steps; ++i)
    out.shares.push_back(motor.at(out.top * (static_cast<double>(i) / steps)).share());
  return out;
}

// The strands of a belt that is fitted with a known tension, the carriage where both are softest.
std::optional<simulate::BeltStrands> strands_of(const AxisState& s) {
  if (!s.has_belt() || is_unset(s.axis.fitting.tension)) return std::nullopt;
  const axis::BeltAxis& drive = s.belt();
  if (drive.stage || drive.cross_shaft || !is_finite(s.stiffness)) return std::nullopt;
  const Length near = (drive.span + drive.travel) / 2.0;
  const double share = number((2.0 * drive.span - near) / (2.0 * drive.span));
  return simulate::BeltStrands{.tension = s.axis.fitting.tension,
                               .up = share * s.stiffness,
                               .down = s.stiffness - share * s.stiffness};
}

std::optional<simulate::Gantry> gantry_of(const AxisState& s, double place) {
  if (!s.has_belt() || s.motors() != 2) return std::nullopt;
  const axis::BeltAxis& drive = s.belt();
  simulate::Gantry g{
      .travelling = kilograms(0), .place = place, .beam = 2.0 * axis::belt_mass(drive)};
  for (const axis::MovingPart& part : drive.moving)
    (part.travels_along_beam ? g.travelling : g.beam) += part.mass;
  const double cosine = std::cos(in_radians(drive.incline));
  const double sine = std::sin(in_radians(drive.incline));
  const auto of_side = [&](double share, Force& friction, Force& gravity) {
    const Force weight = (share * g.travelling + g.beam / 2.0) * standard_gravity;
    friction =
        drive.guide.friction.value() * weight * cosine + drive.guide.drag / 2.0 + drive.belt_drag;
    gravity = weight * sine;
  };
  of_side(1.0 - place, g.near_friction, g.near_gravity);
  of_side(place, g.far_friction, g.far_gravity);
  return g;
}

// The first way in which the beam bends sideways; nothing where the carriage stands over an end.
std::optional<simulate::BeamMode> beam_mode_of(const AxisState& s, double place) {
  if (!s.axis.beam) return std::nullopt;
  const structure::Beam& beam = *s.axis.beam;
  // Of one motor the place is not asked: the middle bends most.
  const double at = s.motors() == 2 ? place : 0.5;
  constexpr double over_the_end = 0.02;  // of the span; beyond it the beam is as good as rigid
  if (at < over_the_end || at > 1.0 - over_the_end) return std::nullopt;
  structure::Carriage carriage{.mass = kilograms(0), .position = at * beam.span};
  for (const axis::MovingPart& part : machine::moving_parts(s.axis.drive))
    if (part.travels_along_beam) carriage.mass += part.mass;
  return simulate::BeamMode{.mass = structure::modal_mass(beam, carriage),
                            .stiffness = structure::lateral_stiffness_at(beam, carriage.position),
                            .damping = beam.damping_ratio};
}
}  // namespace

}  // namespace detail

simulate::SimulatedAxis as_simulated(const AxisState& s, const SimulationChoice& choice) {
  const motor::LossModel& losses = choice.losses ? *choice.losses : s.curve.losses();
  motor::require_valid(losses);
  if (is_unset(s.stiffness))
    throw OutsideValidity(
        "the stiffness of the drive is not known: give its stretch (see what pitchline-check says "
        "of the belt)");
  const parts::StepperMotor& motor = s.motor();
  const motor::Feed feed =
      motor::counted(motor, {s.machine.supply.voltage, parts::current_amplitude(s.driver())});
  simulate::SimulatedAxis out{.axis = s.seen,
                              .winding = motor::driven_winding(motor, feed),
                              .belt_stiffness = s.stiffness,
                              .belt_damping = machine::damping_of(s.axis.drive),
                              .motor_drag = motor::assumed_motor_damping(motor),
                              .static_friction = s.seen.friction + s.seen.breakaway};
  out.winding.resistance *= losses.hot_winding.value();
  out.winding.inductance = motor::effective_inductance(motor, losses);
  out.winding.amplitude *= losses.current_share.value();
  const Voltage drop = (1.0 - losses.voltage_share.value()) * out.winding.voltage;
  if (is_unset(s.machine.supply.capacitance)) {
    out.winding.voltage -= drop;
  } else {
    out.bus = simulate::Bus{.no_load = s.machine.supply.voltage,
                            .resistance = s.machine.supply.resistance,
                            .capacitance = s.machine.supply.capacitance};
    out.driver.drop = drop;
  }
  out.iron_torque = motor::drag_torque(motor, losses);
  if (!choice.ideal_motor && !choice.losses) out.share = detail::share_of(s, feed);
  out.loss = detail::loss_of(s);
  if (!is_finite(s.stiffness) && (out.loss->driving > 0.0 || out.loss->driven > 0.0)) {
    const motor::RotorField field = motor::field_at_rest(out.winding);
    const auto of_field = motor::field_stiffness(field, Torque{});
    out.belt_stiffness = Stiffness(100.0 * *of_field / (s.seen.transmission * s.seen.transmission));
  }
  out.strands = detail::strands_of(s);
  out.gantry = detail::gantry_of(s, choice.place);
  out.beam = detail::beam_mode_of(s, choice.place);
  if (choice.switching) out.driver.regulation = simulate::Regulation::switching;
  if (choice.pulses) {
    out.driver.microsteps = s.driver().pulses_per_turn / motor.full_steps_per_turn;
    out.driver.pulse_tick = pulses(1) / s.machine.controller.pulse_rate;
  }
  return out;
}

}  // namespace pitchline::prove
