// What a second of machine time costs simulate::run, and what it costs the integrators that one
// would otherwise take, on the same axis to the same accuracy, in one run.
//
//   pitchline_simulate_speed           the table, for people
//   pitchline_simulate_speed --csv     the same as CSV
//   pitchline_simulate_speed --own N   N runs of ours alone, for a profiler
//
// The time is that of the processor, the least of several rounds in turn, so that what else runs on
// the machine matters little. Each integrator has one setting that trades time for accuracy; it
// gets the coarsest one that meets the accuracy together with the four next finer ones.
#include <cvode/cvode.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <algorithm>
#include <array>
#include <boost/numeric/odeint/stepper/generation.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <limits>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "pitchline/simulate/run.hpp"
#include "support/simulate_axes.hpp"

namespace {
using namespace pitchline;  // NOLINT: a program of one file
using simulate::Command;
using simulate::SimulatedAxis;

constexpr double wanted_accuracy = 1e-4;
constexpr int met_in_a_row = 5;
constexpr int rounds = 5;
constexpr double shortest_round = 0.15;  // s of the processor

struct Case {
  const char* name;
  SimulatedAxis axis;
  Command command;
};

// The equations in plain numbers, as somebody would write them for a library: both currents, rotor,
// its speed, load, its speed. Smooth friction, since no library holds a body that sticks.
struct Plain {
  static constexpr std::size_t size = 6;
  using State = std::array<double, size>;

  explicit Plain(const SimulatedAxis& a)
      : K(in_newton_metres_per_ampere(a.winding.torque_constant)),
        R(in_ohms(a.winding.resistance)),
        per_L(1.0 / in_henries(a.winding.inductance)),
        N(a.winding.pole_pairs),
        I(in_amperes(a.winding.amplitude)),
        V(in_volts(a.winding.voltage)),
        gain(in_henries(a.winding.inductance) / in_seconds(a.driver.current_time_constant)),
        t(in_metres_per_radian(a.axis.transmission)),
        per_J(1.0 / in_kilogram_square_metres(a.axis.motor_side_inertia)),
        m(in_kilograms(a.axis.mass)),
        per_m(1.0 / m),
        k(in_newtons_per_metre(a.belt_stiffness)),
        c(2.0 * a.belt_damping.value() * std::sqrt(k * m)),
        B(in_newton_metre_seconds_per_radian(a.motor_drag)),
        F(in_newtons(a.axis.friction)),
        per_v_s(1.0 / in_metres_per_second(a.friction_speed)),
        N_per_t(N / t) {}

  void part(const motion::MotionSegment& s) {
    from = in_seconds(s.from);
    x0 = in_metres(s.start.position);
    v0 = in_metres_per_second(s.start.speed);
    a0 = in_metres_per_second_squared(s.start.acceleration);
    j0 = in_metres_per_second_cubed(s.start.jerk);
  }
  [[nodiscard]] double commanded(double time) const {
    const double s = time - from;
    return N_per_t * (x0 + s * (v0 + s * (a0 / 2.0 + s * j0 / 6.0)));
  }
  [[nodiscard]] double commanded_rate(double time) const {
    const double s = time - from;
    return N_per_t * (v0 + s * (a0 + s * j0 / 2.0));
  }
  void rates(double time, const double* y, double* d) const {
    const double g = commanded(time);
    const double angle = N * y[2];
    const double sine = std::sin(angle);
    const double cosine = std::cos(angle);
    const double u_a = std::clamp(gain * (I * std::cos(g) - y[0]), -V, V);
    const double u_b = std::clamp(gain * (I * std::sin(g) - y[1]), -V, V);
    const double belt = k * (t * y[2] - y[4]) + c * (t * y[3] - y[5]);
    d[0] = (u_a - R * y[0] + K * y[3] * sine) * per_L;
    d[1] = (u_b - R * y[1] - K * y[3] * cosine) * per_L;
    d[2] = y[3];
    d[3] = (K * (y[1] * cosine - y[0] * sine) - B * y[3] - t * belt) * per_J;
    d[4] = y[5];
    d[5] = (belt - F * std::tanh(y[5] * per_v_s)) * per_m;
  }
  [[nodiscard]] State start() const { return {I * gain / (gain + R), 0, 0, 0, 0, 0}; }

  double K, R, per_L, N, I, V, gain, t, per_J, m, per_m, k, c, B, F, per_v_s, N_per_t;
  double from = 0, x0 = 0, v0 = 0, a0 = 0, j0 = 0;
};

// What a run is judged by: the largest load angle, and load angle and place where each part of the
// command ends.
struct Found {
  double peak = 0.0;
  std::vector<double> angles{}, places{};
};

// Follows the load angle from step to step; between two steps by the cubic of values and rates, so
// that long steps are not blamed for missing the peak.
class Watch {
 public:
  void at(const Plain& model, double time, const double* y) {
    const double angle = model.commanded(time) - model.N * y[2];
    const double rate = model.commanded_rate(time) - model.N * y[3];
    if (rate * rate_ < 0.0) between(angle, rate, time - time_);
    found.peak = std::max(found.peak, std::fabs(angle));
    time_ = time;
    angle_ = angle;
    rate_ = rate;
  }
  void part_ends(const double* y) {
    found.angles.push_back(angle_);
    found.places.push_back(y[4]);
  }
  Found found;

 private:
  void between(double angle, double rate, double h) {
    // The cubic's rate is a + b s + c s² over the share s of the step.
    const double a = rate_ * h;
    const double b = 6.0 * (angle - angle_) - 4.0 * rate_ * h - 2.0 * rate * h;
    const double c = -6.0 * (angle - angle_) + 3.0 * (rate_ + rate) * h;
    const double root = std::sqrt(std::max(0.0, b * b - 4.0 * a * c));
    const double q = -0.5 * (b + (b < 0.0 ? -root : root));
    for (const double s : {a / q, q / c})
      if (s > 0.0 && s < 1.0)
        found.peak =
            std::max(found.peak, std::fabs(angle_ + s * (a + s * (b / 2.0 + s * c / 3.0))));
  }
  double time_ = 0.0, angle_ = 0.0, rate_ = 0.0;
};

Found by_ours(const Case& c, double microseconds) {
  Found found;
  // Samples come at the end of each part as well.
  std::size_t part = 0;
  const auto outcome = simulate::run(
      c.axis, c.command, {.step = seconds(1e-6 * microseconds)}, [&](const simulate::Sample& s) {
        const auto& now = c.command.parts[part];
        if (std::fabs(in_seconds(s.time - now.from - now.length)) > 1e-12) return;
        found.angles.push_back(in_radians(s.load_angle));
        found.places.push_back(in_metres(s.load));
        if (part + 1 < c.command.parts.size()) ++part;
      });
  found.peak = in_radians(outcome.largest_load_angle);
  return found;
}

// Each of the following asks `Step` for steps that end at the end of each part at the latest.
template <class Begin, class Step>
Found part_by_part(const Case& c, Plain& model, Plain::State& y, Begin&& begin, Step&& step) {
  Watch watch;
  double time = 0.0;
  for (const auto& part : c.command.parts) {
    const double end = in_seconds(part.from + part.length);
    model.part(part);
    watch.at(model, time, y.data());
    begin(time, end);
    while (time < end) {
      step(time, end);
      watch.at(model, time, y.data());
    }
    watch.part_ends(y.data());
  }
  return watch.found;
}

Found by_plain_rk4(const Case& c, double microseconds) {
  Plain model(c.axis);
  Plain::State y = model.start();
  double h = 0.0;
  double done = 0.0;
  double count = 0.0;
  double from = 0.0;
  return part_by_part(
      c, model, y,
      [&](double time, double end) {
        count = std::max(1.0, std::ceil((end - time) / (1e-6 * microseconds) - 1e-6));
        h = (end - time) / count;
        done = 0.0;
        from = time;
      },
      [&](double& time, double end) {
        Plain::State a;
        Plain::State b;
        Plain::State d;
        Plain::State e;
        Plain::State z;
        model.rates(time, y.data(), a.data());
        for (std::size_t i = 0; i < Plain::size; ++i) z[i] = y[i] + h / 2.0 * a[i];
        model.rates(time + h / 2.0, z.data(), b.data());
        for (std::size_t i = 0; i < Plain::size; ++i) z[i] = y[i] + h / 2.0 * b[i];
        model.rates(time + h / 2.0, z.data(), d.data());
        for (std::size_t i = 0; i < Plain::size; ++i) z[i] = y[i] + h * d[i];
        model.rates(time + h, z.data(), e.data());
        for (std::size_t i = 0; i < Plain::size; ++i)
          y[i] += h / 6.0 * (a[i] + 2.0 * (b[i] + d[i]) + e[i]);
        done += 1.0;
        time = done >= count ? end : from + done * h;
      });
}

Found by_dopri5(const Case& c, double tolerance) {
  namespace odeint = boost::numeric::odeint;
  Plain model(c.axis);
  Plain::State y = model.start();
  auto stepper =
      odeint::make_controlled(tolerance, tolerance, odeint::runge_kutta_dopri5<Plain::State>());
  const auto system = [&](const Plain::State& x, Plain::State& d, double time) {
    model.rates(time, x.data(), d.data());
  };
  double h = 1e-6;
  return part_by_part(
      c, model, y, [&](double, double) { stepper.reset(); },
      [&](double& time, double end) {
        bool last = time + h >= end;
        double attempt = last ? end - time : h;
        const double wished = h;
        while (stepper.try_step(system, y, time, attempt) == odeint::fail) last = false;
        if (last) time = end;
        h = last ? std::max(wished, attempt) : attempt;
      });
}

int rates_for_gsl(double time, const double* y, double* rate, void* model) {
  static_cast<const Plain*>(model)->rates(time, y, rate);
  return GSL_SUCCESS;
}

Found by_gsl(const Case& c, double tolerance, const gsl_odeiv2_step_type* type) {
  Plain model(c.axis);
  Plain::State y = model.start();
  gsl_odeiv2_system system{rates_for_gsl, nullptr, Plain::size, &model};
  const std::unique_ptr<gsl_odeiv2_step, decltype(&gsl_odeiv2_step_free)> step(
      gsl_odeiv2_step_alloc(type, Plain::size), gsl_odeiv2_step_free);
  const std::unique_ptr<gsl_odeiv2_control, decltype(&gsl_odeiv2_control_free)> control(
      gsl_odeiv2_control_y_new(tolerance, tolerance), gsl_odeiv2_control_free);
  const std::unique_ptr<gsl_odeiv2_evolve, decltype(&gsl_odeiv2_evolve_free)> evolve(
      gsl_odeiv2_evolve_alloc(Plain::size), gsl_odeiv2_evolve_free);
  double h = 1e-6;
  return part_by_part(
      c, model, y,
      [&](double, double) {
        gsl_odeiv2_step_reset(step.get());
        gsl_odeiv2_evolve_reset(evolve.get());
      },
      [&](double& time, double end) {
        if (gsl_odeiv2_evolve_apply(evolve.get(), control.get(), step.get(), &system, &time, end,
                                    &h, y.data()) != GSL_SUCCESS)
          throw std::runtime_error("GSL gave up");
      });
}

int rates_for_cvode(realtype time, N_Vector y, N_Vector rate, void* model) {
  static_cast<const Plain*>(model)->rates(time, N_VGetArrayPointer(y), N_VGetArrayPointer(rate));
  return 0;
}

// With Newton's iteration and a dense matrix for the stiff formulas, else by fixed point.
Found by_cvode(const Case& c, double tolerance, bool stiff) {
  Plain model(c.axis);
  Plain::State y = model.start();
  SUNContext context = nullptr;
  if (SUNContext_Create(nullptr, &context) != 0) throw std::runtime_error("CVODE: no context");
  N_Vector vector = N_VMake_Serial(Plain::size, y.data(), context);
  void* memory = CVodeCreate(stiff ? CV_BDF : CV_ADAMS, context);
  const auto must = [](int flag) {
    if (flag < 0) throw std::runtime_error("CVODE gave up");
  };
  must(CVodeInit(memory, rates_for_cvode, 0.0, vector));
  must(CVodeSStolerances(memory, tolerance, tolerance));
  must(CVodeSetUserData(memory, &model));
  must(CVodeSetErrHandlerFn(
      memory, [](int, const char*, const char*, char*, void*) {}, nullptr));
  SUNMatrix matrix = nullptr;
  SUNLinearSolver linear = nullptr;
  SUNNonlinearSolver fixed_point = nullptr;
  if (stiff) {
    matrix = SUNDenseMatrix(Plain::size, Plain::size, context);
    linear = SUNLinSol_Dense(vector, matrix, context);
    must(CVodeSetLinearSolver(memory, linear, matrix));
  } else {
    fixed_point = SUNNonlinSol_FixedPoint(vector, 0, context);
    must(CVodeSetNonlinearSolver(memory, fixed_point));
  }
  const Found found = part_by_part(
      c, model, y,
      [&](double time, double end) {
        must(CVodeReInit(memory, time, vector));
        must(CVodeSetStopTime(memory, end));
      },
      [&](double& time, double end) {
        must(CVode(memory, end, vector, &time, CV_ONE_STEP));
        if (end - time < 1e-15) time = end;
      });
  CVodeFree(&memory);
  if (linear != nullptr) SUNLinSolFree(linear);
  if (matrix != nullptr) SUNMatDestroy(matrix);
  if (fixed_point != nullptr) SUNNonlinSolFree(fixed_point);
  N_VDestroy(vector);
  SUNContext_Free(&context);
  return found;
}

struct Contender {
  std::string name;
  std::string knob;              // what the setting is
  std::vector<double> settings;  // from coarse to fine
  std::function<Found(const Case&, double)> run;
};

// From `most` down by `per_decade` to a decade, or a third of an octave for steps.
std::vector<double> down_from(double most, double least, double factor) {
  std::vector<double> all;
  for (double x = most; x > least; x *= factor) all.push_back(x);
  return all;
}

std::vector<Contender> contenders() {
  const std::vector<double> steps = down_from(200, 1.5, std::pow(0.5, 1.0 / 3.0));
  const std::vector<double> tolerances = down_from(1e-1, 1e-9, std::pow(0.1, 1.0 / 4.0));
  const auto gsl = [](const gsl_odeiv2_step_type* type) {
    return [type](const Case& c, double x) { return by_gsl(c, x, type); };
  };
  return {
      {"ours", "step in us", steps, by_ours},
      {"CVODE Adams", "tolerance", tolerances,
       [](const Case& c, double x) { return by_cvode(c, x, false); }},
      {"CVODE BDF", "tolerance", tolerances,
       [](const Case& c, double x) { return by_cvode(c, x, true); }},
      {"GSL rkck", "tolerance", tolerances, gsl(gsl_odeiv2_step_rkck)},
      {"GSL rk8pd", "tolerance", tolerances, gsl(gsl_odeiv2_step_rk8pd)},
      {"odeint dopri5", "tolerance", tolerances, by_dopri5},
      {"plain RK4", "step in us", steps, by_plain_rk4},
  };
}

// The largest of what it is off, relative: peak, angles of the peak, places of the farthest.
double error_of(const Found& found, const Found& exact) {
  double farthest = 0.0;
  for (const double x : exact.places) farthest = std::max(farthest, std::fabs(x));
  double worst = std::fabs(found.peak / exact.peak - 1.0);
  for (std::size_t n = 0; n < exact.angles.size(); ++n) {
    worst = std::max(worst, std::fabs(found.angles.at(n) - exact.angles[n]) / exact.peak);
    worst = std::max(worst, std::fabs(found.places.at(n) - exact.places[n]) / farthest);
  }
  return worst;
}

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

double seconds_a_run(const std::function<void()>& run) {
  int count = 0;
  const double from = processor_seconds();
  double now = from;
  do {
    run();
    ++count;
    now = processor_seconds();
  } while (now - from < shortest_round);
  return (now - from) / count;
}

struct Row {
  std::string name, knob;
  double setting = 0.0;
  double error = std::numeric_limits<double>::quiet_NaN();
  double seconds = std::numeric_limits<double>::infinity();  // for a second of machine time
  std::function<void()> run{};
};

Case tabled(const char* name, const char* row_of, const motion::RunningMove& move) {
  for (const testing::CsvRow& row : testing::published("axis_step_loss.csv"))
    if (row.text("case") == row_of)
      return {name, testing::tabled_axis(row), simulate::command_of(move, milliseconds(100))};
  throw std::runtime_error("no such axis");
}

std::vector<Case> cases() {
  // Moves of about a second, with a rest. In the third the voltage limits the current.
  motion::RunningMove move{.speed = metres_per_second(0.5),
                           .acceleration = metres_per_second_squared(15),
                           .stroke = metres(0.4),
                           .jerk_time = milliseconds(15)};
  std::vector<Case> all;
  all.push_back(tabled("NEMA 17, 1 kg", "C1", move));
  move.acceleration = metres_per_second_squared(6);
  all.push_back(tabled("NEMA 23, 8 kg", "C5", move));
  move.speed = metres_per_second(0.9);
  move.stroke = metres(0.8);
  move.acceleration = metres_per_second_squared(4);
  all.push_back(tabled("NEMA 23, 8 kg, at its voltage", "C5", move));
  return all;
}

std::vector<Row> rows_of(const Case& c) {
  // The reference: our equations in other words, by an eighth-order method.
  const Found exact = by_gsl(c, 1e-13, gsl_odeiv2_step_rk8pd);
  std::vector<Row> rows;
  for (const Contender& each : contenders()) {
    Row row{.name = each.name, .knob = each.knob};
    // From the coarse end; a setting that meets the accuracy by chance is followed by one that does
    // not.
    int met = 0;
    for (auto x = each.settings.begin(); x != each.settings.end() && met < met_in_a_row; ++x) {
      double error = std::numeric_limits<double>::infinity();
      try {
        error = error_of(each.run(c, *x), exact);
      } catch (const std::exception&) {
        met = 0;
        continue;
      }
      if (!(error <= wanted_accuracy)) {
        met = 0;
      } else if (++met == 1) {
        row.setting = *x;
        row.error = error;
      }
    }
    if (met < met_in_a_row) row.setting = 0.0;
    if (row.setting > 0.0) row.run = [run = each.run, &c, x = row.setting] { run(c, x); };
    rows.push_back(std::move(row));
    if (each.name == "ours") {
      // As it comes, without anybody looking on.
      rows.back().run = [&c, x = row.setting] {
        simulate::run(c.axis, c.command, {.step = seconds(1e-6 * x)});
      };
      rows.push_back(
          {.name = "ours, default step",
           .knob = each.knob,
           .setting = in_seconds(simulate::Settings{}.step) * 1e6,
           .error = error_of(by_ours(c, in_seconds(simulate::Settings{}.step) * 1e6), exact),
           .run = [&c] { simulate::run(c.axis, c.command); }});
    }
  }
  const double machine_time = in_seconds(c.command.duration());
  for (int n = 0; n < rounds; ++n)
    for (Row& row : rows)
      if (row.run) row.seconds = std::min(row.seconds, seconds_a_run(row.run) / machine_time);
  return rows;
}

void print(const Case& c, const std::vector<Row>& rows, bool csv) {
  if (!csv)
    std::printf("%s: %.3f s of machine time\n%-20s %-10s %10s %9s %12s %8s\n", c.name,
                in_seconds(c.command.duration()), "integrator", "setting", "", "error",
                "ms for a s", "ratio");
  const double ours = rows.front().seconds;
  for (const Row& row : rows) {
    if (csv)
      std::printf("\"%s\",%s,%s,%.3g,%.2e,%.3f,%.2f\n", c.name, row.name.c_str(), row.knob.c_str(),
                  row.setting, row.error, 1e3 * row.seconds, row.seconds / ours);
    else
      std::printf("%-20s %-10s %10.3g %9.1e %12.3f %8.2f\n", row.name.c_str(), row.knob.c_str(),
                  row.setting, row.error, 1e3 * row.seconds, row.seconds / ours);
  }
}
}  // namespace

int main(int count, char** words) {
  const std::string_view word = count > 1 ? words[1] : "";
  const std::vector<Case> all = cases();
  if (word == "--own") {
    const int runs = count > 2 ? std::atoi(words[2]) : 20;
    double sum = 0.0;
    for (int n = 0; n < runs; ++n)
      for (const Case& c : all)
        sum += in_radians(simulate::run(c.axis, c.command).largest_load_angle);
    std::printf("%.6f rad on average\n", sum / runs / static_cast<double>(all.size()));
    return 0;
  }
  if (word == "--csv") std::printf("case,integrator,knob,setting,error,ms_per_s,ratio\n");
  for (const Case& c : all) print(c, rows_of(c), word == "--csv");
  return 0;
}
