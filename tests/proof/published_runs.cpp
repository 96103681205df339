// The simulation beside other simulations of the same axes, case by case: reference/published/
// axis_step_loss.csv, axis_speed_sweep.csv, zigzag.csv and pullout_simulated.csv, with what those
// assume (smooth friction, no iron loss; pulses of 1/16 where their driver switched). Exit status 1
// where a limit differs by more than a tenth, or more verdicts differ than are explained below.
//
//     published_runs [few]
//
// With "few" only every eighth line of the tables of which all must agree.

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "pitchline/belt/strands.hpp"
#include "pitchline/motor/loss_free_torque.hpp"
#include "pitchline/motor/resonance.hpp"
#include "support/simulate_axes.hpp"

namespace {

using namespace pitchline;
using simulate::SimulatedAxis;

// A line of the table, and what it counts as.
struct Line {
  std::string text;
  double ratio = 0.0;  // ours over theirs; 0: a verdict
  bool agrees = true;
};
using Job = std::function<Line()>;

std::vector<Line> done(const std::vector<Job>& jobs) {
  std::vector<Line> lines(jobs.size());
  std::atomic<std::size_t> next{0};
  std::vector<std::thread> threads;
  for (unsigned n = 0; n < std::max(1U, std::thread::hardware_concurrency()); ++n) {
    threads.emplace_back([&] {
      for (std::size_t i = next++; i < jobs.size(); i = next++) lines[i] = jobs[i]();
    });
  }
  for (std::thread& each : threads) each.join();
  return lines;
}

SimulatedAxis switching(SimulatedAxis axis) {
  axis.driver.regulation = simulate::Regulation::switching;
  axis.driver.microsteps = pulses_per_full_step(16);
  return axis;
}

std::vector<Job> step_loss() {
  std::vector<Job> jobs;
  for (const testing::CsvRow& row : testing::published("axis_step_loss.csv")) {
    jobs.emplace_back([row] {
      const double a = row.number("a_sim_max_m_s2");
      simulate::AccelerationSearch search{.from = metres_per_second_squared(0.8 * a),
                                          .up_to = metres_per_second_squared(1.5 * a)};
      search.jerk_time_over_ramp_time = row.number("jerk_time_over_accel_time");
      const SimulatedAxis axis = testing::tabled_axis(row);
      const auto found = simulate::largest_completing_acceleration(
          row.text("drive_model") == "avg_saturated" ? axis : switching(axis),
          {.speed = metres_per_second(row.number("speed_m_s")),
           .stroke = metres(row.number("stroke_m"))},
          search);
      const double ours =
          found.completes ? in_metres_per_second_squared(*found.completes) : 0.8 * a;
      return Line{fmt::format("{:4} {:24} jerk {:3}  {:8.3f} m/s^2  ours {:8.3f}  {:.3f}",
                              row.text("case"), row.text("drive_model"),
                              row.text("jerk_time_over_accel_time"), a, ours, ours / a),
                  ours / a, std::fabs(ours / a - 1.0) <= 0.1};
    });
  }
  return jobs;
}

std::vector<Job> pull_out() {
  std::vector<Job> jobs;
  for (const testing::CsvRow& row : testing::published("pullout_simulated.csv")) {
    for (const bool switches : {false, true}) {
      jobs.emplace_back([row, switches] {
        SimulatedAxis axis = testing::spinning_motor(
            row.text("motor"), amperes(row.number("I_pk_A")), volts(row.number("V_V")));
        if (switches) axis = switching(axis);
        const double theirs = row.number(switches ? "Tsim_damped_auto_Nm" : "Tsim_damped_avg_Nm");
        const Speed speed =
            revolutions_per_minute(row.number("speed_rpm")) * axis.axis.transmission;
        const auto torque =
            simulate::falling_out_torque(axis, speed, seconds(2), newton_metres(1.4 * theirs));
        const double ours = torque ? in_newton_metres(*torque) : 1.4 * theirs;
        return Line{
            fmt::format("{:7} {:3} V {:4} A {:5} rpm {:9}  {:7.4f} N*m  ours {:7.4f}  {:.3f}",
                        row.text("motor"), row.number("V_V"), row.number("I_pk_A"),
                        row.number("speed_rpm"), switches ? "switching" : "averaged", theirs, ours,
                        ours / theirs),
            ours / theirs, std::fabs(ours / theirs - 1.0) <= 0.1};
      });
    }
  }
  return jobs;
}

struct AccelerationOf {
  const SimulatedAxis& axis;
  [[nodiscard]] Acceleration operator()(AngularSpeed w, double safety) const {
    const Torque torque =
        motor::loss_free_pull_out(axis.winding, w).torque / safety - axis.motor_drag * w;
    return (torque / axis.axis.transmission - axis.axis.friction) /
           motion::accelerated_mass(axis.axis);
  }
};

std::map<std::string, testing::CsvRow> drives() {
  std::map<std::string, testing::CsvRow> found;
  for (const testing::CsvRow& row : testing::published("axis_step_loss.csv"))
    found.emplace(row.text("case"), row);
  return found;
}

Line verdict(const std::string& what, bool theirs, const simulate::Outcome& ours) {
  return {
      fmt::format("{} {:4}  ours {:4}, largest load angle {:.3f} rad", what, theirs ? "lost" : "ok",
                  ours.lost_step ? "lost" : "ok", in_radians(ours.largest_load_angle)),
      0.0, theirs == ours.lost_step};
}

std::vector<Job> speed_sweep(bool switches) {
  struct Column {
    const char* result;
    const char* acceleration;
    double share;
    double jerk;
  };
  const std::vector<Column> columns{{"S2_trapezoid", "a_alg_S2_m_s2", 1.0, 0.0},
                                    {"S2_jerk0p5", "a_alg_S2_m_s2", 1.0, 0.5},
                                    {"S1p5_trapezoid", "a_alg_S1p5_m_s2", 1.0, 0.0},
                                    {"S1p5_jerk1", "a_alg_S1p5_m_s2", 1.0, 1.0},
                                    {"half_of_S2_trapezoid", "a_alg_S2_m_s2", 0.5, 0.0}};
  std::vector<Job> jobs;
  const auto drive = drives();
  for (const testing::CsvRow& row : testing::published("axis_speed_sweep.csv")) {
    if ((row.text("drive_model") == "pwm") != switches) continue;
    for (const Column& column : columns) {
      const std::string& theirs = row.text(column.result);
      if (theirs != "ok" && theirs.rfind("LOST", 0) != 0) continue;
      jobs.emplace_back([row, column, theirs, switches, own = drive.at(row.text("case"))] {
        SimulatedAxis axis = testing::tabled_axis(own);
        axis.belt_damping =
            DampingRatio(row.number("belt_damping_scale") * axis.belt_damping.value());
        if (switches) axis = switching(axis);
        const Speed speed = metres_per_second(row.number("speed_m_s"));
        const Acceleration a =
            metres_per_second_squared(column.share * row.number(column.acceleration));
        const auto outcome =
            simulate::run(axis, simulate::command_of({.speed = speed,
                                                      .acceleration = a,
                                                      .stroke = metres(row.number("stroke_m")),
                                                      .jerk_time = column.jerk * (speed / a)},
                                                     simulate::usual_settling));
        return verdict(fmt::format("{} damping {:4} {} {:4} m/s {:20}", row.text("case"),
                                   row.text("belt_damping_scale"), row.text("drive_model"),
                                   row.text("speed_m_s"), column.result),
                       theirs != "ok", outcome);
      });
    }
  }
  return jobs;
}

// Of the load on belt and field, one behind the other: what the ramps of zigzag.csv are counted in.
Time period(const SimulatedAxis& axis) {
  const auto at_rotor =
      motor::field_stiffness(motor::field_at_rest(axis.winding), newton_metres(0));
  const Stiffness of_field =
      Stiffness(*at_rotor / (axis.axis.transmission * axis.axis.transmission));
  return 2.0 * std::numbers::pi *
         square_root(axis.axis.mass / belt::in_series(axis.belt_stiffness, of_field));
}

std::vector<Job> zigzags() {
  std::vector<Job> jobs;
  const auto drive = drives();
  for (const testing::CsvRow& row : testing::published("zigzag.csv")) {
    jobs.emplace_back([row, own = drive.at(row.text("case"))] {
      const SimulatedAxis axis = testing::tabled_axis(own);
      const Time ramp = row.number("ramp_time_over_belt_period") * period(axis);
      const AccelerationOf algebra{axis};
      // The faster at its end, the less torque there: one acceleration fits.
      Acceleration low{};
      Acceleration a = algebra(Speed{} / axis.axis.transmission, row.number("safety_S"));
      for (Acceleration high = a; high - low > 1e-9 * high;) {
        a = (low + high) / 2.0;
        (algebra(a * ramp / axis.axis.transmission, row.number("safety_S")) > a ? low : high) = a;
      }
      const auto outcome = simulate::run(
          axis, simulate::command_of({.speed = a * ramp,
                                      .acceleration = a,
                                      .stroke = a * ramp * ramp,
                                      .in_succession = static_cast<int>(row.number("moves"))},
                                     simulate::usual_settling));
      Line line = verdict(fmt::format("{} S {} moves {:3} ramp {:4} periods", row.text("case"),
                                      row.text("safety_S"), row.text("moves"),
                                      row.text("ramp_time_over_belt_period")),
                          row.text("result") == "lost", outcome);
      line.text += fmt::format(", theirs {}", row.text("max_load_angle_rad"));
      return line;
    });
  }
  return jobs;
}

std::vector<Job> every_eighth(const std::vector<Job>& jobs) {
  std::vector<Job> some;
  for (std::size_t i = 0; i < jobs.size(); i += 8) some.push_back(jobs[i]);
  return some;
}

// Prints the table; true where no more than `explained` of its lines disagree.
bool table(const char* what, const std::vector<Job>& jobs, std::size_t explained) {
  fmt::print("== {}\n", what);
  std::vector<double> ratios;
  std::size_t differ = 0;
  for (const Line& line : done(jobs)) {
    fmt::print("{}{}\n", line.text, line.agrees ? "" : "   differs");
    if (line.ratio > 0.0) ratios.push_back(line.ratio);
    differ += line.agrees ? 0 : 1;
  }
  fmt::print("-- {} of {} agree", jobs.size() - differ, jobs.size());
  if (!ratios.empty()) {
    std::sort(ratios.begin(), ratios.end());
    fmt::print("; ours over theirs {:.3f} to {:.3f}, median {:.3f}", ratios.front(), ratios.back(),
               ratios[ratios.size() / 2]);
  }
  fmt::print("\n\n");
  return differ <= explained;
}

}  // namespace

int main(int argc, char** argv) try {
  if (argc > 1 && std::string_view(argv[1]) == "few") {
    const bool limits =
        table("largest acceleration, some of axis_step_loss.csv", every_eighth(step_loss()), 0);
    return table("zigzags, some of zigzag.csv", every_eighth(zigzags()), 0) && limits ? 0 : 1;
  }
  // How many may differ, and why, is in reference/sources.md, [simulated axes].
  bool all = table("largest acceleration, axis_step_loss.csv", step_loss(), 0);
  all = table("pull-out torque, pullout_simulated.csv", pull_out(), 5) && all;
  all = table("moves over speed, averaged driver, axis_speed_sweep.csv", speed_sweep(false), 1) &&
        all;
  all = table("moves over speed, switching driver, axis_speed_sweep.csv", speed_sweep(true), 16) &&
        all;
  all = table("zigzags, zigzag.csv", zigzags(), 0) && all;
  return all ? 0 : 1;
} catch (const std::exception& error) {
  fmt::print(stderr, "{}\n", error.what());
  return 2;
}
