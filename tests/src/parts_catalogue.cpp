// The kinds of the catalogue whose keys are fields of their part.

#include "pitchline/io/catalogue.hpp"

#include <algorithm>
#include <string>

#include "pitchline/io/diagnostic.hpp"
#include "pitchline/io/print_parts.hpp"
#include "pitchline/parts/odd_figures.hpp"
#include "pitchline/parts/plausibility.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Contains;

template <class Part>
void check_shelf(const io::Shelf<Part>& shelf, std::size_t entries) {
  CHECK(shelf.size() == entries);
  for (const auto& [name, part] : shelf) {
    CAPTURE(name);
    CHECK(part.name == name);
    CHECK_FALSE(part.source.empty());
    CHECK_FALSE(part.notes.mark.empty());
    // Nobody published a price, and none is made up.
    CHECK_FALSE(part.notes.price);
    for (const std::string& question : parts::questions(part)) {
      CAPTURE(question);
      CHECK_FALSE(part.notes.doubt.empty());
    }
  }
}

TEST_CASE("every entry of the catalogue reads, has a source and a mark, and says its doubt",
          "[io]") {
  const io::Catalogue& c = io::standard_catalogue();
  CHECK(c.motors.size() == 58);
  CHECK(c.motors_in_part.size() == 24);
  check_shelf(c.rails, 67);
  check_shelf(c.rollers, 33);
  check_shelf(c.bushes, 18);
  check_shelf(c.sections, 20);
  check_shelf(c.pulleys, 653 + 34);
  check_shelf(c.drivers, 15);
  check_shelf(c.supplies, 16);
  check_shelf(c.couplings, 11);
  check_shelf(c.bearings, 19);
  check_shelf(c.supports, 11);
  check_shelf(c.nuts, 26);
  check_shelf(c.carriers, 24);
  check_shelf(c.tubes, 10);
}

TEST_CASE("sixty motors of frames 11 to 34, fifty published with all five figures", "[io]") {
  const io::Catalogue& c = io::standard_catalogue();
  std::size_t published = 0;
  std::size_t with_load = 0;
  std::size_t with_curve = 0;
  for (const auto& [name, m] : c.motors) {
    CAPTURE(name);
    CHECK(m.frame >= 11);
    CHECK(m.frame <= 34);
    published += m.source.find("common practice") == std::string::npos ? 1 : 0;
    with_load += !is_unset(m.shaft_load) && !is_unset(m.shaft_load_at) ? 1 : 0;
    with_curve += m.curves.empty() ? 0 : 1;
  }
  CHECK(c.motors.size() + c.motors_in_part.size() >= 60);
  CHECK(published >= 50);
  CHECK(with_load >= 14);
  CHECK(with_curve >= 4);
  for (const auto& [name, m] : c.motors_in_part) {
    CAPTURE(name);
    CHECK_FALSE(m.lacks.empty());
    CHECK_FALSE(c.motors.contains(name));
  }
}

TEST_CASE("entries hold what their source prints", "[io][published]") {
  const io::Catalogue& c = io::standard_catalogue();
  // [HIWIN G99TE20-1808] HG tables, HGH15CA; two end seals of 1.18 N.
  const parts::Rail& rail = c.rails.at("rail 15mm 14.7kN");
  CHECK(rail.dynamic_rating == newtons(14'700));
  CHECK(rail.static_rating == newtons(23'470));
  CHECK(rail.roll_moment == newton_metres(120));
  CHECK(rail.seal_drag == newtons(2.36));
  CHECK(rail.friction->value() == 0.004);
  // [SATI] p. 205, 24 HTD 5M 15.
  const parts::StockPulley& pulley = c.pulleys.at("HTD 5M 24 teeth 15mm");
  CHECK(pulley.teeth == 24);
  CHECK(pulley.outer_diameter == millimetres(37.06));
  CHECK(pulley.mass == kilograms(0.18));
  // m d^2/8 = 0.18 * 0.03706^2 / 8 = 3.0902e-5 kg*m^2
  CHECK_THAT(in_kilogram_square_metres(parts::most_inertia(pulley)),
             Catch::Matchers::WithinRel(3.0902e-5, 1e-4));
  // EN 10219 table, 60x40x2.
  CHECK(c.sections.at("steel tube 60x40x2").torsion_constant == millimetres_to_the_fourth(207'000));
  // [QSH5718] V2.6: 75 N at 20 mm from the flange.
  const parts::StepperMotor& motor = c.motors.at("nema23 76mm 1.9Nm 2.8A 3.6mH");
  CHECK(motor.shaft_load == newtons(75));
  CHECK(motor.shaft_load_at == millimetres(20));
}

TEST_CASE("pulleys that no source lists say so", "[io]") {
  for (const auto& [name, pulley] : io::standard_catalogue().pulleys) {
    CAPTURE(name);
    const bool gt = pulley.profile == "GT 2 mm" || pulley.profile == "GT 3 mm";
    CHECK(pulley.listed == !gt);
    if (!gt) continue;
    CHECK_THAT(pulley.source, Contains("pulley not listed"));
    CHECK(pulley.notes.mark == "common practice");
    CHECK(is_unset(pulley.mass));
  }
}

io::Catalogue read(const std::string& text) {
  io::Catalogue catalogue = io::standard_catalogue();
  io::read_catalogue(text, "own.toml", catalogue);
  return catalogue;
}
std::string error_of(const std::string& text) {
  try {
    read(text);
  } catch (const io::UnusableInput& e) {
    return e.what();
  }
  return "";
}

TEST_CASE("an entry of every kind may be another one with a key changed", "[io]") {
  const io::Catalogue c = read(
      "[rail.mine]\nlike = \"rail 15mm 14.7kN\"\nseal_drag = \"1 N\"\nprice = 31\ncurrency = "
      "\"EUR\"\n"
      "[rail.yours]\nlike = \"mine\"\nfriction = 0.003\n"
      "[pulley.mine]\nlike = \"HTD 5M 24 teeth 15mm\"\npilot_bore = \"8 mm\"\n"
      "[belt.mine]\nlike = \"GT2\"\nprice = 2.5\ncurrency = \"EUR\"\n"
      "[screw.mine]\nlike = \"tr10x2\"\npreferred = false\n"
      "[tube.mine]\nlike = \"tube 60W 1200mm\"\nlength = \"1250 mm\"\n");
  CHECK(c.rails.at("mine").seal_drag == newtons(1));
  CHECK(c.rails.at("mine").dynamic_rating == newtons(14'700));
  CHECK_THAT(c.rails.at("mine").source, Contains("HGH15CA") && Contains("; changed: seal_drag"));
  CHECK(c.rails.at("yours").seal_drag == newtons(1));
  CHECK(c.rails.at("yours").friction->value() == 0.003);
  CHECK(c.pulleys.at("mine").pilot_bore == millimetres(8));
  CHECK(c.pulleys.at("mine").teeth == 24);
  CHECK(c.belts.at("mine").pitch_millimetres == Fraction(2));
  CHECK(c.belts.at("mine").notes.price->amount.value() == 2.5);
  CHECK(c.screws.at("mine").lead_millimetres == Fraction(2));
  CHECK(c.tubes.at("mine").length == millimetres(1250));
}

TEST_CASE("what is wrong with an entry is said with its place and remedy", "[io][error]") {
  CHECK_THAT(error_of("[rail.mine]\nlike = \"rail 15mm\"\n"),
             Contains("own.toml:2:8: error: \"rail 15mm\" may be any of 14 rails") &&
                 Contains("say which: "));
  CHECK_THAT(error_of("[rail.a]\nlike = \"b\"\n[rail.b]\nlike = \"a\"\n"),
             Contains("takes over itself"));
  CHECK_THAT(error_of("[bearing.a]\ntype = \"thrust\"\nbore = \"8\"\n"),
             Contains("own.toml:3:") && Contains("bearing.a.outer_diameter is missing") &&
                 Contains("bearing.a.source is missing"));
  CHECK_THAT(
      error_of("[tube.a]\nlike = \"tube 60W 1200mm\"\nlenght = \"1 m\"\n"),
      Contains("own.toml:3:1: error: unknown key \"lenght\"") && Contains("did you mean length?"));
  CHECK_THAT(error_of("[tube.a]\nlike = \"tube 60W 1200mm\"\nprice = 90\n"),
             Contains("own.toml:1:") && Contains("tube.a.currency is missing"));
  CHECK_THAT(error_of("[tube.a]\nlike = \"tube 60W 1200mm\"\nprice = 90\ncurrency = \"euro\"\n"),
             Contains("currency must be three capital letters, got \"euro\""));
  CHECK_THAT(error_of("[tube.a]\nlike = \"tube 60W 1200mm\"\nprice = -1\ncurrency = \"EUR\"\n"),
             Contains("price must be > 0"));
  CHECK_THAT(error_of("[gearbox.a]\nsource = \"x\"\n"), Contains("unknown key \"gearbox\""));
}

TEST_CASE("figures that contradict each other are questioned", "[io]") {
  const io::Catalogue& c = io::standard_catalogue();
  parts::Section tube = c.sections.at("steel tube 60x40x2");
  tube.mass = kilograms_per_metre(29.3);
  CHECK_THAT(parts::questions(tube).at(0), Contains("mass over area times density is 9.98"));
  tube = c.sections.at("steel tube 60x40x2");
  tube.strong_second_moment = 10.0 * tube.strong_second_moment;
  CHECK_THAT(parts::questions(tube).at(0), Contains("above that of a full bar"));
  parts::Rail rail = c.rails.at("rail 15mm 14.7kN");
  rail.static_rating = newtons(23);
  CHECK(parts::questions(rail).size() == 3);
  parts::ListedDriver driver = c.drivers.at("driver 20-50V 5.6A peak");
  driver.most_current_rms = amperes(5.6);
  CHECK_THAT(parts::questions(driver).at(0), Contains("RMS over peak current is 1"));
  parts::Carrier carrier = c.carriers.at("carrier 36x50-150 R82 closed");
  carrier.loop_length = millimetres(389);
  CHECK_THAT(parts::questions(carrier).at(0), Contains("loop length"));
  parts::StepperMotor motor = c.motors.at("nema17 48mm 0.57Nm 2A");
  CHECK(parts::questions(motor).empty());
  motor.length = millimetres(20);
  CHECK_THAT(parts::questions(motor).at(0).text, Contains("g*cm^2 a mm of body"));
}

TEST_CASE("a catalogue of the user's own is judged", "[io]") {
  CHECK(
      io::print_judged("own.toml",
                       read("[rail.mine]\nlike = \"rail 15mm 14.7kN\"\nblock_mass = \"1 kg\"\n")) ==
      "own.toml: 1 entry can be used; no figure looks wrong\n");
  CHECK_THAT(
      io::print_judged("own.toml", read("[rail.mine]\nlike = \"rail 15mm 14.7kN\"\nstatic_rating = "
                                        "\"23.5 N\"\n")),
      Contains("rail \"mine\": static over dynamic rating is 0.0016") && Contains("3 questions"));
}

}  // namespace
}  // namespace pitchline
