#include <fmt/format.h>

#include "detail/svg_plot.hpp"
#include "pitchline/io/print_move.hpp"
#include "pitchline/units.hpp"

namespace pitchline::io {
namespace {

detail::PlotPoint at(Speed speed, Acceleration a) {
  return {in_millimetres_per_second(speed), in_metres_per_second_squared(a)};
}

}  // namespace

std::string map_as_svg(const report::MoveReport& report) {
  if (!report.map) throw InvalidInput("map of the report", "there", 0, "");
  const report::TrustMap& map = *report.map;
  detail::Plot plot{.title = report.name + ". Speed and acceleration that can be trusted",
                    .x_label = "speed, mm/s",
                    .y_label = "acceleration, m/s^2",
                    .x_end = in_millimetres_per_second(map.range.speeds.back())};
  detail::PlotLine trusted{
      .label = "simulated: completes up to here", .colour = "#0b4f8a", .dash = "", .width = 2.6};
  detail::PlotLine allowed{.label = "the check allows by torque, with its margin",
                           .colour = "#a33a12",
                           .dash = "10 5",
                           .width = 2.4};
  detail::PlotMarks lost{.label = "simulated: first to lose a step",
                         .mark = detail::Mark::triangle};
  for (const report::TrustColumn& each : map.columns) {
    const simulate::MapColumn& column = each.column();
    trusted.points.push_back(at(column.speed, column.completes.value_or(Acceleration{})));
    allowed.points.push_back(at(column.speed, each.allowed));
    if (column.fails) lost.points.push_back(at(column.speed, *column.fails));
  }
  const detail::PlotMarks wanted{.label = "wanted",
                                 .points = {at(map.move.speed, map.move.acceleration)},
                                 .mark = detail::Mark::diamond};
  plot.description =
      fmt::format("Acceleration over speed for {}. Wanted are {} at {}, which {}.", report.parts,
                  print_plain(map.move.acceleration), print_plain(map.move.speed),
                  map.wanted_completes().value_or(false) ? "complete in the simulation"
                                                         : "lie above what completes");
  plot.lines = {std::move(trusted), std::move(allowed)};
  plot.marks = {std::move(lost), wanted};
  return detail::svg_plot(plot);
}

}  // namespace pitchline::io
