#include "pitchline/check/make_motor_sheet.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>
#include <string>
#include <utility>

#include "pitchline/check/rows/motor_condition.hpp"
#include "pitchline/motor/iron_loss.hpp"
#include "pitchline/motor/least_damped_mode.hpp"
#include "pitchline/motor/zero_torque_speed.hpp"
#include "pitchline/report/motor_sheet.hpp"

namespace pitchline::check {

namespace detail {
namespace {

class SheetMaker {
 public:
  explicit SheetMaker(const MotorUse& use)
      : use_(use),
        curve_(use.motor, use.feed),
        winding_(curve_.winding()),
        drag_(motor::drag_torque(use.motor)) {
    if (!(use.inertia > kilogram_square_metres(0)) || !is_finite(use.inertia))
      throw InvalidInput("inertia", "> 0", in_kilogram_square_metres(use.inertia), "kg*m^2");
    if (use.top_speed && (!(*use.top_speed > radians_per_second(0)) || !is_finite(*use.top_speed)))
      throw InvalidInput("top speed", "> 0", in_radians_per_second(*use.top_speed), "rad/s");
  }

  MotorSheet make() {
    sheet_.use = use_;
    sheet_.torque_constant = winding_.torque_constant;
    sheet_.rated_setting = motor::driver_setting(use_.motor, motor::Stepping::sine);
    sheet_.rms = use_.feed.amplitude / std::numbers::sqrt2;
    sheet_.corner = motor::corner_speed(winding_);
    sheet_.dependable_corner = motor::DependableCurve(use_.motor, use_.feed).corner();
    sheet_.zero_torque = motor::zero_torque_speed(winding_);
    if (use_.load) wanted_ = use_.load->speed / use_.load->transmission;
    set_speeds();
    sheet_.loss_level = curve_.loss_level();
    sheet_.measured_feed = curve_.measured_feed();
    sheet_.points_contradict = curve_.points_contradict_loss_free();
    sheet_.points_levelled = curve_.points_levelled();
    sheet_.current_not_counted =
        motor::counted(use_.motor, use_.feed).amplitude < use_.feed.amplitude;
    sheet_.outside_compared = use_.feed.voltage > volts(48) || use_.feed.voltage < volts(24) ||
                              !compared_frame(use_.motor.frame) ||
                              use_.motor.full_steps_per_turn > full_steps(200);
    const Current smaller = use_.feed.amplitude / std::numbers::sqrt2;
    sheet_.at_smaller_current = motor::PullOutCurve(use_.motor, {use_.feed.voltage, smaller})
                                    .for_verdict(reference_)
                                    .torque;
    set_stability();
    set_resonance();
    set_microsteps();
    set_duty();
    set_voltage();
    sheet_.questions = parts::questions(use_.motor);
    return std::move(sheet_);
  }

 private:
  // 0 is not known.
  static bool compared_frame(int frame) {
    return frame == 0 || frame == 17 || frame == 23 || frame == 34;
  }

  [[nodiscard]] CurveRow row_at(AngularSpeed speed) const {
    CurveRow row{.speed = speed,
                 .loss_free = curve_.loss_free(speed),
                 .dependable = curve_.dependable(speed),
                 .calibrated = curve_.calibrated(speed),
                 .measured = curve_.measured(speed),
                 .verdict = curve_.for_verdict(speed)};
    row.power = row.verdict.torque * speed;
    return row;
  }

  // Where the table ends by itself: four times the corner, or where no torque is left, but beyond
  // the wanted speed and every published point; a round number.
  [[nodiscard]] AngularSpeed chosen_top() const {
    AngularSpeed top = 4.0 * sheet_.corner;
    if (!(top > radians_per_second(0))) top = use_.feed.voltage / winding_.torque_constant;
    if (sheet_.zero_torque) top = std::min(top, 1.1 * *sheet_.zero_torque);
    if (wanted_) top = std::max(top, 1.25 * *wanted_);
    for (const parts::PublishedCurve& each : use_.motor.curves)
      top = std::max(top, each.points.back().speed);
    const double rpm = in_revolutions_per_minute(top);
    const double step = round_step(rpm);
    return revolutions_per_minute(step * std::ceil(rpm / step * (1 - 1e-9)));
  }

  void set_speeds() {
    top_ = use_.top_speed ? *use_.top_speed : chosen_top();
    const double top_rpm = in_revolutions_per_minute(top_);
    const double step = round_step(top_rpm);
    for (int i = 0; i * step <= top_rpm * (1 + 1e-9); ++i)
      sheet_.rows.push_back(row_at(revolutions_per_minute(i * step)));
    if (sheet_.rows.back().speed < top_ * (1 - 1e-9)) sheet_.rows.push_back(row_at(top_));
    if (wanted_) {
      const auto same = [&](const CurveRow& row) {
        return std::abs(number(row.speed / *wanted_) - 1) < 1e-9;
      };
      auto at = std::find_if(sheet_.rows.begin(), sheet_.rows.end(), same);
      if (at == sheet_.rows.end()) {
        at = std::find_if(sheet_.rows.begin(), sheet_.rows.end(),
                          [&](const CurveRow& row) { return row.speed > *wanted_; });
        at = sheet_.rows.insert(at, row_at(*wanted_));
      }
      at->wanted = true;
    }
    constexpr int fine_steps = 240;
    for (int i = 0; i <= fine_steps; ++i) {
      sheet_.fine.push_back(row_at(top_ * (static_cast<double>(i) / fine_steps)));
      if (i == 0 || sheet_.fine.back().power > sheet_.strongest.power)
        sheet_.strongest = sheet_.fine.back();
    }
    reference_ = 2.0 * sheet_.corner;
    if (!(reference_ > radians_per_second(0))) reference_ = top_ / 4.0;
    if (wanted_) reference_ = *wanted_;
    sheet_.at_reference = row_at(reference_);
  }

  [[nodiscard]] bool belt_known() const {
    return use_.load && !is_unset(use_.load->belt_stiffness);
  }

  void set_stability() {
    sheet_.motor_damping = motor::assumed_motor_damping(use_.motor);
    sheet_.assumed.push_back(
        fmt::format("damping of the motor {} (holding torque over 4500 rad/s, common practice, no "
                    "source)",
                    sheet_.motor_damping));
    motor::SwingingShaft shaft{.inertia = use_.inertia, .viscous_damping = sheet_.motor_damping};
    if (belt_known()) {
      shaft.belt = motor::BeltAtMotor{.stiffness = use_.load->belt_stiffness,
                                      .damping_ratio = use_.load->belt_damping,
                                      .transmission = use_.load->transmission};
      sheet_.assumed.push_back(
          fmt::format("damping ratio {} of the belt (common practice, no source)",
                      use_.load->belt_damping.value()));
    } else if (use_.load) {
      sheet_.assumed.emplace_back(
          "the belt, of unknown stiffness, damps nothing and does not stretch");
    }
    const auto add = [&](std::string load, const std::function<Torque(AngularSpeed)>& torque_at) {
      // As the check of an axis: a saturated bridge makes nearly a square wave, see [midband].
      // The inductance is the sheet's and not the one that acts on torque: a swing is a small
      // signal, and less inductance swings up sooner.
      motor::DrivenWinding saturated = winding_;
      saturated.voltage *= 4.0 / std::numbers::pi;
      auto bands = motor::unstable_bands(saturated, shaft, top_, torque_at);
      motor::fill_growth(bands, saturated, shaft, torque_at);
      sheet_.stability.push_back({std::move(load), std::move(bands)});
    };
    if (use_.load) {
      const Torque constant = std::max(use_.load->constant_speed, newton_metres(0)) + drag_;
      const Torque accelerating = std::max(use_.load->accelerating, newton_metres(0)) + drag_;
      add("at constant speed", [=](AngularSpeed) { return constant; });
      add(fmt::format("accelerating at {}", print_plain(use_.load->acceleration)),
          [=](AngularSpeed) { return accelerating; });
    } else {
      add("without load", [this](AngularSpeed) { return drag_; });
      add("at half of loss-free torque",
          [this](AngularSpeed speed) { return 0.5 * curve_.loss_free(speed).torque; });
    }
  }

  void set_resonance() {
    ResonanceSheet& out = sheet_.resonance;
    // Without load the field always has a stiffness.
    out.field_stiffness = *motor::field_stiffness(motor::field_at_rest(winding_));
    out.natural = motor::natural_frequency(out.field_stiffness, use_.inertia);
    if (use_.load) {
      motor::SprungAxis axis{.field_stiffness = out.field_stiffness,
                             .motor_side_inertia = use_.inertia,
                             .mass = use_.load->mass_behind_belt,
                             .transmission = use_.load->transmission};
      if (belt_known()) axis.belt_stiffness = use_.load->belt_stiffness;
      out.modes = motor::axis_modes(axis);
      out.natural = out.modes->first;
    }
    // Travel means nothing without an axis, and is taken out again.
    out.rates = motor::rates_to_avoid(
        {.full_steps_per_angle = steps_per_angle(),
         .microsteps = use_.microsteps,
         .transmission = use_.load ? use_.load->transmission : metres_per_radian(1)},
        out.natural);
    if (!use_.load)
      for (motor::RateToAvoid& rate : out.rates) rate.travel_speed = unset<Speed>();
  }

  [[nodiscard]] FullStepsPerAngle steps_per_angle() const {
    return use_.motor.full_steps_per_turn / revolution;
  }
  [[nodiscard]] motor::Deviation deviation(Angle angle) const {
    if (use_.load) return motor::deviation(angle, use_.load->transmission);
    return {.at_shaft = angle, .of_travel = unset<Length>()};
  }

  void set_microsteps() {
    const motor::RotorField field = motor::field_at_rest(winding_);
    MicrostepSheet& out = sheet_.microsteps;
    out.set = use_.microsteps;
    out.torque = motor::torque_of_one_microstep(field, use_.microsteps);
    out.step = deviation(motor::microstep_angle(steps_per_angle(), use_.microsteps));
    out.error = deviation(motor::step_error(steps_per_angle()));
    if (!use_.load) return;
    out.finest = motor::finest_moving_microsteps(field, use_.load->friction);
    if (const auto lag = motor::static_lag(field, use_.load->friction)) out.lag = deviation(*lag);
  }

  void add_duty(std::string state, AngularSpeed speed, Torque torque, bool lasting) {
    DutyRow row{.state = std::move(state), .speed = speed, .torque = torque, .lasting = lasting};
    const bool moves = speed > radians_per_second(0);
    const Torque of_rotor = std::max(torque, newton_metres(0)) + (moves ? drag_ : Torque{});
    // Loss-free on purpose: with the winding that a verdict counts on, less current would flow and
    // less heat be made. Heat errs to its own safe side, see `motor::eddy_loss`.
    if (const auto point = motor::working_point(winding_, speed, of_rotor)) {
      row.possible = true;
      row.rms = motor::phase_amplitude(*point) / std::numbers::sqrt2;
      row.copper = motor::copper_loss(row.rms, use_.motor.resistance);
      row.iron = motor::eddy_loss(use_.motor, *point, speed) + (moves ? drag_ : Torque{}) * speed;
      row.shaft = std::max(torque * speed, watts(0));
      row.supply = motor::supply_current(
          {.mechanical = row.shaft, .copper = row.copper, .iron = row.iron}, use_.feed.voltage);
      row.by_copper = motor::winding_heat({.copper_loss = row.copper}, sheet_.thermal.resistance);
      row.by_all = motor::winding_heat({.copper_loss = row.copper, .iron_loss = row.iron},
                                       sheet_.thermal.resistance);
    }
    sheet_.duty.push_back(std::move(row));
  }

  void set_duty() {
    sheet_.thermal = motor::thermal_path(use_.motor, use_.motor.frame);
    sheet_.customary_supply = motor::customary_supply_current(use_.motor.rated_current);
    sheet_.idle = motor::idle_hold(winding_, motor::CurrentShare(0.5));
    const AngularSpeed rest = radians_per_second(0);
    add_duty("standstill", rest, newton_metres(0), true);
    if (use_.load) {
      add_duty("constant speed", *wanted_, use_.load->constant_speed, true);
      add_duty("accelerating", *wanted_, use_.load->accelerating, false);
    } else if (sheet_.corner > rest) {
      add_duty("corner, no load", sheet_.corner, newton_metres(0), true);
      add_duty("corner, pull-out", sheet_.corner, row_at(sheet_.corner).verdict.torque, false);
    }
    // Half of the current: the copper loss of `idle`, and no iron loss.
    DutyRow idle{.state = "idle, half current",
                 .possible = true,
                 .rms = sheet_.idle.rms,
                 .copper = sheet_.idle.copper_loss,
                 .lasting = true};
    idle.supply = motor::supply_current({.copper = idle.copper}, use_.feed.voltage);
    idle.by_copper = motor::winding_heat({.copper_loss = idle.copper}, sheet_.thermal.resistance);
    idle.by_all = idle.by_copper;
    sheet_.duty.push_back(std::move(idle));
  }

  void set_voltage() {
    VoltageSheet& out = sheet_.voltage;
    out.speed = reference_;
    out.customary = motor::customary_supply_voltage(use_.motor.inductance);
    out.forcing = motor::voltage_for_current(winding_, reference_);
    const auto at_voltage = [this](Voltage voltage) {
      return motor::PullOutCurve(use_.motor, {voltage, use_.feed.amplitude});
    };
    const auto loss_free = [&](Voltage v) { return at_voltage(v).loss_free(reference_).torque; };
    const auto verdict = [&](Voltage v) { return at_voltage(v).for_verdict(reference_).torque; };
    const motor::VoltageRange range{.least = use_.feed.voltage, .most = 2.0 * use_.feed.voltage};
    constexpr int rows = 5;
    out.loss_free = motor::voltage_gains(range, rows, loss_free);
    out.verdict = motor::voltage_gains(range, rows, verdict);
    if (use_.load) {
      const Torque wanted = use_.load->margin.value() * use_.load->start_peak;
      out.for_load = motor::least_voltage(
          {.least = 0.1 * use_.feed.voltage, .most = 5.0 * use_.feed.voltage}, wanted, verdict);
    }
  }

  const MotorUse& use_;
  motor::PullOutCurve curve_;
  motor::DrivenWinding winding_;
  Torque drag_;
  std::optional<AngularSpeed> wanted_;
  AngularSpeed top_{};
  AngularSpeed reference_{};
  MotorSheet sheet_;
};

}  // namespace
}  // namespace detail

double round_step(double top) {
  constexpr double most_parts = 13.0;
  const double power = std::pow(10.0, std::floor(std::log10(top / most_parts)));
  for (const double digit : {1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0}) {
    // A billionth, so that rounding does not pass over a step that just does.
    if (top / (digit * power) <= most_parts * (1 + 1e-9)) return digit * power;
  }
  return 10.0 * power;
}

MotorSheet motor_sheet(const MotorUse& use) { return detail::SheetMaker(use).make(); }

}  // namespace pitchline::check
