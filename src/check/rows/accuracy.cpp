#include "pitchline/check/rows/accuracy.hpp"

#include <algorithm>
#include <optional>

#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/row.hpp"
#include "pitchline/check/rows/holding.hpp"
#include "pitchline/motor/load_angle.hpp"
#include "pitchline/motor/verdict_motor.hpp"

namespace pitchline::check {

std::optional<PositionError> position_error(const AxisState& s, Stiffness stiffness, Force force,
                                            Torque torque, AngularSpeed speed) {
  motor::VerdictMotorAtSpeed& running = s.running(speed);
  const auto lag = running.load_angle(std::max(torque, Torque{}));
  if (!lag) return std::nullopt;
  const auto at_load = [&](Angle electrical) {
    return motor::shaft_angle(electrical, s.winding().pole_pairs) * s.seen.transmission;
  };
  const Angle full_step = revolution / in_full_steps(s.motor().full_steps_per_turn);
  return PositionError{.belt = force / stiffness,
                       .load_angle = lag_allowance * at_load(*lag),
                       .driver_lag = at_load(running.driver_lag()),
                       .step_error = step_error_share * full_step * s.seen.transmission};
}

namespace detail {

void explain(Finding& f, const std::optional<PositionError>& error, Stiffness stiffness,
             const std::string& stiffness_source) {
  f.source = stiffness_source +
             "; load angle derived, with the losses of the motor and the lag of its driver; step "
             "error of 5 % "
             "[MinebeaMitsumi glossary]";
  if (is_finite(stiffness))
    f.details.push_back(detail_of("stiffness of the drive, smallest", stiffness));
  if (!error) return;
  f.details.push_back(detail_of("stretch of the drive", error->belt));
  f.details.push_back(detail_of("rotor behind the field", error->load_angle));
  f.details.push_back(
      detail_of("of it the driver's current behind its command", error->driver_lag));
  f.details.push_back(detail_of("step error of the motor", error->step_error));
}

namespace {
std::string what_stretches(const AxisState& s, const PositionError& error, bool accelerating) {
  if (error.belt <= error.load_angle)
    return "a lower speed, more voltage or more motor: the rotor's lag is the larger part";
  const std::string stiffer(machine::stiffer(s.axis.drive));
  if (accelerating) return stiffer + ", less mass or acceleration, or a jerk time";
  return s.seen.gravity > s.seen.friction ? stiffer + " or a counterweight: gravity is most of it"
                                          : stiffer + " or less friction";
}
}  // namespace

std::string stiffness_source(const AxisState& s) { return machine::stiffness_source(s.axis.drive); }

namespace {
Finding unknown_stiffness(std::string key, std::string what, const AxisState& s, Length limit) {
  Finding f;
  f.key = std::move(key);
  f.what = std::move(what);
  f.value = unset<Length>();
  f.value_text = "unknown";
  f.limit = limit;
  const parts::Belt& belt = s.belt().belt;
  const bool of_stage = !is_unset(parts::tension_per_strain(belt));
  f.reason = fmt::format("the stiffness of {} belt, profile \"{}\", {} wide, is not known",
                         of_stage ? "the stage's" : "the",
                         of_stage ? s.belt().stage->profile.name : belt.profile.name,
                         print_plain(of_stage ? s.belt().stage->width : belt.width));
  f.remedy = of_stage
                 ? "take a profile for the stage whose stiffness the catalogue knows"
                 : "give drive.tension_per_strain from the maker's data, for example \"28 kN\"";
  return f;
}
}  // namespace

}  // namespace detail

Finding position_error_finding(const AxisState& s) {
  const Length limit = s.axis.want.position_error;
  const Stiffness k = s.stiffness;
  if (is_unset(k)) return detail::unknown_stiffness("position_error", "position error", s, limit);

  const Torque torque = motion::rigid_torque(s.seen, metres_per_second_squared(0));
  const Force force = s.seen.friction + s.seen.gravity;
  // At rest static friction may leave the load farther away.
  const Force standing = force + s.seen.breakaway;
  const Torque standing_torque =
      torque + s.seen.breakaway * s.seen.transmission / s.seen.efficiency.value();
  // At rest the driver may leave less current: the same torque then turns the rotor farther. Not
  // where the thread holds the load: friction set the rotor when it stopped, under all the current.
  const double share = turning_back_torque(s) > Torque{} ? standstill_share(s) : 1.0;
  const auto at_rest =
      position_error(s, k, standing, Torque(standing_torque / share), radians_per_second(0));
  const auto moving = position_error(s, k, force, torque, s.motor_speed());
  if (!at_rest || !moving) {
    Finding f =
        compared("position_error", "position error", unlimited<Length>(), Bound::at_most, limit);
    f.value_text = "lost";
    f.reason = fmt::format("the motor cannot hold {} at {}", torque,
                           at_rest ? print_plain(s.axis.want.speed) : "rest");
    f.remedy = "see the pull-out torque";
    detail::explain(f, std::nullopt, k, detail::stiffness_source(s));
    return f;
  }
  const PositionError& worst = moving->sum() > at_rest->sum() ? *moving : *at_rest;
  Finding f = compared("position_error", "position error", worst.sum(), Bound::at_most, limit);
  f.reason = fmt::format("{} at rest and {} at {}: drive {}, rotor {}, step {}", at_rest->sum(),
                         moving->sum(), print_plain(s.axis.want.speed), worst.belt,
                         worst.load_angle, worst.step_error);
  if (f.verdict != Verdict::holds) f.remedy = detail::what_stretches(s, worst, false);
  detail::explain(f, worst, k, detail::stiffness_source(s));
  return f;
}

Finding corner_error_finding(const AxisState& s) {
  const Length limit = s.axis.want.corner_error;
  const Stiffness k = s.stiffness;
  if (is_unset(k)) return detail::unknown_stiffness("corner_error", "corner error", s, limit);

  const Force belt_peak = belt_peak_force(s);
  const Torque peak = peak_torque(s);
  const auto error = position_error(s, k, belt_peak, peak, s.motor_speed());
  if (!error) {
    Finding f =
        compared("corner_error", "corner error", unlimited<Length>(), Bound::at_most, limit);
    if (!s.in_words) return f;
    f.value_text = "lost";
    f.reason = fmt::format("the motor cannot hold the peak of {} at {}", peak,
                           print_plain(s.axis.want.speed));
    f.remedy = "see the torque margin";
    detail::explain(f, std::nullopt, k, detail::stiffness_source(s));
    return f;
  }
  Finding f = compared("corner_error", "corner error", error->sum(), Bound::at_most, limit);
  if (!s.in_words) return f;
  f.reason = fmt::format("drive {} under a peak of {}, rotor {}, step {}", error->belt, belt_peak,
                         error->load_angle, error->step_error);
  if (f.verdict != Verdict::holds) f.remedy = detail::what_stretches(s, *error, true);
  detail::explain(f, error, k, detail::stiffness_source(s));
  return f;
}

std::vector<Row> accuracy_rows() {
  return {{.key = "position_error",
           .asks = "stretch, lag and step error at rest and at constant speed against the wanted "
                   "error",
           .applies = [](const AxisState& s) { return !is_unset(s.axis.want.position_error); },
           .judge = position_error_finding,
           .binds = Binds::speed_at_all,
           .mechanism = "stretch and lag at constant speed"},
          {.key = "corner_error",
           .asks = "the same while accelerating, with the swings, against the wanted error",
           .applies = [](const AxisState& s) { return !is_unset(s.axis.want.corner_error); },
           .judge = corner_error_finding,
           .binds = Binds::acceleration,
           .mechanism = "stretch and lag while accelerating"}};
}

}  // namespace pitchline::check
