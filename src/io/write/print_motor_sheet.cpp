#include "pitchline/io/print_motor_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "detail/motor_words.hpp"
#include "detail/wrap.hpp"
#include "pitchline/motor/dependable_curve.hpp"

namespace pitchline::io {
namespace {

using detail::wrapped;
using report::MotorSheet;

std::string line(std::string_view label, std::string_view text) {
  constexpr std::size_t width = 31;
  return wrapped(fmt::format("{}{}{}", label,
                             std::string(width - std::min(width - 1, label.size()), '\x01'), text),
                 2, width + 2);
}

// `line` pads with a sign that `wrapped` does not break at.
std::string blanks(std::string text) {
  std::replace(text.begin(), text.end(), '\x01', ' ');
  return text;
}

std::string rpm(AngularSpeed speed) { return significant(in_revolutions_per_minute(speed)); }
std::string torque(Torque x) { return significant(in_newton_metres(x)); }

// "600.0 rpm", with the travel that belongs to it where there is an axis.
std::string speed_text(const MotorSheet& sheet, AngularSpeed speed) {
  if (!sheet.use.load) return print(speed);
  return fmt::format("{} = {}", speed, speed * sheet.use.load->transmission);
}

std::string deviation_text(const motor::Deviation& d) {
  if (is_unset(d.of_travel)) return print(d.at_shaft);
  return fmt::format("{} = {}", d.at_shaft, d.of_travel);
}

std::string motor_section(const MotorSheet& sheet) {
  const parts::StepperMotor& m = sheet.use.motor;
  const bool both = m.holding_rating == parts::HoldingRating::two_phases_on;
  std::string out = "motor and its feed\n";
  out += line("source", m.source);
  out += line("holding torque", fmt::format("{}, {} phase{} on", m.holding_torque,
                                            both ? "two" : "one", both ? "s" : ""));
  out += line("winding, of one phase",
              fmt::format("{}, {}; rated {}", m.resistance, m.inductance, m.rated_current));
  out += line("torque constant", print(sheet.torque_constant));
  out += line("rotor", fmt::format("{}, {:.0f} full steps a turn{}", m.rotor_inertia,
                                   in_full_steps(m.full_steps_per_turn),
                                   m.frame > 0 ? fmt::format(", NEMA {}", m.frame) : ""));
  out += line("inertia on the shaft", print(sheet.use.inertia));
  out += line("supply", print(sheet.use.feed.voltage));
  out += line("driver setting, now", fmt::format("{} RMS = {} peak: type in the one that your "
                                                 "driver names",
                                                 sheet.rms, sheet.use.feed.amplitude));
  out += line("driver setting, rated current",
              fmt::format("{} RMS = {} peak", sheet.rated_setting.rms, sheet.rated_setting.peak));
  if (sheet.current_not_counted)
    out += wrapped(
        "the current set is above the rated one; the iron saturates there, and the dependable "
        "curve does not count on what is above",
        2, 4);
  for (const parts::Question& q : sheet.questions)
    out += wrapped(fmt::format("question about the {}: {}", parts::name(q.figure), q.text), 2, 4);
  return out;
}

std::string load_section(const MotorSheet& sheet) {
  if (!sheet.use.load) return "";
  const report::AxisLoad& load = *sheet.use.load;
  std::string out = "\nload of the axis, at the motor's shaft\n";
  out += line("to keep moving", print(load.constant_speed));
  out += line(fmt::format("to accelerate at {}", print_plain(load.acceleration)),
              fmt::format("{}, rigid axis", load.accelerating));
  out += line("peak of the move that will run",
              fmt::format("{}, swings of the load included", load.start_peak));
  out +=
      line("at the wanted speed, there is",
           fmt::format("{} = {} times that peak; the file wants {} times",
                       sheet.at_reference.verdict.torque,
                       significant(number(sheet.at_reference.verdict.torque / load.start_peak), 3),
                       significant(load.margin.value(), 3)));
  return out;
}

std::string_view rests_on(motor::Basis basis) {
  switch (basis) {
    case motor::Basis::dependable:
      return "dependable";
    case motor::Basis::calibrated:
      return "calibrated";
    case motor::Basis::measured:
      return "published";
    case motor::Basis::measured_transferred:
      return "carried";
    case motor::Basis::beyond_measured:
      return "beyond";
  }
  return "";
}

std::string curve_section(const MotorSheet& sheet) {
  const bool measured = sheet.measured_feed.has_value();
  const bool calibrated = sheet.loss_level.has_value();
  const bool axis = sheet.use.load.has_value();
  std::string out = "\npull-out torque over speed\n";
  const auto put = [&](std::string_view mark, std::string_view speed, std::string_view travel,
                       std::string_view most, std::string_view sure, std::string_view published,
                       std::string_view power, std::string_view limit, std::string_view basis) {
    std::string row = fmt::format("{:>2}{:>7}", mark, speed);
    if (axis) row += fmt::format("{:>8}", travel);
    row += fmt::format("{:>11}{:>12}", most, sure);
    if (calibrated) row += fmt::format("{:>12}", published);
    row += fmt::format("{:>8}  {:<9}", power, limit);
    if (calibrated) row += basis;
    row.erase(row.find_last_not_of(' ') + 1);
    out += row + "\n";
  };
  put("", "speed", "travel", "loss-free", "dependable", measured ? "published" : "calibrated",
      "power", "limited", "rests on");
  put("", "rpm", "mm/s", "N*m", "N*m", "N*m", "W", "by", "");
  for (const report::CurveRow& row : sheet.rows) {
    const auto& known = measured ? row.measured : row.calibrated;
    put(row.wanted ? "*" : "", rpm(row.speed),
        axis ? significant(in_millimetres_per_second(row.speed * sheet.use.load->transmission))
             : "",
        torque(row.loss_free.torque), torque(row.dependable), known ? torque(*known) : "-",
        significant(in_watts(row.power)), detail::limit_in_words(row.loss_free.region),
        rests_on(row.verdict.basis));
  }
  if (axis) out += "   * the wanted speed\n";
  out += wrapped(
      fmt::format(
          "loss-free is an upper bound, no promise. Power is at the shaft, at the torque "
          "that a verdict rests on. \"both\": current and voltage are both at their limit."),
      2, 4);
  return out;
}

// What published torque was over the curve, and what that rests on.
std::string how_far(const MotorSheet& sheet) {
  const motor::ComparedRange& alone = motor::compared_alone;
  std::string out = fmt::format(
      "dependable allows for loss: published torque was {:.2f} to {:.2f} times it, by {} points of "
      "{} motors of 1.8 deg at 24 V to 48 V, each left out of the fit of the constants it was "
      "judged by; {:.2f} to {:.2f} times with all of them in the fit.",
      alone.least, alone.most, alone.points, alone.motors, motor::compared_fitted.least,
      motor::compared_fitted.most);
  const Torque here = sheet.at_reference.dependable;
  if (here > newton_metres(0))
    out += fmt::format(" Here, at {}, that is {} to {} N*m.", sheet.at_reference.speed,
                       torque(alone.least * here), torque(alone.most * here));
  return out;
}

// What makes the torque that is counted on surer or more.
std::string what_to_do(const MotorSheet& sheet) {
  const motor::ComparedRange& one = motor::compared_with_one_point;
  std::string out;
  if (sheet.use.motor.curves.empty())
    out = fmt::format(
        "To know it better, give one point of the maker's curve, best above the corner speed "
        "(published in the motor's entry: speed, torque, voltage, current): its other points were "
        "then {:.2f} to {:.2f} times the curve, and 0.86 of them counted on in the mean instead of "
        "0.77. ",
        one.least, one.most);
  return out +
         fmt::format(
             "A current that a sheet or driver gives in A alone may be RMS or peak: the "
             "smaller reading, peak, is the safe one. Were {} the peak here, {} N*m instead of "
             "{} N*m would be counted on at {}.",
             sheet.rms, torque(sheet.at_smaller_current), torque(sheet.at_reference.verdict.torque),
             sheet.at_reference.speed);
}

std::string basis_section(const MotorSheet& sheet) {
  std::string out = "\nwhat the torque rests on\n";
  std::string basis(sheet.at_reference.verdict.basis_in_words);
  if (sheet.measured_feed) basis += fmt::format(" ({})", detail::in_words(*sheet.measured_feed));
  out += line(fmt::format("at {}", sheet.at_reference.speed),
              fmt::format("{}: {}", sheet.at_reference.verdict.torque, basis));
  for (const parts::PublishedCurve& curve : sheet.use.motor.curves) {
    out += line("published",
                fmt::format("{} point{} at {}: {}", curve.points.size(),
                            curve.points.size() == 1 ? "" : "s",
                            detail::in_words({curve.voltage, curve.amplitude}), curve.source));
  }
  if (sheet.loss_level)
    out +=
        line("inductance of this motor",
             fmt::format("acts {} times as strong as the model counts on, by its published point",
                         significant(*sheet.loss_level, 3)));
  if (sheet.points_contradict)
    out += wrapped(
        "a published point lies above the loss-free curve: its current, its voltage or the "
        "motor's figures are not what they are taken for; compare RMS and peak",
        2, 4);
  if (sheet.points_levelled)
    out += wrapped("a published point that rose with speed was taken down to the one before", 2, 4);
  out += wrapped(how_far(sheet), 2, 4);
  out += wrapped(what_to_do(sheet), 2, 4);
  if (sheet.outside_compared)
    out += wrapped("this motor or its voltage is outside of what was compared", 2, 4);
  out += line("corner speed, loss-free", speed_text(sheet, sheet.corner));
  out += line("corner speed, with losses", speed_text(sheet, sheet.dependable_corner));
  out +=
      line("loss-free torque ends at", sheet.zero_torque ? speed_text(sheet, *sheet.zero_torque)
                                                         : "no speed, it only falls towards zero");
  out += line("most power at the shaft", fmt::format("{} near {}", sheet.strongest.power,
                                                     speed_text(sheet, sheet.strongest.speed)));
  return out;
}

std::string band_text(const MotorSheet& sheet, const motor::UnstableBand& band) {
  std::string text = fmt::format("{} to {} rpm", rpm(band.from), rpm(band.to));
  if (sheet.use.load) {
    const Transmission r = sheet.use.load->transmission;
    text += fmt::format(" = {} to {} mm/s", significant(in_millimetres_per_second(band.from * r)),
                        significant(in_millimetres_per_second(band.to * r)));
  }
  return text;
}

std::string stability_section(const MotorSheet& sheet) {
  std::string out = "\nstability: losing step with torque to spare\n";
  bool any = false;
  for (const report::StabilityCase& each : sheet.stability) {
    if (each.bands.empty()) {
      out += line(each.load, "no band found up to " + print(sheet.fine.back().speed));
      continue;
    }
    any = true;
    for (const motor::UnstableBand& band : each.bands) {
      const bool beyond = sheet.use.load && band.from > sheet.at_reference.speed;
      out += line(each.load, fmt::format("unsure: {}{}", band_text(sheet, band),
                                         beyond ? ", above the wanted speed" : ""));
      out += line("  worst at", speed_text(sheet, band.worst));
      out += line("  damping needed, missing",
                  fmt::format("{}, {}{}", band.needed, band.missing,
                              band.worst_near_saturation ? ", overstated so near the corner" : ""));
      out += line("  swings with",
                  fmt::format("{}, grows 2.7 times in {}", band.oscillation,
                              band.growth > hertz(0) ? print(1.0 / band.growth) : "-"));
    }
  }
  if (any)
    out += wrapped(
        "what helps: a damper on the shaft counts as it is; more inertia on the shaft slows the "
        "growth and helps to pass through quickly; less torque needs less damping; more voltage "
        "starts the band later; more current, as far as the motor is rated for it, needs less. "
        "Friction "
        "is load here, it does not damp.",
        2, 4);
  out += wrapped(
      "A linear model: a switching driver agrees only roughly, in both directions. \"unsure\" "
      "means try it, no band is no promise.",
      2, 4);
  for (const std::string& assumed : sheet.assumed) out += wrapped("assumed: " + assumed, 2, 4);
  return out;
}

std::string resonance_section(const MotorSheet& sheet) {
  const report::ResonanceSheet& r = sheet.resonance;
  std::string out = "\nresonance\n";
  if (r.modes) {
    out += line("natural frequency, all inertia", print(r.natural));
    if (r.modes->second) out += line("second, load against motor", print(*r.modes->second));
    out += line("load held by friction",
                is_finite(r.modes->mass_stands) ? print(r.modes->mass_stands) : "-");
  } else {
    out += line("natural frequency", print(r.natural));
  }
  const bool axis = sheet.use.load.has_value();
  out += fmt::format("  {:<22}{:>12}{:>12}{:>10}{}{:>12}\n", "steady speeds to avoid", "pulse/s",
                     "step/s", "rpm", axis ? fmt::format("{:>9}", "mm/s") : "", "size, deg");
  for (const motor::RateToAvoid& rate : r.rates) {
    out += fmt::format(
        "  {:<22}{:>12}{:>12}{:>10}{}{:>12}\n", detail::in_words(rate.excitation),
        significant(in_pulses_per_second(rate.pulse_rate)),
        significant(in_full_steps_per_second(rate.full_step_rate)), rpm(rate.shaft_speed),
        axis ? fmt::format("{:>9}", significant(in_millimetres_per_second(rate.travel_speed))) : "",
        is_unset(rate.amplitude) ? "-" : significant(in_degrees(rate.amplitude)));
  }
  return out;
}

std::string microstep_section(const MotorSheet& sheet) {
  const report::MicrostepSheet& m = sheet.microsteps;
  const double set = in_pulses_per_full_step(m.set);
  std::string out =
      fmt::format("\nmicrosteps: {} to a full step\n",
                  set == std::floor(set) ? fmt::format("{:.0f}", set) : significant(set));
  out += line("one microstep", deviation_text(m.step));
  out += line("its torque, at rest", print(m.torque));
  if (sheet.use.load) {
    out += line("friction at the motor", print(sheet.use.load->friction));
    std::string finest = "none: not even a full step";
    if (m.finest)
      finest = is_finite(*m.finest)
                   ? fmt::format("{:.0f} to a full step", in_pulses_per_full_step(*m.finest))
                   : "any";
    out += line("finest that moves it by itself", finest);
    if (m.lag) out += line("lag under friction, at rest", deviation_text(*m.lag));
  }
  out += line("error of a step, either way", deviation_text(m.error) + ", does not add up");
  return out;
}

std::string rise_text(const motor::WindingHeat& heat) {
  return heat.rise ? significant(in_kelvins(*heat.rise), 3) : "no end";
}

std::string heat_section(const MotorSheet& sheet) {
  std::string out = "\nheat and supply current\n";
  constexpr std::string_view form = "  {:<18}{:>7}{:>9}{:>6}{:>8}{:>7}{:>7}{:>8}{:>8}\n";
  out += fmt::format(form, "", "speed", "torque", "phase", "copper", "iron", "shaft", "supply",
                     "rise");
  out += fmt::format(form, "", "rpm", "N*m", "A RMS", "W", "W", "W", "A", "K");
  for (const report::DutyRow& row : sheet.duty) {
    if (!row.possible) {
      out += fmt::format("  {:<18}{:>7}{:>9}  the motor has not this torque\n", row.state,
                         rpm(row.speed), torque(row.torque));
      continue;
    }
    out += fmt::format(form, row.state, rpm(row.speed), torque(row.torque),
                       significant(in_amperes(row.rms), 3), significant(in_watts(row.copper), 3),
                       significant(in_watts(row.iron), 3), significant(in_watts(row.shaft), 3),
                       significant(in_amperes(row.supply), 3),
                       row.lasting ? rise_text(row.by_copper) : "-");
    if (row.lasting && row.iron > watts(0))
      out += fmt::format("  {:<70}{:>8}\n", "  the same with all of the iron loss",
                         rise_text(row.by_all));
  }
  out += wrapped(
      "copper is cold, for both phases. Iron is an estimate on the high side: it charges to eddy "
      "currents what torque published curves lack at speed, most of which is inductance and makes "
      "no heat. Rise: of the winding over its surroundings, "
      "where the state lasts, copper getting warm; class B allows 80 K. Supply is the mean by "
      "energy balance, without the driver's own loss.",
      2, 4);
  out += line("thermal resistance", fmt::format("{}, {}", sheet.thermal.resistance,
                                                detail::in_words(sheet.thermal.basis)));
  out += line("idle at half current", fmt::format("holds {} and detent torque, a quarter of the "
                                                  "copper loss",
                                                  sheet.idle.holding_torque));
  out += line("supply, customary rule",
              fmt::format("{}: two thirds of the rated current", sheet.customary_supply));
  return out;
}

std::string voltage_section(const MotorSheet& sheet) {
  const report::VoltageSheet& v = sheet.voltage;
  std::string out = fmt::format("\nwhat more voltage buys at {}{}\n", speed_text(sheet, v.speed),
                                sheet.use.load                         ? ", the wanted speed"
                                : sheet.corner > radians_per_second(0) ? ", twice the corner speed"
                                                                       : "");
  constexpr std::string_view form = "  {:>9}{:>14}{:>9}{:>16}{:>9}\n";
  out += fmt::format(form, "supply V", "loss-free N*m", "gain", "verdict N*m", "gain");
  for (std::size_t i = 0; i < v.loss_free.size(); ++i) {
    out += fmt::format(form, significant(in_volts(v.loss_free[i].voltage)),
                       torque(v.loss_free[i].torque), torque(v.loss_free[i].gain),
                       torque(v.verdict[i].torque), torque(v.verdict[i].gain));
  }
  out += "  verdict: the torque that a verdict rests on, at the current as set\n";
  out += line(
      "forces the full current there",
      fmt::format("{}, loss-free: {} resistance, {} back-EMF, {} inductance, the last at "
                  "right angles; more buys nothing there",
                  v.forcing.all, v.forcing.resistive, v.forcing.back_emf, v.forcing.inductive));
  if (sheet.use.load)
    out += line("least for the load and margin",
                v.for_load ? print(*v.for_load) : "no voltage up to five times the supply does it");
  out += line("customary rule", fmt::format("{}: 32 V times the root of the mH; it knows neither "
                                            "speed nor current",
                                            v.customary));
  return out;
}

}  // namespace

std::string print_motor_sheet(const MotorSheet& sheet) {
  std::string out =
      wrapped(sheet.use.name.empty()
                  ? fmt::format("{} at {}", sheet.use.motor.name, detail::in_words(sheet.use.feed))
                  : fmt::format("{}: {} at {}", sheet.use.name, sheet.use.motor.name,
                                detail::in_words(sheet.use.feed)),
              0, 2);
  out += "\n" + motor_section(sheet) + load_section(sheet) + curve_section(sheet) +
         basis_section(sheet) + stability_section(sheet) + resonance_section(sheet) +
         microstep_section(sheet) + heat_section(sheet) + voltage_section(sheet);
  out += "\n" + wrapped(
                    "These figures size a machine, they do not certify it. Check the maker's "
                    "data sheet before ordering.",
                    0, 2);
  return blanks(std::move(out));
}

std::string print_motors(const Catalogue& catalogue) {
  constexpr std::string_view form = "{:<31}{:>7}{:>7}{:>7}{:>7}{:>8}{:>6}{:>6}\n";
  std::string out =
      fmt::format(form, "motor", "holding", "rated", "R", "L", "rotor", "step", "frame");
  out += fmt::format(form, "", "N*m", "A", "ohm", "mH", "g*cm^2", "deg", "NEMA");
  for (const auto& [name, m] : catalogue.motors) {
    const Angle step = revolution / in_full_steps(m.full_steps_per_turn);
    // A long name gets a line of its own, so that the columns stay.
    std::string shown = name;
    if (shown.size() > 30) {
      out += wrapped(shown, 0, 2);
      shown.clear();
    }
    out +=
        fmt::format(form, shown, torque(m.holding_torque), significant(in_amperes(m.rated_current)),
                    significant(in_ohms(m.resistance)), significant(in_millihenries(m.inductance)),
                    significant(in_gram_square_centimetres(m.rotor_inertia)),
                    significant(in_degrees(step), 2), m.frame > 0 ? std::to_string(m.frame) : "-");
  }
  out += wrapped(
      "pitchline-parts --kind motor --full has their sources, what is doubtful about them, "
      "and those that lack a figure.",
      0, 2);
  return out;
}

}  // namespace pitchline::io
