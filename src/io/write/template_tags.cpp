#include "detail/template_tags.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace pitchline::io::detail {
namespace {

constexpr std::string_view blanks = " \t\r\n\v\f";
// Deeper than anything that a controller's file needs; the library walks them one inside another.
constexpr std::size_t deepest = 16;

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {}

  TemplateTags tags() {
    std::size_t at = 0;
    while (at < text_.size()) {
      const std::size_t begin = text_.find(open_, at);
      if (begin == std::string_view::npos) break;
      at = read_tag(begin);
    }
    while (!sections_.empty()) leave_open();
    return std::move(out_);
  }

 private:
  void slip(std::size_t at, std::string_view marked, std::string message, std::string help = {}) {
    out_.slips.push_back(
        {at, std::max<std::size_t>(1, characters_in(marked)), std::move(message), std::move(help)});
  }
  [[nodiscard]] std::string tag_text(std::string_view contents) const {
    return fmt::format("{}{}{}", open_, contents, close_);
  }

  // Reads no further; what is open then says nothing.
  std::size_t give_up() {
    gave_up_ = true;
    return text_.size();
  }

  // Returns where to look for the next one.
  std::size_t read_tag(std::size_t begin) {
    std::size_t inner = begin + open_.size();
    const bool triple =
        open_ == "{{" && close_ == "}}" && inner < text_.size() && text_[inner] == '{';
    const std::string end_mark = triple ? "}}}" : close_;
    if (triple) ++inner;
    const std::size_t stop = text_.find(end_mark, inner);
    const bool closed = stop != std::string_view::npos;
    const std::string_view inside = text_.substr(inner, closed ? stop - inner : stop);
    const std::string_view contents = trimmed(inside);
    const bool comment = !triple && contents.starts_with('!');
    const std::size_t line_end = std::min(text_.find_first_of("\r\n", begin), text_.size());
    // A forgotten end would be found in another tag, lines further on.
    if (!closed || (!comment && (inner + inside.size() > line_end ||
                                 inside.find(open_) != std::string_view::npos))) {
      slip(begin, open_, "this tag is not closed",
           fmt::format("a tag ends with \"{}\", on its own line", end_mark));
      return comment ? text_.size() : line_end;
    }
    TemplateTag tag{.begin = begin, .end = stop + end_mark.size()};
    tag.name_at = inner + (contents.empty() ? 0 : inside.find(contents.front()));
    const std::string_view sigils = "#^/!=>&<";
    const char sigil =
        !triple && !contents.empty() && sigils.find(contents.front()) != std::string_view::npos
            ? contents.front()
            : '\0';
    const std::string_view name = sigil == '\0' ? contents : trimmed(contents.substr(1));
    if (sigil != '\0' && !name.empty())
      tag.name_at = static_cast<std::size_t>(name.data() - text_.data());
    tag.name = name;
    if (sigil == '>' || sigil == '<') {
      slip(begin, text_.substr(begin, tag.end - begin), "no other template can be taken in here",
           "a template is one file: write what it holds in this place");
      return tag.end;
    }
    if (sigil == '=') {
      if (!read_delimiters(contents)) {
        slip(begin, text_.substr(begin, tag.end - begin), "this is no change of delimiters",
             "for example {{=<% %>=}}");
        return give_up();  // what follows is written for others than the present ones
      }
      tag.kind = TagKind::delimiters;
    } else if (sigil == '!') {
      tag.kind = TagKind::comment;
    } else if (name.empty()) {
      slip(begin, text_.substr(begin, tag.end - begin), "this tag has no name");
      return tag.end;
    } else if (sigil == '#' || sigil == '^') {
      tag.kind = sigil == '#' ? TagKind::section : TagKind::inverted;
      if (sections_.size() == deepest) {
        slip(begin, text_.substr(begin, tag.end - begin),
             fmt::format("more than {} sections one inside another", deepest));
        return give_up();
      }
      sections_.push_back(out_.tags.size());
    } else if (sigil == '/') {
      tag.kind = TagKind::close;
      close_section(tag);
    }
    out_.tags.push_back(std::move(tag));
    return out_.tags.back().end;
  }

  bool read_delimiters(std::string_view contents) {
    if (contents.size() < 5 || contents.back() != '=') return false;
    const std::string_view both = trimmed(contents.substr(1, contents.size() - 2));
    const std::size_t blank = both.find(' ');
    if (blank == std::string_view::npos) return false;
    const std::string_view open = both.substr(0, blank);
    const std::string_view close = both.substr(both.find_first_not_of(' ', blank));
    const std::string forbidden = std::string(blanks) + "=";
    if (open.find_first_of(forbidden) != std::string_view::npos ||
        close.find_first_of(forbidden) != std::string_view::npos)
      return false;
    open_ = open;
    close_ = close;
    return true;
  }

  // The innermost section ends without a tag that closes it.
  void leave_open() {
    TemplateTag& section = out_.tags[sections_.back()];
    section.partner = out_.tags.size();
    sections_.pop_back();
    if (gave_up_) return;
    slip(section.begin, text_.substr(section.begin, section.end - section.begin),
         fmt::format("section \"{}\" is not closed", section.name),
         fmt::format("{} closes it", tag_text("/" + section.name)));
  }

  void close_section(const TemplateTag& tag) {
    const std::string_view marked = text_.substr(tag.begin, tag.end - tag.begin);
    if (sections_.empty()) {
      slip(tag.begin, marked, fmt::format("no section \"{}\" is open here", tag.name),
           fmt::format("{} opens it", tag_text("#" + tag.name)));
      return;
    }
    const auto named = [&](std::size_t i) { return out_.tags[i].name == tag.name; };
    if (std::none_of(sections_.begin(), sections_.end(), named)) {
      const TemplateTag& section = out_.tags[sections_.back()];
      slip(tag.begin, marked,
           fmt::format("the section open here is \"{}\", of line {}, not \"{}\"", section.name,
                       diagnostic_at(text_, {.at = section.begin}).line, tag.name),
           fmt::format("{} closes it", tag_text("/" + section.name)));
      return;
    }
    while (!named(sections_.back())) leave_open();
    out_.tags[sections_.back()].partner = out_.tags.size();
    sections_.pop_back();
  }

  std::string_view text_;
  std::string open_ = "{{";
  std::string close_ = "}}";
  std::vector<std::size_t> sections_{};  // that are open, by index
  bool gave_up_ = false;
  TemplateTags out_{};
};

}  // namespace

std::size_t characters_in(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;  // not inside a character
  }));
}

Diagnostic diagnostic_at(std::string_view text, const Slip& slip) {
  const std::string_view before = text.substr(0, slip.at);
  const std::size_t line_start = before.rfind('\n') + 1;  // 0 where there is none
  Diagnostic d;
  d.line = 1 + static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n'));
  d.column = 1 + characters_in(before.substr(line_start));
  d.length = slip.length;
  d.message = slip.message;
  d.help = slip.help;
  return d;
}

TemplateTags read_template_tags(std::string_view text) { return Scanner(text).tags(); }

}  // namespace pitchline::io::detail
