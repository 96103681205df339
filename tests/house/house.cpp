#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "house/source_text.hpp"
#include "support/catch.hpp"

// The shape of the house, as DEVELOPERS.md has it: which folder may know which, how long a file and
// a function may be. What is excepted stands here by name and with its reason.

namespace pitchline {
namespace {

using testing::functions_of;
using testing::source_file;
using testing::SourceFile;
using Reasons = std::map<std::string, std::string>;

// Folders in the order of the arrows: each may include itself and those of an earlier line.
const std::vector<std::set<std::string>> lines{{"units"},
                                               {"parts"},
                                               {"motor", "belt", "screw", "structure", "work"},
                                               {"motion"},
                                               {"axis"},
                                               {"machine", "simulate"},
                                               {"report"},
                                               {"check", "prove"},
                                               {"settings", "choose", "order", "tune"},
                                               {"answer"},
                                               {"io"},
                                               {"answers"},
                                               {"tools"}};

// Of one line, and yet one knows the other.
const std::map<std::pair<std::string, std::string>, std::string> within_a_line{
    {{"prove", "check"}, "a move is proved of an axis in the state that its rows are judged by"}};

constexpr std::size_t most_lines_of_a_file = 300;
constexpr std::size_t most_lines_of_a_function = 60;

// By folder and name, wherever in the folder it lies.
const Reasons long_files{
    {"axis/screw_axis.hpp", "every driven nut of one axis: to be parted"},
    {"check/lift_screw.cpp", "to be parted"},
    {"check/make_motor_sheet.cpp", "one block of the sheet after the other: to be parted"},
    {"belt/loop.hpp", "the belt line round pulleys: to be parted"},
    {"io/controller_names.cpp", "one entry a name, read as a table"},
    {"io/fill_template.cpp", "to be parted"},
    {"io/print_motor_sheet.cpp", "to be parted"},
    {"motor/heat.hpp", "copper, iron and rest of one balance: to be parted"},
    {"simulate/equations.hpp", "one model, each term with its derivation"},
    {"simulate/integrator.hpp", "the inner loop, which is compiled as one"},
    {"units/read.hpp", "one reader a kind of quantity"},
};

// By name, wherever it lies.
const Reasons long_functions{
    {"unstable_bands", "to be parted"},
    {"questions", "one question an entry, read as a table"},
    {"answer", "to be parted"},
    {"moved", "the inner loop of the integrator"},
    {"explain_trials", "one symbol an entry, read as a table"},
    {"PITCHLINE_KIND_OF", "no function: calls of a macro, one a kind, before a short one"},
    {"beam_finding", "to be parted"},
    {"ball_life_finding", "to be parted"},
    {"nut_findings", "to be parted"},
    {"residual_vibration_finding", "to be parted"},
    {"print_lift_choice", "to be parted"},
    {"read_tag", "one case a kind of tag"},
};

// "WHO uses WHOSE".
const Reasons foreign_detail{};

const std::vector<SourceFile>& sources() {
  static const std::vector<SourceFile> files = testing::source_files();
  return files;
}

std::size_t line_of(const std::string& folder) {
  const auto found = std::find_if(lines.begin(), lines.end(),
                                  [&](const auto& line) { return line.contains(folder); });
  return static_cast<std::size_t>(found - lines.begin());
}

// Why the arrow is not allowed; empty where it is.
std::string against(const std::string& from, const std::string& to) {
  if (from == to) return "";
  for (const std::string& folder : {from, to})
    if (line_of(folder) == lines.size()) return folder + " has no line in tests/house/house.cpp";
  if (line_of(to) < line_of(from) || within_a_line.contains({from, to})) return "";
  return from + " must not know " + to;
}

std::string listed_as(const SourceFile& file) {
  return file.folder + file.path.substr(file.path.rfind('/'));
}

void warn_of_the_unneeded(const Reasons& listed, const std::set<std::string>& needed,
                          const std::string& which) {
  for (const auto& [name, reason] : listed)
    if (!needed.contains(name)) WARN("need no longer be listed among " << which << ": " << name);
}

TEST_CASE("includes point one way", "[house]") {
  std::set<std::string> met;
  for (const SourceFile& file : sources()) {
    met.insert(file.folder);
    for (const std::string& to : testing::included_folders(file)) {
      CAPTURE(file.path);
      CHECK(against(file.folder, to) == "");
    }
  }
  // Folders from both ends were read at all.
  CHECK(met.contains("units"));
  CHECK(met.contains("check"));
  CHECK(met.contains("tools"));
}

TEST_CASE("an arrow that turns round is met", "[house]") {
  CHECK(against("motion", "units").empty());
  CHECK(against("prove", "check").empty());
  CHECK(against("units", "motion") == "units must not know motion");
  CHECK(against("check", "prove") == "check must not know prove");
  CHECK(against("motor", "belt") == "motor must not know belt");
  CHECK(against("check", "attic") == "attic has no line in tests/house/house.cpp");
  const SourceFile file = source_file("src/check/rows/a.cpp",
                                      "// #include \"pitchline/io/b.hpp\"\n"
                                      "#include \"pitchline/motor/heat.hpp\"\n"
                                      "#include <string>\n"
                                      "#include \"pitchline/units.hpp\"\n");
  CHECK(file.folder == "check");
  CHECK(testing::included_folders(file) == std::vector<std::string>{"motor", "units"});
  CHECK(source_file("src/io/include/pitchline/io/a.hpp", "").folder == "io");
  CHECK(source_file("tools/a.cpp", "").folder == "tools");
}

TEST_CASE("no file is longer than 300 lines but those listed", "[house]") {
  std::set<std::string> needed;
  for (const SourceFile& file : sources()) {
    if (testing::lines_of(file) <= most_lines_of_a_file) continue;
    CAPTURE(file.path, testing::lines_of(file));
    CHECK(long_files.contains(listed_as(file)));
    needed.insert(listed_as(file));
  }
  warn_of_the_unneeded(long_files, needed, "the long files");
}

TEST_CASE("no function is longer than 60 lines but those listed", "[house]") {
  std::set<std::string> needed;
  std::size_t met = 0;
  for (const SourceFile& file : sources()) {
    for (const testing::Function& function : functions_of(file)) {
      ++met;
      if (function.lines <= most_lines_of_a_function) continue;
      CAPTURE(file.path, function.first_line, function.lines, function.name);
      CHECK(long_functions.contains(function.name));
      needed.insert(function.name);
    }
  }
  CHECK(met > 1000);
  warn_of_the_unneeded(long_functions, needed, "the long functions");
}

TEST_CASE("functions are found with their names and lengths", "[house]") {
  const auto found = functions_of(source_file("tools/a.cpp", R"(#define A {
namespace a {
const int x = f(2), table[]{1, 2};  // { (
struct B {
  int set = 1'000;
  [[nodiscard]] bool operator()(int a = {}, char c = '{') const {
    return a == c;
  }

 private:
  B(int n) : set{n}, other_(n) {
    if (n > 0) {
      const auto add = [&](int m) { return m; };
    }
  }
};
template <class T>
T B::of(const T& text) {
  return text + "}" + R"x(})x";
}
}  // namespace a
)"));
  REQUIRE(found.size() == 3);
  CHECK(found[0].name == "operator");
  CHECK(found[0].lines == 3);
  CHECK(found[1].name == "B");
  CHECK(found[1].first_line == 11);
  CHECK(found[1].lines == 5);
  CHECK(found[2].name == "B::of");
  CHECK(found[2].lines == 4);
}

TEST_CASE("no folder uses what another keeps in its detail but those listed", "[house]") {
  std::set<std::string> needed;
  for (const SourceFile& file : sources()) {
    for (const std::string& owner : testing::detail_of(file)) {
      if (owner == file.folder || line_of(owner) == lines.size()) continue;
      const std::string use = file.folder + " uses " + owner;
      CAPTURE(file.path, use);
      CHECK(foreign_detail.contains(use));
      needed.insert(use);
    }
  }
  warn_of_the_unneeded(foreign_detail, needed, "those that use another's detail");
  CHECK(testing::detail_of(source_file("tools/a.cpp", "io::detail::f();  // motor::detail::g")) ==
        std::vector<std::string>{"io"});
}

TEST_CASE("a quantity is made of a bare number in units/ alone", "[house]") {
  std::size_t met = 0;
  for (const SourceFile& file : sources()) {
    const bool makes = file.bare.find("from_value") != std::string::npos;
    CAPTURE(file.path);
    if (file.folder == "units")
      met += makes ? 1 : 0;
    else
      CHECK_FALSE(makes);
  }
  CHECK(met > 0);
}

// Where the kinds of drive are told apart, but to ask one kind of what it alone has.
bool tells_drives_apart(const SourceFile& file) {
  const auto has = [&](const std::string& word) {
    return file.bare.find(word) != std::string::npos;
  };
  for (const char* kind : {"BeltAxis>", "ScrewAxis>", "RotaryAxis>"})
    for (const char* ask : {"get_if<axis::", "holds_alternative<axis::", "DriveTraits<axis::"})
      if (has(std::string(ask) + kind)) return true;
  // A list of all kinds in one place: what belongs to the traits of each.
  return has("as<axis::BeltAxis>") && has("as<axis::ScrewAxis>") && has("as<axis::RotaryAxis>");
}

TEST_CASE("a kind of drive is told from another in its traits alone", "[house]") {
  const std::map<std::string, std::string> listed{
      {"machine/drive.hpp", "hands every question on to the traits"},
      {"machine/belt.hpp", "traits"},
      {"machine/screw.hpp", "traits"},
      {"machine/traits.hpp", "traits"},
      {"machine/turning.hpp", "traits"}};
  std::set<std::string> needed;
  for (const SourceFile& file : sources()) {
    if (!tells_drives_apart(file)) continue;
    CAPTURE(file.path);
    CHECK(listed.contains(listed_as(file)));
    needed.insert(listed_as(file));
  }
  CHECK(needed.contains("machine/belt.hpp"));
  CHECK(tells_drives_apart(source_file("tools/a.cpp", "std::get_if<axis::BeltAxis>(&drive)")));
  CHECK_FALSE(tells_drives_apart(source_file("tools/a.cpp", "machine::as<axis::BeltAxis>(drive)")));
}

}  // namespace
}  // namespace pitchline
