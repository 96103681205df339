#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace pitchline::io {

/// The files of one call of a program. An empty name stands for an option that was left out.
struct CallFiles {
  std::vector<std::string> inputs{};   ///< all that are read, whatever they are
  std::vector<std::string> outputs{};  ///< all that will be written
  bool overwrite = false;              ///< whether an output may replace a file
};

/// Refuses, before any work is done, outputs that would destroy something or cannot be written: one
/// that is an input of the same call (the same file, under whatever name), two that are one file,
/// a link, a folder, a device or another thing that is no file, a file that is there where
/// `overwrite` is false or that may not be written, and a folder that takes no new file. Leaves
/// nothing behind.
///
/// \throws UnusableInput  the output is named, with what is wrong of it
void require_writable(const CallFiles& files);

/// Writes a file, whole or not at all: a file beside it is written first and then given the name. A
/// file that is replaced hands on its owner, group and mode, but no access list, and other names
/// that it has (hard links) keep the old text. Nothing is removed that this call did not make.
///
/// \throws UnusableInput  there is a file of that name and `overwrite` is false, it is a link, a
///                        folder or no file, or it cannot be written
void write_file(const std::string& path, std::string_view text, bool overwrite);

}  // namespace pitchline::io
