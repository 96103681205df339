#include "pitchline/tune/travel.hpp"

#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/is_near.hpp"

namespace pitchline::tune {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using testing::Chance;
using testing::IsNear;

const Confidence usual(0.95);

// Commanded places in mm and what the gauge shows there.
TravelReadings readings(std::initializer_list<std::pair<double, double>> list, double resolution) {
  TravelReadings r{.resolution = millimetres(resolution)};
  for (const auto& [commanded, measured] : list)
    r.readings.push_back({millimetres(commanded), millimetres(measured)});
  return r;
}

TEST_CASE("travel_fit meets a case worked by hand", "[tune][property]") {
  // y = 0, 1, 3 over 0, 1, 2: slope 3/2, standard error sqrt(1/12), Student's factor tan(0.475 pi).
  const TravelFit fit = travel_fit(readings({{0, 0}, {1, 1}, {2, 3}}, 0), usual);
  const double half = std::tan(0.475 * std::acos(-1.0)) * std::sqrt(1.0 / 12.0);
  CHECK_THAT(fit.ratio.value, WithinRel(1.5, 1e-12));
  CHECK_THAT(fit.ratio.least, WithinRel(1.5 - half, 1e-12));
  CHECK_THAT(fit.ratio.most, WithinRel(1.5 + half, 1e-12));
  CHECK(fit.degrees_of_freedom == 1);
  CHECK_THAT(*fit.scatter, IsNear(millimetres(std::sqrt(1.0 / 6.0)), micrometres(1e-6)));
  CHECK_THAT(fit.residuals.at(1), IsNear(millimetres(-1.0 / 3.0), micrometres(1e-6)));
  CHECK_FALSE(fit.worth_correcting);  // 1.5 of three readings is no proof
  CHECK_FALSE(fit.lost_motion);
}

TEST_CASE("one distance gives its ratio and half a mark of width", "[tune][property]") {
  TravelReadings r = readings({{1000, 998.5}}, 0.5);
  r.zero = GaugeZero::exact;
  const TravelFit fit = travel_fit(r, usual);
  CHECK_THAT(fit.ratio.value, WithinRel(0.9985, 1e-12));
  CHECK_THAT(fit.ratio.least, WithinRel(0.99825, 1e-12));
  CHECK_THAT(fit.ratio.most, WithinRel(0.99875, 1e-12));
  CHECK(fit.worth_correcting);
  CHECK_FALSE(fit.scatter);
  CHECK_FALSE(fit.bow);
  CHECK_FALSE(fit.waviness);
  // 80 steps per mm of which it travels 0.9985: 80/0.9985 make a millimetre.
  const auto steps = corrected_steps_per_length(pulses_per_millimetre(80), fit.ratio);
  CHECK_THAT(in_pulses_per_millimetre(steps.value), WithinRel(80.0 / 0.9985, 1e-12));
  CHECK_THAT(in_pulses_per_millimetre(steps.least), WithinRel(80.0 / 0.99875, 1e-12));
  CHECK_THAT(in_pulses_per_millimetre(steps.most), WithinRel(80.0 / 0.99825, 1e-12));
  // A tape with marks of 5 mm could not have told.
  r.resolution = millimetres(5);
  CHECK_FALSE(travel_fit(r, usual).worth_correcting);
}

TEST_CASE("lost motion is what a place reads more from behind than from ahead",
          "[tune][property]") {
  // Ratio 0.999, zero 0.2 mm; coming back the carriage stays 0.15 mm further out.
  TravelReadings r{.resolution = millimetres(0.01)};
  for (const double x : {0.0, 100.0, 250.0, 400.0})
    for (const bool back : {false, true})
      r.readings.push_back({millimetres(x), millimetres(0.999 * x + 0.2 + (back ? 0.15 : 0.0)),
                            back ? Approach::backward : Approach::forward});
  const TravelFit fit = travel_fit(r, usual);
  CHECK_THAT(fit.ratio.value, WithinRel(0.999, 1e-12));
  REQUIRE(fit.lost_motion);
  CHECK_THAT(fit.lost_motion->value, IsNear(millimetres(0.15), micrometres(1e-6)));
  // Half a mark in every reading of both sides: 0.01 mm at most.
  CHECK(fit.lost_motion->most - fit.lost_motion->value <= millimetres(0.0151));
  CHECK(fit.lost_motion->most - fit.lost_motion->value >= millimetres(0.0099));
}

// Synthetic readings of an axis whose truth is known.
struct Truth {
  double ratio;
  double zero;
  double lost;
};
struct Gauge {
  double resolution;  // mm
  double scatter;     // mm
};
TravelReadings measured_with(const Truth& truth, const Gauge& gauge, int places, Chance& chance) {
  TravelReadings r{.resolution = millimetres(gauge.resolution)};
  for (int i = 0; i < places; ++i) {
    const bool back = i % 2 == 1;
    const double x = 1000.0 * i / (places - 1);
    double y =
        truth.ratio * x + truth.zero + (back ? truth.lost : 0.0) + gauge.scatter * chance.normal();
    if (gauge.resolution > 0.0) y = gauge.resolution * std::round(y / gauge.resolution);
    r.readings.push_back(
        {millimetres(x), millimetres(y), back ? Approach::backward : Approach::forward});
  }
  return r;
}

struct Coverage {
  double ratio = 0.0;
  double lost_motion = 0.0;
};
Coverage coverage(const Gauge& gauge, int places, double spread_of_ratio, int trials) {
  Chance chance(8);
  Coverage share;
  for (int i = 0; i < trials; ++i) {
    const Truth truth{1.0 + chance.between(-spread_of_ratio, spread_of_ratio),
                      chance.between(-1.0, 1.0), chance.between(0.0, 0.4)};
    const TravelFit fit = travel_fit(measured_with(truth, gauge, places, chance), usual);
    share.ratio += may_be(fit.ratio, truth.ratio) ? 1.0 / trials : 0.0;
    share.lost_motion += may_be(*fit.lost_motion, millimetres(truth.lost)) ? 1.0 / trials : 0.0;
  }
  return share;
}

TEST_CASE("the 95 % interval holds the truth in 95 % of trials where readings scatter",
          "[tune][property]") {
  constexpr int trials = 2000;
  const double band = testing::binomial_band(0.95, trials);
  struct Case {
    Gauge gauge;
    int places;
  };
  // Scatter alone, with few and many readings; then marks of a gauge with as much and twice as
  // much scatter.
  for (const Case& c :
       {Case{{0.0, 0.1}, 5}, Case{{0.0, 0.1}, 20}, Case{{0.1, 0.1}, 12}, Case{{0.1, 0.2}, 8}}) {
    CAPTURE(c.gauge.resolution, c.gauge.scatter, c.places);
    const Coverage share = coverage(c.gauge, c.places, 0.01, trials);
    CHECK_THAT(share.ratio, WithinAbs(0.95, band));
    CHECK_THAT(share.lost_motion, WithinAbs(0.95, band));
  }
}

TEST_CASE("the interval holds the truth at least as often where the marks of the gauge are coarser",
          "[tune][property]") {
  constexpr int trials = 2000;
  const double least = 0.95 - testing::binomial_band(0.95, trials);
  // Rounding alone, and with a little scatter; the true ratio anywhere, or so near to one that all
  // readings may be rounded the same way.
  for (const double scatter : {0.0, 0.02, 0.05})
    for (const double spread : {0.01, 0.0001})
      for (const int places : {4, 6, 15}) {
        CAPTURE(scatter, spread, places);
        const Coverage share = coverage({0.1, scatter}, places, spread, trials);
        CHECK(share.ratio >= least);
        CHECK(share.lost_motion >= least);
      }
}

TEST_CASE("rounding that goes the same way everywhere does not pass for precision",
          "[tune][property]") {
  // True ratio 1.00009 over 1000 mm, marks of 0.1 mm, start 0.045 mm under a mark: every reading
  // is rounded to the commanded place. The scatter is nil, the error of the ratio 9e-5.
  TravelReadings r{.resolution = millimetres(0.1)};
  for (int i = 0; i <= 10; ++i) {
    const double x = 100.0 * i;
    const double y = 0.1 * std::round((1.00009 * x - 0.045) / 0.1);
    r.readings.push_back({millimetres(x), millimetres(y)});
  }
  const TravelFit fit = travel_fit(r, usual);
  CHECK_THAT(fit.ratio.value, WithinRel(1.0, 1e-12));
  CHECK(may_be(fit.ratio, 1.00009));
  CHECK_FALSE(fit.worth_correcting);
}

TEST_CASE("a right value is called worth correcting as rarely as the confidence says",
          "[tune][property]") {
  constexpr int trials = 2000;
  Chance chance(3);
  int wrong = 0;
  int seen = 0;
  for (int i = 0; i < trials; ++i) {
    const Gauge gauge{0.0, 0.1};
    wrong += travel_fit(measured_with({1.0, 0.3, 0.1}, gauge, 8, chance), usual).worth_correcting;
    // 2 mm over 1000 mm is twenty times the scatter.
    seen += travel_fit(measured_with({1.002, 0.3, 0.1}, gauge, 8, chance), usual).worth_correcting;
  }
  CHECK_THAT(wrong / static_cast<double>(trials),
             WithinAbs(0.05, testing::binomial_band(0.05, trials)));
  CHECK(seen == trials);
}

TEST_CASE("a bow is found where there is one and seldom where there is none", "[tune][property]") {
  constexpr int trials = 2000;
  Chance chance(5);
  int imagined = 0;
  int found = 0;
  int held = 0;
  for (int i = 0; i < trials; ++i) {
    TravelReadings straight = measured_with({1.001, 0.3, 0.1}, {0.0, 0.1}, 10, chance);
    TravelReadings bent = straight;
    // 0.5 mm ahead at the middle of 1000 mm: 4 h x (L - x)/L^2.
    for (TravelReading& each : bent.readings) {
      const double x = in_millimetres(each.commanded);
      each.measured += millimetres(4.0 * 0.5 * x * (1000.0 - x) / 1e6);
    }
    const TravelFit a = travel_fit(straight, usual);
    const TravelFit b = travel_fit(bent, usual);
    REQUIRE(a.bow);
    imagined += a.bow->significant;
    found += b.bow->significant;
    held += may_be(b.bow->middle, millimetres(0.5));
  }
  CHECK_THAT(imagined / static_cast<double>(trials),
             WithinAbs(0.05, testing::binomial_band(0.05, trials)));
  CHECK(found > 0.9 * trials);
  CHECK_THAT(held / static_cast<double>(trials),
             WithinAbs(0.95, testing::binomial_band(0.95, trials)));
}

TEST_CASE("a wave along the axis shows in repeated readings", "[tune][property]") {
  constexpr int trials = 1000;
  Chance chance(6);
  int imagined = 0;
  int found = 0;
  for (int i = 0; i < trials; ++i) {
    TravelReadings straight{.resolution = metres(0)};
    TravelReadings wavy{.resolution = metres(0)};
    for (int n = 0; n < 18; ++n) {
      const double x = 100.0 * (n % 6);
      const double y = 0.998 * x + 0.05 * chance.normal();
      straight.readings.push_back({millimetres(x), millimetres(y)});
      wavy.readings.push_back({millimetres(x), millimetres(y + (n % 2 == 0 ? 0.1 : -0.1))});
    }
    const TravelFit a = travel_fit(straight, usual);
    const TravelFit b = travel_fit(wavy, usual);
    REQUIRE(a.waviness);
    imagined += a.waviness->significant;
    found += b.waviness->significant;
  }
  CHECK_THAT(imagined / static_cast<double>(trials),
             WithinAbs(0.05, testing::binomial_band(0.05, trials)));
  CHECK(found > 0.95 * trials);
  // By hand: places 0, 1, 2 read twice each. Means 0, 2, 1; the line through them is y = 1/2 + x/2.
  // Deviations of the means -1/2, 1, -1/2: mean square between, of one degree, 2 (1/4 + 1 + 1/4);
  // within, of three, 6 * 0.01/3.
  const TravelFit fit =
      travel_fit(readings({{0, -0.1}, {0, 0.1}, {1, 1.9}, {1, 2.1}, {2, 0.9}, {2, 1.1}}, 0), usual);
  REQUIRE(fit.waviness);
  CHECK_THAT(fit.waviness->ratio, WithinRel(3.0 / 0.02, 1e-9));
}

TEST_CASE("few places give a line and no bow instead of an error", "[tune][property]") {
  Chance chance(9);
  int without_bow = 0;
  for (int i = 0; i < 400; ++i) {
    TravelReadings r{.resolution = millimetres(0.1)};
    r.zero = i % 2 == 0 ? GaugeZero::fitted : GaugeZero::exact;
    const int count = 2 + i % 6;
    for (int n = 0; n < count; ++n) {
      const double x = 100.0 * (1.0 + std::floor(chance.between(0.0, 4.0)));
      r.readings.push_back(
          {millimetres(x), millimetres(x + chance.normal()),
           chance.between(0.0, 1.0) < 0.5 ? Approach::forward : Approach::backward});
    }
    // What the line itself cannot be told from is refused; the bow alone never is.
    LinearModel line = detail::travel_model(r);
    bool told = line.readings.size() >= line.columns.size();
    try {
      if (told) least_squares(line);
    } catch (const OutsideValidity&) {
      told = false;
    }
    CAPTURE(i, count);
    if (told) {
      TravelFit fit;
      CHECK_NOTHROW(fit = travel_fit(r, usual));
      without_bow += fit.bow ? 0 : 1;
    } else {
      CHECK_THROWS(travel_fit(r, usual));
    }
  }
  CHECK(without_bow > 50);
}

TEST_CASE("the same readings in inches give the same ratio", "[tune][property]") {
  const TravelReadings mm = readings({{0, 0.2}, {254, 253.9}, {508, 508.4}, {762, 762.0}}, 0.254);
  TravelReadings in{.resolution = inches(0.01)};
  for (const TravelReading& each : mm.readings)
    in.readings.push_back(
        {inches(in_inches(each.commanded)), inches(in_inches(each.measured)), each.approach});
  const TravelFit a = travel_fit(mm, usual);
  const TravelFit b = travel_fit(in, usual);
  CHECK_THAT(b.ratio.value, WithinRel(a.ratio.value, 1e-12));
  CHECK_THAT(b.ratio.most - b.ratio.least, WithinRel(a.ratio.most - a.ratio.least, 1e-9));
}

TEST_CASE("travel_fit refuses what its table excludes", "[tune][error]") {
  CHECK_THROWS_MATCHES(travel_fit({.resolution = metres(0)}, usual), InvalidInput,
                       Message("readings must be >= 1, got 0"));
  CHECK_THROWS_MATCHES(travel_fit({.readings = {{metres(1), metres(1)}}}, usual), InvalidInput,
                       Message("resolution must be >= 0, got nan mm"));
  TravelReadings r = readings({{100, 99}, {200, 198}}, 0.1);
  r.readings[0].measured = unset<Length>();
  CHECK_THROWS_MATCHES(travel_fit(r, usual), InvalidInput,
                       Message("measured must be finite, got nan mm"));
  r.readings[0].commanded = unset<Length>();
  CHECK_THROWS_MATCHES(travel_fit(r, usual), InvalidInput,
                       Message("commanded must be finite, got nan mm"));
  r = readings({{0, 0}, {200, 198}}, 0.1);
  r.zero = GaugeZero::exact;
  CHECK_THROWS_WITH(travel_fit(r, usual), Contains("exact zero"));
  CHECK_THROWS_WITH(travel_fit(readings({{100, 99}}, 0.1), usual),
                    Contains("one commanded distance"));
  CHECK_THROWS_AS(travel_fit(readings({{100, 99}, {100, 99.1}}, 0.1), usual), OutsideValidity);
  CHECK_THROWS_MATCHES(corrected_steps_per_length(pulses_per_millimetre(0), {1.0, 1.0, 1.0}),
                       InvalidInput, Message("steps per mm must be > 0, got 0 pulse/mm"));
  CHECK_THROWS_WITH(corrected_steps_per_length(pulses_per_millimetre(80), {-1.0, -1.1, -0.9}),
                    Contains("the axis ran the other way"));
}

}  // namespace
}  // namespace pitchline::tune
