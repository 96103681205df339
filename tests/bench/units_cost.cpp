// Runs each kernel once in plain doubles and once in quantities, and compares the results. Run by
// hand it prints the cases it covered; units_cost.sh runs it to count instructions.

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <vector>

#include "kernels.hpp"
#include "pitchline/units/make.hpp"

namespace {

using namespace bench;
using namespace pitchline;

constexpr std::size_t candidates = 4000;

/// Evenly spread numbers, the same in each run and with each compiler: the fractional parts of
/// multiples of an irrational number.
class Spread {
 public:
  explicit Spread(double step) : step_(step) {}
  double between(double low, double high) {
    at_ += step_;
    at_ -= std::floor(at_);
    return low + (high - low) * at_;
  }

 private:
  double step_;
  double at_ = 0.5;
};

int failures = 0;

void require(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "units_cost: error: %s\n", what);
  ++failures;
}

/// The two versions do the same operations in the same order, so nothing but equal numbers will do;
/// NaN is not equal.
template <class Typed, class InCoherent>
void require_same(const std::vector<double>& plain, const Typed& typed, InCoherent in_coherent,
                  const char* what) {
  for (std::size_t i = 0; i < plain.size(); ++i) {
    if (!(plain[i] <= in_coherent(typed[i]) && plain[i] >= in_coherent(typed[i]))) {
      std::fprintf(stderr, "candidate %zu: plain %.17g, typed %.17g\n", i, plain[i],
                   in_coherent(typed[i]));
      require(false, what);
      return;
    }
  }
}

struct Axes {
  std::vector<PlainAxis> plain;
  std::vector<TypedAxis> typed;
  Axes() {
    Spread m(0.6180339887), a(0.4142135623), f(0.7320508075), r(0.2360679774), j(0.6457513110);
    Spread mu(0.3166247903), eta(0.6055512754);
    for (std::size_t i = 0; i < candidates; ++i) {
      const PlainAxis p{.mass = m.between(0.5, 20),
                        .acceleration = a.between(0.5, 15),
                        .process_force = f.between(0, 60),
                        .transmission = r.between(0.0005, 0.02),
                        .motor_side_inertia = j.between(5e-6, 3e-4),
                        .friction = mu.between(0.002, 0.2),
                        .efficiency = eta.between(0.4, 0.98)};
      plain.push_back(p);
      typed.push_back({.mass = kilograms(p.mass),
                       .acceleration = metres_per_second_squared(p.acceleration),
                       .process_force = newtons(p.process_force),
                       .transmission = metres_per_radian(p.transmission),
                       .motor_side_inertia = kilogram_square_metres(p.motor_side_inertia),
                       .friction = FrictionCoefficient(p.friction),
                       .efficiency = Efficiency(p.efficiency)});
    }
  }
};

struct Results {
  std::vector<double> plain = std::vector<double>(candidates);
  std::vector<Torque> typed = std::vector<Torque>(candidates);
};

template <class To, class From, class Field>
std::vector<To> field_of(const std::vector<From>& structs, Field From::*field) {
  std::vector<To> values;
  for (const From& s : structs) values.push_back(s.*field);
  return values;
}

void run_axes() {
  const Axes axes;
  Results demand;
  counted_demand_plain(axes.plain, demand.plain);
  counted_demand_typed(axes.typed, demand.typed);
  require_same(demand.plain, demand.typed, in_newton_metres, "demand differs");

  Results available;
  Spread margin(0.5497787143);
  for (std::size_t i = 0; i < candidates; ++i) {
    available.plain[i] = demand.plain[i] * margin.between(0.9, 3);
    available.typed[i] = newton_metres(available.plain[i]);
  }
  std::vector<double> plain_margin(1);
  std::array<Torque, 1> typed_margin;
  counted_margin_plain(axes.plain, available.plain, plain_margin[0]);
  counted_margin_typed(axes.typed, available.typed, typed_margin[0]);
  require_same(plain_margin, typed_margin, in_newton_metres, "smallest margin differs");
  require(plain_margin[0] < 0, "the smallest margin was not looked for");

  const double friction = 0.05;
  const double efficiency = 0.9;
  const auto mass = field_of<double>(axes.plain, &PlainAxis::mass);
  const auto acceleration = field_of<double>(axes.plain, &PlainAxis::acceleration);
  const auto process_force = field_of<double>(axes.plain, &PlainAxis::process_force);
  const auto transmission = field_of<double>(axes.plain, &PlainAxis::transmission);
  const auto inertia = field_of<double>(axes.plain, &PlainAxis::motor_side_inertia);
  const auto typed_mass = field_of<Mass>(axes.typed, &TypedAxis::mass);
  const auto typed_acceleration = field_of<Acceleration>(axes.typed, &TypedAxis::acceleration);
  const auto typed_force = field_of<Force>(axes.typed, &TypedAxis::process_force);
  const auto typed_transmission = field_of<Transmission>(axes.typed, &TypedAxis::transmission);
  const auto typed_inertia = field_of<Inertia>(axes.typed, &TypedAxis::motor_side_inertia);
  const PlainAxes plain_arrays{mass, acceleration, process_force, transmission, inertia};
  const TypedAxes typed_arrays{typed_mass, typed_acceleration, typed_force, typed_transmission,
                               typed_inertia};
  Results arrays;
  counted_demand_arrays_plain(plain_arrays, friction, efficiency, arrays.plain);
  counted_demand_arrays_typed(typed_arrays, FrictionCoefficient(friction), Efficiency(efficiency),
                              arrays.typed);
  require_same(arrays.plain, arrays.typed, in_newton_metres, "demand from arrays differs");

  Results called;
  counted_call_by_value_plain(plain_arrays, 2e-4, 60, called.plain);
  counted_call_by_value_typed(typed_arrays, newton_metre_seconds_per_radian(2e-4),
                              radians_per_second(60), called.typed);
  require_same(called.plain, called.typed, in_newton_metres, "demand by value differs");
  counted_call_by_struct_plain(axes.plain, called.plain);
  counted_call_by_struct_typed(axes.typed, called.typed);
  require_same(called.plain, called.typed, in_newton_metres, "demand by struct differs");
  require(called.plain == demand.plain, "a call computes something else than inline code");

  const auto rows = static_cast<Eigen::Index>(candidates);
  PlainColumns plain_columns{Eigen::ArrayXd(rows), Eigen::ArrayXd(rows), Eigen::ArrayXd(rows),
                             Eigen::ArrayXd(rows), Eigen::ArrayXd(rows)};
  TypedColumns typed_columns{Column<Mass>(rows), Column<Acceleration>(rows), Column<Force>(rows),
                             Column<Transmission>(rows), Column<Inertia>(rows)};
  for (std::size_t i = 0; i < candidates; ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    plain_columns.mass[row] = mass[i];
    plain_columns.acceleration[row] = acceleration[i];
    plain_columns.process_force[row] = process_force[i];
    plain_columns.transmission[row] = transmission[i];
    plain_columns.motor_side_inertia[row] = inertia[i];
    typed_columns.mass.set(row, typed_mass[i]);
    typed_columns.acceleration.set(row, typed_acceleration[i]);
    typed_columns.process_force.set(row, typed_force[i]);
    typed_columns.transmission.set(row, typed_transmission[i]);
    typed_columns.motor_side_inertia.set(row, typed_inertia[i]);
  }
  Eigen::ArrayXd plain_column(rows);
  Column<Torque> typed_column(rows);
  counted_demand_column_plain(plain_columns, friction, efficiency, plain_column);
  counted_demand_column_typed(typed_columns, FrictionCoefficient(friction), Efficiency(efficiency),
                              typed_column);
  for (Eigen::Index row = 0; row < rows; ++row) {
    const auto i = static_cast<std::size_t>(row);
    called.plain[i] = plain_column[row];
    called.typed[i] = typed_column[row];
    // 1/eta is rounded once more than in the array kernel, so this comparison has a tolerance.
    require(std::abs(plain_column[row] - arrays.plain[i]) <= 1e-14 * arrays.plain[i],
            "the column kernel computes something else than the array kernel");
  }
  require_same(called.plain, called.typed, in_newton_metres, "demand from columns differs");
}

void run_steppers() {
  std::vector<PlainStepper> plain;
  std::vector<TypedStepper> typed;
  Spread kt(0.6180339887), r(0.4142135623), l(0.7320508075), i_max(0.2360679774);
  Spread v(0.6457513110), w(0.3166247903);
  std::size_t current_alone = 0;
  for (std::size_t i = 0; i < candidates; ++i) {
    const PlainStepper s{.torque_constant = kt.between(0.15, 1.0),
                         .resistance = r.between(0.4, 2.5),
                         .inductance = l.between(0.002, 0.006),
                         .current_limit = i_max.between(1, 6),
                         .voltage_limit = v.between(12, 80),
                         .speed = w.between(1, 200),
                         .rotor_teeth = 50};
    plain.push_back(s);
    typed.push_back({.torque_constant = newton_metres_per_ampere(s.torque_constant),
                     .resistance = ohms(s.resistance),
                     .inductance = henries(s.inductance),
                     .current_limit = amperes(s.current_limit),
                     .voltage_limit = volts(s.voltage_limit),
                     .speed = radians_per_second(s.speed),
                     .rotor_teeth = s.rotor_teeth});
  }
  Results torque;
  counted_pull_out_plain(plain, torque.plain);
  counted_pull_out_typed(typed, torque.typed);
  require_same(torque.plain, torque.typed, in_newton_metres, "pull-out torque differs");

  // The candidates must take each way through the kernel, else a part of it is not counted.
  std::size_t voltage_alone = 0, both = 0, none = 0;
  for (std::size_t i = 0; i < candidates; ++i) {
    const PlainStepper& s = plain[i];
    const double x = s.rotor_teeth * s.speed * s.inductance;
    const double z = std::hypot(s.resistance, x);
    const double e = s.torque_constant * s.speed;
    const double vertex = s.torque_constant * (s.voltage_limit / z - s.resistance * e / (z * z));
    if (torque.plain[i] <= 0) {
      ++none;
    } else if (torque.plain[i] >= s.torque_constant * s.current_limit) {
      ++current_alone;
    } else if (std::abs(torque.plain[i] - vertex) <= 1e-9 * vertex) {
      ++voltage_alone;
    } else {
      ++both;
    }
  }
  std::printf("pull-out limited by current %zu, voltage %zu, both %zu, no torque %zu\n",
              current_alone, voltage_alone, both, none);
  require(current_alone >= candidates / 20 && voltage_alone >= candidates / 20 &&
              both >= candidates / 20 && none >= candidates / 100,
          "the steppers do not cover all limits");
}

void run_moves() {
  std::vector<PlainMove> plain;
  std::vector<TypedMove> typed;
  Spread d(0.6180339887), v(0.4142135623), a(0.7320508075);
  std::size_t triangles = 0;
  for (std::size_t i = 0; i < candidates; ++i) {
    const PlainMove m{.distance = d.between(0.001, 1),
                      .speed_limit = v.between(0.1, 1.5),
                      .acceleration = a.between(0.5, 10)};
    triangles += m.distance < m.speed_limit * m.speed_limit / m.acceleration ? 1U : 0U;
    plain.push_back(m);
    typed.push_back({.distance = metres(m.distance),
                     .speed_limit = metres_per_second(m.speed_limit),
                     .acceleration = metres_per_second_squared(m.acceleration)});
  }
  std::vector<double> plain_time(candidates);
  std::vector<Time> typed_time(candidates);
  counted_move_time_plain(plain, plain_time);
  counted_move_time_typed(typed, typed_time);
  require_same(plain_time, typed_time, in_seconds, "move time differs");
  std::printf("moves with a triangle of speed %zu, with a trapezoid %zu\n", triangles,
              candidates - triangles);
  require(triangles >= candidates / 20 && triangles <= candidates - candidates / 20,
          "the moves do not cover both profiles");
}

}  // namespace

int main() {
  run_axes();
  run_steppers();
  run_moves();
  return failures == 0 ? 0 : 1;
}
