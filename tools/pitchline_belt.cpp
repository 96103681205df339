// Answers bench questions about belts, pulleys and steps per mm, without a machine file.

#include <array>
#include <functional>

#include "belt_answers.hpp"
#include "command_line.hpp"
#include "pitchline/io/read_machine.hpp"

namespace {

using namespace pitchline;
using tools::BeltOptions;

void take_profile(CLI::App& app, BeltOptions& o) {
  app.add_option("--profile", o.profile, "belt profile of the catalogue, \"GT 2 mm\"");
  app.add_option("--pitch", o.pitch, "of a belt that is not in the catalogue, \"2 mm\"");
}
void take_two_pulleys(CLI::App& app, BeltOptions& o) {
  take_profile(app, o);
  app.add_option("--teeth", o.two_teeth, "teeth of both pulleys, 20 60")->expected(2);
}
void take_length(CLI::App& app, BeltOptions& o) {
  take_two_pulleys(app, o);
  app.add_option("--distance", o.distance, "centre to centre, \"250 mm\"");
}
void take_distance(CLI::App& app, BeltOptions& o) {
  take_two_pulleys(app, o);
  app.add_option("--length", o.length, "of the closed belt, \"610 mm\"");
  app.add_option("--belt-teeth", o.belt_teeth, "teeth of the closed belt, in place of --length");
  app.add_option("--wanted", o.wanted, "distance near which listed belts are looked for");
  app.add_option("--take-up", o.take_up,
                 "how far the distance can be set either way from --wanted, \"3 mm\"");
}
void take_span(CLI::App& app, BeltOptions& o) {
  app.add_option("--profile", o.profile, "belt profile of the catalogue, \"GT 2 mm\"");
  app.add_option("--width", o.width, "of the belt, \"9 mm\"");
  app.add_option("--mass-per-length", o.mass_per_length,
                 "of the belt as you weighed it, \"12.6 g/m\"; else that of the profile");
  app.add_option("--span", o.span, "free length between the pulleys, \"300 mm\"");
  app.add_option("--bending-stiffness", o.bending_stiffness,
                 "E*I of the belt, \"0.0005 N*m^2\"; matters on short spans");
}
void take_tension(CLI::App& app, BeltOptions& o) {
  take_span(app, o);
  app.add_option("--frequency", o.frequency, "of the plucked span, \"62 Hz\"");
}
void take_frequency(CLI::App& app, BeltOptions& o) {
  take_span(app, o);
  app.add_option("--tension", o.tension, "of the strand, \"40 N\"");
}
void take_pulley(CLI::App& app, BeltOptions& o) {
  take_profile(app, o);
  app.add_option("--teeth", o.teeth, "of the pulley");
  app.add_option("--speed", o.speed, "highest, for its fewest teeth, \"1200 rpm\"");
  app.add_option("--wrap", o.wrap, "of the belt on it, \"150 deg\", for the teeth in mesh");
  app.add_option("--second", o.second_teeth, "teeth of a second pulley, in place of --wrap");
  app.add_option("--distance", o.distance, "centre to centre of both, \"80 mm\"");
}
void take_steps(CLI::App& app, BeltOptions& o) {
  take_profile(app, o);
  app.add_option("--teeth", o.teeth, "of the drive pulley");
  app.add_option("--pulses-per-turn", o.pulses_per_turn, "of the motor, as the driver's switches");
  app.add_option("--microsteps", o.microsteps, "pulses to a full step, in place of it");
  app.add_option("--full-steps", o.full_steps, "of the motor to a turn; 200 if left out");
  app.add_option("--reduction", o.reduction,
                 "motor turns to a turn of the drive pulley, 3 or 60/20; 1 if left out");
  app.add_option("--travel", o.travel, "over which the error is stated; \"1000 mm\" if left out");
  app.add_option("--decimals", o.decimals, "that the controller keeps; 3 if left out");
  app.add_option("--wanted", o.wanted, "\"80 pulse/mm\": list what gives it");
}
void take_file(CLI::App& app, BeltOptions& o) {
  app.add_option("LAYOUT", o.file, "the pulleys, TOML; see README.md")->required();
}

struct Word {
  std::string_view word;
  std::string_view about;
  void (*take)(CLI::App&, BeltOptions&);
  io::BeltAnswer (*answer)(const BeltOptions&, const io::Catalogue&);
};
constexpr std::array words{
    Word{"length", "belt length for two pulleys and a distance", take_length, tools::answer_length},
    Word{"distance", "distance of two pulleys for a belt, or listed belts near a distance",
         take_distance, tools::answer_distance},
    Word{"tension", "tension of a span from the frequency at which it sounds", take_tension,
         tools::answer_tension},
    Word{"frequency", "frequency of a span from its tension", take_frequency,
         tools::answer_frequency},
    Word{"pulley", "diameters of a pulley, fewest teeth, teeth in mesh", take_pulley,
         tools::answer_pulley},
    Word{"steps", "steps per mm, and teeth and microsteps for a wanted number", take_steps,
         tools::answer_steps},
    Word{"loop", "a belt round any number of pulleys, from a file", take_file, tools::answer_loop},
    Word{"profiles", "the belt profiles of the catalogue", [](CLI::App&, BeltOptions&) {},
         tools::answer_profiles},
};

int run(const Word& word, const BeltOptions& o) {
  io::Catalogue catalogue = io::standard_catalogue();
  if (!o.catalogue_file.empty())
    io::read_catalogue(io::read_file(o.catalogue_file), o.catalogue_file, catalogue);
  std::string why;
  try {
    const io::BeltAnswer answer = word.answer(o, catalogue);
    fmt::print("{}",
               o.json ? io::belt_answer_as_json(answer) : io::print_belt_answer(answer, o.explain));
    return tools::all_hold;
  } catch (const tools::UnusableOptions& e) {
    fmt::print(stderr, "{}", e.what());
    return tools::unusable_input;
  } catch (const InvalidInput& e) {
    why = e.what();
  } catch (const OutsideValidity& e) {
    why = e.what();
  }
  fmt::print(stderr, "error: {}\n  help: pitchline-belt {} --help\n", why, word.word);
  return tools::unusable_input;
}

int ask(const Word& word, int argc, char** argv) {
  BeltOptions o;
  CLI::App app{std::string(word.about) + ".\nExit status: 0 answered, 2 the input cannot be used.",
               fmt::format("pitchline-belt {}", word.word)};
  word.take(app, o);
  app.add_option("--catalogue", o.catalogue_file,
                 "a catalogue file whose belts come before the built-in ones");
  app.add_flag("--explain", o.explain, "show the formula, its numbers and its source");
  app.add_flag("--json", o.json, "print one JSON object in SI units instead of tables");
  if (const auto status = tools::parse(app, argc, argv)) return *status;
  return tools::run_and_report(std::string(word.word), [&] { return run(word, o); });
}

}  // namespace

int main(int argc, char** argv) try {
  const std::string first = argc > 1 ? argv[1] : "";
  std::vector<std::string> known;
  std::string about =
      "Answers one question about a belt, a pulley or steps per mm. The first word\n"
      "says which; pitchline-belt WORD --help shows what goes with it.\n\n";
  for (const Word& word : words) {
    if (first == word.word) return ask(word, argc - 1, argv + 1);
    known.emplace_back(word.word);
    about += fmt::format("  {:<10} {}\n", word.word, word.about);
  }
  about += "\nExit status: 0 answered, 2 the input cannot be used.";
  if (!first.empty() && !first.starts_with("-")) {
    const auto nearest = nearest_word(first, known);
    fmt::print(stderr, "error: unknown word \"{}\"{}\n  help: {}\n", first,
               nearest ? fmt::format(", did you mean {}?", *nearest) : "", fmt::join(known, ", "));
    return tools::unusable_input;
  }
  CLI::App app{about, "pitchline-belt WORD"};
  app.set_version_flag("--version", PITCHLINE_VERSION, "print the version");
  if (const auto status = tools::parse(app, argc, argv)) return *status;
  fmt::print(stderr, "error: a word is missing\n  help: {}\n", fmt::join(known, ", "));
  return tools::unusable_input;
} catch (...) {
  return pitchline::tools::unexpected_error();
}
