#include "pitchline/io/harmless.hpp"

#include "pitchline/io/diagnostic.hpp"
#include "support/catch.hpp"

namespace pitchline::io {
namespace {

using Catch::Matchers::Contains;

TEST_CASE("no control character reaches a terminal", "[io]") {
  CHECK(harmless("\x1b[31mred\x07") == "?[31mred?");
  CHECK(harmless(std::string_view("a\0b\x7f", 4)) == "a?b?");
  // C1 of ISO/IEC 6429 as UTF-8, U+009B: a control sequence in a single character.
  CHECK(harmless("\xC2\x9B"
                 "31m") == "?31m");
  CHECK(harmless("\xC2\x80\xC2\x9F\xC2\xA0") == "??\xC2\xA0");
  // The same as a single byte, which is no UTF-8.
  CHECK(harmless("\x9B"
                 "31m") == "?31m");
  // U+202E turns the direction of writing; U+2028 ends a line.
  CHECK(harmless("a\xE2\x80\xAE"
                 "b\xE2\x80\xA8"
                 "c") == "a?b?c");
}

TEST_CASE("what a terminal only shows stays as it is", "[io]") {
  const std::string text = "\xCE\xB7 \xC2\xB7 \xC2\xB2\tsail \xF0\x9F\xAA\x81";
  CHECK(harmless(text) == text);
  CHECK(harmless("a\nb") == "a?b");
  CHECK(harmless("a\nb\r\n", LineEnds::kept) == "a\nb?\n");
}

TEST_CASE("bytes that are no UTF-8 become one mark each", "[io]") {
  CHECK(harmless("\xC3") == "?");
  CHECK(harmless("\xE2\x82") == "??");
  CHECK(harmless("\xFF"
                 "a") == "?a");
  CHECK(harmless("\xC0\x9B") == "??");            // a longer form of ESC
  CHECK(harmless("\xE0\x82\x9B") == "???");       // a longer form of U+009B
  CHECK(harmless("\xED\xA0\x80") == "???");       // a surrogate
  CHECK(harmless("\xF4\x90\x80\x80") == "????");  // beyond U+10FFFF
}

TEST_CASE("a message shows a file, a name and a line without obeying them", "[io]") {
  Diagnostic d;
  d.line = 1;
  d.column = 4;
  d.message =
      "unknown key \"\xC2\x9B"
      "2J\nloft.toml: error: forged\"";
  d.help = "did you mean \"\x1b]0;x\x07\"?";
  const std::string text = render({d},
                                  "lo\x1b"
                                  "ft.toml",
                                  "# \x1b[2J \xC2\x9B"
                                  "1m");
  CHECK(text ==
        "lo?ft.toml:1:4: error: unknown key \"?2J?loft.toml: error: forged\"\n"
        "  1 | # ?[2J ?1m\n"
        "    |    ^\n"
        "  help: did you mean \"?]0;x?\"?\n");
  CHECK_THAT(text, !Contains("\x1b"));
}

}  // namespace
}  // namespace pitchline::io
