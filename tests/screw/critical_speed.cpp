#include "pitchline/screw/critical_speed.hpp"

#include <map>
#include <string>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using screw::critical_speed;
using screw::EndFixity;
using screw::WhirlingScrew;
using testing::IsNear;

const std::map<std::string, EndFixity> ends_by_name{
    {"fixed_free", EndFixity::fixed_free},
    {"supported_supported", EndFixity::supported_supported},
    {"fixed_supported", EndFixity::fixed_supported},
    {"fixed_fixed", EndFixity::fixed_fixed}};

// Root of one inch between bearings 100 in apart, steel in inch units: 30e6 psi, 0.283 lb/in³.
WhirlingScrew inch_screw(EndFixity ends) {
  return {.minor_diameter = inches(1),
          .unsupported_length = inches(100),
          .ends = ends,
          .elastic_modulus = 30e6 * pounds_force(1) / (inches(1) * inches(1)),
          .density = pounds(0.283) / (inches(1) * inches(1) * inches(1))};
}

TEST_CASE("whirling_root solves the equation of the swinging beam", "[screw][property]") {
  const auto at = [](EndFixity ends) { return screw::whirling_root(ends); };
  double x = at(EndFixity::fixed_free);
  CHECK_THAT(std::cos(x) * std::cosh(x), WithinAbs(-1.0, 1e-14));
  x = at(EndFixity::supported_supported);
  CHECK_THAT(std::sin(x), WithinAbs(0.0, 1e-15));
  x = at(EndFixity::fixed_supported);
  CHECK_THAT(std::tan(x) - std::tanh(x), WithinAbs(0.0, 1e-14));
  x = at(EndFixity::fixed_fixed);
  CHECK_THAT(std::cos(x) * std::cosh(x), WithinAbs(1.0, 1e-12));
}

TEST_CASE("0.8 of the critical speed has the constants that a maker prints", "[screw][published]") {
  // reference/published/whirling.csv: N = λ2 d/ℓ² · 10⁷ rpm, mm; λ2 has the 0.8 inside. λ2 is
  // printed with one decimal. Fixed and free: 3.440 printed 3.4.
  for (const testing::CsvRow& row : testing::published("whirling.csv")) {
    CAPTURE(row.text("ends"));
    const EndFixity ends = ends_by_name.at(row.text("ends"));
    CHECK_THAT(screw::whirling_root(ends),
               WithinAbs(row.number("printed_root"), row.half_digit("printed_root")));
    const WhirlingScrew screw{
        .minor_diameter = millimetres(10), .unsupported_length = millimetres(1000), .ends = ends};
    const double met = in_revolutions_per_minute(screw::allowed_speed(screw)) / 100.0;
    CHECK_THAT(met, WithinAbs(row.number("recomputed_speed_constant"), 0.0005));
    CHECK_THAT(met, WithinAbs(row.number("printed_speed_constant"), 0.05));
  }
}

TEST_CASE("critical_speed gives the constants of the inch form", "[screw][published]") {
  // 4.76e6 d/L² with a factor by the ends, no 0.8: for supported ends recomputed 4.767e6 (C). The
  // printed factors are rounded by their makers: down by up to 10 %, up by 1 % (fixed and free).
  const double supported =
      in_revolutions_per_minute(critical_speed(inch_screw(EndFixity::supported_supported)));
  CHECK_THAT(supported * 1e4, WithinAbs(4.767e6, 0.0005e6));
  CHECK_THAT(supported * 1e4, WithinRel(4.76e6, 0.002));
  for (const testing::CsvRow& row : testing::published("whirling.csv")) {
    CAPTURE(row.text("ends"));
    const double factor =
        in_revolutions_per_minute(critical_speed(inch_screw(ends_by_name.at(row.text("ends"))))) /
        supported;
    CHECK_THAT(factor, WithinAbs(row.number("recomputed_inch_factor"), 0.0005));
    for (const char* printed : {"printed_inch_factor_a", "printed_inch_factor_b"}) {
      CHECK(row.number(printed) <= 1.015 * factor);
      CHECK(row.number(printed) >= 0.89 * factor);
    }
  }
  // A white paper, Q: 18 Hz fixed at both ends, 8 Hz supported; recomputed 18.01, 7.94 (C).
  const auto hertz_of = [](EndFixity ends) {
    return in_revolutions_per_minute(critical_speed(inch_screw(ends))) / 60.0;
  };
  CHECK_THAT(hertz_of(EndFixity::fixed_fixed), WithinAbs(18.01, 0.005));
  CHECK_THAT(hertz_of(EndFixity::supported_supported), WithinAbs(7.94, 0.006));
  CHECK_THAT(hertz_of(EndFixity::fixed_fixed), WithinAbs(18, 0.5));
  CHECK_THAT(hertz_of(EndFixity::supported_supported), WithinAbs(8, 0.5));
}

TEST_CASE("a printed example of a maker comes out as its constant is rounded",
          "[screw][published]") {
  // [MISUMI screws], Q: 12.5 mm, 790 mm, 15.1: 3024 rpm (3024.36). From λ = 3.927 as printed
  // and 7800 kg/m³ 3031.6 (C).
  WhirlingScrew screw{.minor_diameter = millimetres(12.5),
                      .unsupported_length = millimetres(790),
                      .ends = EndFixity::fixed_supported};
  const double share_of_rounding = 0.05 / 15.1;
  CHECK_THAT(in_revolutions_per_minute(screw::allowed_speed(screw)),
             WithinRel(3024.0, share_of_rounding));
  screw.density = kilograms_per_cubic_metre(7800);
  const double rounding = 3.927 / screw::whirling_root(screw.ends);
  CHECK_THAT(screw::allowed_speed(screw) * (rounding * rounding),
             IsNear(revolutions_per_minute(3031.6), revolutions_per_minute(0.05)));
}

TEST_CASE("critical speed goes with the diameter and against the square of the length",
          "[screw][property]") {
  const double d = GENERATE(take(10, random(4.0, 40.0)));
  const double length = GENERATE(take(5, random(100.0, 3000.0)));
  CAPTURE(d, length);
  const WhirlingScrew screw{.minor_diameter = millimetres(d),
                            .unsupported_length = millimetres(length)};
  WhirlingScrew thick = screw;
  thick.minor_diameter *= 2.0;
  CHECK_THAT(number(critical_speed(thick) / critical_speed(screw)), WithinRel(2.0, 1e-12));
  WhirlingScrew longer = screw;
  longer.unsupported_length *= 3.0;
  CHECK_THAT(number(critical_speed(longer) / critical_speed(screw)), WithinRel(1.0 / 9.0, 1e-12));
  // Supported at both ends: π²/ℓ² √(E I/(ρ A)), written with I and A of the disc.
  const double r = d / 2000.0;
  const double omega =
      std::numbers::pi * std::numbers::pi / (length * length / 1e6) *
      std::sqrt(206e9 * (std::numbers::pi / 4 * r * r * r * r) / (7850 * std::numbers::pi * r * r));
  CHECK_THAT(in_radians_per_second(critical_speed(screw)), WithinRel(omega, 1e-12));
}

TEST_CASE("at the longest unsupported length the speed is just allowed", "[screw][property]") {
  const EndFixity ends = GENERATE(EndFixity::fixed_free, EndFixity::supported_supported,
                                  EndFixity::fixed_supported, EndFixity::fixed_fixed);
  const double share = GENERATE(0.5, 0.8, 1.0);
  WhirlingScrew screw{.minor_diameter = millimetres(8), .ends = ends};
  const AngularSpeed speed = revolutions_per_minute(900);
  screw.unsupported_length = screw::longest_unsupported_length(screw, speed, share);
  CHECK_THAT(number(screw::allowed_speed(screw, share) / speed), WithinRel(1.0, 1e-12));
}

TEST_CASE("diameter times speed is compared with the limit of the make", "[screw][published]") {
  // [THK screws], Q; [Roton formulas], Q: 3000 rpm·in are 76 200 mm·rpm.
  const DiameterSpeed met = screw::diameter_speed(inches(1), revolutions_per_minute(3000));
  CHECK_THAT(in_millimetre_revolutions_per_minute(met), WithinRel(76'200.0, 1e-12));
  using screw::BallScrewMake;
  const auto limit = [](BallScrewMake make) {
    return in_millimetre_revolutions_per_minute(screw::diameter_speed_limit(make).limit);
  };
  CHECK_THAT(limit(BallScrewMake::rolled), WithinRel(50'000.0, 1e-12));
  CHECK_THAT(limit(BallScrewMake::rolled_large_lead), WithinRel(70'000.0, 1e-12));
  CHECK_THAT(limit(BallScrewMake::precision), WithinRel(70'000.0, 1e-12));
  CHECK_THAT(limit(BallScrewMake::caged_balls), WithinRel(130'000.0, 1e-12));
}

TEST_CASE("a whirling screw with a figure outside its range is refused by name", "[screw][error]") {
  const auto refuses = [](auto spoil, const char* text) {
    WhirlingScrew bad{.minor_diameter = millimetres(8), .unsupported_length = millimetres(500)};
    spoil(bad);
    CHECK_THROWS_MATCHES(critical_speed(bad), InvalidInput, Message(text));
    CHECK_THROWS_AS(screw::allowed_speed(bad), InvalidInput);
  };
  refuses([](auto& s) { s.minor_diameter = unset<Length>(); },
          "minor diameter must be > 0, got nan mm");
  refuses([](auto& s) { s.unsupported_length = metres(0); },
          "unsupported length must be > 0, got 0 mm");
  refuses([](auto& s) { s.elastic_modulus = megapascals(-1); },
          "elastic modulus must be > 0, got -1 MPa");
  refuses([](auto& s) { s.density = unset<Density>(); }, "density must be > 0, got nan kg/m^3");
  refuses([](auto& s) { s.ends = static_cast<EndFixity>(4); },
          "end fixity must be one of the four, got 4");
  const WhirlingScrew good{.minor_diameter = millimetres(8),
                           .unsupported_length = millimetres(500)};
  for (const double share : {0.0, 1.1, std::nan("")}) {
    CHECK_THROWS_AS(screw::allowed_speed(good, share), InvalidInput);
    CHECK_THROWS_AS(screw::longest_unsupported_length(good, revolutions_per_minute(1), share),
                    InvalidInput);
  }
  CHECK_THROWS_MATCHES(screw::longest_unsupported_length(good, radians_per_second(0)), InvalidInput,
                       Message("speed must be > 0, got 0 rpm"));
  CHECK_THROWS_AS(screw::longest_unsupported_length({}, revolutions_per_minute(1)), InvalidInput);
  CHECK_THROWS_MATCHES(screw::diameter_speed(metres(0), radians_per_second(1)), InvalidInput,
                       Message("ball circle diameter must be > 0, got 0 mm"));
  CHECK_THROWS_AS(screw::diameter_speed(metres(1), unset<AngularSpeed>()), InvalidInput);
  CHECK_THROWS_AS(screw::diameter_speed_limit(static_cast<screw::BallScrewMake>(9)), InvalidInput);
}

}  // namespace
}  // namespace pitchline
