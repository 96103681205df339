#include "pitchline/belt/loop.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <numbers>

#include "support/catch.hpp"
#include "support/csv.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using belt::BeltSide;
using belt::Loop;
using belt::LoopPulley;
using belt::setting_for_teeth;
using belt::SettingLine;
using belt::solved;
using belt::SolvedLoop;
using Catch::Matchers::Message;
using Catch::Matchers::StartsWith;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::IsNear;

constexpr double pi = std::numbers::pi;

LoopPulley at(double x, double y, double r, BeltSide side = BeltSide::inside) {
  return {
      .x = millimetres(x), .y = millimetres(y), .pitch_line_radius = millimetres(r), .side = side};
}
Loop loop_of(std::vector<LoopPulley> pulleys) {
  return {.profile = {.name = "GT 2 mm", .pitch_millimetres = Fraction(2)},
          .pulleys = std::move(pulleys)};
}

// Four screws with 20 teeth, of the published cases.
constexpr double r20 = 20 / pi;
Loop four_screws() {
  return loop_of({at(-200, -150, r20), at(200, -150, r20), at(200, 150, r20), at(-200, 150, r20)});
}
// The same with motor and idler below, both inside.
Loop convex_drive() {
  Loop loop = four_screws();
  loop.pulleys.insert(loop.pulleys.begin() + 1, {at(-60, -230, 16 / pi), at(60, -230, 9.5)});
  return loop;
}
// A motor below, and two idlers on the back that lead the belt round it.
Loop wrapped_drive() {
  Loop loop = four_screws();
  loop.pulleys.insert(loop.pulleys.begin() + 1,
                      {at(-30, -168, 9.5, BeltSide::back), at(3, -205, 16 / pi),
                       at(28, -171, 8.0, BeltSide::back)});
  return loop;
}

// Integral over all directions of the support function of the hull: the length of a convex loop.
double hull_length_mm(const Loop& loop) {
  const int parts = 40'000;
  double sum = 0.0;
  for (int i = 0; i < parts; ++i) {
    const double theta = 2 * pi * i / parts;
    double most = -1e9;
    for (const LoopPulley& p : loop.pulleys)
      most = std::max(most, in_millimetres(p.x) * std::cos(theta) +
                                in_millimetres(p.y) * std::sin(theta) +
                                in_millimetres(p.pitch_line_radius));
    sum += most;
  }
  return sum * 2 * pi / parts;
}

// Walks along the belt by spans and wraps alone and expects to meet every pulley, and at last the
// first one, where the layout has them. Returns the length walked.
double walked_length_mm(const Loop& loop, const SolvedLoop& solution, double sense) {
  const std::size_t n = loop.pulleys.size();
  const auto left = [&](std::size_t i) {
    return loop.pulleys[i].side == BeltSide::inside ? sense : -sense;
  };
  double direction = in_radians(solution.pulleys[0].span_direction);
  const double first_direction = direction;
  const double r0 = in_millimetres(loop.pulleys[0].pitch_line_radius) * left(0);
  double x = in_millimetres(loop.pulleys[0].x) + r0 * std::sin(direction);
  double y = in_millimetres(loop.pulleys[0].y) - r0 * std::cos(direction);
  double length = 0.0;
  for (std::size_t k = 1; k <= n; ++k) {
    const std::size_t i = k % n;
    const double span = in_millimetres(solution.pulleys[k - 1].span_to_next);
    x += span * std::cos(direction);
    y += span * std::sin(direction);
    const double r = in_millimetres(loop.pulleys[i].pitch_line_radius) * left(i);
    const double centre_x = x - r * std::sin(direction);
    const double centre_y = y + r * std::cos(direction);
    CHECK_THAT(centre_x, WithinAbs(in_millimetres(loop.pulleys[i].x), 1e-9));
    CHECK_THAT(centre_y, WithinAbs(in_millimetres(loop.pulleys[i].y), 1e-9));
    const double wrap = in_radians(solution.pulleys[i].wrap.angle);
    direction += left(i) * wrap;
    x = centre_x + r * std::sin(direction);
    y = centre_y - r * std::cos(direction);
    length += span + std::abs(r) * wrap;
  }
  CHECK_THAT(direction - first_direction, WithinAbs(sense * 2 * pi, 1e-12));
  return length;
}

TEST_CASE("solved gives the tabled spans, wraps and lengths", "[belt][published]") {
  // reference/published/belt_length.csv: solved apart as equations and by an integral (C).
  std::map<std::string, std::vector<testing::CsvRow>> cases;
  for (const testing::CsvRow& row : testing::published("belt_length.csv"))
    cases[row.text("case")].push_back(row);
  REQUIRE(cases.size() == 3);
  for (const auto& each : cases) {
    const std::vector<testing::CsvRow>& rows = each.second;
    CAPTURE(each.first);
    Loop loop = loop_of({});
    for (const testing::CsvRow& row : rows)
      loop.pulleys.push_back(at(row.number("x_mm"), row.number("y_mm"),
                                row.number("pitch_line_radius_mm"),
                                row.number("side_sign") > 0 ? BeltSide::inside : BeltSide::back));
    const SolvedLoop met = solved(loop);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      CAPTURE(i);
      const auto near = [&](const char* column) {
        return WithinAbs(rows[i].number(column), std::min(rows[i].half_digit(column), 1e-6) * 1.01);
      };
      const belt::PulleyOnLoop& p = met.pulleys.at(i);
      CHECK_THAT(in_millimetres(p.span_to_next), near("span_to_next_mm"));
      CHECK_THAT(in_degrees(p.wrap.angle), near("wrap_deg"));
      CHECK_THAT(in_teeth(p.wrap.teeth_in_mesh),
                 WithinAbs(rows[i].number("teeth_in_mesh_at_2mm_pitch"), 0.0000051));
      CHECK(p.wrap.whole_teeth_in_mesh ==
            static_cast<int>(rows[i].number("teeth_in_mesh_at_2mm_pitch")));
      CHECK_THAT(in_millimetres(met.length), near("belt_length_mm"));
      CHECK_THAT(in_millimetres(met.length), near("belt_length_fsolve_mm"));
      CHECK_THAT(in_millimetres(met.length),
                 WithinAbs(rows[i].number("belt_length_hull_richardson_mm"), 0.51e-6));
      CHECK_THAT(in_teeth(met.teeth), near("teeth_2mm"));
    }
  }
}

TEST_CASE("solved gives a loop round three pulleys", "[belt][published]") {
  // (C), solved apart, and by an integral over the hull.
  const SolvedLoop met =
      solved(loop_of({at(0, 0, 20 / pi), at(100, 0, 20 / pi), at(60, 80, 40 / pi)}));
  CHECK_THAT(met.length, IsNear(millimetres(342.823759), millimetres(5.1e-7)));
  const std::array<double, 3> wraps{123.2199, 112.4835, 124.2966};
  for (std::size_t i = 0; i < 3; ++i)
    CHECK_THAT(met.pulleys[i].wrap.angle, IsNear(degrees(wraps[i]), degrees(0.00005)));
}

TEST_CASE("solved says how the length answers to a shifted idler", "[belt][published]") {
  // (C): dL/dy of the idler where it stands for 741 teeth. At y = -230 it is another, for the mean
  // slope between the two places is (1482 - 1483.5726287)/2.9646750 = -0.53045.
  Loop loop = convex_drive();
  loop.pulleys[2].y = millimetres(-227.0353250097);
  const double at_741 = solved(loop).pulleys[2].length_per_y;
  CHECK_THAT(at_741, WithinAbs(-0.51119924, 0.5e-8));
  CHECK_THAT((at_741 + solved(convex_drive()).pulleys[2].length_per_y) / 2,
             WithinAbs(-0.53045, 0.0001));
}

TEST_CASE("setting_for_teeth places the idler of the tabled case", "[belt][published]") {
  // (C): the idler stands at y = -227.0353250097 for 741 teeth.
  const auto set = setting_for_teeth(
      convex_drive(),
      {.pulley = 2, .direction = degrees(90), .least = millimetres(0), .most = millimetres(10)},
      741);
  REQUIRE(set);
  CHECK_THAT(set->y, IsNear(millimetres(-227.0353250097), millimetres(1e-9)));
  CHECK_THAT(set->x, IsNear(millimetres(60), millimetres(1e-12)));
  CHECK_THAT(set->shift, IsNear(millimetres(2.9646749903), millimetres(1e-9)));
}

TEST_CASE("setting_for_teeth gives the wanted length on slanted lines, or nothing",
          "[belt][property]") {
  const auto [degree, count] =
      GENERATE(table<double, int>({{70, 754}, {70, 756}, {90, 753}, {-90, 755}, {120, 755}}));
  CAPTURE(degree, count);
  const Loop loop = wrapped_drive();
  const SettingLine line{
      .pulley = 2, .direction = degrees(degree), .least = millimetres(-12), .most = millimetres(4)};
  const Length at_least = solved(shifted(loop, line, line.least)).length;
  const Length at_most = solved(shifted(loop, line, line.most)).length;
  const Length wanted = millimetres(2.0 * count);
  const auto set = setting_for_teeth(loop, line, count);
  const bool reachable = (at_least - wanted) * (at_most - wanted) <= metres(0) * metres(0);
  REQUIRE(set.has_value() == reachable);
  if (!set) return;
  CHECK_THAT(in_millimetres(solved(shifted(loop, line, set->shift)).length),
             WithinRel(2.0 * count, 1e-12));
  CHECK(set->shift >= line.least);
  CHECK(set->shift <= line.most);
}

TEST_CASE("setting_for_teeth finds a setting on the way up and on the way down",
          "[belt][property]") {
  const double up = GENERATE(1.0, -1.0);
  const SettingLine line{.pulley = 2,
                         .direction = degrees(90 * up),
                         .least = millimetres(-10),
                         .most = millimetres(10)};
  const auto set = setting_for_teeth(convex_drive(), line, 741);
  REQUIRE(set);
  CHECK_THAT(in_millimetres(set->shift), WithinRel(up * 2.9646749903, 1e-9));
  CHECK_FALSE(setting_for_teeth(convex_drive(), line, 700));
  CHECK_FALSE(setting_for_teeth(convex_drive(), line, 800));
}

TEST_CASE("a convex loop is as long as the integral over its hull, and wraps add up to one turn",
          "[belt][property]") {
  const int index = GENERATE(range(0, 8));
  // Pulleys of various sizes round an ellipse: a fixed sequence of fractions of a golden angle.
  Loop loop = loop_of({});
  const int count = 3 + index;
  for (int i = 0; i < count; ++i) {
    const double part = std::fmod((i + 1) * (index + 1) * 0.6180339887498949, 1.0);
    const double theta = 2 * pi * (i + 0.3 * part) / count;
    loop.pulleys.push_back(
        at(300 * std::cos(theta) + 77, 180 * std::sin(theta) - 31, 5 + 12 * part));
  }
  CAPTURE(index);
  const SolvedLoop met = solved(loop);
  CHECK_THAT(in_millimetres(met.length), WithinRel(hull_length_mm(loop), 1e-7));
  Angle sum{};
  for (const auto& p : met.pulleys) sum += p.wrap.angle;
  CHECK_THAT(in_degrees(sum), WithinRel(360.0, 1e-13));
}

TEST_CASE("a walk along spans and wraps meets every pulley and closes", "[belt][property]") {
  const Loop loop = GENERATE(four_screws(), convex_drive(), wrapped_drive());
  const SolvedLoop met = solved(loop);
  CHECK_THAT(walked_length_mm(loop, met, 1), WithinRel(in_millimetres(met.length), 1e-14));
}

TEST_CASE("idlers on the back give the motor more than half a turn", "[belt][property]") {
  const SolvedLoop met = solved(wrapped_drive());
  CHECK(met.pulleys[2].wrap.angle > degrees(90));
  // Wraps on the back count against the others.
  Angle sum{};
  for (std::size_t i = 0; i < met.pulleys.size(); ++i)
    sum += i == 1 || i == 3 ? -met.pulleys[i].wrap.angle : met.pulleys[i].wrap.angle;
  CHECK_THAT(in_degrees(sum), WithinRel(360.0, 1e-13));
}

TEST_CASE("an idler on the back that only just touches adds next to nothing", "[belt][property]") {
  // The lower strand runs at y = -150 - 20/pi; the idler comes up to it by a micrometre.
  Loop loop = four_screws();
  loop.pulleys.insert(loop.pulleys.begin() + 1,
                      at(0, -150 - r20 - 9.5 + 0.001, 9.5, BeltSide::back));
  const double excess = in_millimetres(solved(loop).length) - 1440;
  CHECK(excess > 0);
  CHECK(excess < 1e-7);
}

TEST_CASE("two pulleys as a loop are the pair", "[belt][property]") {
  const int first = GENERATE(12, 20, 60);
  const int second = GENERATE(16, 20, 48);
  const double c = GENERATE(40.0, 123.4);
  CAPTURE(first, second, c);
  const belt::TwoPulleys pair{
      .profile = loop_of({}).profile, .first_teeth = first, .second_teeth = second};
  const SolvedLoop met =
      solved(loop_of({at(11, -7, first / pi), at(11 + 0.6 * c, -7 + 0.8 * c, second / pi)}));
  CHECK_THAT(in_millimetres(met.length),
             WithinRel(in_millimetres(belt_length(pair, millimetres(c))), 1e-13));
  const auto wraps = pair_wraps(pair, millimetres(c));
  CHECK_THAT(in_degrees(met.pulleys[0].wrap.angle),
             WithinRel(in_degrees(wraps.first.angle), 1e-12));
  CHECK_THAT(in_degrees(met.pulleys[1].wrap.angle),
             WithinRel(in_degrees(wraps.second.angle), 1e-12));
}

TEST_CASE("a loop mirrored, turned, run backwards or started elsewhere has the same length",
          "[belt][property]") {
  const Loop loop = GENERATE(convex_drive(), wrapped_drive());
  const SolvedLoop met = solved(loop);
  const double wanted = in_millimetres(met.length);

  Loop mirrored = loop;
  for (auto& p : mirrored.pulleys) p.x = -p.x;
  const SolvedLoop of_mirror = solved(mirrored);
  CHECK_THAT(in_millimetres(of_mirror.length), WithinRel(wanted, 1e-14));
  CHECK_THAT(walked_length_mm(mirrored, of_mirror, -1), WithinRel(wanted, 1e-14));

  Loop backwards = loop;
  std::reverse(backwards.pulleys.begin(), backwards.pulleys.end());
  const SolvedLoop of_backwards = solved(backwards);
  CHECK_THAT(in_millimetres(of_backwards.length), WithinRel(wanted, 1e-14));
  for (std::size_t i = 0; i < loop.pulleys.size(); ++i) {
    const auto& p = of_backwards.pulleys[loop.pulleys.size() - 1 - i];
    CHECK_THAT(in_degrees(p.wrap.angle), WithinRel(in_degrees(met.pulleys[i].wrap.angle), 1e-11));
    CHECK_THAT(p.length_per_x, WithinAbs(met.pulleys[i].length_per_x, 1e-13));
    CHECK_THAT(p.length_per_y, WithinAbs(met.pulleys[i].length_per_y, 1e-13));
  }

  Loop elsewhere = loop;
  std::rotate(elsewhere.pulleys.begin(), elsewhere.pulleys.begin() + 3, elsewhere.pulleys.end());
  CHECK_THAT(in_millimetres(solved(elsewhere).length), WithinRel(wanted, 1e-14));

  Loop turned = loop;
  for (auto& p : turned.pulleys) {
    const Length x = p.x;
    p.x = 0.8 * x - 0.6 * p.y + millimetres(1000);
    p.y = 0.6 * x + 0.8 * p.y;
  }
  CHECK_THAT(in_millimetres(solved(turned).length), WithinRel(wanted, 1e-13));
}

TEST_CASE("the change of length per shift is its central difference", "[belt][property]") {
  const Loop loop = GENERATE(convex_drive(), wrapped_drive());
  const auto i = static_cast<std::size_t>(GENERATE(range(0, 6)));
  CAPTURE(i);
  const Length step = millimetres(1e-3);
  const auto slope = [&](double degree) {
    const SettingLine line{.pulley = i, .direction = degrees(degree)};
    return number(
        (solved(shifted(loop, line, step)).length - solved(shifted(loop, line, -step)).length) /
        (2.0 * step));
  };
  const belt::PulleyOnLoop p = solved(loop).pulleys[i];
  CHECK_THAT(slope(0), WithinAbs(p.length_per_x, 2e-8));
  CHECK_THAT(slope(90), WithinAbs(p.length_per_y, 2e-8));
}

TEST_CASE("a thin loop whose centres lie on one line finds its sense", "[belt][property]") {
  // The middle idler reaches down to -4 - 8 = -12 and up to 4, the strands run at -5 and 5: it is
  // met on the way along the bottom, whichever way round the order is given.
  const double length =
      in_millimetres(solved(loop_of({at(0, 0, 5), at(100, -4, 8), at(200, 0, 5)})).length);
  CHECK_THAT(in_millimetres(solved(loop_of({at(0, 0, 5), at(200, 0, 5), at(100, -4, 8)})).length),
             WithinRel(length, 1e-14));
  CHECK(length > 400 + 10 * pi);
  CHECK_THAT(
      length,
      WithinRel(hull_length_mm(loop_of({at(0, 0, 5), at(100, -4, 8), at(200, 0, 5)})), 1e-7));
}

TEST_CASE("layouts that cannot be are refused with the reason", "[belt][error]") {
  // Side by side too close, and one inside the other.
  Loop loop = four_screws();
  loop.pulleys.insert(loop.pulleys.begin() + 1, at(-190, -150, 16 / pi));
  loop.pulleys[1].name = "motor";
  CHECK_THROWS_MATCHES(solved(loop), OutsideValidity,
                       Message("pulley 1 and \"motor\" overlap: their centres are 10 mm apart, "
                               "their pitch-line radii add up to 11.4592 mm"));
  loop.pulleys[1].x = millimetres(-199);
  CHECK_THROWS_WITH(solved(loop),
                    StartsWith("pulley 1 and \"motor\" lie one inside the other: their centres"));
  // Not neighbours in the order.
  loop = four_screws();
  loop.pulleys[2] = at(-195, -141, r20);
  CHECK_THROWS_WITH(solved(loop), StartsWith("pulley 1 and pulley 3 overlap"));

  // Pulleys that the belt passes by: an idler on the back that is too low, one inside that is too
  // high, and both at once, where the sum of the wraps is right again.
  loop = four_screws();
  loop.pulleys.insert(loop.pulleys.begin() + 1, at(0, -200, 9.5, BeltSide::back));
  CHECK_THROWS_MATCHES(solved(loop), OutsideValidity,
                       Message("the belt does not reach pulley 2: it would pass by and not bend "
                               "round it on the back"));
  loop.pulleys[1] = at(0, -100, 9.5);
  CHECK_THROWS_MATCHES(solved(loop), OutsideValidity,
                       Message("the belt does not reach pulley 2: it would pass by and not bend "
                               "round it on the inside"));
  loop = four_screws();
  loop.pulleys.insert(loop.pulleys.begin() + 1, at(0, -200, 9.5, BeltSide::back));
  loop.pulleys.insert(loop.pulleys.begin() + 4, at(0, 100, 9.5));
  CHECK_THROWS_WITH(solved(loop), StartsWith("the belt does not reach pulley"));
  // It touches without bending.
  loop = loop_of({at(0, 0, 5), at(100, 0, 5), at(200, 0, 5)});
  CHECK_THROWS_WITH(solved(loop), StartsWith("the belt does not reach pulley"));

  // The idler on the back of the upper strand is pushed through the lower one. The wraps add up to
  // one turn, and a length of 1880 mm could be computed.
  loop = four_screws();
  loop.pulleys.insert(loop.pulleys.begin() + 3, at(0, -200, 9.5, BeltSide::back));
  CHECK_THROWS_MATCHES(solved(loop), OutsideValidity,
                       Message("the belt crosses itself: the span from pulley 1 to pulley 2 and "
                               "that from pulley 3 to pulley 4"));
  // A crossed pair.
  CHECK_THROWS_WITH(solved(loop_of({at(0, 0, 5), at(100, 0, 5, BeltSide::back)})),
                    StartsWith("the belt crosses itself: the span from pulley 1 to pulley 2"));

  // The far strand runs through the idler.
  CHECK_THROWS_MATCHES(solved(loop_of({at(0, 0, 5), at(100, -4, 10), at(200, 0, 5)})),
                       OutsideValidity,
                       Message("the span from pulley 3 to pulley 1 runs through pulley 2: 9 mm "
                               "from its centre, pitch-line radius 10 mm"));

  // A belt with its teeth outside.
  CHECK_THROWS_MATCHES(
      solved(loop_of({at(0, 0, 5, BeltSide::back), at(100, 0, 5, BeltSide::back)})),
      OutsideValidity,
      Message("the belt does not close: wraps inside less wraps on the back are -360 deg, not "
              "360"));
}

TEST_CASE("solved and its settings refuse figures outside their tables", "[belt][error]") {
  CHECK_THROWS_MATCHES(solved(loop_of({at(0, 0, 5)})), InvalidInput,
                       Message("number of pulleys must be >= 2, got 1"));
  Loop loop = four_screws();
  loop.profile.pitch_millimetres = Fraction(0);
  CHECK_THROWS_MATCHES(solved(loop), InvalidInput, Message("pitch must be > 0, got 0 mm/tooth"));
  loop = four_screws();
  loop.pulleys[1].x = unset<Length>();
  CHECK_THROWS_MATCHES(solved(loop), InvalidInput,
                       Message("x of pulley 2 must be given and finite, got nan mm"));
  loop = four_screws();
  loop.pulleys[1].y = unset<Length>();
  CHECK_THROWS_MATCHES(solved(loop), InvalidInput,
                       Message("y of pulley 2 must be given and finite, got nan mm"));
  loop = four_screws();
  loop.pulleys[3].pitch_line_radius = metres(0);
  CHECK_THROWS_MATCHES(solved(loop), InvalidInput,
                       Message("pitch-line radius of pulley 4 must be > 0, got 0 mm"));

  const SettingLine line{
      .pulley = 2, .direction = degrees(90), .least = millimetres(0), .most = millimetres(10)};
  const auto refused = [&](auto change, const char* text) {
    SettingLine bad = line;
    change(bad);
    CHECK_THROWS_MATCHES(setting_for_teeth(convex_drive(), bad, 741), InvalidInput, Message(text));
  };
  refused([](SettingLine& l) { l.pulley = 6; },
          "place of the pulley must be below the number of pulleys, got 6");
  refused([](SettingLine& l) { l.direction = unset<Angle>(); },
          "direction must be given and finite, got nan deg");
  refused([](SettingLine& l) { l.most = metres(0); },
          "longest shift must be > shortest shift, got 0 mm");
  refused([](SettingLine& l) { l.most = unlimited<Length>(); },
          "shift must be given and finite, got inf mm");
  CHECK_THROWS_MATCHES(setting_for_teeth(convex_drive(), line, 0), InvalidInput,
                       Message("belt teeth must be >= 1, got 0"));
  SettingLine far = line;
  far.most = millimetres(200);
  CHECK_THROWS_AS(setting_for_teeth(convex_drive(), far, 741), OutsideValidity);
}

TEST_CASE("the pitch-line radii of idlers follow from the section of the belt",
          "[belt][property]") {
  // By hand, GT 2 mm: 1.52 thick, teeth 0.76, u = 0.254 ([SDP handbook] table 3): the pitch line
  // runs 1.014 from the tips of the teeth and 0.506 from the back.
  const belt::BeltSection gt2{.thickness = millimetres(1.52),
                              .tooth_height = millimetres(0.76),
                              .pitch_line_differential = millimetres(0.254)};
  CHECK_THAT(belt::back_idler_pitch_line_radius(gt2, millimetres(18)),
             IsNear(millimetres(9.506), millimetres(1e-9)));
  CHECK_THAT(belt::inside_idler_pitch_line_radius(gt2, millimetres(18)),
             IsNear(millimetres(10.014), millimetres(1e-9)));
  CHECK_THAT(belt::toothed_pitch_line_radius(four_screws().profile, 20),
             IsNear(millimetres(6.36619772368), millimetres(1e-11)));
  parts::BeltProfile profile;
  profile.thickness.value = gt2.thickness;
  profile.tooth_height.value = gt2.tooth_height;
  profile.pitch_line_differential.value = gt2.pitch_line_differential;
  CHECK_THAT(belt::back_idler_pitch_line_radius(belt::section(profile), millimetres(18)),
             IsNear(millimetres(9.506), millimetres(1e-9)));
}

TEST_CASE("the pitch-line radii refuse a section that is not known", "[belt][error]") {
  belt::BeltSection s{.thickness = millimetres(1.52),
                      .tooth_height = millimetres(0.76),
                      .pitch_line_differential = millimetres(0.254)};
  CHECK_THROWS_MATCHES(belt::back_idler_pitch_line_radius(s, unset<Length>()), InvalidInput,
                       Message("outer diameter must be > 0, got nan mm"));
  CHECK_THROWS_AS(belt::inside_idler_pitch_line_radius(s, metres(0)), InvalidInput);
  s.thickness = millimetres(1.0);
  CHECK_THROWS_MATCHES(
      belt::back_idler_pitch_line_radius(s, millimetres(18)), InvalidInput,
      Message("belt thickness must be > tooth height + pitch-line differential, got 1 mm"));
  CHECK_THROWS_MATCHES(belt::inside_idler_pitch_line_radius(belt::section({}), millimetres(18)),
                       InvalidInput, Message("tooth height must be > 0, got nan mm"));
  s.pitch_line_differential = unset<Length>();
  CHECK_THROWS_MATCHES(belt::inside_idler_pitch_line_radius(s, millimetres(18)), InvalidInput,
                       Message("pitch-line differential must be > 0, got nan mm"));
  CHECK_THROWS_AS(belt::longest_span({}), InvalidInput);
}

TEST_CASE("longest_span names the span to pluck", "[belt][property]") {
  // By hand: of the convex drive the spans between screws are 300, 400 and 300 mm, the others less.
  CHECK(belt::longest_span(solved(convex_drive())) == 4);
  CHECK(belt::longest_span(solved(loop_of({at(0, 0, 5), at(100, 0, 5)}))) == 0);
}

}  // namespace
}  // namespace pitchline
