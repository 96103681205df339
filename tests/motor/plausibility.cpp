#include "pitchline/parts/plausibility.hpp"

#include <algorithm>
#include <functional>
#include <optional>

#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using parts::Figure;
using parts::questions;
using parts::StepperMotor;

constexpr double none = std::numeric_limits<double>::quiet_NaN();

StepperMotor listed(const char* name, int frame, double torque, double ampere, double ohm,
                    double mH, double inertia, double detent = none, double steps = 200) {
  return {.name = name,
          .full_steps_per_turn = full_steps(steps),
          .holding_torque = newton_metres(torque),
          .rated_current = amperes(ampere),
          .resistance = ohms(ohm),
          .inductance = millihenries(mH),
          .rotor_inertia = kilogram_square_metres(inertia),
          .detent_torque = newton_metres(detent),
          .frame = frame};
}

// Makers' figures: Q2 as transcribed by third parties unless marked Q. NaN where none is given.
std::vector<StepperMotor> listed_motors() {
  return {listed("17HS08-1004S", 17, 0.16, 1.0, 3.7, 4.5, 2.2e-6),
          listed("17HS19-2004S1", 17, 0.59, 2.0, 1.6, 3.0, 8.2e-6),  // Q
          listed("17HS24-2104S", 17, 0.65, 2.1, 1.6, 3.0, none),
          listed("17HM19-2004S", 17, 0.46, 2.0, 1.45, 4.0, none, none, 400),
          listed("LDO 42STH48-2504AC", 17, 0.55, 2.5, 1.2, 1.5, none),
          listed("LDO 42STH60-3004AC", 17, 0.9, 3.0, 1.1, 2.3, none),
          listed("MOONS MS17HD6P4200", 17, 0.63, 2.0, 1.3, 2.9, none),
          listed("MOONS MS17HD6P4150", 17, 0.62, 1.5, 2.2, 4.9, none),
          listed("17HS4023", 17, 0.14, 0.7, 4.0, 3.2, 5.4e-6, 0.022),
          listed("48 mm class", 17, 0.57, 2.0, 1.7, 3.6, 8.2e-6, 0.0196),
          listed("NEMA 23 1.24 N*m", 23, 1.2356, 2.8, 1.1, 3.0, 3e-5, 0.0392),
          listed("Motech MT-2305HS280AW", 23, 1.87, 2.8, 1.13, 3.6, none),
          listed("MOONS ML23HS8L4550", 23, 1.5, 5.5, 0.28, 1.03, none),
          listed("Sanyo Denki 103H7823-5740", 24, 2.7, 2.0, 2.4, 9.5, 8.4e-5),
          listed("87HS78-4204", 34, 4.413, 4.2, 0.45, 4.0, 1.4e-4),
          listed("Beckhoff AS1010", 17, 0.38, 1.0, 4.1, 9.5, 5.6e-6, 0.016),   // Q
          listed("Beckhoff AS1020", 17, 0.50, 1.0, none, none, 7.4e-6),        // Q
          listed("Beckhoff AS1030", 23, 0.60, 1.5, 0.8, 3.8, 2.1e-5, 0.032),   // Q
          listed("Beckhoff AS1050", 23, 1.2, 5.0, 0.28, 0.86, 3.6e-5, 0.058),  // Q
          listed("Beckhoff AS1060", 34, 5.0, 5.0, 0.36, 2.8, 3.0e-4, 0.215),   // Q
          listed("cnc3d NEMA 23", 23, 2.45, 3.0, 1.2, 4.0, 6e-5, 0.09),
          listed("Nanotec ST4118M1206", 17, 0.4, 0.85, none, 11.6, none),
          listed("Nanotec ST5918M3008", 23, 1.1, 2.1, none, 4.4, none),
          listed("23HS30-2804S", 23, 1.89, 2.8, 1.13, 5.4, none),
          listed("23HS45-4204S", 23, 3.0, 4.2, 0.88, 3.4, none),
          listed("34HE46-6004D-E1000", 34, 9.0, 6.0, 0.45, 4.6, none),
          listed("23-305-DS8A half coil", 24, 2.15, 3.0, 1.4, 3.2, none, 0.1),  // Q
          listed("23-305-DS8A series", 24, 3.0, 2.12, 2.8, 12.8, none, 0.1),    // Q
          listed("23-305-DS8A parallel", 24, 3.0, 4.2, 0.7, 3.2, none, 0.1)};   // Q
}

TEST_CASE("no listed motor is questioned", "[motor][published]") {
  for (const StepperMotor& motor : listed_motors()) {
    CAPTURE(motor.name);
    for (const auto& question : questions(motor)) {
      CAPTURE(question.text);
      CHECK(question.text.empty());
    }
    auto unknown_frame = motor;
    unknown_frame.frame = 0;
    CHECK(questions(unknown_frame).empty());
  }
}

// What share of the listed motors that have all of `needs` is questioned once the slip is made, and
// what share with the right figure.
struct Caught {
  double at_all;
  double by_name;
};
Caught caught(const std::function<void(StepperMotor&)>& slip, std::optional<Figure> figure,
              bool needs_inertia = false) {
  double motors = 0;
  double at_all = 0;
  double by_name = 0;
  for (StepperMotor motor : listed_motors()) {
    if (is_unset(motor.resistance) || is_unset(motor.inductance)) continue;
    if (needs_inertia && is_unset(motor.rotor_inertia)) continue;
    slip(motor);
    const auto met = questions(motor);
    ++motors;
    at_all += !met.empty();
    by_name += std::any_of(met.begin(), met.end(),
                           [&](const auto& question) { return question.figure == figure; });
  }
  return {at_all / motors, by_name / motors};
}

TEST_CASE("slips in a figure are questioned where the family allows", "[motor][property]") {
  const auto scale = [](auto member, double factor) {
    return [member, factor](StepperMotor& motor) { motor.*member *= factor; };
  };
  const auto always = [](const Caught& met) {
    CHECK(met.at_all == 1.0);
    CHECK(met.by_name == 1.0);
  };
  // Unit slips stand out always and by name.
  always(caught(scale(&StepperMotor::inductance, 1e3), Figure::inductance));
  always(caught(scale(&StepperMotor::inductance, 1e-3), Figure::inductance));
  always(caught(scale(&StepperMotor::resistance, 1e3), Figure::resistance));
  always(caught(scale(&StepperMotor::rated_current, 1e-3), Figure::rated_current));
  always(caught(scale(&StepperMotor::rotor_inertia, 1e7), Figure::rotor_inertia, true));
  always(caught(scale(&StepperMotor::rotor_inertia, 980.7), Figure::rotor_inertia, true));
  always(caught(scale(&StepperMotor::holding_torque, 100), Figure::holding_torque));
  always(caught(scale(&StepperMotor::holding_torque, 9.8), Figure::holding_torque));
  // A decimal point.
  CHECK(caught(scale(&StepperMotor::rotor_inertia, 10), {}, true).at_all == 1.0);
  CHECK(caught(scale(&StepperMotor::resistance, 10), {}).at_all == 1.0);
  CHECK(caught(scale(&StepperMotor::inductance, 0.1), {}).at_all == 1.0);
  // The inductance of the halves in series for that in parallel.
  CHECK(caught(scale(&StepperMotor::inductance, 4), {}).at_all == 1.0);
  // Peak for RMS doubles the loss and the stored energy: most, not all, since the family spreads
  // by as much. Another 41 % in torque alone lies inside the family more often than not.
  CHECK(caught(scale(&StepperMotor::rated_current, std::sqrt(2.0)), {}).at_all >= 0.7);
  CHECK(caught(scale(&StepperMotor::rated_current, std::sqrt(0.5)), {}).at_all >= 0.5);
  CHECK(caught(scale(&StepperMotor::holding_torque, std::sqrt(0.5)), {}).at_all > 0.0);
}

TEST_CASE("a question names the figure, the factor and what to look for", "[motor][property]") {
  auto motor = listed("invented", 0, 1.89, 2.8, 1.13, 5400.0, 4.4e-5);  // 5.4 H
  const auto met = questions(motor);
  REQUIRE(met.size() == 1);
  CHECK(met[0].figure == Figure::inductance);
  CHECK_THAT(met[0].text, Catch::Contains("the inductance looks 1"));
  CHECK_THAT(met[0].text, Catch::Contains("times too large"));
  CHECK_THAT(met[0].text, Catch::Contains("H taken for mH"));
  CHECK_THAT(met[0].text, Catch::Contains("time constant L/R"));
}

TEST_CASE("a frame that cannot shed the copper loss or hold the torque is questioned",
          "[motor][property]") {
  // 2 · 2.8² · 1.7 = 26.7 W on a NEMA 17; by its torque alone it would be an ordinary motor.
  auto motor = listed("invented", 0, 1.15, 2.8, 1.7, 3.0, none);
  CHECK(questions(motor).size() == 1);                       // too much loss for its torque
  motor = listed("invented", 0, 1.15, 2.5, 2.1, 3.4, none);  // 26.25 W, 24.5 W/(N·m)^0.5
  motor.holding_torque = newton_metres(1.19);
  motor.resistance = ohms(2.01);  // 25.1 W, 23.0
  motor.frame = 17;
  const auto met = questions(motor);
  const auto about_loss = std::find_if(met.begin(), met.end(), [](const auto& question) {
    return question.text.find("a NEMA 17 frame sheds about 25 W") != std::string::npos;
  });
  REQUIRE(about_loss != met.end());
  CHECK(about_loss->figure == Figure::rated_current);

  auto strong = listed("invented", 17, 1.89, 2.8, 1.13, 5.4, none);
  REQUIRE(questions(strong).size() == 1);
  CHECK(questions(strong)[0].figure == Figure::holding_torque);
  CHECK_THAT(questions(strong)[0].text, Catch::Contains("NEMA 17 motors have 0.11 to 1.2 N*m"));
  strong.frame = 23;
  CHECK(questions(strong).empty());
}

TEST_CASE("a detent torque above 12 percent of the holding torque is questioned",
          "[motor][property]") {
  auto motor = listed("invented", 23, 1.89, 2.8, 1.13, 5.4, none);
  motor.detent_torque = newton_metres(0.22);
  CHECK(questions(motor).empty());
  motor.detent_torque = newton_metres(0.24);
  REQUIRE(questions(motor).size() == 1);
  CHECK(questions(motor)[0].figure == Figure::detent);
  CHECK_THAT(questions(motor)[0].text, Catch::Contains("0.127 of the holding torque"));
}

TEST_CASE("figures that are not given are not questioned, impossible ones refused",
          "[motor][error]") {
  CHECK(questions({}).empty());
  auto motor = listed("invented", 23, 1.89, 2.8, 1.13, 5.4, none);
  motor.resistance = ohms(0);
  CHECK_THROWS_MATCHES(questions(motor), InvalidInput,
                       Message("resistance must be > 0, got 0 ohm"));
  motor.resistance = unlimited<Resistance>();
  CHECK_THROWS_AS(questions(motor), InvalidInput);
  motor.resistance = ohms(1);
  motor.detent_torque = newton_metres(-1);
  CHECK_THROWS_MATCHES(questions(motor), InvalidInput,
                       Message("detent torque must be >= 0, got -1 N*m"));
}

}  // namespace
}  // namespace pitchline
