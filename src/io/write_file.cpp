#include "pitchline/io/write_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstddef>
#include <filesystem>
#include <optional>
#include <system_error>
#include <utility>

#include "pitchline/io/diagnostic.hpp"

namespace pitchline::io {
namespace {

namespace fs = std::filesystem;
using Status = struct stat;

[[noreturn]] void refuse(const std::string& path, std::string message, std::string help) {
  Diagnostic d;
  d.message = std::move(message);
  d.help = std::move(help);
  throw UnusableInput({d}, path, "");
}

[[noreturn]] void refuse_existing(const std::string& path) {
  refuse(path, "there is a file of this name", "name another, or allow it with --overwrite");
}

[[noreturn]] void refuse_unwritten(const std::string& path, int error) {
  refuse(path, fmt::format("cannot be written: {}", std::generic_category().message(error)),
         "check that its folder exists, that you may write there, and that it is not full");
}

bool is_one(const Status& a, const Status& b) {
  return a.st_dev == b.st_dev && a.st_ino == b.st_ino;
}

// What a name leads to through links; none where there is nothing.
std::optional<Status> status_of(const std::string& path) {
  Status status{};
  if (::stat(path.c_str(), &status) != 0) return std::nullopt;
  return status;
}

fs::path folder_of(const std::string& path) {
  const fs::path folder = fs::path(path).parent_path();
  return folder.empty() ? fs::path(".") : folder;
}

// Refuses what is no file, a link, or there already; the status of the file to be replaced.
std::optional<Status> require_place(const std::string& path, bool overwrite) {
  Status status{};
  if (::lstat(path.c_str(), &status) != 0) {
    if (errno != ENOENT) refuse_unwritten(path, errno);
    return std::nullopt;
  }
  if (S_ISLNK(status.st_mode)) {
    std::error_code ignored;
    refuse(path, fmt::format("this is a link to {}", fs::read_symlink(path, ignored).string()),
           "nothing is written through a link: name the file itself");
  }
  if (S_ISDIR(status.st_mode)) refuse(path, "this is a folder", "name a file");
  if (!S_ISREG(status.st_mode))
    refuse(path, "this is a device, a pipe or a socket, and no file", "name a file");
  if (!overwrite) refuse_existing(path);
  if (::access(path.c_str(), W_OK) != 0)
    refuse(path, "this file may not be written", "name another, or change its mode first");
  return status;
}

// A file beside the one that is meant, of this call alone: it goes with the call unless it was
// given the name.
class FileBeside {
 public:
  explicit FileBeside(const std::string& path) {
    constexpr int most_tries = 100;  // each name taken is that of somebody else's file
    for (int i = 0; i < most_tries && descriptor_ < 0; ++i) {
      name_ = fmt::format("{}.part{}{}", path, ::getpid(), i == 0 ? "" : fmt::format("-{}", i));
      descriptor_ = ::open(name_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
      if (descriptor_ < 0 && errno != EEXIST) break;
    }
    if (descriptor_ < 0) refuse_unwritten(path, errno);
  }
  ~FileBeside() {
    if (descriptor_ >= 0) ::close(descriptor_);
    if (mine_) ::unlink(name_.c_str());
  }
  FileBeside(const FileBeside&) = delete;
  FileBeside& operator=(const FileBeside&) = delete;
  FileBeside(FileBeside&&) = delete;
  FileBeside& operator=(FileBeside&&) = delete;

  /// Returns 0, or the number of the error.
  // NOLINTNEXTLINE(readability-make-member-function-const): it changes the file
  int write(std::string_view text) {
    while (!text.empty()) {
      const auto count = ::write(descriptor_, text.data(), text.size());
      if (count < 0 && errno != EINTR) return errno;
      if (count > 0) text.remove_prefix(static_cast<std::size_t>(count));
    }
    // Some disks say only here that they are full.
    return ::fsync(descriptor_) != 0 && errno != EINVAL ? errno : 0;
  }
  /// Takes owner, group and mode of the file that it will replace.
  // NOLINTNEXTLINE(readability-make-member-function-const): it changes the file
  bool take(const Status& from) {
    Status mine{};
    if (::fstat(descriptor_, &mine) != 0) return false;
    const bool other = mine.st_uid != from.st_uid || mine.st_gid != from.st_gid;
    // The owner first: a change of it may take rights away.
    if (other && ::fchown(descriptor_, from.st_uid, from.st_gid) != 0) return false;
    return ::fchmod(descriptor_, from.st_mode & 07777U) == 0;
  }
  /// Gives it the name, in place of whatever bears it.
  int rename_to(const std::string& path) {
    if (::rename(name_.c_str(), path.c_str()) != 0) return errno;
    mine_ = false;
    return 0;
  }
  /// Gives it a name that nobody has taken.
  int name_newly(const std::string& path) {
    if (::link(name_.c_str(), path.c_str()) == 0) return 0;
    if (errno == EEXIST) return EEXIST;
    // A file system without links: the name is taken first, by a file that may be replaced.
    const int claim = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (claim < 0) return errno;
    ::close(claim);
    const int error = rename_to(path);
    if (error != 0) ::unlink(path.c_str());
    return error;
  }

 private:
  std::string name_{};
  int descriptor_ = -1;
  bool mine_ = true;
};

// Two names of one file that is there, or will be.
bool lead_to_one(const std::string& a, const std::string& b) {
  const auto there = status_of(a);
  const auto other = status_of(b);
  if (there && other) return is_one(*there, *other);
  const auto folder = status_of(folder_of(a).string());
  const auto other_folder = status_of(folder_of(b).string());
  return folder && other_folder && is_one(*folder, *other_folder) &&
         fs::path(a).filename() == fs::path(b).filename();
}

}  // namespace

void require_writable(const CallFiles& files) {
  for (std::size_t i = 0; i < files.outputs.size(); ++i) {
    const std::string& output = files.outputs[i];
    if (output.empty()) continue;
    const auto there = status_of(output);
    for (const std::string& input : files.inputs) {
      const auto read = input.empty() ? std::nullopt : status_of(input);
      if (there && read && is_one(*there, *read))
        refuse(output, fmt::format("this is the file that is read as {}", input),
               "nothing is written over an input: name another file");
    }
    for (std::size_t k = 0; k < i; ++k)
      if (!files.outputs[k].empty() && lead_to_one(output, files.outputs[k]))
        refuse(output, fmt::format("this is the file that is written as {}, too", files.outputs[k]),
               "give each output a file of its own");
    const auto replaced = require_place(output, files.overwrite);
    FileBeside trial(output);
    if (replaced && !trial.take(*replaced))
      refuse(output, "its owner cannot be kept, for it is another's file", "name another");
  }
}

void write_file(const std::string& path, std::string_view text, bool overwrite) {
  const auto replaced = require_place(path, overwrite);
  FileBeside beside(path);
  if (const int error = beside.write(text); error != 0) refuse_unwritten(path, error);
  if (replaced && !beside.take(*replaced))
    refuse(path, "its owner cannot be kept, for it is another's file", "name another");
  const int error = replaced ? beside.rename_to(path) : beside.name_newly(path);
  if (error == EEXIST) refuse_existing(path);
  if (error != 0) refuse_unwritten(path, error);
}

}  // namespace pitchline::io
