#include "pitchline/io/fill_template.hpp"

#include <string>

#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Equals;
using Catch::Matchers::StartsWith;
using io::TemplateCondition;
using io::TemplateList;
using io::TemplateName;
using io::TemplateScope;
using io::TemplateText;

TemplateName text(const std::string& name, const std::string& value) {
  return {.name = name, .value = TemplateText{value}};
}
TemplateName nothing(const std::string& name) { return {.name = name, .value = TemplateText{}}; }
TemplateName condition(const std::string& name, bool holds) {
  return {.name = name, .value = TemplateCondition{holds}};
}

// The lines of an invented kite: two of them, of which one is braided.
TemplateScope line(const std::string& name, const std::string& length, bool last,
                   const TemplateName& braid) {
  return {.label = "line " + name,
          .names = {text("name", name),
                    text("length", length),
                    condition("last", last),
                    braid,
                    {.name = "knots",
                     .value = TemplateList{
                         .items = {}, .each = {.label = "a knot", .names = {text("place", "")}}}}}};
}
TemplateScope kite() {
  const TemplateScope left = line("left", "25.5", false, text("braid", "4"));
  const TemplateScope right = line("right", "25.0", true, nothing("braid"));
  return {.label = "the kite",
          .names = {text("kite", "\"Gust\" <& sons>"),
                    condition("flown", false),
                    {.name = "lines", .value = TemplateList{.items = {left, right}, .each = {}}},
                    {.name = "at",
                     .value = TemplateScope{.label = "at",
                                            .names = {{.name = "left", .value = left},
                                                      {.name = "right", .value = right}}}}}};
}

std::string filled(const std::string& form) { return io::fill_template(form, "kite.txt", kite()); }
std::string refused(const std::string& form) {
  try {
    filled(form);
  } catch (const io::UnusableInput& e) {
    return e.what();
  }
  return "not refused";
}

TEST_CASE("values go in as they are, without any escape", "[template]") {
  CHECK(filled("[{{kite}}]") == "[\"Gust\" <& sons>]");
  CHECK(filled("[{{{kite}}}{{& kite }}]") == "[\"Gust\" <& sons>\"Gust\" <& sons>]");
  // What is filled in is no template.
  TemplateScope scope = kite();
  scope.names.front() = text("kite", "{{flown}} {{#lines}}");
  CHECK(io::fill_template("{{kite}}!", "kite.txt", scope) == "{{flown}} {{#lines}}!");
}

TEST_CASE("a text without tags comes out as it went in", "[template][property]") {
  const std::string form = GENERATE("", "\n", " \n\n  x\t\n", "no end", "a\r\n\r\n b\r\n", "} }} {",
                                    "{ {kite} }", "größe\n", "\n\n\n", "   ");
  CAPTURE(form);
  CHECK(filled(form) == form);
}

TEST_CASE("a list is gone through, a condition asked, a name reached by its group", "[template]") {
  CHECK(filled("{{#lines}}{{name}}={{length}}{{^last}}, {{/last}}{{/lines}}") ==
        "left=25.5, right=25.0");
  CHECK(filled("{{#flown}}yes{{/flown}}{{^flown}}no{{/flown}}") == "no");
  CHECK(filled("{{at.right.length}} {{#at.left}}{{name}} {{kite}}{{/at.left}}") ==
        "25.0 left \"Gust\" <& sons>");
  CHECK(
      filled(
          "{{#lines}}{{#braid}}{{name}} {{braid}}{{/braid}}{{^braid}}plain{{/braid}};{{/lines}}") ==
      "left 4;plain;");
  CHECK(filled("{{#lines}}{{#knots}}{{place}}{{/knots}}{{^knots}}-{{/knots}}{{/lines}}") == "--");
}

TEST_CASE("tags that stand alone leave no line, and blank lines stay", "[template]") {
  CHECK_THAT(filled("a\n{{#lines}}\n\n  {{name}}\n{{/lines}}\nb\n"),
             Equals("a\n\n  left\n\n  right\nb\n"));
  // Neither where the section is left out.
  CHECK_THAT(filled("a\n  {{#flown}}  \nx\n\t{{/flown}}\nb\n"), Equals("a\nb\n"));
  CHECK_THAT(filled("{{#flown}}\nx\n{{/flown}}"), Equals(""));
  CHECK_THAT(filled("a\r\n{{^flown}}\r\nx\r\n\r\n{{/flown}}\r\nb\r\n"),
             Equals("a\r\nx\r\n\r\nb\r\n"));
  CHECK_THAT(filled("{{! of the\nloft }}\na{{! more }}b\n"), Equals("ab\n"));
  // A tag beside text or beside another is not alone.
  CHECK_THAT(filled("{{#flown}}x{{/flown}}\n"), Equals("\n"));
  CHECK_THAT(filled("{{^flown}} {{/flown}}\n"), Equals(" \n"));
  CHECK_THAT(filled("  {{kite}}\n"), Equals("  \"Gust\" <& sons>\n"));
}

TEST_CASE("delimiters can be changed", "[template]") {
  CHECK_THAT(
      filled(
          "{{=<% %>=}}\n{{kite}} <%#lines%><%name%> <%/lines%>\n<%={{ }}=%>\n{{at.left.name}}\n"),
      Equals("{{kite}} left right \nleft\n"));
  CHECK_THAT(refused("{{=<%=}}{{kite}}"), StartsWith("kite.txt:1:1: error: this is no change of "
                                                     "delimiters\n  1 | {{=<%=}}{{kite}}\n"
                                                     "    | ^~~~~~~~\n"));
}

TEST_CASE("an unknown name is refused with its place and the nearest", "[template][error]") {
  CHECK_THAT(refused("wind\n\tö {{ kit }}\n"),
             Equals("kite.txt:2:7: error: unknown name \"kit\"\n  2 | \tö {{ kit }}\n"
                    "    | \t     ^~~\n  help: did you mean \"kite\"?\n"));
  CHECK_THAT(
      refused("{{#lines}}{{lenght}}{{/lines}}"),
      Contains(":1:13: error: unknown name \"lenght\"") && Contains("did you mean \"length\"?"));
  CHECK_THAT(refused("{{#flwon}}{{kite}}{{/flwon}}"), Contains("did you mean \"flown\"?"));
  CHECK_THAT(refused("{{xyzzy}}"), Contains("--names lists the names that are known"));
  CHECK_THAT(refused("{{.}}"), Contains("unknown name \".\""));
  // Also where the section would be left out.
  CHECK_THAT(refused("{{#flown}}{{kit}}{{/flown}}"), Contains(":1:13: error: unknown name"));
  CHECK_THAT(refused("{{#lines}}{{#knots}}{{plaice}}{{/knots}}{{/lines}}"),
             Contains("did you mean \"place\"?"));
}

TEST_CASE("a name of a list is no name outside of it", "[template][error]") {
  CHECK_THAT(refused("{{length}}"),
             Contains("unknown name \"length\"") &&
                 Contains("help: it is known inside {{#lines}}, or as at.left.length\n"));
  CHECK_THAT(refused("{{place}}"), Contains("help: it is known inside {{#lines}}{{#knots}}\n"));
}

TEST_CASE("a name of a group is looked up in it alone", "[template][error]") {
  CHECK_THAT(refused("{{at.rihgt.length}}"),
             Contains("unknown name \"rihgt\"") && Contains("did you mean \"right\"?"));
  CHECK_THAT(refused("{{at.right.lenght}}"), Contains("did you mean \"length\"?"));
  CHECK_THAT(refused("{{at.right.kite}}"), Contains("unknown name \"kite\""));
  CHECK_THAT(refused("{{kite.length}}"),
             Contains("\"kite\" has no names of its own") && Contains("leave \".length\" out"));
}

TEST_CASE("a name without a value is refused unless it is asked for", "[template][error]") {
  CHECK_THAT(refused("{{#lines}}\n{{braid}}\n{{/lines}}"),
             StartsWith("kite.txt:2:3: error: line right has no \"braid\"\n") &&
                 Contains("help: ask for it: {{#braid}} ... {{/braid}}"));
  CHECK_THAT(refused("{{at.right.braid}}"), Contains("line right has no \"braid\""));
  CHECK(filled("{{at.left.braid}}") == "4");
  // Left out, it is not needed.
  CHECK(filled("{{#flown}}{{at.right.braid}}{{/flown}}") == "");
  // It is not taken from a scope around it either.
  CHECK(filled("{{#at.left}}{{#at.right}}{{#braid}}{{braid}}{{/braid}}{{^braid}}none{{/braid}}"
               "{{/at.right}}{{/at.left}}") == "none");
}

TEST_CASE("what is no text is refused as one", "[template][error]") {
  CHECK_THAT(refused("{{flown}}"), Contains("\"flown\" is a condition, and no text") &&
                                       Contains("{{#flown}} ... {{/flown}} where it holds"));
  CHECK_THAT(refused("{{lines}}"), Contains("\"lines\" holds names, and is no text"));
  CHECK_THAT(refused("{{at.left}}"), Contains("\"left\" holds names, and is no text"));
}

TEST_CASE("a list inside itself is refused", "[template][error]") {
  CHECK_THAT(refused("{{#lines}}{{#flown}}{{#lines}}{{name}}{{/lines}}{{/flown}}{{/lines}}"),
             Contains(":1:24: error: \"lines\" stands inside itself"));
}

TEST_CASE("sections that do not close are refused with their place", "[template][error]") {
  CHECK_THAT(refused("a\n  {{#lines}}\nb"),
             Equals("kite.txt:2:3: error: section \"lines\" is not closed\n  2 |   {{#lines}}\n"
                    "    |   ^~~~~~~~~~\n  help: {{/lines}} closes it\n"));
  CHECK_THAT(refused("{{/lines}}"), Contains(":1:1: error: no section \"lines\" is open here") &&
                                        Contains("{{#lines}} opens it"));
  CHECK_THAT(
      refused("\n{{#lines}}{{/line}}{{/lines}}"),
      Contains(":2:11: error: the section open here is \"lines\", of line 2, not \"line\"") &&
          Contains("help: {{/lines}} closes it"));
  CHECK_THAT(refused("{{#lines}}{{#last}}{{/lines}}{{/last}}"),
             Contains(":1:11: error: section \"last\" is not closed") &&
                 Contains(":1:30: error: no section \"last\" is open here"));
  CHECK_THAT(refused("{{=<% %>=}}<%#lines%>"), Contains("help: <%/lines%> closes it"));
}

TEST_CASE("a tag that does not close is refused on its own line", "[template][error]") {
  const std::string form = GENERATE("{{kite\nx {{kite}}", "{{kite {{kite}}", "{{kite}", "{{",
                                    "{{{kite}}", "{{#lines\n}}{{/lines}}", "{{! never");
  CAPTURE(form);
  CHECK_THAT(refused(form), StartsWith("kite.txt:1:1: error: this tag is not closed"));
  CHECK_THAT(refused("{{}} {{#}}"), Contains(":1:1: error: this tag has no name") &&
                                        Contains(":1:6: error: this tag has no name"));
}

TEST_CASE("other templates cannot be taken in", "[template][error]") {
  CHECK_THAT(refused("{{> knots}}{{<kite}}"),
             Contains(":1:1: error: no other template can be taken in here") &&
                 Contains("help: a template is one file") && Contains(":1:12: error: no other"));
}

TEST_CASE("all errors of a template are told at once, by place", "[template][error]") {
  const std::string text = refused("{{kit}}\n{{#lines}}{{nam}}{{/lines}}\n{{/flown}}\n{{> x}}\n");
  const std::size_t first = text.find("kite.txt:1:3");
  const std::size_t second = text.find("kite.txt:2:13");
  const std::size_t third = text.find("kite.txt:3:1");
  const std::size_t fourth = text.find("kite.txt:4:1");
  REQUIRE(fourth != std::string::npos);
  CHECK(first < second);
  CHECK(second < third);
  CHECK(third < fourth);
}

TEST_CASE("control characters are refused in template and value", "[template][error]") {
  CHECK_THAT(refused("a\nb\x1f{{kite}}"),
             StartsWith("kite.txt:2:2: error: a control character stands in the template"));
  CHECK_THAT(refused(std::string("a\0b", 3)), Contains(":1:2: error: a control character"));
  // A line break in a name would write a line that nobody wrote.
  const std::string odd = GENERATE("Gust\nmotors on", "Gust\x1f", "Gust\r");
  TemplateScope scope = kite();
  scope.names.front() = text("kite", odd);
  CHECK_THROWS_MATCHES(
      io::fill_template("x", "kite.txt", scope), io::UnusableInput,
      Catch::Matchers::Predicate<io::UnusableInput>([](const io::UnusableInput& e) {
        return std::string(e.what()) ==
               "kite.txt: error: the text for \"kite\" holds a line break or a control character\n"
               "  help: change it in the machine file\n";
      }));
}

TEST_CASE("a template of no sensible size is refused", "[template][error]") {
  CHECK_THAT(refused(std::string(1'048'577, 'x')),
             Equals("kite.txt: error: the template is larger than 1 MiB\n"));
  CHECK_THAT(refused("\n" + std::string(4097, 'x')),
             Equals("kite.txt: error: line 2 has more than 4096 characters\n"));
  CHECK(filled(std::string(4096, 'x')).size() == 4096);
  std::string deep;
  for (int i = 0; i < 40'000; ++i) deep += "{{^flown}}\n";
  for (int i = 0; i < 40'000; ++i) deep += "{{/flown}}\n";
  CHECK_THAT(refused(deep), Contains(":17:1: error: more than 16 sections one inside another") &&
                                !Contains("is not closed"));
}

TEST_CASE("no more than fifty errors of a template are told", "[template][error]") {
  std::string form;
  for (int i = 0; i < 60; ++i) form += "{{kit}}\n";
  CHECK_THAT(refused(form), Contains("kite.txt:50:3") && !Contains("kite.txt:51:3") &&
                                Catch::Matchers::EndsWith("kite.txt: error: 10 more errors\n"));
}

}  // namespace
}  // namespace pitchline
