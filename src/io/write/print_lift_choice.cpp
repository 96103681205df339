#include "pitchline/io/print_lift_choice.hpp"
#include "pitchline/report/finding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "detail/wrap.hpp"
#include "pitchline/io/print_report.hpp"
#include "pitchline/units.hpp"
#include "write/document.hpp"
#include "write/lift_screw_record.hpp"

namespace pitchline::io {
namespace {

using detail::wrapped;

// Screws that a page has room for.
constexpr std::size_t on_a_page = 12;

std::string wanted_in_words(const report::LiftChoice& c) {
  std::string screws = c.screws == 1   ? std::string("one screw")
                       : c.motors == 1 ? fmt::format("{} screws tied to one motor", c.screws)
                                       : fmt::format("{} screws, {} motors", c.screws, c.motors);
  return fmt::format(
      "{}, axis {}: lifts {} over {}, wanted {} at {} in steps of {}, {} without power; {}{}",
      c.machine, c.axis, c.lifted, print_plain(c.travel), print_plain(c.speed),
      print_plain(c.acceleration), print_plain(c.height_step),
      c.stays_up ? "must stay up" : "need not stay up", screws,
      c.screws == 1 || std::isnan(c.nut_share) ? ""
                                               : fmt::format(", {} % of it on the most loaded nut",
                                                             significant(100.0 * c.nut_share, 3)));
}

// Two tables one below the other: all that a screw is chosen by is wider than a screen.
std::string print_fitting(const report::LiftChoice& c, std::size_t shown) {
  using detail::Shown;
  const detail::Value::List screws =
      detail::list_of(c.fitting, [](const report::LiftScrew& s) { return detail::record_of(s); });
  const std::optional<Measure> mm = millimetres(1);
  const std::vector<detail::Column> moving = {
      {.key = "name", .head = "fits", .width = 17, .left = true},
      {.key = "lead", .head = "lead", .unit = "mm", .one = mm, .width = 8},
      {.key = "torque_to_raise",
       .head = "raise",
       .unit = "N*m",
       .one = newton_metres(1),
       .width = 9},
      {.key = "torque_margin",
       .head = "torque",
       .unit = "margin",
       .width = 8,
       .shown = Shown::margin},
      {.key = "fastest",
       .head = "fastest",
       .unit = "mm/s",
       .one = millimetres_per_second(1),
       .width = 9},
      {.key = "time_over_travel", .head = "time", .unit = "s", .one = seconds(1), .width = 9},
      {.key = "without_power", .head = "without", .unit = "power", .width = 11, .left = true},
      {.key = "verdict", .head = "verdict", .left = true}};
  const auto margin = [](std::string key, std::string head, std::string below, std::size_t width) {
    return detail::Column{.key = std::move(key),
                          .head = std::move(head),
                          .unit = std::move(below),
                          .width = width,
                          .shown = Shown::margin};
  };
  const std::vector<detail::Column> lasting = {
      {.key = "name", .width = 17, .left = true},
      margin("critical_speed_margin", "critical", "speed", 9),
      margin("column_margin", "column", "margin", 8),
      margin("wear_margin", "wear", "margin", 8),
      margin("smallest_margin", "smallest", "margin", 9),
      {.key = "per_full_step", .head = "full step", .unit = "mm", .one = mm, .width = 10},
      {.key = "per_pulse", .head = "pulse", .unit = "mm", .one = mm, .width = 10},
      {.key = "steps_per_mm", .head = "steps", .unit = "per mm", .width = 8}};
  return detail::print_table(moving, screws, shown) + "\n" +
         detail::print_table(lasting, screws, shown);
}

std::string place_of_own(const report::LiftChoice& c) {
  if (c.own.empty()) return c.own_is_open ? "The file leaves the screw open." : "";
  for (std::size_t i = 0; i < c.fitting.size(); ++i) {
    if (c.fitting[i].screw.name != c.own) continue;
    return i == 0 ? fmt::format("The file has {}, which is first.", c.own)
                  : fmt::format("The file has {}, which is number {} of {} that fit.", c.own, i + 1,
                                c.fitting.size());
  }
  return fmt::format("The file has {}, which is rejected.", c.own);
}

}  // namespace

std::string print_lift_choice(const report::LiftChoice& c, bool in_full) {
  std::string out = wrapped(wanted_in_words(c), 0, 2) + "\n";
  if (c.fitting.empty()) {
    out += "no screw of the catalogue fits\n";
  } else {
    out += wrapped(c.why_first + ".", 0, 2);
    if (const std::string own = place_of_own(c); !own.empty()) out += wrapped(own, 0, 2);
    const std::size_t shown = in_full ? c.fitting.size() : std::min(on_a_page, c.fitting.size());
    out += "\n" + print_fitting(c, shown);
    std::string usual;
    for (std::size_t i = 0; i < shown; ++i)
      if (!c.fitting[i].screw.preferred)
        usual += (usual.empty() ? "" : ", ") + c.fitting[i].screw.name;
    if (!usual.empty())
      out += wrapped("outside the preferred series, so that not every maker has its nut: " + usual,
                     0, 2);
    if (shown < c.fitting.size())
      out += fmt::format("{} more fit: --full shows them\n", c.fitting.size() - shown);
    bool headed = false;
    for (std::size_t i = 0; i < shown; ++i) {
      const report::LiftScrew& s = c.fitting[i];
      if (s.verdict == report::Verdict::holds) continue;
      std::string rows;
      for (const report::Finding& f : s.rows) {
        if (f.verdict == report::Verdict::holds) continue;
        rows += fmt::format("{}{} is {}: {}", rows.empty() ? "" : "; ", f.what,
                            report::word(f.verdict), f.reason);
      }
      if (!headed) out += "\ntight or unsure\n";
      headed = true;
      out += wrapped(fmt::format("{}: {}", s.screw.name, rows), 2, 4);
    }
    if (in_full) {
      out += fmt::format("\nthe rows of {}\n", c.fitting.front().screw.name);
      for (const report::Finding& f : c.fitting.front().rows) out += print_row(f, true);
      out += wrapped("source of its size: " + c.fitting.front().screw.source, 2, 4);
    }
  }
  if (!c.rejected.empty()) {
    out += "\nrejected\n";
    for (const report::LiftScrew& s : c.rejected) {
      std::string why;
      for (const std::string& reason : s.rejected) why += (why.empty() ? "" : "; ") + reason;
      out += wrapped(fmt::format("{}: {}", s.screw.name, why), 2, 4);
    }
  }
  out += "\n" + wrapped(fmt::format("order: {}", report::lift_screw_rule), 0, 2);
  out += wrapped(
      fmt::format("raise is the torque of each motor at the most friction of the range; fastest is "
                  "what its dependable torque lifts with a margin of {}; margins are allowed over "
                  "required: 1 is just enough, below 1.15 is called tight",
                  significant(c.torque_margin_wanted, 3)),
      0, 2);
  if (!c.assumed.empty()) {
    std::string assumed;
    for (const std::string& a : c.assumed) assumed += (assumed.empty() ? "" : "; ") + a;
    out += wrapped("assumed, because the file leaves it out: " + assumed, 0, 2);
  }
  out += "\ncautions\n";
  for (const std::string& caution : c.cautions) out += wrapped("- " + caution, 2, 4);
  return out;
}

}  // namespace pitchline::io
