#pragma once

#include <string>
#include <string_view>

namespace pitchline::io {

/// What becomes of the line ends of a text.
enum class LineEnds { replaced, kept };

/// A text that came from outside, as a terminal can show it without obeying it: every control
/// character but the tab, every mark that turns the direction of writing, and every byte that is no
/// UTF-8 becomes a question mark, one for each. A name or a quoted line is one line, so its line
/// ends are replaced, too, or it could pass for a message of its own; a whole output keeps them.
///
/// Source: control characters of ISO/IEC 6429 (C0, DEL, C1); UTF-8 as in RFC 3629.
std::string harmless(std::string_view text, LineEnds ends = LineEnds::replaced);

}  // namespace pitchline::io
