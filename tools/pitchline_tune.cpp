// Turns measurements of the built machine into better values.

#include <fmt/format.h>

#include <array>

#include "command_line.hpp"
#include "pitchline/answers/tune_question.hpp"
#include "pitchline/io/print_answer.hpp"
#include "pitchline/io/read_machine.hpp"

namespace {

using namespace pitchline;
using answer::TuneQuestion;
using tools::CommandLine;

void take_readings(CommandLine& line, TuneQuestion& q, const std::string& toml_table) {
  line.text("FILE", q.file,
            "measurements: [" + toml_table +
                "] of a TOML file, or a CSV table of commanded_mm,measured_mm; see "
                "reference/measurements.md");
  line.texts("--commanded", q.commanded, "how far it was sent, \"1000 mm\"; several in a row");
  line.texts("--measured", q.measured, "how far it went, \"998.5 mm\"; as many");
  line.text("--resolution", q.resolution, "smallest step that the gauge shows, \"0.5 mm\"");
}
void take_travel(CommandLine& line, TuneQuestion& q) {
  take_readings(line, q, "travel");
  line.text("--steps-per-mm", q.steps_per_mm, "as it is set now, \"80 pulse/mm\"");
  line.text("--zero", q.zero,
            "exact: the gauge shows nothing at the start; fitted: it is found with the rest. "
            "Left out: exact where all is at one distance");
  line.text("--teeth", q.teeth, "of the drive pulley, as reckoned");
  line.text("--pulses-per-turn", q.pulses_per_turn, "of the motor, as reckoned");
  line.text("--starts", q.starts, "of a screw, as reckoned");
}
void take_square(CommandLine& line, TuneQuestion& q) {
  line.text("FILE", q.file, "measurements: [square] of a TOML file");
  line.text("--along-beam", q.along_beam, "side that the carriage drew, \"800 mm\"");
  line.text("--along-rails", q.along_rails, "side that the gantry drew, \"600 mm\"");
  line.texts("--left-to-right", q.left_to_right,
             "diagonal from the near left corner, \"1000.5 mm\"; several in a row");
  line.texts("--right-to-left", q.right_to_left, "diagonal from the near right corner");
  line.text("--resolution", q.resolution, "smallest step that the gauge shows, \"0.5 mm\"");
  line.text("--between-rails", q.between_rails, "across the gantry, \"1720 mm\"");
  line.text("--allowed", q.allowed, "largest offset of one side, \"0.5 mm\"");
}
void take_belts(CommandLine& line, TuneQuestion& q) {
  line.text("FILE", q.file, "measurements: [belts] of a TOML file");
  line.text("--profile", q.profile, "belt profile of the catalogue, \"GT 3 mm\"");
  line.text("--width", q.width, "of the belt, \"15 mm\"");
  line.text("--mass-per-length", q.mass_per_length,
            "of the belt as you weighed it, \"12.6 g/m\"; else that of the profile");
  line.texts("--span", q.span, "free length, \"300 mm\"; two of a gantry, left first");
  line.texts("--frequency", q.frequency, "of the plucked span, \"62 Hz\"; as many");
  line.text("--wanted", q.wanted, "tension of each strand, \"40 N\"");
  line.text("--allowed", q.allowed, "part by which it may be off; 0.1 if left out");
  line.text("--frequency-resolution", q.frequency_resolution,
            "step in which the frequency is shown, \"0.5 Hz\"");
  line.text("--span-resolution", q.span_resolution, "step of the rule, \"1 mm\"");
  line.text("--bending-stiffness", q.bending_stiffness,
            "E*I of the belt, \"0.0005 N*m^2\"; matters on short spans");
}
void take_trials(CommandLine& line, TuneQuestion& q) {
  line.text("MACHINE", q.file, "the machine, TOML; see README.md").required();
  line.text("--axis", q.axis, "that was tried, by its name");
  line.texts("--held", q.held, "speed and acceleration of a run without lost steps").takes(2, 200);
  line.texts("--lost", q.lost, "speed and acceleration of a run that lost steps").takes(2, 200);
  line.text("--runs", q.runs,
            "many runs: [trials] of a TOML file, or a CSV table of "
            "speed_mm_s,acceleration_m_s2,result");
}
void take_screw(CommandLine& line, TuneQuestion& q) {
  take_readings(line, q, "screw");
  line.text("--lead", q.lead, "as reckoned, \"8 mm\"");
  line.text("--allowed", q.allowed, "largest variation over any 300 mm, \"0.05 mm\"");
}

void take_axis(CommandLine& line, TuneQuestion& q) {
  line.text("MACHINE", q.file, "the machine, TOML; see README.md").required();
  line.text("--axis", q.axis, "that was measured, by its name");
  line.texts("--pull-belt-off", q.pull_belt_off,
             "that keeps it moving without its belt, \"4.2 N\"; several in a row");
  line.texts("--pull-belt-on", q.pull_belt_on, "the same with the belt, the motor unplugged");
  line.texts("--pull-to-start", q.pull_to_start, "at which it begins to move, belt on");
  line.text("--scale-resolution", q.scale_resolution, "smallest step of the scale, \"0.2 N\"");
  line.text("--deflection", q.deflection, "by which it gives way to --force, \"0.3 mm\"");
  line.text("--force", q.force, "along the axis while the motor holds, \"20 N\"");
  line.text("--at", q.at, "of the carriage from the drive pulley, \"800 mm\"");
  line.text("--resolution", q.resolution, "smallest step that the gauge shows, \"0.01 mm\"");
  line.texts("--peaks", q.peaks,
             "of the swing after a hard stop, on one side, largest first, in any unit");
}

struct Question {
  std::string_view word;
  std::string_view about;
  std::string_view example;
  bool has_confidence;
  bool has_catalogue;
  void (*take)(CommandLine&, TuneQuestion&);
  answer::Answer (*answer)(const TuneQuestion&, const io::Catalogue&);
};
constexpr std::array questions{
    Question{"travel", "corrected steps per mm and lost motion, from commanded and measured travel",
             "--steps-per-mm \"80 pulse/mm\" --commanded \"1000 mm\" --measured \"998.5 mm\"\n"
             "      --resolution \"0.5 mm\"",
             true, false, take_travel, answer::corrected_travel},
    Question{"square", "skew of a gantry, from both diagonals of a rectangle it drew",
             "--along-beam \"800 mm\" --along-rails \"600 mm\" --left-to-right \"1001 mm\"\n"
             "      --right-to-left \"999 mm\" --resolution \"0.5 mm\" --between-rails \"1720 mm\"",
             true, false, take_square, answer::gantry_skew},
    Question{
        "belts", "tension of plucked belts against the one wanted, and both sides alike",
        "--profile \"GT 3 mm\" --width \"15 mm\" --wanted \"60 N\" --span \"600 mm\" \"600 mm\"\n"
        "      --frequency \"36 Hz\" \"41 Hz\" --frequency-resolution \"0.5 Hz\"\n"
        "      --span-resolution \"1 mm\"",
        false, true, take_belts, answer::plucked_belts},
    Question{
        "trials", "friction, torque and margin, from runs that held and that lost steps",
        "kite-loft.toml --axis y --held \"300 mm/s\" \"4 m/s^2\" --lost \"300 mm/s\" \"5 m/s^2\"",
        false, true, take_trials, answer::trial_runs},
    Question{"screw", "mean lead and variation of a screw, from travel measured along it",
             "screw.csv --lead \"8 mm\" --resolution \"0.01 mm\"", true, false, take_screw,
             answer::screw_variation},
    Question{"axis", "friction, stiffness and damping of an axis, from scale, gauge and swing",
             "kite-loft.toml --axis x --pull-belt-off \"4.5 N\" --pull-belt-on \"10 N\"\n"
             "      --scale-resolution \"0.5 N\" --peaks 1.9 1.4 1.1",
             false, true, take_axis, answer::axis_figures},
};

// What was typed.
struct Asked {
  TuneQuestion question;
  std::string catalogue_file;
  bool explain = false;
  bool json = false;
};

int run(const Question& question, const Asked& asked) {
  io::Catalogue catalogue = io::standard_catalogue();
  if (!asked.catalogue_file.empty())
    io::read_catalogue(io::read_file(asked.catalogue_file), asked.catalogue_file, catalogue);
  std::string why;
  try {
    const answer::Answer answer = question.answer(asked.question, catalogue);
    tools::print(asked.json ? io::answer_as_json(answer) : io::print_answer(answer, asked.explain));
    return answer.fails() ? tools::something_fails : tools::all_hold;
  } catch (const InvalidInput& e) {
    why = e.what();
  } catch (const OutsideValidity& e) {
    why = e.what();
  }
  tools::complain(fmt::format("error: {}\n  help: pitchline-tune {} --help\n", why, question.word));
  return tools::unusable_input;
}

int ask(const Question& question, int argc, char** argv) {
  Asked asked;
  CommandLine line(
      fmt::format("pitchline-tune {}", question.word),
      fmt::format("{}.\n\nExample:\n  pitchline-tune {} {}\n\nExit status: 0 computed, 1 "
                  "something that was wanted fails, 2 the input cannot be used.",
                  question.about, question.word, question.example));
  question.take(line, asked.question);
  if (question.has_confidence)
    line.text("--confidence", asked.question.confidence,
              "how often the interval is to hold the true value; 0.95 if left out");
  if (question.has_catalogue)
    line.text("--catalogue", asked.catalogue_file,
              "a catalogue file whose parts come before the built-in ones");
  auto explain = line.flag("--explain", asked.explain, "show the formula and its source");
  line.flag("--json", asked.json, "print one JSON object in SI units instead of tables")
      .excludes({explain});
  if (const auto status = line.parse(argc, argv)) return *status;
  return tools::run_and_report(std::string(question.word), [&] { return run(question, asked); });
}

}  // namespace

int main(int argc, char** argv) try {
  const std::string first = argc > 1 ? argv[1] : "";
  tools::Words words{
      .program = "pitchline-tune",
      .about =
          "Turns measurements of the built machine into better values. The first word says\n"
          "which; pitchline-tune WORD --help shows what goes with it.",
      .status =
          "Exit status: 0 computed, 1 something that was wanted fails, 2 the input cannot be used.",
      .words = {}};
  for (const Question& question : questions) {
    if (first == question.word) return ask(question, argc - 1, argv + 1);
    words.words.push_back({question.word, question.about});
  }
  return tools::parse_without_word(words, argc, argv);
} catch (...) {
  return pitchline::tools::unexpected_error();
}
