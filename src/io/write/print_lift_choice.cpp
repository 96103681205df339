#include "pitchline/io/print_lift_choice.hpp"
#include "pitchline/report/finding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

#include "detail/wrap.hpp"
#include "pitchline/io/print_report.hpp"

namespace pitchline::io {
namespace {

using detail::wrapped;

// Screws that a page has room for.
constexpr std::size_t on_a_page = 12;

std::string margin_in_words(double margin) {
  if (std::isnan(margin)) return "-";
  if (margin >= 100) return ">100";
  return significant(margin, 3);
}

std::string without_power(const report::LiftScrew& s) {
  if (!s.stays_up) return "not known";
  switch (*s.stays_up) {
    case screw::StaysUp::holds:
      return "holds";
    case screw::StaysUp::may_creep:
      return "may creep";
    case screw::StaysUp::back_drives:
      return "back-drives";
  }
  return "";
}

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

std::string print_fitting(const report::LiftChoice& c, std::size_t shown) {
  std::string out = fmt::format("{:<17}{:>8}{:>9}{:>8}{:>9}{:>9} {:<11} {}\n", "fits", "lead",
                                "raise", "torque", "fastest", "time", "without", "verdict");
  out += fmt::format("{:<17}{:>8}{:>9}{:>8}{:>9}{:>9} {}\n", "", "mm", "N*m", "margin", "mm/s", "s",
                     "power");
  for (std::size_t i = 0; i < shown; ++i) {
    const report::LiftScrew& s = c.fitting[i];
    out += fmt::format("{:<17}{:>8}{:>9}{:>8}{:>9}{:>9} {:<11} {}\n", s.screw.name,
                       significant(in_millimetres(parts::lead(s.screw))),
                       significant(in_newton_metres(s.raising)), margin_in_words(s.torque_margin),
                       significant(in_millimetres_per_second(s.fastest)),
                       significant(in_seconds(s.time)), without_power(s), report::word(s.verdict));
  }
  out += fmt::format("\n{:<17}{:>9}{:>8}{:>8}{:>9}{:>10}{:>10}{:>8}\n", "", "critical", "column",
                     "wear", "smallest", "full step", "pulse", "steps");
  out += fmt::format("{:<17}{:>9}{:>8}{:>8}{:>9}{:>10}{:>10}{:>8}\n", "", "speed", "margin",
                     "margin", "margin", "mm", "mm", "per mm");
  for (std::size_t i = 0; i < shown; ++i) {
    const report::LiftScrew& s = c.fitting[i];
    out += fmt::format("{:<17}{:>9}{:>8}{:>8}{:>9}{:>10}{:>10}{:>8}\n", s.screw.name,
                       margin_in_words(s.critical_margin), margin_in_words(s.column_margin),
                       margin_in_words(s.wear_margin), margin_in_words(s.smallest_margin),
                       significant(in_millimetres(s.per_full_step)),
                       significant(in_millimetres(s.per_pulse)),
                       significant(to_double(s.steps_per_millimetre)));
  }
  return out;
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
