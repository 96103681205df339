// Drivers that jump: simulate::run against the GNU Scientific Library, which is stopped and let go
// on where a pulse arrives and where the driver switches.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>

#include "pitchline/simulate/run.hpp"
#include "support/catch.hpp"
#include "support/second_model.hpp"
#include "support/simulate_axes.hpp"

namespace pitchline {
namespace {

using simulate::Command;
using simulate::command_of;
using simulate::Sample;
using simulate::SimulatedAxis;
using testing::SecondModel;
using testing::SecondRun;

motion::RunningMove move_over(Length stroke) {
  return {.speed = metres_per_second(0.5),
          .acceleration = metres_per_second_squared(20),
          .stroke = stroke,
          .jerk_time = seconds(0.0125)};
}

// The command of an axis in electrical radians, and when it first reaches an angle: of moves that
// never go back.
struct Ahead {
  const SimulatedAxis& axis;
  const Command& command;

  [[nodiscard]] double angle(double time) const {
    const motion::MotionSegment* part = &command.parts.front();
    for (const motion::MotionSegment& each : command.parts)
      if (in_seconds(each.from) <= time) part = &each;
    return axis.winding.pole_pairs / in_metres_per_radian(axis.axis.transmission) *
           in_metres(part->after(seconds(time) - part->from).position);
  }
  [[nodiscard]] double when(double wanted) const {
    double low = 0.0;
    double high = in_seconds(command.duration());
    while (high - low > 1e-13) {
      const double middle = 0.5 * (low + high);
      (angle(middle) < wanted ? low : high) = middle;
    }
    return high;
  }
};

// How far the two are apart: of the load in metres, of the larger current in amperes.
struct Apart {
  double place = 0.0, current = 0.0;

  void take(const Sample& s, const SecondModel::State& y) {
    place = std::max(place, std::fabs(in_metres(s.load) - y[4]));
    current = std::max({current, std::fabs(in_amperes(s.current_a) - y[0]),
                        std::fabs(in_amperes(s.current_b) - y[1])});
  }
};

TEST_CASE("GSL follows a command in pulses the same way", "[simulate][gsl]") {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.driver.microsteps = pulses_per_full_step(16);
  const double tick = GENERATE(0.0, 20e-6);
  CAPTURE(tick);
  axis.driver.pulse_tick = seconds(tick);
  const Command command = command_of(move_over(millimetres(30)), milliseconds(5));
  const Ahead ahead{axis, command};
  // 200 full steps over 40 mm, nearly: the travel of the table is 2π 6.366197724 mm.
  const double pulse = std::numbers::pi / 2.0 / 16.0;
  const double all = std::round(ahead.angle(in_seconds(command.duration())) / pulse);
  SecondRun other(axis, command, 1e-11);
  double sent = 0.0;
  double next_pulse = 0.0;
  const auto find_next = [&] {
    // Half way to the next pulse it is the nearer one; it leaves at the tick after that.
    next_pulse = sent >= all ? 1e9 : ahead.when((sent + 0.5) * pulse);
    if (tick > 0.0) next_pulse = std::ceil(next_pulse / tick - 1e-9) * tick;
  };
  find_next();
  other.model().field(0.0);
  Apart most;
  double next = 0.0;
  simulate::run(axis, command, {.step = seconds(5e-6)}, [&](const Sample& s) {
    const double time = in_seconds(s.time);
    // Not in the moment of a pulse itself, which either may count as before or after.
    if (time < next || std::fabs(time - next_pulse) < 1e-9) return;
    next = time + 1e-3;
    while (next_pulse <= time) {
      other.to(next_pulse);
      sent += 1.0;
      other.model().field(sent * pulse);
      find_next();
    }
    other.to(time);
    most.take(s, other.y);
  });
  CHECK(sent == 2400.0);
  CHECK(most.place < 1e-7 * 30e-3);
  CHECK(most.current < 1e-4 * 1.5);
}

// A driver that switches on at each tick of its clock, and off once the current is reached.
class Switching {
 public:
  Switching(const SimulatedAxis& axis, const Command& command)
      : ahead_{axis, command},
        run_(axis, command, 1e-11),
        amplitude_(in_amperes(axis.winding.amplitude)),
        supply_(in_volts(axis.winding.voltage)),
        drop_(in_volts(axis.driver.drop)),
        period_(1.0 / in_hertz(axis.driver.switching_frequency)),
        blanking_(in_seconds(axis.driver.blanking)) {
    let_go(0);
    let_go(1);
  }

  const SecondModel::State& at(double time) {
    while (true) {
      const double on = ticks_ * period_;
      if (ticks_ > 0.0 && run_.time() < on + blanking_) {
        run_.to(std::min(time, on + blanking_));
        if (run_.time() < on + blanking_) return run_.y;
        for (std::size_t p = 0; p < 2; ++p)
          if (missing(p) <= 0.0) let_go(p);
        continue;
      }
      follow(std::min(time, on + period_));
      if (time < on + period_) return run_.y;
      ticks_ += 1.0;
      for (std::size_t p = 0; p < 2; ++p) switch_on(p);
    }
  }

 private:
  [[nodiscard]] double wanted(std::size_t p) const {
    const double g = ahead_.angle(run_.time());
    return amplitude_ * (p == 0 ? std::cos(g) : std::sin(g));
  }
  [[nodiscard]] double missing(std::size_t p) const {
    return sense_.at(p) * (wanted(p) - run_.y.at(p));
  }
  void switch_on(std::size_t p) {
    const double aim = wanted(p);
    falls_.at(p) = std::fabs(aim) < before_.at(p);
    before_.at(p) = std::fabs(aim);
    drives_.at(p) = true;
    sense_.at(p) = aim < 0.0 ? -1.0 : 1.0;
    run_.model().voltage(p, sense_.at(p) * (supply_ - drop_));
  }
  void let_go(std::size_t p) {
    drives_.at(p) = false;
    run_.model().voltage(p, -std::copysign(falls_.at(p) ? supply_ + drop_ : drop_, run_.y.at(p)));
  }
  // No farther than five microseconds at a time, and back to where the first current is reached.
  void follow(double until) {
    while (run_.time() < until) {
      const double from = run_.time();
      const SecondModel::State state = run_.y;
      const double length = std::min(until - from, 5e-6);
      std::optional<std::size_t> first;
      double soonest = length;
      for (std::size_t p = 0; p < 2; ++p) {
        const auto after = [&](double t) {
          run_.back(from, state);
          run_.to(from + t);
          return missing(p);
        };
        if (!drives_.at(p) || after(soonest) > 0.0) continue;
        double low = 0.0;
        while (soonest - low > 1e-13) {
          const double middle = 0.5 * (low + soonest);
          (after(middle) > 0.0 ? low : soonest) = middle;
        }
        first = p;
      }
      run_.back(from, state);
      run_.to(from + length >= until && !first ? until : from + soonest);
      if (first) let_go(*first);
    }
  }

  Ahead ahead_;
  SecondRun run_;
  double amplitude_, supply_, drop_, period_, blanking_;
  double ticks_ = 0.0;
  std::array<bool, 2> drives_{}, falls_{};
  std::array<double, 2> before_{}, sense_{1.0, 1.0};
};

SimulatedAxis switching_axis() {
  SimulatedAxis axis = testing::first_tabled_axis();
  axis.driver.regulation = simulate::Regulation::switching;
  axis.driver.drop = volts(0.7);
  return axis;
}

Apart apart(const SimulatedAxis& axis, const Command& command, double every) {
  Switching other(axis, command);
  Apart most;
  double next = 0.0;
  simulate::run(axis, command, {.step = seconds(5e-6)}, [&](const Sample& s) {
    const double time = in_seconds(s.time);
    if (time < next) return;
    next = time + every;
    most.take(s, other.at(time));
  });
  return most;
}

TEST_CASE("GSL follows a switching driver tick by tick", "[simulate][gsl]") {
  // A driver that lets its current die away against the supply for more than half of the time makes
  // of a small difference one that is a third larger at the next tick. So the currents are compared
  // over some milliseconds only: from rest, and at a speed at which both commands pass zero.
  const SimulatedAxis axis = switching_axis();
  const Speed speed = metres_per_second(GENERATE(0.0, 0.1, 0.2));
  CAPTURE(in_metres_per_second(speed));
  const Apart most = apart(axis, simulate::constant_speed(speed, milliseconds(2.5)), 5e-6);
  CHECK(most.current < 1e-4 * 1.5);
}

TEST_CASE("GSL follows a switching driver over a move", "[simulate][gsl]") {
  const SimulatedAxis axis = switching_axis();
  const Command command = command_of(move_over(millimetres(10)), milliseconds(2));
  CHECK(apart(axis, command, 0.25e-3).place < 1e-4 * 10e-3);
}

}  // namespace
}  // namespace pitchline
