#include <fmt/format.h>

#include <array>

#include "detail/motor_words.hpp"
#include "detail/svg_plot.hpp"
#include "pitchline/io/print_motor_sheet.hpp"

namespace pitchline::io {
namespace {

using detail::PlotPoint;
using report::CurveRow;

PlotPoint at(AngularSpeed speed, Torque torque) {
  return {in_revolutions_per_minute(speed), in_newton_metres(torque)};
}

/// One point a row, for as long as `torque_of` knows one.
template <class Function>
std::vector<PlotPoint> points(const report::MotorSheet& sheet, const Function& torque_of) {
  std::vector<PlotPoint> list;
  for (const CurveRow& row : sheet.fine) {
    const std::optional<Torque> torque = torque_of(row);
    if (!torque) break;
    list.push_back(at(row.speed, *torque));
  }
  return list;
}

void add_curves(const report::MotorSheet& sheet, detail::Plot& plot) {
  plot.lines.push_back(
      {.label = "loss-free, an upper bound",
       .points = points(sheet, [](const CurveRow& r) { return std::optional(r.loss_free.torque); }),
       .colour = "#5a5a5a",
       .dash = "10 5"});
  plot.lines.push_back(
      {.label = "dependable, losses counted",
       .points = points(sheet, [](const CurveRow& r) { return std::optional(r.dependable); }),
       .colour = "#0b4f8a",
       .dash = "",
       .width = 2.6});
  if (sheet.measured_feed)
    plot.lines.push_back(
        {.label =
             fmt::format("published, {}", sheet.fine.front().verdict.basis == motor::Basis::measured
                                              ? "between the points"
                                              : "carried to this supply and current"),
         .points = points(sheet, [](const CurveRow& r) { return r.measured; }),
         .colour = "#7a2e8a",
         .dash = "14 4 3 4"});
  else if (sheet.loss_level)
    plot.lines.push_back({.label = "model calibrated on the published point",
                          .points = points(sheet, [](const CurveRow& r) { return r.calibrated; }),
                          .colour = "#7a2e8a",
                          .dash = "14 4 3 4"});
}

void add_load(const report::MotorSheet& sheet, detail::Plot& plot) {
  if (!sheet.use.load) return;
  const report::AxisLoad& load = *sheet.use.load;
  const AngularSpeed rest = radians_per_second(0);
  const AngularSpeed wanted = load.speed / load.transmission;
  const Torque none = newton_metres(0);
  plot.lines.push_back(
      {.label = fmt::format("load: peak of a start at {}, overshoot included",
                            print_plain(load.acceleration)),
       .points = {at(rest, load.start_peak), at(wanted, load.start_peak), at(wanted, none)},
       .colour = "#a33a12",
       .dash = "6 3 1.5 3",
       .width = 2.4});
  plot.lines.push_back({.label = "load: to keep moving, up to the wanted speed",
                        .points = {at(rest, load.constant_speed), at(wanted, load.constant_speed)},
                        .colour = "#a33a12",
                        .dash = "2 3",
                        .width = 2.4});
}

}  // namespace

std::string motor_sheet_as_svg(const report::MotorSheet& sheet) {
  detail::Plot plot{.title = fmt::format("Pull-out torque: {} at {}", sheet.use.motor.name,
                                         detail::in_words(sheet.use.feed)),
                    .x_label = "motor speed, rpm",
                    .y_label = "torque at the motor's shaft, N*m",
                    .x_end = in_revolutions_per_minute(sheet.fine.back().speed)};
  if (!sheet.use.name.empty()) plot.title = sheet.use.name + ". " + plot.title;
  plot.description = fmt::format(
      "Torque over speed up to {}. Loss-free {} at rest; corner speed {}. At {} the torque that a "
      "verdict rests on is {}: {}.",
      sheet.fine.back().speed, sheet.fine.front().loss_free.torque, sheet.corner,
      sheet.at_reference.speed, sheet.at_reference.verdict.torque,
      sheet.at_reference.verdict.basis_in_words);
  if (sheet.use.load)
    plot.second = {.label = "travel of the axis, mm/s",
                   .factor = in_millimetres_per_second(revolutions_per_minute(1) *
                                                       sheet.use.load->transmission)};
  add_curves(sheet, plot);
  add_load(sheet, plot);
  constexpr std::array shapes{detail::Mark::circle, detail::Mark::square, detail::Mark::triangle,
                              detail::Mark::diamond};
  std::size_t shape = 0;
  for (const parts::PublishedCurve& curve : sheet.use.motor.curves) {
    detail::PlotMarks marks{
        .label = fmt::format("published at {}", detail::in_words({curve.voltage, curve.amplitude})),
        .mark = shapes[shape++ % shapes.size()]};
    for (const parts::CurvePoint& point : curve.points)
      marks.points.push_back(at(point.speed, point.torque));
    plot.marks.push_back(std::move(marks));
  }
  const report::StabilityCase& worst = sheet.stability.back();
  detail::PlotZones zones{.label = fmt::format("unsure: needs more damping, {}", worst.load)};
  for (const motor::UnstableBand& band : worst.bands)
    zones.ranges.push_back(
        {in_revolutions_per_minute(band.from), in_revolutions_per_minute(band.to)});
  if (!zones.ranges.empty()) plot.zones.push_back(std::move(zones));
  return detail::svg_plot(plot);
}

}  // namespace pitchline::io
