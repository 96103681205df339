#include "pitchline/screw/thread_load.hpp"

#include <cmath>
#include <numbers>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using screw::EngagedThread;
using screw::NutMaterial;
using testing::IsNear;

// [Shigley] example 8-1: square, 32 mm, pitch 4, two starts.
const EngagedThread jack{.mean_diameter = millimetres(30),
                         .minor_diameter = millimetres(28),
                         .pitch = millimetres(4),
                         .nut_length = millimetres(24)};

TEST_CASE("the stresses of a thread and its body are those of a textbook", "[screw][published]") {
  // [Shigley] example 8-1, M: 6.4 kN, 26.18 N·m: 6.07, 10.39, 12.9, 41.5 MPa; recomputed 6.073,
  // 10.394, 12.902, 41.47 (C).
  const Force load = newtons(6400);
  const screw::BodyStress body =
      screw::body_stress(jack.minor_diameter, load, newton_metres(26.177));
  CHECK_THAT(body.shear, IsNear(megapascals(6.07), megapascals(0.005)));
  CHECK_THAT(body.axial, IsNear(megapascals(10.39), megapascals(0.005)));
  CHECK_THAT(screw::first_thread_pressure(jack, load),
             IsNear(megapascals(12.902), megapascals(0.0005)));
  CHECK_THAT(screw::root_bending_stress(jack, load),
             IsNear(megapascals(41.47), megapascals(0.005)));
  // √(10.394² + 3 · 6.073²).
  CHECK_THAT(in_megapascals(body.equivalent),
             WithinRel(std::hypot(10.394, 6.073 * std::sqrt(3.0)), 1e-4));
}

TEST_CASE("bearing_pressure gives the printed pressure of a nut", "[screw][published]") {
  // [Bhandari] ex. 6.5, Q2: square 80x10, 10 kN, nut 40 mm: 2.122 N/mm²; recomputed 2.1221 (C).
  const EngagedThread thread{.mean_diameter = millimetres(75),
                             .minor_diameter = millimetres(70),
                             .pitch = millimetres(10),
                             .nut_length = millimetres(40)};
  CHECK_THAT(screw::engaged_threads(thread), WithinRel(4.0, 1e-12));
  CHECK_THAT(screw::bearing_pressure(thread, newtons(10'000)),
             IsNear(megapascals(2.1221), megapascals(5e-5)));
}

TEST_CASE("rubbing speed and pressure are those of a maker's examples", "[screw][published]") {
  // reference/published/sliding_nuts.csv. The catalogue takes for the way of a turn the
  // circumference alone in the first row, and √2 of it in the second, whose lead angle is 45.3°.
  for (const testing::CsvRow& row : testing::published("sliding_nuts.csv")) {
    CAPTURE(row.text("source"));
    const Speed met = screw::rubbing_speed({.mean_diameter = millimetres(row.number("diameter_mm")),
                                            .lead = millimetres(row.number("lead_mm"))},
                                           revolutions_per_minute(row.number("speed_rpm")));
    const double per_minute = 60 * in_metres_per_second(met);
    const double catalogue = row.number("way_over_circumference") * std::numbers::pi *
                             row.number("diameter_mm") * row.number("speed_rpm") / 1000;
    CHECK_THAT(catalogue, WithinAbs(row.number("printed_speed_m_per_min"), 0.05));
    CHECK_THAT(per_minute, WithinRel(catalogue, 0.006));
    CHECK(per_minute > catalogue);
    CHECK(per_minute < row.number("limit_speed_m_per_min"));
    const double pressure =
        row.number("rated_pressure_MPa") * row.number("load_N") / row.number("rated_load_N");
    CHECK_THAT(pressure, WithinAbs(row.number("printed_pressure_MPa"),
                                   row.half_digit("printed_pressure_MPa")));
    // Its limit of pressure times speed, 0.36 to 0.39 MPa·m/s, which the brass row takes over.
    const double limit = pressure * row.number("limit_speed_m_per_min") / 60;
    CHECK(limit >=
          in_megapascal_metres_per_second(screw::nut_limit(NutMaterial::brass).pressure_velocity));
    CHECK(limit < 0.40);
  }
}

TEST_CASE("pressure times speed gives the printed length of a bearing", "[screw][published]") {
  // [Wentzell] 19.1, Q2: 20 lb, 500 rpm, 3/4 in, 3000 psi·ft/min: 0.873 in at the least, so 7/8 in,
  // 30.48 psi and 98.17 ft/min (recomputed 0.87266, 30.476, 98.175). A lead of nearly nothing makes
  // a sleeve of the thread.
  const Pressure psi = pounds_force(1) / (inches(1) * inches(1));
  const Speed feet_per_minute = inches(12) / seconds(60);
  const Speed speed = screw::rubbing_speed({.mean_diameter = inches(0.75), .lead = inches(1e-9)},
                                           revolutions_per_minute(500));
  CHECK_THAT(number(speed / feet_per_minute), WithinAbs(98.175, 5e-4));
  const Pressure pressure = pounds_force(20) / (inches(0.75) * inches(0.875));
  CHECK_THAT(pressure, IsNear(30.476 * psi, 5e-4 * psi));
  const PressureVelocity limit = 3000.0 * psi * feet_per_minute;
  CHECK(pressure * speed < limit);
  CHECK_THAT(number(pounds_force(20) * speed / (limit * inches(0.75)) / inches(1)),
             WithinAbs(0.87266, 5e-6));
  // 50 000 psi·ft/min are 1.75 MPa·m/s (C).
  CHECK_THAT(in_megapascal_metres_per_second(50'000.0 * psi * feet_per_minute),
             WithinAbs(1.75, 0.005));
}

TEST_CASE("a limit of pressure by speed comes from its row", "[screw][published]") {
  // [Shigley] table 8-4, Q2: up to 10 ft/min 11 MPa, up to 40 ft/min 5.5; beyond, from memory, 1.
  const Speed feet_per_minute = inches(12) / seconds(60);
  const auto least = [&](NutMaterial nut, double speed) {
    return in_megapascals(screw::pressure_at_speed(nut, speed * feet_per_minute)->least);
  };
  CHECK_THAT(least(NutMaterial::bronze, 9.99), WithinRel(11.0, 1e-12));
  CHECK_THAT(least(NutMaterial::bronze, 10.01), WithinRel(5.5, 1e-12));
  CHECK_THAT(least(NutMaterial::bronze, 39.9), WithinRel(5.5, 1e-12));
  CHECK_THAT(least(NutMaterial::bronze, 40.1), WithinRel(1.0, 1e-12));
  CHECK_THAT(least(NutMaterial::cast_iron, 7.99), WithinRel(12.0, 1e-12));
  CHECK_THAT(least(NutMaterial::cast_iron, 8.01), WithinRel(4.1, 1e-12));
  CHECK(screw::pressure_at_speed(NutMaterial::cast_iron, 40.1 * feet_per_minute) == nullptr);
  CHECK(screw::pressure_at_speed(NutMaterial::acetal, feet_per_minute) == nullptr);
}

TEST_CASE("no limit of a nut is above what was found for its material", "[screw][property]") {
  for (const screw::NutLimit& row : screw::nut_limits) {
    CAPTURE(in_words(row.nut));
    CHECK(row.pressure > pascals(0));
    CHECK(row.pressure_velocity > megapascal_metres_per_second(0));
    CHECK_FALSE(row.source.empty());
    CHECK(&screw::nut_limit(row.nut) == &row);
  }
  // Below the table of pressures at slow speed.
  CHECK(screw::nut_limit(NutMaterial::bronze).pressure <
        screw::pressure_at_speed(NutMaterial::bronze, metres_per_second(0))->least);
  CHECK(screw::nut_limit(NutMaterial::cast_iron).pressure <=
        screw::pressure_at_speed(NutMaterial::cast_iron, metres_per_second(0.2))->least);
}

TEST_CASE("the first thread of metal decides, the mean of plastic", "[screw][property]") {
  const Force load = newtons(1000);
  // Six threads: 0.38 against 1/6.
  const double first =
      number(screw::first_thread_pressure(jack, load) / screw::bearing_pressure(jack, load));
  CHECK_THAT(first, WithinRel(0.38 * 6, 1e-12));
  CHECK(screw::deciding_pressure(jack, load, NutMaterial::bronze) ==
        screw::first_thread_pressure(jack, load));
  CHECK(screw::deciding_pressure(jack, load, NutMaterial::acetal) ==
        screw::bearing_pressure(jack, load));
  CHECK(screw::deciding_pressure(jack, load, NutMaterial::filled_plastic) ==
        screw::bearing_pressure(jack, load));
  EngagedThread thin = jack;
  thin.nut_length = millimetres(8);
  CHECK(screw::deciding_pressure(thin, load, NutMaterial::brass) ==
        screw::bearing_pressure(thin, load));
  // Bending of a lever of P/4, all around π d_r and P/2 thick: 6 M/(π d_r (P/2)²).
  const double moment = 0.38 * 1000 * 0.001;
  CHECK_THAT(in_pascals(screw::root_bending_stress(jack, load)),
             WithinRel(6 * moment / (std::numbers::pi * 0.028 * 0.002 * 0.002), 1e-12));
  CHECK_THAT(in_pascals(screw::root_shear_stress(jack, load)),
             WithinRel(1.5 * 380 / (std::numbers::pi * 0.028 * 0.002), 1e-12));
}

TEST_CASE("flanks rub as fast as the nut travels over the sine of the lead angle",
          "[screw][property]") {
  const double lead = GENERATE(take(10, random(1.0, 60.0)));
  CAPTURE(lead);
  const Length d = millimetres(14);
  const double angle = std::atan2(lead, std::numbers::pi * 14);
  const Speed met = screw::rubbing_speed({.mean_diameter = d, .lead = millimetres(lead)},
                                         revolutions_per_minute(90));
  CHECK_THAT(in_millimetres_per_second(met), WithinRel(1.5 * lead / std::sin(angle), 1e-12));
}

TEST_CASE("a thread with a figure outside its range is refused by name", "[screw][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    EngagedThread bad = jack;
    spoil(bad);
    CHECK_THROWS_MATCHES(screw::engaged_threads(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(screw::bearing_pressure(bad, newtons(1)), InvalidInput);
    CHECK_THROWS_AS(screw::first_thread_pressure(bad, newtons(1)), InvalidInput);
    CHECK_THROWS_AS(screw::deciding_pressure(bad, newtons(1), NutMaterial::brass), InvalidInput);
    CHECK_THROWS_AS(screw::root_bending_stress(bad, newtons(1)), InvalidInput);
    CHECK_THROWS_AS(screw::root_shear_stress(bad, newtons(1)), InvalidInput);
  };
  refuses([](auto& t) { t.mean_diameter = millimetres(27); },
          "mean diameter must be >= minor diameter, got 27 mm");
  refuses([](auto& t) { t.minor_diameter = unset<Length>(); },
          "minor diameter must be > 0, got nan mm");
  refuses([](auto& t) { t.pitch = metres(0); }, "pitch must be > 0, got 0 mm");
  refuses([](auto& t) { t.nut_length = millimetres(3.9); },
          "nut length must be >= pitch, got 3.9 mm");
  CHECK_THROWS_MATCHES(screw::bearing_pressure(jack, newtons(-1)), InvalidInput,
                       Message("load must be >= 0, got -1 N"));
  CHECK_THROWS_AS(screw::body_stress(metres(0), newtons(1), newton_metres(1)), InvalidInput);
  CHECK_THROWS_AS(screw::body_stress(millimetres(8), unset<Force>(), newton_metres(1)),
                  InvalidInput);
  CHECK_THROWS_MATCHES(screw::body_stress(millimetres(8), newtons(1), newton_metres(-1)),
                       InvalidInput, Message("torque must be >= 0, got -1 N*m"));
  CHECK_THROWS_MATCHES(screw::rubbing_speed({.lead = millimetres(2)}, radians_per_second(1)),
                       InvalidInput, Message("mean diameter must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(
      screw::rubbing_speed({.mean_diameter = millimetres(7)}, radians_per_second(1)), InvalidInput,
      Message("lead must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(
      screw::rubbing_speed({.mean_diameter = millimetres(7), .lead = millimetres(2)},
                           revolutions_per_minute(-60)),
      InvalidInput, Message("speed must be >= 0, got -60 rpm"));
  CHECK_THROWS_MATCHES(screw::pressure_at_speed(NutMaterial::bronze, unset<Speed>()), InvalidInput,
                       Message("rubbing speed must be >= 0, got nan m/s"));
  CHECK_THROWS_AS(screw::nut_limit(static_cast<NutMaterial>(99)), InvalidInput);
}

}  // namespace
}  // namespace pitchline
