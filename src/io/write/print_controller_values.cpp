#include "pitchline/io/print_controller_values.hpp"
#include "pitchline/report/finding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "detail/plain_number.hpp"
#include "detail/wrap.hpp"
#include "pitchline/units.hpp"

namespace pitchline::io {
namespace {

using detail::wrapped;
using motion::KeptFigure;
using report::AxisValues;
using report::OverrunAt;
using report::TurningValues;

// As it is to be typed in: a figure of the file loses none of its digits.
template <class Q>
std::string as_given(const Q& quantity, std::string_view unit = {}) {
  const Kind& kind = *kind_of<Q>;
  if (unit.empty()) unit = kind.unit;
  const double value = Measure(quantity).coherent() / unit_in_coherent(unit, kind);
  return fmt::format("{} {}", detail::plain_number(value), unit);
}

constexpr std::size_t label_width = 26;

std::string line(std::string_view label, const std::string& text) {
  return wrapped(fmt::format("{:<{}}  {}", label, label_width, text), 2, label_width + 6);
}

// A travel over which rounding is reckoned, and how it is called.
template <class Q>
struct Over {
  Q travel{};
  std::string text{};
};

template <class Q>
std::string error_in_words(const KeptFigure& figure, const Over<Q>& over) {
  if (!figure.kept) return "rounds to zero: of no use";
  if (figure.loses_nothing()) return "exact";
  const Q error = motion::error_over(figure, over.travel);
  return fmt::format("{} too {} over {}", error < Q{} ? Q(-error) : error,
                     error < Q{} ? "short" : "far", over.text);
}

template <class Q>
std::string kept_line(const KeptFigure& figure, const Over<Q>& over) {
  const std::string kept =
      figure.kept ? motion::print_decimal(*figure.kept, figure.decimals) : std::string("-");
  return line(figure.decimals == 0 ? "  as a whole number"
                                   : fmt::format("  kept at {} decimals", figure.decimals),
              fmt::format("{:<10} {}", kept, error_in_words(figure, over)));
}

template <class Q>
std::string figure_lines(std::string_view label, const KeptFigure& figure, const Over<Q>& over,
                         const KeptFigure* whole = nullptr) {
  std::string out = line(label, motion::print_pi_fraction(figure.exact)) + kept_line(figure, over);
  if (whole != nullptr && figure.decimals > 0) out += kept_line(*whole, over);
  return out;
}

std::string turning_lines(const TurningValues& t) {
  const Over<Angle> turn{revolutions(1), "one turn"};
  std::string out =
      figure_lines("steps per degree", t.pulses_per_degree, turn, &t.whole_per_degree) +
      figure_lines("degrees per pulse", t.degrees_per_pulse, turn);
  if (t.of_this_diameter) {
    out += wrapped(fmt::format("steps per degree hold for a workpiece of {} alone: on rollers they "
                               "go with its diameter",
                               as_given(t.diameter)),
                   4, 4);
  }
  return out;
}

std::string speed_lines(const AxisValues& v) {
  std::string out;
  const std::string at_surface = v.turning ? " at the surface" : "";
  out += line("top speed",
              fmt::format("{} = {}{}", as_given(v.speed), as_given(v.speed, "mm/min"), at_surface));
  if (v.turning) {
    out += line("",
                fmt::format("{} deg/s = {}", significant(in_degrees(v.turning->speed * seconds(1))),
                            v.turning->speed));
  }
  out += line("acceleration", fmt::format("{}{}", as_given(v.acceleration, "mm/s^2"), at_surface));
  if (v.turning) {
    out += line("", fmt::format("{} deg/s^2", significant(in_degrees(v.turning->acceleration *
                                                                     (seconds(1) * seconds(1))))));
  }
  out +=
      line("jerk", v.jerk ? fmt::format("{}{}, for a jerk time of {}", as_given(*v.jerk, "mm/s^3"),
                                        at_surface, print_plain(v.jerk_time))
                          : "none: the acceleration comes at once");
  out += line("no ramp below",
              fmt::format("{}: every move is ramped from rest", as_given(v.unramped)));
  return out;
}

std::string driver_lines(const AxisValues& v) {
  std::string current = fmt::format("{} RMS = {} peak", v.rms, v.peak);
  if (v.rms_at_rest) current += fmt::format("; rest {} RMS", *v.rms_at_rest);
  const double microsteps = in_pulses_per_full_step(v.microsteps);
  return line(v.motors > 1 ? fmt::format("driver current, each of {}", v.motors) : "driver current",
              current) +
         line("microsteps", fmt::format("{} to a full step, {} pulses a turn",
                                        detail::plain_number(microsteps, 4), v.pulses_per_turn));
}

std::string overrun_lines(const AxisValues& v) {
  if (v.overruns.empty()) return "";
  const bool raster = !is_unset(v.room);
  std::string out =
      raster ? wrapped(fmt::format("overrun beside a raster line, of which {} have room:",
                                   as_given(v.room)),
                       2, 4)
             : "  way in which a speed is reached, as beside a raster line:\n";
  out += fmt::format("    {:>14}  {:>14}{}\n", "at a speed of", "ramp",
                     raster ? fmt::format("  {:>14}", "with settling") : "");
  for (const OverrunAt& o : v.overruns) {
    out += fmt::format("    {:>14}  {:>14}", as_given(o.speed), print(o.ramp));
    if (raster) {
      out += fmt::format("  {:>14}", o.settled ? print(*o.settled) : "not known");
      if (o.settled.value_or(o.ramp) > v.room) out += "  more than there is room for";
    }
    out += "\n";
  }
  return out;
}

std::string print_axis(const AxisValues& v, PulseRate most) {
  std::string out = wrapped(fmt::format("axis {}: {}", v.name, v.parts), 0, 2);
  if (!v.fails.empty()) {
    out += wrapped(fmt::format("these values fail the check by {}: see pitchline-check",
                               fmt::join(v.fails, ", ")),
                   2, 4);
  }
  const Over<Length> over{v.travel, v.turning ? "one turn" : as_given(v.travel)};
  out += figure_lines(v.turning ? "steps per mm of surface" : "steps per mm", v.pulses_per_mm, over,
                      &v.whole_per_mm);
  out += figure_lines("travel per pulse, um", v.um_per_pulse, over);
  if (v.turning) out += turning_lines(*v.turning);
  out += speed_lines(v);
  out +=
      line("pulse rate at top speed", fmt::format("{}, {} % of the controller's", v.needed,
                                                  significant(100.0 * number(v.needed / most), 3)));
  out += line("travel limits",
              v.turning ? "none: it turns" : fmt::format("0 to {}", as_given(v.travel)));
  out += driver_lines(v);
  out += line("direction", v.direction);
  return out + overrun_lines(v);
}

}  // namespace

std::string print_controller_values(const report::ControllerValues& values) {
  const bool fails = values.worst == report::Verdict::fails;
  std::string out =
      wrapped(fmt::format("{}: {}", values.machine,
                          fails ? "the check fails with these values"
                                : "values for the controller; no row of the check fails"),
              0, 2);
  if (!values.common_fails.empty()) {
    out += wrapped(fmt::format("all axes together fail by {}: see pitchline-check",
                               fmt::join(values.common_fails, ", ")),
                   2, 4);
  }
  out += wrapped(fmt::format("controller: {} decimals of a value, {} at most",
                             values.controller.decimals, values.controller.pulse_rate),
                 2, 4);
  for (const AxisValues& axis : values.axes)
    out += "\n" + print_axis(axis, values.controller.pulse_rate);
  return out;
}

}  // namespace pitchline::io
