#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace pitchline::tools {

// Exit status of every program; see README.md.
inline constexpr int all_hold = 0;
inline constexpr int something_fails = 1;
inline constexpr int unusable_input = 2;

/// One option of a command line, to say more of it.
class Option {
 public:
  explicit Option(CLI::Option* option) : option_(option) {}
  Option& required();
  /// So many words follow it.
  Option& takes(int least, int most);
  Option& one_of(const std::vector<std::string>& words);
  Option& excludes(const std::vector<Option>& others);

 private:
  CLI::Option* option_;
};

/// The command line of a program. What `--help` prints, what is taken and what is refused come from
/// the one definition of each option here.
class CommandLine {
 public:
  CommandLine(const std::string& program, const std::string& about);
  ~CommandLine();
  CommandLine(const CommandLine&) = delete;
  CommandLine& operator=(const CommandLine&) = delete;
  CommandLine(CommandLine&&) = delete;
  CommandLine& operator=(CommandLine&&) = delete;

  /// An option with one word, "--axis", or without dashes a word by its place, "MACHINE".
  Option text(const std::string& name, std::string& into, const std::string& about);
  /// An option with several words.
  Option texts(const std::string& name, std::vector<std::string>& into, const std::string& about);
  Option flag(const std::string& name, bool& into, const std::string& about);
  /// `--version`, where a program has one.
  void version();

  /// Reads the command line. Returns the exit status where the program has nothing more to do: help
  /// or version was printed, or the command line was refused with the nearest known option.
  std::optional<int> parse(int argc, char** argv);

 private:
  std::unique_ptr<CLI::App> app_;
};

/// A program whose first word says what is asked of it.
struct Word {
  std::string_view word;
  std::string_view about;
};
/// What is said of all of them: `--help`, and what is wrong with a first word that is none.
struct Words {
  std::string program;  ///< "pitchline-belt"
  std::string about;    ///< in front of their list
  std::string status;   ///< the exit status, behind it
  std::vector<Word> words;
};
/// Answers a command line whose first word is none of them.
int parse_without_word(const Words& words, int argc, char** argv);

/// Prints on standard output. Nothing in it is obeyed by a terminal, wherever it came from.
/// \throws UnwrittenOutput  it could not be written
void print(std::string_view text);
/// Prints what is to become a file of the user's, byte for byte, unless on a terminal.
/// \throws UnwrittenOutput  it could not be written
void print_as_it_is(std::string_view text);
/// Prints on standard error, likewise harmless.
void complain(std::string_view text);

/// Says that something went wrong that no message foresees, such as a lack of memory.
int unexpected_error() noexcept;

/// Runs `work` and turns what it throws into a message on standard error and exit status 2.
/// \param input  to be named where it is not known what was wrong
int run_and_report(const std::string& input, const std::function<int()>& work);

}  // namespace pitchline::tools
