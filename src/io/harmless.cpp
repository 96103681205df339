#include "pitchline/io/harmless.hpp"

#include <cstddef>

namespace pitchline::io {
namespace {

struct Character {
  char32_t code = 0;
  std::size_t bytes = 0;  // 0: no UTF-8
};

Character first_of(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned lead = byte(0);
  if (lead < 0x80U) return {lead, 1};
  const std::size_t bytes = lead >= 0xF0U ? 4 : lead >= 0xE0U ? 3 : 2;
  if (lead < 0xC2U || lead > 0xF4U || text.size() < bytes) return {};
  char32_t code = lead & (0xFFU >> (bytes + 1));
  for (std::size_t i = 1; i < bytes; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return {};
    code = code << 6U | (byte(i) & 0x3FU);
  }
  // A longer form of a shorter character would hide it; surrogates are no characters.
  const bool too_long = (bytes == 3 && code < 0x800U) || (bytes == 4 && code < 0x10000U);
  if (too_long || code > 0x10FFFFU || (code >= 0xD800U && code <= 0xDFFFU)) return {};
  return {code, bytes};
}

bool obeyed(char32_t code) {
  const bool control = code < 0x20U || (code >= 0x7FU && code <= 0x9FU);
  const bool line = code == 0x2028U || code == 0x2029U;
  const bool direction = (code >= 0x202AU && code <= 0x202EU) ||
                         (code >= 0x2066U && code <= 0x2069U) || code == 0x200EU || code == 0x200FU;
  return control || line || direction;
}

}  // namespace

std::string harmless(std::string_view text, LineEnds ends) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const Character c = first_of(text);
    const bool stays =
        c.code == U'\t' || (c.code == U'\n' && ends == LineEnds::kept) || !obeyed(c.code);
    if (c.bytes > 0 && stays)
      out += text.substr(0, c.bytes);
    else
      out += '?';
    text.remove_prefix(c.bytes > 0 ? c.bytes : 1);
  }
  return out;
}

}  // namespace pitchline::io
