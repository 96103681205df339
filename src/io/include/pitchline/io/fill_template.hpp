#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "pitchline/io/diagnostic.hpp"

namespace pitchline::io {

struct TemplateName;

/// Names that stand together: those of a machine, or of one of its axes.
struct TemplateScope {
  std::string label{};              ///< for messages, "axis x"
  std::vector<TemplateName> names;  // no {}: the type is not complete yet
};

/// A text or number that {{name}} fills in. Nothing where there is none, for which {{#name}} asks.
struct TemplateText {
  std::optional<std::string> text{};
};

/// For {{#name}} and {{^name}} alone.
struct TemplateCondition {
  bool holds = false;
};

/// What {{#name}} goes through.
struct TemplateList {
  std::vector<TemplateScope> items;
  TemplateScope each;  ///< names of an item where there is none, their values without meaning
};

/// A name that a template may use. A scope in the place of its value is reached as {{name.other}}.
struct TemplateName {
  std::string name{};
  std::string meaning{};
  std::string unit{};  ///< empty where it has none
  std::variant<TemplateText, TemplateCondition, TemplateScope, TemplateList> value{};
};

/// Fills a template in the Mustache language with the values of names.
///
/// Values go in as they are: nothing is escaped, for the text is no web page. Lines that hold one
/// tag of a section or a comment alone leave none behind. A template is one file: partials are
/// refused, and so is whatever the language would pass over in silence: a name that is not known, a
/// name without a value outside a section that asks for it, and a list inside itself. A line break
/// in a value is refused, for it would make a line that nobody wrote.
///
/// \throws UnusableInput  all errors of the template at once, with line, column and the nearest
///                        known name
std::string fill_template(std::string_view text, std::string_view file, const TemplateScope& names);

}  // namespace pitchline::io
