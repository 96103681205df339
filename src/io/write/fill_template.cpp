#include "pitchline/io/fill_template.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <kainjow/mustache.hpp>
#include <map>
#include <utility>

#include "detail/template_tags.hpp"
#include "pitchline/units/nearest.hpp"

namespace pitchline::io {
namespace {

namespace mustache = kainjow::mustache;
using detail::Slip;
using detail::TagKind;
using detail::TemplateTag;

constexpr std::size_t largest_template = 1'048'576;
constexpr std::size_t longest_line = 4096;  // a message shows the whole line
constexpr std::size_t most_errors = 50;     // beyond them nobody reads on

bool is_control(char c) { return static_cast<unsigned char>(c) < 0x20U || c == '\x7f'; }

const TemplateName* find(const TemplateScope& scope, std::string_view name) {
  for (const TemplateName& each : scope.names)
    if (each.name == name) return &each;
  return nullptr;
}

// The lists, outermost first, inside which a name would be known.
std::vector<std::string> lists_around(const TemplateScope& scope, std::string_view name) {
  for (const TemplateName& each : scope.names) {
    const auto* list = std::get_if<TemplateList>(&each.value);
    if (list == nullptr) continue;
    const TemplateScope& item = list->items.empty() ? list->each : list->items.front();
    if (find(item, name) != nullptr) return {each.name};
    std::vector<std::string> inner = lists_around(item, name);
    if (inner.empty()) continue;
    inner.insert(inner.begin(), each.name);
    return inner;
  }
  return {};
}

// How one of several that stand by their names in a group would give a name: "axis.x.travel_mm".
std::string path_in_group(const TemplateScope& scope, std::string_view name) {
  for (const TemplateName& each : scope.names) {
    const auto* group = std::get_if<TemplateScope>(&each.value);
    if (group == nullptr) continue;
    for (const TemplateName& inner : group->names) {
      const auto* of_one = std::get_if<TemplateScope>(&inner.value);
      if (of_one != nullptr && find(*of_one, name) != nullptr)
        return fmt::format("{}.{}.{}", each.name, inner.name, name);
    }
  }
  return {};
}

// Goes through a template as it will be filled in, and finds what would be filled in wrongly.
class Checker {
 public:
  Checker(const detail::TemplateTags& read, const TemplateScope& names)
      : tags_(read.tags), scopes_{&names} {
    for (const Slip& slip : read.slips) slips_.try_emplace(slip.at, slip);
    visit(0, tags_.size(), true);
  }
  // By place.
  [[nodiscard]] const std::map<std::size_t, Slip>& slips() const { return slips_; }

 private:
  // A name with the scope that has it, or what is wrong with it.
  struct Found {
    const TemplateName* name = nullptr;
    const TemplateScope* scope = nullptr;
    std::string message{};
    std::string help{};
  };

  void slip(const TemplateTag& tag, std::string message, std::string help) {
    // A tag in a list is met once for each item: the first time counts.
    slips_.try_emplace(tag.begin, Slip{tag.name_at, detail::characters_in(tag.name),
                                       std::move(message), std::move(help)});
  }

  [[nodiscard]] Found unknown(std::string_view name, const std::vector<const TemplateScope*>& among,
                              bool alone) const {
    Found found{.message = fmt::format("unknown name \"{}\"", name)};
    if (const auto lists = lists_around(*scopes_.front(), name); alone && !lists.empty()) {
      std::string open;
      for (const std::string& list : lists) open += "{{#" + list + "}}";
      const std::string path = path_in_group(*scopes_.front(), name);
      found.help =
          fmt::format("it is known inside {}{}", open, path.empty() ? "" : ", or as " + path);
      return found;
    }
    std::vector<std::string> known;
    for (const TemplateScope* scope : among)
      for (const TemplateName& each : scope->names) known.push_back(each.name);
    const auto nearest = nearest_word(name, known);
    found.help = nearest ? fmt::format("did you mean \"{}\"?", *nearest)
                         : std::string("--names lists the names that are known");
    return found;
  }

  [[nodiscard]] Found resolve(std::string_view path) const {
    const std::string_view first = path.substr(0, path.find('.'));
    std::vector<const TemplateScope*> inside_out(scopes_.rbegin(), scopes_.rend());
    Found found;
    for (const TemplateScope* scope : inside_out) {
      if (found.name != nullptr) break;
      found = {.name = find(*scope, first), .scope = scope};
    }
    const bool alone = first.size() == path.size();
    if (found.name == nullptr)
      return unknown(alone || first.empty() ? path : first, inside_out, alone);
    while (path.find('.') != std::string_view::npos) {
      path.remove_prefix(path.find('.') + 1);
      const auto* group = std::get_if<TemplateScope>(&found.name->value);
      if (group == nullptr)
        return {.message = fmt::format("\"{}\" has no names of its own", found.name->name),
                .help = fmt::format("leave \".{}\" out", path)};
      const std::string_view next = path.substr(0, path.find('.'));
      const TemplateName* name = find(*group, next);
      if (name == nullptr) return unknown(next, {group}, false);
      found = {.name = name, .scope = group};
    }
    return found;
  }

  void visit(std::size_t from, std::size_t to, bool live) {
    for (std::size_t i = from; i < to; ++i) {
      const TemplateTag& tag = tags_[i];
      if (tag.kind != TagKind::value && tag.kind != TagKind::section &&
          tag.kind != TagKind::inverted)
        continue;
      const Found found = resolve(tag.name);
      // Inside a section that nobody knows, nothing is said of the names.
      if (found.name == nullptr) slip(tag, found.message, found.help);
      if (tag.kind == TagKind::value) {
        if (found.name != nullptr) check_value(tag, found, live);
        continue;
      }
      if (found.name != nullptr && tag.kind == TagKind::section) {
        visit_section(i, *found.name, live);
      } else if (found.name != nullptr) {
        visit(i + 1, tag.partner, live && is_left_out(*found.name));
      }
      i = tag.partner;
    }
  }

  void check_value(const TemplateTag& tag, const Found& found, bool live) {
    const std::string sections = fmt::format("{{{{#{0}}}}} ... {{{{/{0}}}}}", tag.name);
    if (const auto* text = std::get_if<TemplateText>(&found.name->value)) {
      if (live && !text->text)
        slip(tag, fmt::format("{} has no \"{}\"", found.scope->label, found.name->name),
             fmt::format("ask for it: {}", sections));
    } else if (std::holds_alternative<TemplateCondition>(found.name->value)) {
      slip(tag, fmt::format("\"{}\" is a condition, and no text", found.name->name),
           fmt::format("{} where it holds, {{{{^{}}}}} where not", sections, tag.name));
    } else {
      slip(tag, fmt::format("\"{}\" holds names, and is no text", found.name->name),
           fmt::format("{} goes into it", sections));
    }
  }

  static bool is_left_out(const TemplateName& name) {
    if (const auto* text = std::get_if<TemplateText>(&name.value)) return !text->text;
    if (const auto* condition = std::get_if<TemplateCondition>(&name.value))
      return !condition->holds;
    const auto* list = std::get_if<TemplateList>(&name.value);
    return list != nullptr && list->items.empty();
  }

  void visit_inside(std::size_t section, const TemplateScope& scope, bool live) {
    scopes_.push_back(&scope);
    visit(section + 1, tags_[section].partner, live);
    scopes_.pop_back();
  }

  void visit_section(std::size_t section, const TemplateName& name, bool live) {
    const TemplateTag& tag = tags_[section];
    const bool inside = live && !is_left_out(name);
    if (const auto* group = std::get_if<TemplateScope>(&name.value))
      return visit_inside(section, *group, inside);
    const auto* list = std::get_if<TemplateList>(&name.value);
    if (list == nullptr) return visit(section + 1, tag.partner, inside);
    // Each list would multiply what is written, and none is of use inside itself.
    if (std::find(lists_.begin(), lists_.end(), name.name) != lists_.end())
      return slip(tag, fmt::format("\"{}\" stands inside itself", name.name),
                  "close the one around it first");
    lists_.push_back(name.name);
    if (inside) {
      for (const TemplateScope& item : list->items) visit_inside(section, item, true);
    } else {
      visit_inside(section, list->items.empty() ? list->each : list->items.front(), false);
    }
    lists_.pop_back();
  }

  const std::vector<TemplateTag>& tags_;
  std::vector<const TemplateScope*> scopes_;  // outermost first
  std::vector<std::string> lists_{};          // whose items are gone through
  std::map<std::size_t, Slip> slips_{};
};

mustache::data data_of(const TemplateScope& scope, std::string_view file);

mustache::data data_of(const TemplateName& name, std::string_view file) {
  if (const auto* text = std::get_if<TemplateText>(&name.value)) {
    // Not nothing, for which a name of the same spelling further out would be taken.
    if (!text->text) return {false};
    if (std::any_of(text->text->begin(), text->text->end(), is_control)) {
      Diagnostic d;
      d.message =
          fmt::format("the text for \"{}\" holds a line break or a control character", name.name);
      d.help = "change it in the machine file";
      throw UnusableInput({d}, file, "");
    }
    return {*text->text};
  }
  if (const auto* condition = std::get_if<TemplateCondition>(&name.value))
    return {condition->holds};
  if (const auto* group = std::get_if<TemplateScope>(&name.value)) return data_of(*group, file);
  mustache::data list(mustache::data::type::list);
  for (const TemplateScope& item : std::get<TemplateList>(name.value).items)
    list.push_back(data_of(item, file));
  return list;
}

mustache::data data_of(const TemplateScope& scope, std::string_view file) {
  mustache::data object;
  for (const TemplateName& name : scope.names) object.set(name.name, data_of(name, file));
  return object;
}

// The library drops each line that a section leaves blank, also a blank line that was wanted, and
// keeps the lines of a section that is left out. So the lines of tags that stand alone are taken
// out here, as the language has it, and this mark keeps the library from dropping any other. It
// occurs in no template and in no value: both are refused with a control character.
constexpr char keep_line = '\x1f';

void append_text(std::string& out, std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool second_of_two = text[i] == '\n' && i > 0 && text[i - 1] == '\r';
    if ((text[i] == '\n' || text[i] == '\r') && !second_of_two) out += keep_line;
    out += text[i];
  }
}

std::string without_lone_lines(std::string_view text, const std::vector<TemplateTag>& tags) {
  std::string out;
  std::size_t done = 0;
  for (const TemplateTag& tag : tags) {
    std::size_t from = tag.begin;
    std::size_t to = tag.end;
    if (tag.kind != TagKind::value) {
      while (from > 0 && (text[from - 1] == ' ' || text[from - 1] == '\t')) --from;
      while (to < text.size() && (text[to] == ' ' || text[to] == '\t')) ++to;
      const bool starts_line = from == 0 || text[from - 1] == '\n' || text[from - 1] == '\r';
      const bool ends_line = to == text.size() || text[to] == '\n' || text[to] == '\r';
      if (!starts_line || !ends_line || from < done) {
        from = tag.begin;
        to = tag.end;
      } else if (to < text.size()) {
        to += text.substr(to, 2) == "\r\n" ? 2 : 1;
      }
    }
    append_text(out, text.substr(done, from - done));
    if (tag.kind != TagKind::comment) out += text.substr(tag.begin, tag.end - tag.begin);
    done = to;
  }
  append_text(out, text.substr(done));
  return out + keep_line;
}

[[noreturn]] void refuse(std::string_view text, std::string_view file,
                         const std::map<std::size_t, Slip>& slips) {
  std::vector<Diagnostic> diagnostics;
  for (const auto& [at, slip] : slips) {
    if (diagnostics.size() == most_errors) {
      Diagnostic d;
      d.message = fmt::format("{} more errors", slips.size() - most_errors);
      diagnostics.push_back(std::move(d));
      break;
    }
    diagnostics.push_back(detail::diagnostic_at(text, slip));
  }
  throw UnusableInput(diagnostics, file, text);
}

void require_text(std::string_view text, std::string_view file) {
  const auto refuse_all = [&](std::string message) {
    Diagnostic d;
    d.message = std::move(message);
    throw UnusableInput({d}, file, "");
  };
  if (text.size() > largest_template) refuse_all("the template is larger than 1 MiB");
  std::size_t number = 1;
  for (std::string_view rest = text; !rest.empty(); ++number) {
    const std::size_t end = rest.find('\n');
    if (rest.substr(0, end).size() > longest_line)
      refuse_all(fmt::format("line {} has more than {} characters", number, longest_line));
    rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
  }
  const auto odd = std::find_if(text.begin(), text.end(), [](char c) {
    return is_control(c) && c != '\t' && c != '\r' && c != '\n';
  });
  if (odd == text.end()) return;
  const Slip slip{static_cast<std::size_t>(odd - text.begin()), 1,
                  "a control character stands in the template", "a template is plain text"};
  refuse(text, file, {{slip.at, slip}});
}

}  // namespace

std::string fill_template(std::string_view text, std::string_view file,
                          const TemplateScope& names) {
  require_text(text, file);
  const detail::TemplateTags read = detail::read_template_tags(text);
  const Checker checker(read, names);
  if (!checker.slips().empty()) refuse(text, file, checker.slips());

  const auto refuse_as_library = [&](const std::string& message) {
    Diagnostic d;
    d.message = message;
    throw UnusableInput({d}, file, "");
  };
  mustache::mustache filler(without_lone_lines(text, read.tags));
  if (!filler.is_valid()) refuse_as_library(filler.error_message());
  filler.set_custom_escape([](const std::string& value) { return value; });
  std::string out = filler.render(data_of(names, file));
  if (!filler.is_valid()) refuse_as_library(filler.error_message());
  out.erase(std::remove(out.begin(), out.end(), keep_line), out.end());
  return out;
}

}  // namespace pitchline::io
