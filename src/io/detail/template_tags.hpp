#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "pitchline/io/diagnostic.hpp"

namespace pitchline::io::detail {

enum class TagKind { value, section, inverted, close, comment, delimiters };

/// A tag of a template, by the places of its characters in the text.
struct TemplateTag {
  TagKind kind = TagKind::value;
  std::string name{};
  std::size_t begin = 0;
  std::size_t end = 0;      ///< behind its last character
  std::size_t name_at = 0;  ///< where the name begins
  /// Of a section: the index of the tag that closes it; behind the last tag where none does.
  std::size_t partner = 0;
};

/// Something wrong in a text, by place.
struct Slip {
  std::size_t at = 0;
  std::size_t length = 1;  ///< in characters
  std::string message{};
  std::string help{};
};

/// What a template is made of.
struct TemplateTags {
  std::vector<TemplateTag> tags{};
  std::vector<Slip> slips{};
};

/// Reads the tags of a template. Delimiters and names are taken apart as the template library does
/// it, which knows errors by the first of them only and by no line.
TemplateTags read_template_tags(std::string_view text);

/// The line and column of a place.
Diagnostic diagnostic_at(std::string_view text, const Slip& slip);

/// Number of characters of a text in UTF-8.
std::size_t characters_in(std::string_view text);

}  // namespace pitchline::io::detail
