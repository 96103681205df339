#include "pitchline/io/write_file.hpp"

#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <system_error>

namespace pitchline::io {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(const std::string& path, std::string message, std::string help) {
  Diagnostic d;
  d.message = std::move(message);
  d.help = std::move(help);
  throw UnusableInput({d}, path, "");
}

[[noreturn]] void refuse_existing(const std::string& path) {
  refuse(path, "there is a file of this name", "name another, or allow it with --overwrite");
}

bool written(const std::string& path, std::string_view text) {
  std::FILE* file = std::fopen(path.c_str(), "wbx");  // x: never a file that is there
  if (file == nullptr) return false;
  const bool whole =
      std::fwrite(text.data(), 1, text.size(), file) == text.size() && std::fflush(file) == 0;
  return (std::fclose(file) == 0) && whole;
}

}  // namespace

void write_file(const std::string& path, std::string_view text, bool overwrite) {
  std::error_code error;
  if (fs::is_directory(path, error)) refuse(path, "this is a folder", "name a file");
  if (!overwrite && fs::exists(fs::symlink_status(path, error))) refuse_existing(path);

  const std::string beside = path + ".part" + std::to_string(::getpid());
  if (!written(beside, text)) {
    fs::remove(beside, error);
    refuse(path, "cannot be written",
           "check that its folder exists, that you may write there, and that it is not full");
  }
  std::error_code failed;
  if (overwrite) {
    fs::rename(beside, path, failed);
  } else {
    // A link refuses a name that somebody has taken since; renaming would replace it.
    fs::create_hard_link(beside, path, failed);
    if (failed == std::errc::file_exists) {
      fs::remove(beside, error);
      refuse_existing(path);
    }
    if (failed) fs::rename(beside, path, failed);  // a file system without links
  }
  fs::remove(beside, error);  // gone already where it was renamed
  if (failed) refuse(path, "cannot be written", failed.message());
}

}  // namespace pitchline::io
