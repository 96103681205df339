#include "house/source_text.hpp"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <stdexcept>
#include <string_view>

#include "support/project_folder.hpp"

namespace pitchline::testing {
namespace {

bool starts_at(const std::string& text, std::size_t at, std::string_view what) {
  return text.compare(at, what.size(), what) == 0;
}
bool is_word(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

// Where the comment, string or character that begins here ends; `at` itself where none does.
std::size_t end_of_quoted(const std::string& text, std::size_t at) {
  const auto after = [&](std::string_view what, std::size_t from) {
    const std::size_t found = text.find(what, from);
    return found == std::string::npos ? text.size() : found + what.size();
  };
  if (starts_at(text, at, "//")) return std::min(text.find('\n', at), text.size());
  if (starts_at(text, at, "/*")) return after("*/", at + 2);
  if (starts_at(text, at, "R\"")) {
    const std::size_t open = text.find('(', at);
    if (open == std::string::npos) return text.size();
    return after(")" + text.substr(at + 2, open - at - 2) + "\"", open);
  }
  const char quote = text[at];
  // In 1'000 it parts digits.
  if (quote != '"' && (quote != '\'' || (at > 0 && is_word(text[at - 1])))) return at;
  for (std::size_t i = at + 1; i < text.size(); ++i) {
    if (text[i] == '\\')
      ++i;
    else if (text[i] == quote)
      return i + 1;
  }
  return text.size();
}

std::string bared(const std::string& text) {
  std::string bare = text;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t end = end_of_quoted(text, i);
    for (std::size_t k = i; k < end; ++k)
      if (bare[k] != '\n') bare[k] = ' ';
    i = std::max(end, i + 1);
  }
  // A line for the preprocessor opens and ends nothing.
  for (std::size_t i = 0; i < bare.size();) {
    const std::size_t end = std::min(bare.find('\n', i), bare.size());
    if (bare[i] == '#')
      std::fill(bare.begin() + static_cast<long>(i), bare.begin() + static_cast<long>(end), ' ');
    i = end + 1;
  }
  return bare;
}

// "axis" of "include/pitchline/axis/lift.hpp", "io" of "src/io/include/pitchline/io/catalogue.hpp".
std::string folder_of(const std::string& path) {
  if (path.starts_with("tools/")) return "tools";
  for (const std::string_view root : {"include/pitchline/", "src/"}) {
    if (!path.starts_with(root)) continue;
    const std::string rest = path.substr(root.size());
    const std::size_t slash = rest.find('/');
    return slash == std::string::npos ? rest.substr(0, rest.find('.')) : rest.substr(0, slash);
  }
  return path;
}

// Without the parameters of a template, which may say "class", and without attributes.
std::string head_of(const std::string& text) {
  static const std::regex attribute(R"(\[\[[^\]]*\]\])");
  std::string head = std::regex_replace(text, attribute, "");
  for (std::size_t at = head.find("template <"); at != std::string::npos;
       at = head.find("template <")) {
    std::size_t i = at + 9;
    int depth = 0;
    do {
      depth += head[i] == '<' ? 1 : head[i] == '>' ? -1 : 0;
      ++i;
    } while (depth > 0 && i < head.size());
    head.erase(at, i - at);
  }
  return head;
}

enum class Scope { names, function, value };

Scope opened_by(const std::string& head) {
  static const std::regex names(R"(^\s*(inline |static |constexpr |typedef )*)"
                                R"((namespace|struct|class|union|enum|extern)\b)");
  if (std::regex_search(head, names)) return Scope::names;
  const std::size_t parameters = head.find('(');
  const std::size_t equals = head.find('=');
  if (parameters == std::string::npos) return Scope::value;
  const bool is_operator = head.find("operator") < parameters;
  return equals < parameters && !is_operator ? Scope::value : Scope::function;
}

std::string name_of(const std::string& head) {
  std::size_t end = head.find('(');
  if (end == std::string::npos) return "";
  const std::size_t operator_at = head.find("operator");
  std::size_t start = std::min(operator_at, end);
  if (start == end) {
    while (end > 0 && head[end - 1] == ' ') --end;
    start = end;
  }
  while (start > 0 &&
         (is_word(head[start - 1]) || head[start - 1] == ':' || head[start - 1] == '~'))
    --start;
  return head.substr(start, end - start);
}

bool is_access(const std::string& bare, std::size_t from, std::size_t colon) {
  const std::size_t first = std::min(bare.find_first_not_of(" \n", from), colon);
  const std::string word = bare.substr(first, colon - first);
  return word == "public" || word == "private" || word == "protected";
}

std::size_t line_at(const std::string& text, std::size_t at) {
  return 1 + static_cast<std::size_t>(
                 std::count(text.begin(), text.begin() + static_cast<long>(at), '\n'));
}

// After the brace that closes the one at `open`.
std::size_t closed(const std::string& bare, std::size_t open) {
  int depth = 0;
  for (std::size_t i = open; i < bare.size(); ++i) {
    depth += bare[i] == '{' ? 1 : bare[i] == '}' ? -1 : 0;
    if (depth == 0) return i + 1;
  }
  throw std::runtime_error("a brace is not closed");
}

}  // namespace

SourceFile source_file(const std::string& path, const std::string& text) {
  return {.path = path, .folder = folder_of(path), .text = text, .bare = bared(text)};
}

std::vector<SourceFile> source_files() {
  namespace fs = std::filesystem;
  const fs::path project = project_folder();
  std::vector<SourceFile> files;
  for (const char* root : {"include", "src", "tools"}) {
    for (const auto& entry : fs::recursive_directory_iterator(project / root)) {
      const std::string ending = entry.path().extension().string();
      if (ending != ".hpp" && ending != ".cpp") continue;
      std::ifstream in(entry.path());
      if (!in) throw std::runtime_error("cannot open " + entry.path().string());
      files.push_back(source_file(entry.path().lexically_relative(project).generic_string(),
                                  std::string(std::istreambuf_iterator<char>(in), {})));
    }
  }
  std::sort(files.begin(), files.end(),
            [](const SourceFile& a, const SourceFile& b) { return a.path < b.path; });
  return files;
}

std::size_t lines_of(const SourceFile& file) {
  return static_cast<std::size_t>(std::count(file.text.begin(), file.text.end(), '\n'));
}

std::vector<std::string> included_folders(const SourceFile& file) {
  static const std::regex include(R"re((?:^|\n)#include "(pitchline/[^"]+)")re");
  std::vector<std::string> folders;
  for (std::sregex_iterator it(file.text.begin(), file.text.end(), include), end; it != end; ++it)
    folders.push_back(folder_of("include/" + (*it)[1].str()));
  return folders;
}

std::vector<Function> functions_of(const SourceFile& file) {
  const std::string& bare = file.bare;
  std::vector<Function> functions;
  std::size_t start = 0;  // of the head that is being read
  int parentheses = 0;
  for (std::size_t i = 0; i < bare.size(); ++i) {
    const char c = bare[i];
    parentheses += c == '(' ? 1 : c == ')' ? -1 : 0;
    if (parentheses > 0) continue;
    if (c == ';' || c == '}' || (c == ':' && is_access(bare, start, i))) start = i + 1;
    if (c != '{') continue;
    const std::string head = head_of(bare.substr(start, i - start));
    const Scope scope = opened_by(head);
    if (scope == Scope::names) {
      start = i + 1;
      continue;
    }
    const std::size_t end = closed(bare, i);
    i = end - 1;
    // A value in braces is part of what it stands in: of an initialiser, or of the list of a
    // constructor before its body.
    const std::size_t next = bare.find_first_not_of(" \n", end);
    const std::string name = name_of(head);
    if (scope == Scope::value || name.empty() ||
        (next != std::string::npos && (bare[next] == ',' || bare[next] == '{')))
      continue;
    const std::size_t first = bare.find_first_not_of(" \n", start);
    functions.push_back({.name = name,
                         .first_line = line_at(bare, first),
                         .lines = line_at(bare, end - 1) - line_at(bare, first) + 1});
    start = end;
  }
  return functions;
}

std::vector<std::string> detail_of(const SourceFile& file) {
  static const std::regex use(R"((\w+)::detail::)");
  std::vector<std::string> owners;
  for (std::sregex_iterator it(file.bare.begin(), file.bare.end(), use), end; it != end; ++it)
    owners.push_back((*it)[1].str());
  return owners;
}

}  // namespace pitchline::testing
