#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "pitchline/simulate/command.hpp"
#include "pitchline/simulate/detail/equations.hpp"

namespace pitchline::simulate::detail {

// A part of the command in plain numbers.
struct PlainPart {
  double from, length, position, speed, acceleration, jerk;

  explicit PlainPart(const motion::detail::MotionSegment& s)
      : from(in_seconds(s.from)),
        length(in_seconds(s.length)),
        position(in_metres(s.start.position)),
        speed(in_metres_per_second(s.start.speed)),
        acceleration(in_metres_per_second_squared(s.start.acceleration)),
        jerk(in_metres_per_second_cubed(s.start.jerk)) {}
  [[nodiscard]] double position_after(double t) const {
    return position + t * (speed + t * (acceleration / 2.0 + t * jerk / 6.0));
  }
  [[nodiscard]] double speed_after(double t) const {
    return speed + t * (acceleration + t * jerk / 2.0);
  }
};

// Classic fourth-order steps; where friction sticks, a step ends at the moment a body stops.
class Integrator {
 public:
  Integrator(const Equations& equations, const State& start, double load_rate)
      : e(equations), y(start), load_rate_(load_rate) {
    if (e.smooth) return;
    e.rotor.sense = sign(y[omega]);
    e.load.sense = sign(y[v]);
  }

  // The rates and the command go with the state, so that the next step need not find them again.
  void begin(const PlainPart& part) { look(part, 0.0); }

  void step(const PlainPart& part, double at, double length) {
    double left = length;
    // A body stops at most a few times in one step; the limit is against rounding alone.
    for (int stops = 0;; ++stops) {
      const State next = moved(part, at, left);
      const Contact* stopping = e.smooth || stops == 8 ? nullptr : first_to_stop(next);
      if (stopping == nullptr) {
        y = next;
        break;
      }
      const double part_of_step = time_of_stop(part, at, left, *stopping);
      y = moved(part, at, part_of_step);
      at += part_of_step;
      left -= part_of_step;
      stop(*stopping, command_at(part, at));
      if (!(left > 0.0)) break;
      look(part, at);
    }
    at += left > 0.0 ? left : 0.0;
    now = command_at(part, at);
    if (!e.smooth) release();
    e.rates(y, now, rate);
  }

  Equations e;
  State y;
  State rate{};
  Commanded now{};

 private:
  static int sign(double value) { return (value > 0.0) - (value < 0.0); }
  [[nodiscard]] std::size_t speed_of(const Contact& body) const {
    return &body == &e.rotor ? omega : v;
  }

  [[nodiscard]] Commanded command_at(const PlainPart& part, double t) const {
    return e.commanded(part.position_after(t), part.speed_after(t), load_rate_ * (part.from + t));
  }
  void look(const PlainPart& part, double at) {
    now = command_at(part, at);
    e.rates(y, now, rate);
  }

  // The state a time on, from `y`, `rate` at its start; the works need no stages of their own.
  [[nodiscard]] State moved(const PlainPart& part, double at, double h) const {
    const Commanded middle = command_at(part, at + h / 2.0);
    const Commanded end = command_at(part, at + h);
    State second;
    State third;
    State fourth;
    State stage = y;
    e.rates(ahead(stage, rate, h / 2.0), middle, second);
    e.rates(ahead(stage, second, h / 2.0), middle, third);
    e.rates(ahead(stage, third, h), end, fourth);
    const double* a = rate.data();
    const double* b = second.data();
    const double* c = third.data();
    const double* d = fourth.data();
    const double* from = y.data();
    double* to = stage.data();
    for (std::size_t i = 0; i < places; ++i)
      to[i] = from[i] + h / 6.0 * (a[i] + 2.0 * (b[i] + c[i]) + d[i]);
    return stage;
  }
  const State& ahead(State& stage, const State& rates, double h) const {
    const double* from = y.data();
    const double* by = rates.data();
    double* to = stage.data();
    for (std::size_t i = 0; i < moving; ++i) to[i] = from[i] + h * by[i];
    return stage;
  }

  [[nodiscard]] const Contact* first_to_stop(const State& next) const {
    const Contact* first = nullptr;
    double earliest = 2.0;
    for (const Contact* body : {&e.rotor, &e.load}) {
      const std::size_t i = speed_of(*body);
      if (!body->acts() || body->sense * next[i] >= 0.0) continue;
      const double share = y[i] / (y[i] - next[i]);
      if (share < earliest) {
        earliest = share;
        first = body;
      }
    }
    return first;
  }

  // Where the speed of the body is zero within the step, by false position.
  [[nodiscard]] double time_of_stop(const PlainPart& part, double at, double h,
                                    const Contact& body) const {
    const std::size_t i = speed_of(body);
    double low = 0.0;
    double high = h;
    double low_speed = y[i];
    double high_speed = moved(part, at, h)[i];
    double t = 0.0;
    // Six times: the speed is nearly straight within a step, so three reach rounding.
    for (int n = 0; n < 6 && low_speed * body.sense > 0.0; ++n) {
      t = low + (high - low) * low_speed / (low_speed - high_speed);
      const double speed = moved(part, at, t)[i];
      if (speed * body.sense > 0.0) {
        low = t;
        low_speed = speed;
      } else if (speed * body.sense < 0.0) {
        high = t;
        high_speed = speed;
      } else {
        break;
      }
    }
    return t;
  }

  void stop(const Contact& body, const Commanded& command) {
    const Equations::Push push = e.push(y, command);
    y[speed_of(body)] = 0.0;
    if (e.rigid) y[v] = 0.0;
    Contact& own = &body == &e.rotor ? e.rotor : e.load;
    const double force = &body == &e.rotor ? push.rotor : push.load;
    own.sense = std::fabs(force) > own.limit ? sign(force) : 0;
  }

  void release() {
    if ((!e.rotor.acts() || e.rotor.sense != 0) && (!e.load.acts() || e.load.sense != 0)) return;
    const Equations::Push push = e.push(y, now);
    if (e.rotor.acts() && e.rotor.sense == 0 && std::fabs(push.rotor) > e.rotor.limit)
      e.rotor.sense = sign(push.rotor);
    if (e.load.acts() && e.load.sense == 0 && std::fabs(push.load) > e.load.limit)
      e.load.sense = sign(push.load);
  }

  double load_rate_;
};

}  // namespace pitchline::simulate::detail
