#pragma once

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "pitchline/motor/feed.hpp"
#include "pitchline/parts/driver.hpp"
#include "support/csv.hpp"
#include "support/windings.hpp"

namespace pitchline::testing {

/// A published pull-out point with its motor and feed.
struct CurveCase {
  std::string motor_name;
  parts::StepperMotor motor;
  motor::Feed feed;
  parts::CurvePoint point;
};

inline motor::Feed feed_of(const CsvRow& row, parts::CurrentIs current_is) {
  return {volts(row.number("voltage_V")),
          parts::current_amplitude(
              {.current = amperes(row.number("current_A")), .current_is = current_is})};
}

/// The 43 points of reference/published/pull_out_curves.csv. Where a sheet does not say what its
/// current means, `doubtful` decides.
inline std::vector<CurveCase> published_points(parts::CurrentIs doubtful = parts::CurrentIs::peak) {
  std::vector<CurveCase> points;
  for (const CsvRow& row : published("pull_out_curves.csv")) {
    const std::string& is = row.text("current_is");
    const parts::CurrentIs reading = is == "rms"    ? parts::CurrentIs::rms
                                     : is == "peak" ? parts::CurrentIs::peak
                                                    : doubtful;
    parts::StepperMotor motor =
        stepper(row.number("holding_torque_Nm"), row.number("rated_current_A"), row.number("R_ohm"),
                row.number("L_mH"));
    motor.frame = static_cast<int>(row.number("frame"));
    points.push_back({row.text("motor"),
                      motor,
                      feed_of(row, reading),
                      {revolutions_per_minute(row.number("speed_rpm")),
                       newton_metres(row.number("torque_Nm"))}});
  }
  return points;
}

/// The curves of one motor: its points gathered by feed.
inline std::vector<parts::PublishedCurve> curves_of(const std::vector<CurveCase>& points,
                                                    const std::string& motor_name) {
  std::vector<parts::PublishedCurve> curves;
  for (const CurveCase& each : points) {
    if (each.motor_name != motor_name) continue;
    if (curves.empty() || curves.back().voltage != each.feed.voltage)
      curves.push_back({.points = {},
                        .voltage = each.feed.voltage,
                        .amplitude = each.feed.amplitude,
                        .source = "test"});
    curves.back().points.push_back(each.point);
  }
  return curves;
}

inline std::vector<std::string> motor_names(const std::vector<CurveCase>& points) {
  std::vector<std::string> names;
  for (const CurveCase& each : points)
    if (std::find(names.begin(), names.end(), each.motor_name) == names.end())
      names.push_back(each.motor_name);
  return names;
}

/// Predicted over published torque, gathered by motor.
class Score {
 public:
  void add(const std::string& motor_name, double ratio) { ratios_[motor_name].push_back(ratio); }
  [[nodiscard]] double mean() const {
    double sum = 0.0;
    double count = 0.0;
    for (const auto& [name, ratios] : ratios_)
      for (const double ratio : ratios) {
        sum += ratio;
        count += 1.0;
      }
    return sum / count;
  }
  [[nodiscard]] double mean(const std::string& motor_name) const {
    double sum = 0.0;
    for (const double ratio : ratios_.at(motor_name)) sum += ratio;
    return sum / static_cast<double>(ratios_.at(motor_name).size());
  }
  [[nodiscard]] double worst() const {
    double most = 0.0;
    for (const auto& [name, ratios] : ratios_)
      most = std::max(most, *std::max_element(ratios.begin(), ratios.end()));
    return most;
  }
  [[nodiscard]] double least() const {
    double least = 1e9;
    for (const auto& [name, ratios] : ratios_)
      least = std::min(least, *std::min_element(ratios.begin(), ratios.end()));
    return least;
  }
  [[nodiscard]] std::size_t count() const {
    std::size_t count = 0;
    for (const auto& [name, ratios] : ratios_) count += ratios.size();
    return count;
  }
  [[nodiscard]] static std::ptrdiff_t above_one(const std::vector<double>& ratios) {
    return std::count_if(ratios.begin(), ratios.end(), [](double r) { return r > 1.0; });
  }
  /// One line a motor: points, mean, lowest, worst, how many are above 1.
  [[nodiscard]] std::string table(const std::string& title) const {
    std::string text = title + fmt::format(": mean {:.3f} worst {:.3f}", mean(), worst());
    for (const auto& [name, ratios] : ratios_)
      text += fmt::format(
          "\n  {:40} {:4} points, mean {:.3f} lowest {:.3f} worst {:.3f} above 1: {}", name,
          ratios.size(), mean(name), *std::min_element(ratios.begin(), ratios.end()),
          *std::max_element(ratios.begin(), ratios.end()), above_one(ratios));
    return text;
  }

 private:
  std::map<std::string, std::vector<double>> ratios_;
};

/// A motor such as are made, of any size, wound at random, and a feed for it.
struct RandomMotor {
  parts::StepperMotor motor;
  motor::Feed feed;
  std::string text;
};

/// The `index`-th of a fixed sequence; the same on every compiler.
inline RandomMotor random_motor(int index) {
  // A Weyl sequence per figure: multiples of an irrational number, modulo 1.
  const auto part = [index](double irrational) {
    const double x = (index + 1) * irrational;
    return x - std::floor(x);
  };
  const auto between = [&](double low, double high, double irrational) {
    return low * std::pow(high / low, part(irrational));
  };
  const double holding = between(0.1, 15, 0.4142135623730951);
  const double current = between(0.6, 7, 0.7320508075688772);
  const double loss = between(3, 30, 0.2360679774997898) * std::sqrt(holding);
  const double ohm = loss / (2 * current * current);
  const double mH = ohm * between(0.5, 15, 0.6457513110645907);
  RandomMotor result{stepper(holding, current, ohm, mH),
                     {volts(between(5, 100, 0.3166247903553998)),
                      amperes(current * between(0.3, 2.0, 0.6055512754639891))},
                     {}};
  if (index % 3 == 0)
    result.motor.detent_torque = newton_metres(holding * between(0.01, 0.2, 0.1231056256176606));
  result.text = fmt::format("{}: {} N*m {} A {} ohm {} mH, {} V {} A", index, holding, current, ohm,
                            mH, in_volts(result.feed.voltage), in_amperes(result.feed.amplitude));
  return result;
}

/// Speeds from 0 to 6000 rpm, dense where the corner speeds are.
inline std::vector<AngularSpeed> many_speeds() {
  std::vector<AngularSpeed> speeds{radians_per_second(0)};
  for (double rpm = 5; rpm < 6000; rpm *= 1.04) speeds.push_back(revolutions_per_minute(rpm));
  return speeds;
}

}  // namespace pitchline::testing
