#pragma once

#include <string>

#include "pitchline/io/catalogue.hpp"
#include "pitchline/report/motor_sheet.hpp"

namespace pitchline::io {

/// A motor sheet for people: at most 80 columns, four significant digits, no colour.
std::string print_motor_sheet(const report::MotorSheet& sheet);

/// A motor sheet as one JSON object, in coherent SI units with all digits; null where a figure is
/// not known. Keys are only ever added.
std::string motor_sheet_as_json(const report::MotorSheet& sheet);

/// The curves of a motor sheet as one table of comma-separated values, with the units in its head;
/// empty where a figure is not known. Columns are only ever added, on the right.
std::string motor_sheet_as_csv(const report::MotorSheet& sheet);

/// The curves of a motor sheet as a plot: the document of an SVG file.
std::string motor_sheet_as_svg(const report::MotorSheet& sheet);

/// The motors of a catalogue with their figures and sources, for people.
std::string print_motors(const Catalogue& catalogue);

}  // namespace pitchline::io
