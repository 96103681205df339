#pragma once

#include <string>
#include <vector>

#include "pitchline/machine/machine.hpp"
#include "pitchline/report/machine_report.hpp"

namespace pitchline::check {

using report::AxisReport;
using report::Report;

/// The cautions that apply to a machine, in plain words.
std::vector<std::string> cautions(const machine::Machine& machine);

/// How much a check works out.
struct Effort {
  /// How far the answer of each axis moves with each thing that a builder can change: the whole
  /// search anew, some twenty times an axis.
  bool influences = false;
  /// The curves of each axis: the search at some fifty speeds.
  bool capability = false;
  /// The axis that is looked at, by name; empty: all. What the axes share counts all the same.
  std::string only{};
};

namespace detail {

void require_valid(const machine::Machine& machine);

}  // namespace detail

/// Runs every check over a machine.
///
/// \throws InvalidInput     a field of the machine outside its range, or never set
/// \throws OutsideValidity  the pulleys of a reduction stage overlap
Report check_machine(const machine::Machine& machine, const Effort& effort = {});

/// What an axis is built of, in one line.
std::string parts_in_words(const machine::Axis& axis);

}  // namespace pitchline::check
