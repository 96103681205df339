#include "pitchline/io/print_report.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string_view>

#include "detail/wrap.hpp"

namespace pitchline::io {
namespace {

using detail::wrapped;

std::string labelled(std::string_view label, std::string_view text) {
  return wrapped(fmt::format("{} {}", label, text), 4, 6);
}

std::string margin_in_words(double margin) {
  if (std::isnan(margin)) return "-";
  // A margin of hundreds says no more than "ample", and its digits would only be noise.
  if (margin >= 100) return ">100";
  return significant(margin, 3);
}

std::string print_finding(const check::Finding& f, bool in_full) {
  const std::string value = f.value_text.empty() ? f.value.text() : f.value_text;
  // Steps per mm are judged by the error that their rounding makes, which is no limit of the value.
  const bool limit_is_of_value = f.value.si_unit() == f.limit.si_unit();
  const std::string limit =
      limit_is_of_value
          ? fmt::format("{} {}", f.bound == check::Bound::at_most ? "<=" : ">=", f.limit.text())
          : "";
  std::string out = fmt::format("  {:<24} {:>18}  {:<17} {:>6}  {}\n", f.what, value, limit,
                                margin_in_words(f.margin), check::word(f.verdict));
  if (in_full || f.verdict != check::Verdict::holds) out += labelled("because", f.reason);
  if (!f.remedy.empty()) out += labelled("helps:", f.remedy);
  if (in_full) {
    for (const check::Detail& d : f.details)
      out += fmt::format("      {:<41} {}\n", d.label, d.text);
    out += labelled("source:", f.source);
  }
  return out;
}

std::string count_of(const check::Report& report, check::Verdict verdict) {
  std::size_t count = 0;
  const auto add = [&](const std::vector<check::Finding>& findings) {
    for (const check::Finding& f : findings) count += f.verdict == verdict ? 1U : 0U;
  };
  for (const check::AxisReport& axis : report.axes) add(axis.findings);
  add(report.common);
  return fmt::format("{} {}", count, check::word(verdict));
}

// The answer in one sentence, before any table: what fails, else what nobody can be sure of.
std::string answer(const check::Report& report) {
  const check::Verdict worst = report.worst();
  if (worst == check::Verdict::holds) return report.machine + ": every row holds";
  std::string names;
  const auto name = [&](std::string_view where, const std::vector<check::Finding>& findings) {
    std::string list;
    for (const check::Finding& f : findings) {
      if (f.verdict == worst) list += (list.empty() ? "" : ", ") + f.what;
    }
    if (!list.empty()) names += fmt::format("{}{}: {}", names.empty() ? "" : "; ", where, list);
  };
  for (const check::AxisReport& axis : report.axes) name("axis " + axis.name, axis.findings);
  name("all axes together", report.common);
  constexpr std::array<std::string_view, 4> said = {"", "nothing fails, but tight is",
                                                    "nothing fails, but unsure is", "fails, by"};
  return fmt::format("{}: {} {}", report.machine, said[static_cast<std::size_t>(worst)], names);
}

}  // namespace

std::string print_report(const check::Report& report, bool in_full) {
  const std::string head =
      fmt::format("  {:<24} {:>18}  {:<17} {:>6}  {}\n", "", "value", "limit", "margin", "verdict");
  std::string out = wrapped(answer(report), 0, 2);
  for (const check::AxisReport& axis : report.axes) {
    out += "\n" + wrapped(fmt::format("axis {}: {}", axis.name, axis.parts), 0, 2);
    out += head;
    for (const check::Finding& f : axis.findings) out += print_finding(f, in_full);
    if (!axis.assumed.empty()) {
      std::string assumed;
      for (const std::string& a : axis.assumed) assumed += (assumed.empty() ? "" : "; ") + a;
      out += wrapped("assumed, because the file leaves it out: " + assumed, 2, 4);
    }
  }
  out += "\nall axes together\n";
  for (const check::Finding& f : report.common) out += print_finding(f, in_full);

  out +=
      fmt::format("\n{}: {}, {}, {}, {}\n", "rows", count_of(report, check::Verdict::holds),
                  count_of(report, check::Verdict::tight), count_of(report, check::Verdict::unsure),
                  count_of(report, check::Verdict::fails));
  out += wrapped(
      "margin is what is allowed over what is required: 1 is just enough, more is "
      "better, below 1.15 is called tight",
      0, 2);
  out += "\ncautions\n";
  for (const std::string& caution : report.cautions) out += wrapped("- " + caution, 2, 4);
  return out;
}

}  // namespace pitchline::io
