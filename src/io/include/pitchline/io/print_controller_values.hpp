#pragma once

#include <string>

#include "pitchline/io/fill_template.hpp"
#include "pitchline/report/controller_values.hpp"

namespace pitchline::io {

/// What a controller asks for as a table for people, at most 80 columns. What the file gives stands
/// in up to nine digits, as it is to be typed in; what follows from it in four.
std::string print_controller_values(const report::ControllerValues& values);

/// The same as one JSON object, in coherent SI units with all digits; what is typed in as text too.
/// Keys are only ever added.
std::string controller_values_as_json(const report::ControllerValues& values);

/// The same by the names that a template may use.
TemplateScope controller_names(const report::ControllerValues& values);

/// The names that a template may use: unit, meaning, and what stands for them now.
std::string print_template_names(const TemplateScope& names);

}  // namespace pitchline::io
