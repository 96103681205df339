#include "command_line.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cerrno>
#include <cstdio>
#include <exception>
#include <sstream>
#include <stdexcept>
#include <system_error>

#include "pitchline/io/diagnostic.hpp"
#include "pitchline/io/harmless.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/units/nearest.hpp"

namespace pitchline::tools {
namespace {

// Standard output that takes nothing more: a full disk, for example.
class UnwrittenOutput : public std::runtime_error {
 public:
  explicit UnwrittenOutput(int error)
      : std::runtime_error(fmt::format("the output: error: cannot be written: {}",
                                       std::generic_category().message(error))) {}
};

void write_out(std::string_view text) {
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size()) throw UnwrittenOutput(errno);
}

// A full disk or a closed pipe may show only when the buffer is written out.
void finish_output() {
  if (std::fflush(stdout) != 0) throw UnwrittenOutput(errno);
}

std::string did_you_mean(const std::optional<std::string>& nearest) {
  return nearest ? fmt::format(", did you mean {}?", *nearest) : "";
}

}  // namespace

Option& Option::required() {
  option_->required();
  return *this;
}

Option& Option::takes(int least, int most) {
  if (least == most)
    option_->expected(least);
  else
    option_->expected(least, most);
  return *this;
}

Option& Option::one_of(const std::vector<std::string>& words) {
  option_->check(CLI::IsMember(words));
  return *this;
}

Option& Option::excludes(const std::vector<Option>& others) {
  for (const Option& other : others) option_->excludes(other.option_);
  return *this;
}

CommandLine::CommandLine(const std::string& program, const std::string& about)
    : app_(std::make_unique<CLI::App>(about, program)) {}

CommandLine::~CommandLine() = default;

Option CommandLine::text(const std::string& name, std::string& into, const std::string& about) {
  return Option(app_->add_option(name, into, about));
}

Option CommandLine::texts(const std::string& name, std::vector<std::string>& into,
                          const std::string& about) {
  return Option(app_->add_option(name, into, about));
}

Option CommandLine::flag(const std::string& name, bool& into, const std::string& about) {
  return Option(app_->add_flag(name, into, about));
}

void CommandLine::version() {
  app_->set_version_flag("--version", PITCHLINE_VERSION, "print the version");
}

std::optional<int> CommandLine::parse(int argc, char** argv) {
  // Unknown options are taken up by hand: the parser would name a missing file in place of a
  // misspelt option.
  app_->allow_extras();
  std::string error;
  try {
    app_->parse(argc, argv);
  } catch (const CLI::ParseError& e) {
    if (e.get_exit_code() == 0) {
      std::ostringstream text;
      app_->exit(e, text, text);
      return run_and_report("", [&] {
        print(text.str());
        return all_hold;
      });
    }
    error = fmt::format("error: {}\n", e.what());
  }
  std::vector<std::string> known;
  for (const CLI::Option* option : app_->get_options()) {
    for (const std::string& name : option->get_lnames()) known.push_back("--" + name);
  }
  for (const std::string& extra : app_->remaining()) {
    error += fmt::format("error: {} is not expected{}\n", extra,
                         extra.starts_with("-") ? did_you_mean(nearest_word(extra, known)) : "");
  }
  if (error.empty()) return std::nullopt;
  complain(fmt::format("{}  help: {} --help\n", error, app_->get_name()));
  return unusable_input;
}

int parse_without_word(const Words& words, int argc, char** argv) {
  std::vector<std::string> known;
  std::size_t width = 0;
  for (const Word& each : words.words) {
    known.emplace_back(each.word);
    width = std::max(width, each.word.size());
  }
  const std::string help = fmt::format("  help: {}\n", fmt::join(known, ", "));
  const std::string first = argc > 1 ? argv[1] : "";
  if (!first.empty() && !first.starts_with("-")) {
    complain(fmt::format("error: unknown word \"{}\"{}\n{}", first,
                         did_you_mean(nearest_word(first, known)), help));
    return unusable_input;
  }
  std::string about = words.about + "\n\n";
  for (const Word& each : words.words)
    about += fmt::format("  {:<{}} {}\n", each.word, width + 1, each.about);
  CommandLine line(words.program + " WORD", about + "\n" + words.status);
  line.version();
  if (const auto status = line.parse(argc, argv)) return *status;
  complain("error: a word is missing\n" + help);
  return unusable_input;
}

void print(std::string_view text) { write_out(io::harmless(text, io::LineEnds::kept)); }

void print_as_it_is(std::string_view text) {
  if (::isatty(STDOUT_FILENO) == 1)
    print(text);
  else
    write_out(text);
}

void complain(std::string_view text) {
  const std::string shown = io::harmless(text, io::LineEnds::kept);
  std::fwrite(shown.data(), 1, shown.size(), stderr);
}

int unexpected_error() noexcept {
  std::fputs("error: unexpected, nothing was computed\n", stderr);
  return unusable_input;
}

int run_and_report(const std::string& input, const std::function<int()>& work) {
  try {
    const int status = work();
    finish_output();
    return status;
  } catch (const io::UnusableInput& e) {
    complain(e.what());
  } catch (const io::UnusableOptions& e) {
    complain(e.what());
  } catch (const UnwrittenOutput& e) {
    complain(fmt::format("{}\n", e.what()));
  } catch (const std::exception& e) {
    complain(fmt::format("{}: error: {}\n", input, e.what()));
  }
  return unusable_input;
}

}  // namespace pitchline::tools
