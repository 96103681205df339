#pragma once

#include <stdexcept>
#include <string>
#include <vector>

#include "pitchline/report/machine_report.hpp"

namespace pitchline::testing {

/// The row of a key. By value: what it stands in may be a temporary.
inline report::Finding row(const std::vector<report::Finding>& findings, const std::string& key) {
  for (const report::Finding& f : findings)
    if (f.key == key) return f;
  throw std::runtime_error("no finding " + key);
}

/// The first row of a key of any axis, else of all together.
inline report::Finding row(const report::Report& report, const std::string& key) {
  std::vector<report::Finding> all{};
  for (const report::AxisReport& axis : report.axes)
    all.insert(all.end(), axis.findings.begin(), axis.findings.end());
  all.insert(all.end(), report.common.begin(), report.common.end());
  return row(all, key);
}

/// The figure of a detail, in coherent units.
inline double detail(const report::Finding& finding, const std::string& label) {
  for (const report::Detail& d : finding.details)
    if (d.label == label) return d.value.coherent();
  throw std::runtime_error("no detail " + label);
}

}  // namespace pitchline::testing
