#include "pitchline/io/print_report.hpp"
#include "pitchline/report/finding.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "detail/report_words.hpp"
#include "detail/wrap.hpp"
#include "pitchline/units.hpp"
#include "write/document.hpp"

namespace pitchline::io {
namespace {

using detail::margin_in_words;
using detail::wrapped;

std::string labelled(std::string_view label, std::string_view text) {
  return wrapped(fmt::format("{} {}", label, text), 4, 6);
}

std::string print_finding(const report::Finding& f, bool in_full) {
  const std::string value = f.value_text.empty() ? f.value.text() : f.value_text;
  // Steps per mm are judged by the error that their rounding makes, which is no limit of the value.
  const bool limit_is_of_value =
      f.value.si_unit() == f.limit.si_unit() && std::isfinite(f.limit.coherent());
  const std::string limit =
      limit_is_of_value
          ? fmt::format("{} {}", f.bound == report::Bound::at_most ? "<=" : ">=", f.limit.text())
          : "";
  std::string out = fmt::format("  {:<24} {:>18}  {:<17} {:>6}  {}\n", f.what, value, limit,
                                margin_in_words(f.margin), report::word(f.verdict));
  if (in_full || f.verdict != report::Verdict::holds) out += labelled("because", f.reason);
  if (!f.remedy.empty()) out += labelled("helps:", f.remedy);
  if (in_full) {
    if (!f.formula.empty()) out += labelled("formula:", f.formula);
    for (const report::Detail& d : f.details)
      out += fmt::format("      {:<45} {}\n", d.label, d.text);
    out += labelled("source:", f.source);
  }
  return out;
}

std::string listed(std::string_view head, const std::vector<std::string>& list) {
  if (list.empty()) return "";
  return wrapped(fmt::format("{}: {}", head, fmt::join(list, "; ")), 2, 4);
}

// What a mechanism allows: an acceleration, or the speed where it limits nothing else.
std::string allowed_in_words(const report::Binding& b) {
  if (is_unset(b.allowed)) return "not known";
  if (b.speed_limit) return fmt::format("{} top", *b.speed_limit);
  if (b.least > Acceleration{})
    return is_finite(b.allowed)
               ? fmt::format("{} to {}", significant(in_metres_per_second_squared(b.least), 3),
                             print_down(b.allowed))
               : fmt::format("from {}", print_up(b.least));
  return is_finite(b.allowed) ? print_down(b.allowed) : "any";
}

std::string print_binds(const report::AxisReport& axis, bool in_full) {
  std::string out = fmt::format("  {:<36} {:>16}  {:>6}  {}\n",
                                fmt::format("what binds at {}", axis.wanted_speed), "it allows",
                                "margin", "verdict");
  // The rest allows more than these; a page has room for what decides.
  constexpr std::size_t on_a_page = 5;
  const std::size_t shown = in_full ? axis.binds.size() : std::min(on_a_page, axis.binds.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const report::Binding& b = axis.binds[i];
    if (!in_full && i > 0 && std::isinf(in_metres_per_second_squared(b.allowed))) continue;
    out += fmt::format("    {:<34} {:>16}  {:>6}  {}\n", b.what, allowed_in_words(b),
                       margin_in_words(b.margin), report::word(b.verdict));
  }
  return out;
}

// Figures that were assumed and would change a verdict.
std::string print_to_measure(const report::AxisReport& axis) {
  std::string out;
  for (const report::FigureToMeasure& each : axis.to_measure)
    out += wrapped(
        fmt::format("measure the {} ({}): if it is {}, as on some machines, {}: {}", each.what,
                    each.key, each.value, each.fails ? "this fails" : "this would hold", each.rows),
        2, 4);
  return out;
}

std::string signed_percent(double share) {
  if (std::isnan(share)) return "-";
  if (std::isinf(share)) return "from none";
  const double percent = 100.0 * share;
  if (std::fabs(percent) < 0.05) return "none";
  return fmt::format("{:+.1f} %", percent);
}

std::string print_influences(const report::AxisReport& axis, bool in_full) {
  if (axis.influences.empty()) return "";
  const bool any =
      std::any_of(axis.influences.begin(), axis.influences.end(), [](const report::Influence& i) {
        return !std::isnan(i.change_less) || !std::isnan(i.change_more);
      });
  if (!any)
    return wrapped("no tenth less or more of one thing would move it: see what helps below", 2, 4);
  std::string out = "  what would move it, by a tenth or to the next size there is\n";
  out += fmt::format("    {:<22} {:>12} {:>9}   {:>12} {:>9}\n", "", "less", "moves by", "more",
                     "moves by");
  constexpr std::size_t on_a_page = 4;
  std::size_t shown = 0;
  for (const report::Influence& i : axis.influences) {
    if (!in_full && shown == on_a_page) break;
    out += fmt::format("    {:<22} {:>12} {:>9}   {:>12} {:>9}\n", i.what, i.less,
                       signed_percent(i.change_less), i.more, signed_percent(i.change_more));
    ++shown;
  }
  return out;
}

// Where more acceleration buys nothing.
std::string print_capability(const report::AxisReport& axis) {
  if (!axis.capability || axis.capability->move_time.empty()) return "";
  const report::Capability& c = *axis.capability;
  std::string out = wrapped(
      fmt::format("a stroke of {} by motor torque: least time {} with {} and {}; {} and {} lose no "
                  "more than 5 %: {}",
                  c.stroke, c.fastest.time, c.fastest.acceleration, c.fastest.speed,
                  c.nearly.acceleration, c.nearly.speed, c.nearly.time),
      2, 4);
  out += fmt::format("  {:>14} {:>18} {:>20}\n", "speed", "torque allows", "textbook algebra");
  for (std::size_t i = 3; i < c.over_speed.size(); i += 4) {
    const report::SpeedPoint& p = c.over_speed[i];
    out += fmt::format("  {:>14} {:>18} {:>20}\n", print(p.speed), print(p.allowed),
                       print(p.textbook));
  }
  return out;
}

// The answer of one axis: what was wanted, what may be asked for, and what stops it.
std::string print_answer(const report::AxisReport& axis) {
  std::string text = fmt::format("wanted {} at {}; ", axis.wanted_acceleration, axis.wanted_speed);
  const report::Binding* first = axis.binds.empty() ? nullptr : &axis.binds.front();
  if (first == nullptr || is_unset(first->allowed)) {
    text += "nothing is known to bind";
  } else if (!is_finite(first->allowed)) {
    text += is_finite(axis.reachable)
                ? fmt::format("nothing binds up to {}, all that the jerk time lets it come to",
                              print_down(axis.reachable))
                : "nothing binds";
  } else {
    text += fmt::format("allowed {}, bound by {}", print_down(first->allowed), first->what);
    if (!is_unset(first->at_worst)) {
      text +=
          fmt::format("; simulated: with every swing at its worst {}",
                      first->at_worst > Acceleration{} ? print_down(first->at_worst) : "nothing");
    }
  }
  const auto customary =
      std::min_element(axis.binds.begin(), axis.binds.end(), [](const auto& x, const auto& y) {
        if (is_unset(x.customary) || is_unset(y.customary)) return !is_unset(x.customary);
        return x.customary < y.customary;
      });
  if (customary != axis.binds.end() && customary->customary < axis.wanted_acceleration &&
      customary->customary < axis.binds.front().allowed)
    text += fmt::format(
        "; with the customary service factor on the {}, a rule of the trade, {}", customary->what,
        customary->customary > Acceleration{} ? print_down(customary->customary) : "nothing");
  text += fmt::format(" (textbook algebra, no swings and no margin: {})", axis.textbook);
  return wrapped(text, 2, 4);
}

std::string count_of(const report::Report& report, report::Verdict verdict) {
  std::size_t count = 0;
  const auto add = [&](const std::vector<report::Finding>& findings) {
    for (const report::Finding& f : findings) count += f.verdict == verdict ? 1U : 0U;
  };
  for (const report::AxisReport& axis : report.axes) add(axis.findings);
  add(report.common);
  return fmt::format("{} {}", count, report::word(verdict));
}

// The answer in one sentence, before any table: what fails, else what nobody can be sure of.
std::string answer(const report::Report& report) {
  const report::Verdict worst = report.worst();
  if (worst == report::Verdict::holds) return report.machine + ": every row holds";
  for (const report::AxisReport& axis : report.axes) {
    for (const report::Finding& f : axis.findings) {
      // Every other row of such an axis follows from this one.
      if (f.key == "constant_speed_torque" && f.verdict == report::Verdict::fails)
        return fmt::format(
            "{}: fails, because the motor of axis {} cannot move its load at any speed: it needs "
            "{} "
            "and has {}",
            report.machine, axis.name, f.value.text(), f.limit.text());
    }
  }
  std::string names;
  const auto name = [&](std::string_view where, const std::vector<report::Finding>& findings) {
    std::string list;
    for (const report::Finding& f : findings) {
      if (f.verdict == worst) list += (list.empty() ? "" : ", ") + f.what;
    }
    if (!list.empty()) names += fmt::format("{}{}: {}", names.empty() ? "" : "; ", where, list);
  };
  for (const report::AxisReport& axis : report.axes) name("axis " + axis.name, axis.findings);
  name("all axes together", report.common);
  constexpr std::array<std::string_view, 4> said = {"", "nothing fails; tight in",
                                                    "nothing fails; unsure in", "fails in"};
  return fmt::format("{}: {} {}", report.machine, said[static_cast<std::size_t>(worst)], names);
}

std::string explain_binding(const report::Binding& b) {
  std::string out =
      fmt::format("  it allows {}, margin {} over what is wanted: {}\n", allowed_in_words(b),
                  margin_in_words(b.margin), report::word(b.verdict));
  if (is_finite(b.allowed) && b.allowed > Acceleration{})
    out += labelled("at that acceleration:", b.reason);
  return out;
}

}  // namespace

std::string print_row(const report::Finding& finding, bool in_full) {
  return print_finding(finding, in_full);
}

std::string explain(const report::Report& report, const report::AxisReport& axis,
                    std::string_view row) {
  std::string out;
  std::vector<report::Finding> findings = axis.findings;
  findings.insert(findings.end(), report.common.begin(), report.common.end());
  // What binds first, first.
  const auto place = [&](const report::Finding& f) {
    return std::find_if(axis.binds.begin(), axis.binds.end(),
                        [&](const report::Binding& b) { return b.key == f.key; }) -
           axis.binds.begin();
  };
  std::stable_sort(findings.begin(), findings.end(),
                   [&](const auto& x, const auto& y) { return place(x) < place(y); });
  for (const report::Finding& f : findings) {
    const auto bound = std::find_if(axis.binds.begin(), axis.binds.end(),
                                    [&](const report::Binding& b) { return b.key == f.key; });
    const bool binds = bound != axis.binds.end();
    if (row.empty() ? !binds : f.key != row) continue;
    out += fmt::format("{}axis {}, {} ({})\n", out.empty() ? "" : "\n", axis.name, f.what, f.key);
    out += print_finding(f, true);
    if (binds) out += explain_binding(*bound);
  }
  return out;
}

std::string print_report(const report::Report& report, bool in_full) {
  const std::string head =
      fmt::format("  {:<24} {:>18}  {:<17} {:>6}  {}\n", "", "value", "limit", "margin", "verdict");
  std::string out = wrapped(answer(report), 0, 2);
  for (const report::AxisReport& axis : report.axes) {
    out += "\n" + wrapped(fmt::format("axis {}: {}", axis.name, axis.parts), 0, 2);
    out += print_answer(axis);
    if (!axis.to_order.empty()) out += wrapped("order: " + detail::in_words(axis.to_order), 2, 4);
    out += wrapped("set: " + detail::in_words(axis.to_set), 2, 4);
    out += print_binds(axis, in_full);
    out += print_influences(axis, in_full);
    if (in_full) out += print_capability(axis);
    std::string rows;
    std::size_t holding = 0;
    for (const report::Finding& f : axis.findings) {
      const bool holds = f.verdict == report::Verdict::holds;
      holding += holds ? 1U : 0U;
      if (in_full || !holds) rows += print_finding(f, in_full);
    }
    if (!rows.empty()) out += head + rows;
    if (!in_full) {
      out += fmt::format("  {} rows hold; --axis {} shows them with their figures\n", holding,
                         axis.name);
    }
    out += print_to_measure(axis);
    out += listed("assumed, because the file leaves it out", axis.assumed);
    out += listed("not looked at, because the file does not describe it", axis.not_looked_at);
  }
  out += "\nall axes together\n";
  for (const report::Finding& f : report.common) out += print_finding(f, in_full);

  out += fmt::format("\n{}: {}, {}, {}, {}\n", "rows", count_of(report, report::Verdict::holds),
                     count_of(report, report::Verdict::tight),
                     count_of(report, report::Verdict::unsure),
                     count_of(report, report::Verdict::fails));
  out += wrapped(
      "margin is what is allowed over what is required: 1 is just enough, more is better, below "
      "1.15 is called tight; - where nothing is asked or known. unsure: a figure is missing or "
      "assumed, or only a rule of the trade is broken. --explain AXIS or AXIS.ROW shows the "
      "working",
      0, 2);
  out += "\ncautions\n";
  for (const std::string& caution : report.cautions) out += wrapped("- " + caution, 2, 4);
  return out;
}

}  // namespace pitchline::io
