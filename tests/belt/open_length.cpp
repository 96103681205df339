#include "pitchline/belt/open_length.hpp"

#include <numbers>

#include "pitchline/belt/loop.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::beam_belt_wrap;
using belt::BeamBelt;
using belt::BeltSide;
using belt::CarriageLoop;
using belt::order_length;
using Catch::Matchers::Message;
using Catch::Matchers::StartsWith;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

constexpr double pi = std::numbers::pi;
const parts::BeltProfile gt2{.name = "GT 2 mm", .pitch_millimetres = Fraction(2)};

CarriageLoop carriage_loop() {
  return {.profile = gt2,
          .span = millimetres(1000),
          .drive_pitch_line_radius = millimetres(20 / pi),
          .idler_pitch_line_radius = millimetres(20 / pi),
          .carriage_gap = millimetres(60)};
}
BeamBelt beam_belt() {
  return {.profile = gt2,
          .between_clamps = millimetres(1500),
          .drive_pitch_line_radius = millimetres(20 / pi),
          .idler_pitch_line_radius = millimetres(9.5),
          .idler_centres = millimetres(38),
          .drive_height = millimetres(21)};
}

TEST_CASE("order_length of a loop clamped at the carriage adds up by hand", "[belt][property]") {
  // 2 · 1000 + 20 teeth round both half turns, 40 mm, − 60 + 2 · 7 teeth, 28 mm = 2008 = 1004 · 2.
  CarriageLoop run = carriage_loop();
  auto met = order_length(run);
  CHECK_THAT(met.path, IsNear(millimetres(1980), millimetres(1e-9)));
  CHECK_THAT(met.in_clamps, IsNear(millimetres(28), millimetres(1e-9)));
  CHECK_THAT(met.least, IsNear(millimetres(2008), millimetres(1e-9)));
  CHECK(met.teeth == 1004);
  CHECK_THAT(met.to_order, IsNear(millimetres(2008), millimetres(1e-9)));
  CHECK(met.belts == 1);
  CHECK(met.clamps_hold_enough);
  // One millimetre more is half a tooth, and a whole one is ordered.
  run.ending.adjustment = millimetres(1);
  met = order_length(run);
  CHECK(met.teeth == 1005);
  CHECK_THAT(met.to_order - met.least, IsNear(millimetres(1), millimetres(1e-9)));
  run.ending.teeth_in_each_clamp = 6;
  CHECK_FALSE(order_length(run).clamps_hold_enough);
  // [Elatech] p. 52: heavy cord asks for 12.
  run.profile.construction = parts::Construction::polyurethane_heavy_steel;
  run.ending.teeth_in_each_clamp = 11;
  CHECK_FALSE(order_length(run).clamps_hold_enough);
  run.ending.teeth_in_each_clamp = 12;
  CHECK(order_length(run).clamps_hold_enough);
}

TEST_CASE("order_length with unequal pulleys is the closed belt less the gap", "[belt][property]") {
  const int idler = GENERATE(12, 20, 48);
  CAPTURE(idler);
  CarriageLoop run = carriage_loop();
  run.idler_pitch_line_radius = millimetres(idler / pi);
  const Length closed = belt::belt_length(
      {.profile = gt2, .first_teeth = 20, .second_teeth = idler}, millimetres(1000));
  CHECK_THAT(in_millimetres(order_length(run).path), WithinRel(in_millimetres(closed) - 60, 1e-14));
}

TEST_CASE("order_length_of_pair is two of the same belt", "[belt][property]") {
  const auto one = order_length(carriage_loop());
  const auto pair = order_length_of_pair(carriage_loop());
  CHECK(pair.belts == 2);
  CHECK(pair.teeth == one.teeth);
  CHECK(pair.to_order == one.to_order);
}

TEST_CASE("beam_belt_wrap is exact where the belt rises upright", "[belt][property]") {
  // Idlers as far from the middle as both radii together: φ = 90°, t = h by plane geometry, so the
  // detour is 2 h + (π − 2)(r_d + r_i).
  const double h = GENERATE(17.0, 30.0);
  CAPTURE(h);
  BeamBelt run = beam_belt();
  const double both = 20 / pi + 9.5;
  run.idler_centres = millimetres(2 * both);
  run.drive_height = millimetres(h);
  const auto met = beam_belt_wrap(run);
  CHECK_THAT(in_degrees(met.idler), WithinRel(90.0, 1e-12));
  CHECK_THAT(in_degrees(met.drive.angle), WithinRel(180.0, 1e-12));
  CHECK(met.drive.whole_teeth_in_mesh == 10);
  CHECK_THAT(in_millimetres(met.idler_to_drive), WithinRel(h, 1e-12));
  CHECK_THAT(in_millimetres(met.detour), WithinRel(2 * h + (pi - 2) * both, 1e-12));
}

TEST_CASE("beam_belt_wrap is the same belt as a closed loop that returns far above",
          "[belt][property]") {
  const double centres = GENERATE(33.0, 38.0, 60.0);
  const double height = GENERATE(21.0, 5.0, -1.0);
  CAPTURE(centres, height);
  BeamBelt run = beam_belt();
  run.idler_centres = millimetres(centres);
  run.drive_height = millimetres(height);
  if (std::hypot(centres / 2, height) <= 20 / pi + 9.5) return;
  const auto met = beam_belt_wrap(run);

  // The lower strand lies at -9.5; the loop is closed round two large pulleys 800 mm apart.
  const auto at = [](double x, double y, double r, BeltSide side) {
    return belt::LoopPulley{.x = millimetres(x),
                            .y = millimetres(y),
                            .pitch_line_radius = millimetres(r),
                            .side = side};
  };
  const belt::SolvedLoop loop = belt::solved(
      {.profile = gt2,
       .pulleys = {at(-400, 70.5, 80, BeltSide::inside), at(-centres / 2, 0, 9.5, BeltSide::inside),
                   at(0, height, 20 / pi, BeltSide::back),
                   at(centres / 2, 0, 9.5, BeltSide::inside),
                   at(400, 70.5, 80, BeltSide::inside)}});
  CHECK_THAT(in_millimetres(loop.length),
             WithinAbs(1600 + 160 * pi + in_millimetres(met.detour), 1e-9));
  CHECK_THAT(in_degrees(loop.pulleys[1].wrap.angle), WithinRel(in_degrees(met.idler), 1e-9));
  CHECK_THAT(in_degrees(loop.pulleys[2].wrap.angle), WithinRel(in_degrees(met.drive.angle), 1e-9));
  CHECK_THAT(in_millimetres(loop.pulleys[1].span_to_next),
             WithinRel(in_millimetres(met.idler_to_drive), 1e-9));
}

TEST_CASE("order_length of a beam belt adds clamps and adjustment", "[belt][property]") {
  BeamBelt run = beam_belt();
  run.ending = {.teeth_in_each_clamp = 12, .adjustment = millimetres(10)};
  const auto met = order_length(run);
  const Length sum =
      millimetres(1500) + beam_belt_wrap(run).detour + millimetres(48) + millimetres(10);
  CHECK_THAT(in_millimetres(met.least), WithinRel(in_millimetres(sum), 1e-14));
  CHECK(met.to_order >= met.least);
  CHECK(met.to_order < met.least + millimetres(2));
  CHECK_THAT(in_millimetres(met.to_order), WithinRel(2.0 * met.teeth, 1e-14));
}

TEST_CASE("order_length refuses what its tables exclude", "[belt][error]") {
  const auto refused = [](auto run, auto change, const char* text) {
    change(run);
    CHECK_THROWS_MATCHES(order_length(run), InvalidInput, Message(text));
  };
  using C = CarriageLoop;
  refused(
      carriage_loop(), [](C& r) { r.profile = {}; }, "pitch must be > 0, got 0 mm/tooth");
  refused(
      carriage_loop(), [](C& r) { r.span = unset<Length>(); },
      "centre distance must be > 0, got nan mm");
  refused(
      carriage_loop(), [](C& r) { r.drive_pitch_line_radius = metres(0); },
      "drive pitch-line radius must be > 0, got 0 mm");
  refused(
      carriage_loop(), [](C& r) { r.idler_pitch_line_radius = unset<Length>(); },
      "idler pitch-line radius must be > 0, got nan mm");
  refused(
      carriage_loop(), [](C& r) { r.carriage_gap = millimetres(1000); },
      "carriage gap must be >= 0 and < span, got 1000 mm");
  refused(
      carriage_loop(), [](C& r) { r.carriage_gap = unset<Length>(); },
      "carriage gap must be >= 0 and < span, got nan mm");
  refused(
      carriage_loop(), [](C& r) { r.ending.teeth_in_each_clamp = 0; },
      "teeth in each clamp must be >= 1, got 0");
  refused(
      carriage_loop(), [](C& r) { r.ending.adjustment = millimetres(-1); },
      "adjustment must be >= 0, got -1 mm");
  CarriageLoop tight = carriage_loop();
  tight.span = millimetres(12);
  CHECK_THROWS_AS(order_length(tight), OutsideValidity);

  using B = BeamBelt;
  refused(
      beam_belt(), [](B& r) { r.profile = {}; }, "pitch must be > 0, got 0 mm/tooth");
  refused(
      beam_belt(), [](B& r) { r.drive_pitch_line_radius = unset<Length>(); },
      "drive pitch-line radius must be > 0, got nan mm");
  refused(
      beam_belt(), [](B& r) { r.idler_pitch_line_radius = metres(-1); },
      "idler pitch-line radius must be > 0, got -1000 mm");
  refused(
      beam_belt(), [](B& r) { r.idler_centres = millimetres(19); },
      "idler centres must be > twice the idler pitch-line radius, got 19 mm");
  refused(
      beam_belt(), [](B& r) { r.drive_height = unset<Length>(); },
      "drive height must be given and finite, got nan mm");
  refused(
      beam_belt(), [](B& r) { r.between_clamps = millimetres(38); },
      "distance between the clamps must be > idler centres, got 38 mm");
  BeamBelt run = beam_belt();
  run.idler_centres = millimetres(30);
  run.drive_height = millimetres(2);
  CHECK_THROWS_WITH(order_length(run), StartsWith("drive pulley and idlers overlap"));
  run = beam_belt();
  run.idler_centres = millimetres(60);
  run.drive_height = millimetres(-4);
  CHECK_THROWS_WITH(order_length(run), StartsWith("the drive pulley presses on the belt"));
}

TEST_CASE("an open belt of more teeth than can be counted is refused", "[belt][error]") {
  CarriageLoop far = carriage_loop();
  far.span = metres(1e9);
  CHECK_THROWS_WITH(order_length(far), Catch::Matchers::EndsWith("at most 1e9 are counted"));
}

}  // namespace
}  // namespace pitchline
