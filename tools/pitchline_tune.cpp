// Turns measurements of the built machine into better values.

#include <array>
#include <utility>

#include "command_line.hpp"
#include "pitchline/io/read_machine.hpp"
#include "tune_answers.hpp"

namespace {

using namespace pitchline;
using tools::TuneOptions;

void take_readings(CLI::App& app, TuneOptions& o, const std::string& toml_table) {
  app.add_option("FILE", o.file,
                 "measurements: [" + toml_table +
                     "] of a TOML file, or a CSV table of commanded_mm,measured_mm; see "
                     "reference/measurements.md");
  app.add_option("--commanded", o.commanded, "how far it was sent, \"1000 mm\"; several in a row");
  app.add_option("--measured", o.measured, "how far it went, \"998.5 mm\"; as many");
  app.add_option("--resolution", o.resolution, "smallest step that the gauge shows, \"0.5 mm\"");
}
void take_travel(CLI::App& app, TuneOptions& o) {
  take_readings(app, o, "travel");
  app.add_option("--steps-per-mm", o.steps_per_mm, "as it is set now, \"80 pulse/mm\"");
  app.add_option("--zero", o.zero,
                 "exact: the gauge shows nothing at the start; fitted: it is found with the rest. "
                 "Left out: exact where all is at one distance");
  app.add_option("--teeth", o.teeth, "of the drive pulley, as reckoned");
  app.add_option("--pulses-per-turn", o.pulses_per_turn, "of the motor, as reckoned");
  app.add_option("--starts", o.starts, "of a screw, as reckoned");
}
void take_square(CLI::App& app, TuneOptions& o) {
  app.add_option("FILE", o.file, "measurements: [square] of a TOML file");
  app.add_option("--along-beam", o.along_beam, "side that the carriage drew, \"800 mm\"");
  app.add_option("--along-rails", o.along_rails, "side that the gantry drew, \"600 mm\"");
  app.add_option("--left-to-right", o.left_to_right,
                 "diagonal from the near left corner, \"1000.5 mm\"; several in a row");
  app.add_option("--right-to-left", o.right_to_left, "diagonal from the near right corner");
  app.add_option("--resolution", o.resolution, "smallest step that the gauge shows, \"0.5 mm\"");
  app.add_option("--between-rails", o.between_rails, "across the gantry, \"1720 mm\"");
  app.add_option("--allowed", o.allowed, "largest offset of one side, \"0.5 mm\"");
}
void take_belts(CLI::App& app, TuneOptions& o) {
  app.add_option("FILE", o.file, "measurements: [belts] of a TOML file");
  app.add_option("--profile", o.profile, "belt profile of the catalogue, \"GT 3 mm\"");
  app.add_option("--width", o.width, "of the belt, \"15 mm\"");
  app.add_option("--mass-per-length", o.mass_per_length,
                 "of the belt as you weighed it, \"12.6 g/m\"; else that of the profile");
  app.add_option("--span", o.span, "free length, \"300 mm\"; two of a gantry, left first");
  app.add_option("--frequency", o.frequency, "of the plucked span, \"62 Hz\"; as many");
  app.add_option("--wanted", o.wanted, "tension of each strand, \"40 N\"");
  app.add_option("--allowed", o.allowed, "part by which it may be off; 0.1 if left out");
  app.add_option("--frequency-resolution", o.frequency_resolution,
                 "step in which the frequency is shown, \"0.5 Hz\"");
  app.add_option("--span-resolution", o.span_resolution, "step of the rule, \"1 mm\"");
  app.add_option("--bending-stiffness", o.bending_stiffness,
                 "E*I of the belt, \"0.0005 N*m^2\"; matters on short spans");
}
void take_trials(CLI::App& app, TuneOptions& o) {
  app.add_option("MACHINE", o.file, "the machine, TOML; see README.md")->required();
  app.add_option("--axis", o.axis, "that was tried, by its name");
  app.add_option("--held", o.held, "speed and acceleration of a run without lost steps")
      ->expected(2, 200);
  app.add_option("--lost", o.lost, "speed and acceleration of a run that lost steps")
      ->expected(2, 200);
  app.add_option("--runs", o.runs,
                 "many runs: [trials] of a TOML file, or a CSV table of "
                 "speed_mm_s,acceleration_m_s2,result");
}
void take_screw(CLI::App& app, TuneOptions& o) {
  take_readings(app, o, "screw");
  app.add_option("--lead", o.lead, "as reckoned, \"8 mm\"");
  app.add_option("--allowed", o.allowed, "largest variation over any 300 mm, \"0.05 mm\"");
}

struct Word {
  std::string_view word;
  std::string_view about;
  std::string_view example;
  bool has_confidence;
  bool has_catalogue;
  void (*take)(CLI::App&, TuneOptions&);
  io::TuneAnswer (*answer)(const TuneOptions&, const io::Catalogue&);
};
constexpr std::array words{
    Word{"travel", "corrected steps per mm and lost motion, from commanded and measured travel",
         "--steps-per-mm \"80 pulse/mm\" --commanded \"1000 mm\" --measured \"998.5 mm\"\n"
         "      --resolution \"0.5 mm\"",
         true, false, take_travel, tools::answer_travel},
    Word{"square", "skew of a gantry, from both diagonals of a rectangle it drew",
         "--along-beam \"800 mm\" --along-rails \"600 mm\" --left-to-right \"1001 mm\"\n"
         "      --right-to-left \"999 mm\" --resolution \"0.5 mm\" --between-rails \"1720 mm\"",
         true, false, take_square, tools::answer_square},
    Word{"belts", "tension of plucked belts against the one wanted, and both sides alike",
         "--profile \"GT 3 mm\" --width \"15 mm\" --wanted \"60 N\" --span \"600 mm\" \"600 mm\"\n"
         "      --frequency \"36 Hz\" \"41 Hz\" --frequency-resolution \"0.5 Hz\"\n"
         "      --span-resolution \"1 mm\"",
         false, true, take_belts, tools::answer_belts},
    Word{"trials", "friction, torque and margin, from runs that held and that lost steps",
         "kite-loft.toml --axis y --held \"300 mm/s\" \"4 m/s^2\" --lost \"300 mm/s\" \"5 m/s^2\"",
         false, true, take_trials, tools::answer_trials},
    Word{"screw", "mean lead and variation of a screw, from travel measured along it",
         "screw.csv --lead \"8 mm\" --resolution \"0.01 mm\"", true, false, take_screw,
         tools::answer_screw},
};

int run(const Word& word, const TuneOptions& o) {
  io::Catalogue catalogue = io::standard_catalogue();
  if (!o.catalogue_file.empty())
    io::read_catalogue(io::read_file(o.catalogue_file), o.catalogue_file, catalogue);
  std::string why;
  try {
    const io::TuneAnswer answer = word.answer(o, catalogue);
    fmt::print("{}",
               o.json ? io::tune_answer_as_json(answer) : io::print_tune_answer(answer, o.explain));
    return answer.fails() ? tools::something_fails : tools::all_hold;
  } catch (const InvalidInput& e) {
    why = e.what();
  } catch (const OutsideValidity& e) {
    why = e.what();
  }
  fmt::print(stderr, "error: {}\n  help: pitchline-tune {} --help\n", why, word.word);
  return tools::unusable_input;
}

int ask(const Word& word, int argc, char** argv) {
  TuneOptions o;
  CLI::App app{fmt::format("{}.\n\nExample:\n  pitchline-tune {} {}\n\nExit status: 0 computed, 1 "
                           "something that was wanted fails, 2 the input cannot be used.",
                           word.about, word.word, word.example),
               fmt::format("pitchline-tune {}", word.word)};
  word.take(app, o);
  if (word.has_confidence)
    app.add_option("--confidence", o.confidence,
                   "how often the interval is to hold the true value; 0.95 if left out");
  if (word.has_catalogue)
    app.add_option("--catalogue", o.catalogue_file,
                   "a catalogue file whose parts come before the built-in ones");
  app.add_flag("--explain", o.explain, "show the formula and its source");
  app.add_flag("--json", o.json, "print one JSON object in SI units instead of tables");
  if (const auto status = tools::parse(app, argc, argv)) return *status;
  return tools::run_and_report(std::string(word.word), [&] { return run(word, o); });
}

}  // namespace

int main(int argc, char** argv) try {
  const std::string first = argc > 1 ? argv[1] : "";
  std::vector<std::string> known;
  std::string about =
      "Turns measurements of the built machine into better values. The first word says\n"
      "which; pitchline-tune WORD --help shows what goes with it.\n\n";
  for (const Word& word : words) {
    if (first == word.word) return ask(word, argc - 1, argv + 1);
    known.emplace_back(word.word);
    about += fmt::format("  {:<7} {}\n", word.word, word.about);
  }
  about +=
      "\nExit status: 0 computed, 1 something that was wanted fails, 2 the input cannot be used.";
  if (!first.empty() && !first.starts_with("-")) {
    const auto nearest = nearest_word(first, known);
    fmt::print(stderr, "error: unknown word \"{}\"{}\n  help: {}\n", first,
               nearest ? fmt::format(", did you mean {}?", *nearest) : "", fmt::join(known, ", "));
    return tools::unusable_input;
  }
  CLI::App app{about, "pitchline-tune WORD"};
  app.set_version_flag("--version", PITCHLINE_VERSION, "print the version");
  if (const auto status = tools::parse(app, argc, argv)) return *status;
  fmt::print(stderr, "error: a word is missing\n  help: {}\n", fmt::join(known, ", "));
  return tools::unusable_input;
} catch (...) {
  return pitchline::tools::unexpected_error();
}
