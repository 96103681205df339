// Answers bench questions about belts, pulleys and steps per mm, without a machine file.

#include <fmt/format.h>

#include <array>

#include "command_line.hpp"
#include "pitchline/answers/belt_question.hpp"
#include "pitchline/io/print_answer.hpp"
#include "pitchline/io/read_machine.hpp"

namespace {

using namespace pitchline;
using answer::BeltQuestion;
using tools::CommandLine;

void take_profile(CommandLine& line, BeltQuestion& q) {
  line.text("--profile", q.profile, "belt profile of the catalogue, \"GT 2 mm\"");
  line.text("--pitch", q.pitch, "of a belt that is not in the catalogue, \"2 mm\"");
}
void take_two_pulleys(CommandLine& line, BeltQuestion& q) {
  take_profile(line, q);
  line.texts("--teeth", q.two_teeth, "teeth of both pulleys, 20 60").takes(2, 2);
}
void take_length(CommandLine& line, BeltQuestion& q) {
  take_two_pulleys(line, q);
  line.text("--distance", q.distance, "centre to centre, \"250 mm\"");
}
void take_distance(CommandLine& line, BeltQuestion& q) {
  take_two_pulleys(line, q);
  line.text("--length", q.length, "of the closed belt, \"610 mm\"");
  line.text("--belt-teeth", q.belt_teeth, "teeth of the closed belt, in place of --length");
  line.text("--wanted", q.wanted, "distance near which listed belts are looked for");
  line.text("--take-up", q.take_up,
            "how far the distance can be set either way from --wanted, \"3 mm\"");
}
void take_span(CommandLine& line, BeltQuestion& q) {
  line.text("--profile", q.profile, "belt profile of the catalogue, \"GT 2 mm\"");
  line.text("--width", q.width, "of the belt, \"9 mm\"");
  line.text("--mass-per-length", q.mass_per_length,
            "of the belt as you weighed it, \"12.6 g/m\"; else that of the profile");
  line.text("--span", q.span, "free length between the pulleys, \"300 mm\"");
  line.text("--bending-stiffness", q.bending_stiffness,
            "E*I of the belt, \"0.0005 N*m^2\"; matters on short spans");
}
void take_tension(CommandLine& line, BeltQuestion& q) {
  take_span(line, q);
  line.text("--frequency", q.frequency, "of the plucked span, \"62 Hz\"");
}
void take_frequency(CommandLine& line, BeltQuestion& q) {
  take_span(line, q);
  line.text("--tension", q.tension, "of the strand, \"40 N\"");
}
void take_pulley(CommandLine& line, BeltQuestion& q) {
  take_profile(line, q);
  line.text("--teeth", q.teeth, "of the pulley");
  line.text("--speed", q.speed, "highest, for its fewest teeth, \"1200 rpm\"");
  line.text("--wrap", q.wrap, "of the belt on it, \"150 deg\", for the teeth in mesh");
  line.text("--second", q.second_teeth, "teeth of a second pulley, in place of --wrap");
  line.text("--distance", q.distance, "centre to centre of both, \"80 mm\"");
}
void take_steps(CommandLine& line, BeltQuestion& q) {
  take_profile(line, q);
  line.text("--teeth", q.teeth, "of the drive pulley");
  line.text("--pulses-per-turn", q.pulses_per_turn, "of the motor, as the driver's switches");
  line.text("--microsteps", q.microsteps, "pulses to a full step, in place of it");
  line.text("--full-steps", q.full_steps, "of the motor to a turn; 200 if left out");
  line.text("--reduction", q.reduction,
            "motor turns to a turn of the drive pulley, 3 or 60/20; 1 if left out");
  line.text("--travel", q.travel, "over which the error is stated; \"1000 mm\" if left out");
  line.text("--decimals", q.decimals, "that the controller keeps; 3 if left out");
  line.text("--wanted", q.wanted, "\"80 pulse/mm\": list what gives it");
}
void take_file(CommandLine& line, BeltQuestion& q) {
  line.text("LAYOUT", q.file, "the pulleys, TOML; see README.md").required();
  line.text("--belt-teeth", q.belt_teeth,
            "teeth of the belt that you have: where to set a pulley for it; else for the next "
            "belts");
}

struct Question {
  std::string_view word;
  std::string_view about;
  void (*take)(CommandLine&, BeltQuestion&);
  answer::Answer (*answer)(const BeltQuestion&, const io::Catalogue&);
};
constexpr std::array questions{
    Question{"length", "belt length for two pulleys and a distance", take_length,
             answer::belt_length},
    Question{"distance", "distance of two pulleys for a belt, or listed belts near a distance",
             take_distance, answer::pulley_distance},
    Question{"tension", "tension of a span from the frequency at which it sounds", take_tension,
             answer::span_tension},
    Question{"frequency", "frequency of a span from its tension", take_frequency,
             answer::span_frequency},
    Question{"pulley", "diameters of a pulley, fewest teeth, teeth in mesh", take_pulley,
             answer::one_pulley},
    Question{"steps", "steps per mm, and teeth and microsteps for a wanted number", take_steps,
             answer::steps_per_length},
    Question{"loop", "a belt round any number of pulleys, from a file", take_file,
             answer::belt_loop},
    Question{"profiles", "the belt profiles of the catalogue", [](CommandLine&, BeltQuestion&) {},
             answer::belt_profiles},
};

// What was typed.
struct Asked {
  BeltQuestion question;
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
  tools::complain(fmt::format("error: {}\n  help: pitchline-belt {} --help\n", why, question.word));
  return tools::unusable_input;
}

int ask(const Question& question, int argc, char** argv) {
  Asked asked;
  CommandLine line(
      fmt::format("pitchline-belt {}", question.word),
      std::string(question.about) + ".\nExit status: 0 answered, 2 the input cannot be used.");
  question.take(line, asked.question);
  line.text("--catalogue", asked.catalogue_file,
            "a catalogue file whose belts come before the built-in ones");
  auto explain =
      line.flag("--explain", asked.explain, "show the formula, its numbers and its source");
  line.flag("--json", asked.json, "print one JSON object in SI units instead of tables")
      .excludes({explain});
  if (const auto status = line.parse(argc, argv)) return *status;
  return tools::run_and_report(std::string(question.word), [&] { return run(question, asked); });
}

}  // namespace

int main(int argc, char** argv) try {
  const std::string first = argc > 1 ? argv[1] : "";
  tools::Words words{
      .program = "pitchline-belt",
      .about =
          "Answers one question about a belt, a pulley or steps per mm. The first word\n"
          "says which; pitchline-belt WORD --help shows what goes with it.",
      .status = "Exit status: 0 answered, 2 the input cannot be used.",
      .words = {}};
  for (const Question& question : questions) {
    if (first == question.word) return ask(question, argc - 1, argv + 1);
    words.words.push_back({question.word, question.about});
  }
  return tools::parse_without_word(words, argc, argv);
} catch (...) {
  return pitchline::tools::unexpected_error();
}
