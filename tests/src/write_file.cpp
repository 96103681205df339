#include "pitchline/io/write_file.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "pitchline/io/diagnostic.hpp"
#include "pitchline/io/read_machine.hpp"
#include "support/catch.hpp"

namespace pitchline::io {
namespace {

namespace fs = std::filesystem;
using Catch::Matchers::Contains;

// A folder of its own for each test, gone with it.
class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "pitchline-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    path_ = name;
  }
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  Folder(Folder&&) = delete;
  Folder& operator=(Folder&&) = delete;

  [[nodiscard]] std::string of(const std::string& name) const { return (path_ / name).string(); }
  [[nodiscard]] std::string made(const std::string& name, const std::string& text = "mine") const {
    std::ofstream(of(name)) << text;
    return of(name);
  }
  [[nodiscard]] std::size_t files() const {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator(path_), fs::directory_iterator{}));
  }

 private:
  fs::path path_;
};

template <class Work>
std::string refusal(Work work) {
  try {
    work();
  } catch (const UnusableInput& e) {
    return e.what();
  }
  return "";
}
std::string refused(const std::string& path, bool overwrite) {
  return refusal([&] { write_file(path, "new", overwrite); });
}
std::string refused(const CallFiles& files) {
  return refusal([&] { require_writable(files); });
}

TEST_CASE("an output that is an input is refused under whatever name", "[io][error]") {
  const Folder folder;
  const std::string input = folder.made("m.toml");
  fs::create_symlink(input, folder.of("link.toml"));
  fs::create_hard_link(input, folder.of("hard.toml"));
  fs::create_directory(folder.of("sub"));
  for (const std::string& output :
       {input, folder.of("link.toml"), folder.of("hard.toml"), folder.of("sub/../m.toml")}) {
    CAPTURE(output);
    CHECK_THAT(refused({.inputs = {"", input}, .outputs = {output}, .overwrite = true}),
               Contains(output + ": error: this is the file that is read as " + input));
  }
  // An input that is read through a link is as precious.
  CHECK_THAT(refused({.inputs = {folder.of("link.toml")}, .outputs = {input}, .overwrite = true}),
             Contains("this is the file that is read as"));
  CHECK(read_file(input) == "mine");
}

TEST_CASE("two outputs that are one file are refused", "[io][error]") {
  const Folder folder;
  fs::create_directory(folder.of("sub"));
  const std::string name = folder.of("out.csv");
  const std::string other = folder.of("sub/../out.csv");
  CHECK_THAT(refused({.outputs = {name, "", other}}), Contains("is written as " + name + ", too"));
  CHECK(folder.files() == 1);
  const std::string there = folder.made("there.csv");
  fs::create_hard_link(there, folder.of("hard.csv"));
  CHECK_THAT(refused({.outputs = {there, folder.of("hard.csv")}, .overwrite = true}),
             Contains("is written as " + there + ", too"));
  CHECK(refused({.outputs = {name, folder.of("sub/out.csv")}}).empty());
}

TEST_CASE("what is no file of its own is not written to", "[io][error]") {
  const Folder folder;
  const std::string target = folder.made("target");
  fs::create_symlink(target, folder.of("link"));
  fs::create_symlink(folder.of("nothing"), folder.of("dangling"));
  REQUIRE(::mkfifo(folder.of("pipe").c_str(), 0600) == 0);
  for (const bool overwrite : {false, true}) {
    CAPTURE(overwrite);
    CHECK_THAT(refused(folder.of("link"), overwrite), Contains("this is a link to " + target));
    CHECK_THAT(refused(folder.of("dangling"), overwrite), Contains("this is a link to"));
    CHECK_THAT(refused(folder.of("pipe"), overwrite), Contains("no file"));
    CHECK_THAT(refused("/dev/null", overwrite), Contains("this is a device"));
    CHECK_THAT(refused(folder.of("."), overwrite), Contains("this is a folder"));
    CHECK_THAT(refused({.outputs = {folder.of("link")}, .overwrite = overwrite}),
               Contains("this is a link to"));
  }
  CHECK(read_file(target) == "mine");
  CHECK_FALSE(fs::exists(folder.of("nothing")));
}

TEST_CASE("a file that is replaced keeps its mode, and nothing else is left", "[io]") {
  const Folder folder;
  const std::string file = folder.made("out.txt");
  REQUIRE(::chmod(file.c_str(), 0640) == 0);
  CHECK_THAT(refused(file, false), Contains("there is a file of this name"));
  write_file(file, "new", true);
  CHECK(read_file(file) == "new");
  struct stat status {};
  REQUIRE(::stat(file.c_str(), &status) == 0);
  CHECK((status.st_mode & 07777U) == 0640U);
  write_file(folder.of("other.txt"), "new", false);
  CHECK(folder.files() == 2);
}

TEST_CASE("a stranger's file beside the output stays", "[io]") {
  const Folder folder;
  const std::string file = folder.of("out.txt");
  const std::string theirs = folder.made("out.txt.part" + std::to_string(::getpid()), "theirs");
  require_writable({.outputs = {file}});
  CHECK(folder.files() == 1);
  write_file(file, "new", false);
  CHECK(read_file(file) == "new");
  CHECK(read_file(theirs) == "theirs");
  CHECK(folder.files() == 2);
}

TEST_CASE("outputs that cannot be written are refused beforehand, by name", "[io][error]") {
  const Folder folder;
  const std::string there = folder.made("there");
  const std::string lost = folder.of("none/out.txt");
  CHECK_THAT(refused({.outputs = {lost}}), Contains(lost + ": error: cannot be written"));
  CHECK_THAT(refused({.outputs = {folder.of("there/out.txt")}}), Contains("cannot be written"));
  CHECK_THAT(refused({.outputs = {there}}), Contains("there is a file of this name"));
  CHECK(refused({.inputs = {there}, .outputs = {folder.of("out.txt")}}).empty());
  CHECK(folder.files() == 1);
  if (::geteuid() == 0) return;  // whom no mode holds back
  REQUIRE(::chmod(there.c_str(), 0400) == 0);
  CHECK_THAT(refused({.outputs = {there}, .overwrite = true}), Contains("may not be written"));
}

}  // namespace
}  // namespace pitchline::io
