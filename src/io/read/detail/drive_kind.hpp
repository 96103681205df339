#pragma once

#include <string>
#include <string_view>

namespace pitchline::io::detail {

/// What `drive.kind` says.
enum class DriveKind { belt, screw, chuck, rollers };

/// As the file writes it.
std::string_view in_words(DriveKind kind);

constexpr bool is_turning(DriveKind kind) {
  return kind == DriveKind::chuck || kind == DriveKind::rollers;
}

/// "travel is not used with a chuck".
std::string not_used_with(std::string_view key, DriveKind kind);

}  // namespace pitchline::io::detail
