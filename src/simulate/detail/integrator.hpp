#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <tuple>
#include <utility>

#include "equations.hpp"
#include "pitchline/simulate/command.hpp"

namespace pitchline::simulate::detail {

// A part of the command in plain numbers.
struct PlainPart {
  double from, length, position, speed, acceleration, jerk;

  explicit PlainPart(const motion::MotionSegment& s)
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

// Weights of one step of a phase current that decays exactly: fourth order, with the same four
// stages as the classic step of the other states. Source: S. M. Cox, P. C. Matthews, Exponential
// time differencing for stiff systems, J. Comput. Phys. 176 (2002); from memory, checked by the
// order of its error in the tests.
struct ExactDecay {
  double length = -1.0;
  double whole = 0, half = 0, stage = 0, first = 0, middle = 0, last = 0;

  // Below this many decays in a step the differences would lose digits; there the classic step is
  // as good.
  static constexpr double least = 0.5;
  static bool fits(double decay, double h) { return decay * h > least; }

  void take(double decay, double h) {
    if (h == length) return;
    length = h;
    const double z = -decay * h;
    half = std::exp(z / 2.0);
    whole = half * half;
    stage = h * (half - 1.0) / z;
    const double z3 = z * z * z;
    first = h * (-4.0 - z + whole * (4.0 - 3.0 * z + z * z)) / z3;
    middle = h * (2.0 + z + whole * (z - 2.0)) / z3;
    last = h * (-4.0 - 3.0 * z - z * z + whole * (4.0 - z)) / z3;
  }
};

// Fourth-order steps of the classic weights; the currents of a driver in proportion decay exactly,
// so that its few microseconds do not bound the step. A step ends where a body stops, a strand goes
// slack, the voltage of a driver meets its limit, a switching driver switches or a pulse arrives.
template <std::size_t Motors>
class Integrator {
 public:
  using Values = State<Motors>;

  Integrator(const Equations<Motors>& equations, const SimulatedAxis& axis, const Values& start,
             double load_rate)
      : e(equations),
        y(start),
        load_rate_(load_rate),
        decay_((e.gain + e.R) / e.L),
        switching_(axis.driver.regulation == Regulation::switching),
        tick_(in_seconds(axis.driver.pulse_tick)),
        period_(1.0 / in_hertz(axis.driver.switching_frequency)),
        blanking_(in_seconds(axis.driver.blanking)) {
    for (std::size_t n = 0; n < Motors; ++n) {
      region_[n] = e.spring.region(e.stretch(y.data(), n));
      if (e.smooth) continue;
      e.rotor[n].sense = sign(y[of_motor * n + omega]);
      e.load[n].sense = sign(y[of_motor * n + v]);
    }
  }

  // The rates and the command go with the state, so that the next step need not find them again.
  void begin(const PlainPart& part) {
    if (e.jumps > 0.0) held_pulse_ = pulse_at(part, 0.0);
    now = command_at(part, 0.0);
    anew();
    set_phases(part.from);
    e.rates(y, now, rotors_, rate, true);
  }

  void step(const PlainPart& part, double at, double length) {
    const double start = at;
    const double end = at + length;
    // In a step little happens; the limit is against an event that rounding repeats.
    int events = 0;
    while (at < end) {
      double to = end;
      const bool pulse = e.jumps > 0.0 && clip_at_pulse(part, at, to);
      const bool clock = switching_ && clip_at_clock(part.from, at, to);
      Commanded then;
      // The step as it was asked for where nothing cuts it, so that its weights still hold.
      const double h = to < end || at > start ? to - at : length;
      Values next = moved(part, at, h, then);
      const Event event = events < most_events ? first_event(next, then) : Event{};
      if (event.kind == Event::none) {
        y = next;
        at = to;
        now = then;
        if (pulse) {
          held_pulse_ += pulse_sense_;
          now = command_at(part, at);
          set_phases(part.from + at);
        }
        if (clock) on_clock(part.from + at);
      } else {
        ++events;
        const double until = time_of(event, part, at, h, next, then);
        if (until > 0.0) {
          y = next;
          at += until;
          now = then;
        }
        happen(event);
      }
      anew();
      if (!e.smooth) release();
      e.rates(y, now, rotors_, rate, true);
    }
  }

  Equations<Motors> e;
  Values y;
  Values rate{};
  Commanded now{};

 private:
  struct Event {
    enum Kind { none, rotor_stops, load_stops, strand, phase_limit, current_reached } kind = none;
    std::size_t which = 0;
    double bound = 0.0;  // of the stretch, or of the voltage
  };
  static constexpr int most_events = 100;
  static constexpr int most_tries = 20;
  static int sign(double value) { return (value > 0.0) - (value < 0.0); }

  // Pulses that a controller has sent by a moment: those due at its last tick.
  [[nodiscard]] double pulse_at(const PlainPart& part, double t) const {
    if (tick_ > 0.0)
      t = std::max(0.0, std::floor((part.from + t) / tick_ + 1e-9) * tick_ - part.from);
    return std::round(e.N * part.position_after(t) / e.t * e.jumps);
  }
  // Shortens a step to where the next pulse arrives.
  bool clip_at_pulse(const PlainPart& part, double at, double& to) {
    if (pulse_at(part, to) == held_pulse_) return false;
    double low = at;
    double high = to;
    // A pulse due right now, after another of the same tick, still arrives one by one.
    if (pulse_at(part, at) != held_pulse_) {
      pulse_sense_ = sign(pulse_at(part, at) - held_pulse_);
      to = std::min(to, at + 1e-12);
      return true;
    }
    for (int n = 0; n < 40 && high - low > 1e-12; ++n) {
      const double middle = 0.5 * (low + high);
      (pulse_at(part, middle) == held_pulse_ ? low : high) = middle;
    }
    pulse_sense_ = sign(pulse_at(part, high) - held_pulse_);
    to = high;
    return true;
  }

  [[nodiscard]] Commanded command_at(const PlainPart& part, double t) const {
    const double position = part.position_after(t);
    const double turning = part.speed_after(t) / e.t;
    return {.position = position,
            .turning = turning,
            .field = now.field.on_to(e.jumps > 0.0 ? held_pulse_ / e.jumps : e.N * position / e.t),
            .load = load_rate_ * (part.from + t),
            .share = e.share_at(turning)};
  }

  // Sines afresh at times, so that no error adds up from step to step.
  void anew() {
    if (++since_anew_ < 64) {
      for (std::size_t n = 0; n < Motors; ++n)
        rotors_[n] = rotors_[n].on_to(e.N * y[of_motor * n + theta]);
      return;
    }
    since_anew_ = 0;
    now.field = Turned::to(now.field.angle);
    rotors_ = e.rotors(y);
  }

  // The state a time on, from `y`, `rate` at its start, and the command there in `then`; the works
  // need no stages of their own.
  [[nodiscard]] Values moved(const PlainPart& part, double at, double h, Commanded& then) {
    const bool exact = ExactDecay::fits(decay_, h);
    then = command_at(part, at + h);
    const Commanded middle = command_at(part, at + h / 2.0);
    Values first = rate;
    Values second;
    Values third;
    Values fourth;
    Values stage = y;
    if (!exact) {
      e.rates(y, now, rotors_, first, false);
      ahead(stage, first, h / 2.0);
      e.rates(stage, middle, rotors_, second, false);
      ahead(stage, second, h / 2.0);
      e.rates(stage, middle, rotors_, third, false);
      ahead(stage, third, h);
      e.rates(stage, then, rotors_, fourth, false);
      add_up(stage, first, second, third, fourth, h);
      return stage;
    }
    weights_.take(decay_, h);
    const double turn = then.field.angle - now.field.angle;
    const double turning = turn / h;
    const double drive = e.gain * e.I * e.per_L;
    const double per = drive / (decay_ * decay_ + turning * turning);
    const auto followed = [&](const Turned& there) -> Followed {
      return {{per * (decay_ * there.cosine + turning * there.sine),
               per * (decay_ * there.sine - turning * there.cosine)},
              {drive * there.cosine, drive * there.sine}};
    };
    const Followed from = followed(now.field);
    const Followed half_way = followed(now.field.on_to(now.field.angle + 0.5 * turn));
    const Followed to = followed(then.field);
    unforce(first, from);
    ahead(stage, first, h / 2.0);
    currents(stage, [&](std::size_t p, std::size_t i) {
      return half_way.current[p % 2] + weights_.half * (y[i] - from.current[p % 2]) +
             weights_.stage * first[i];
    });
    std::array<double, 2 * Motors> at_half{};
    for (std::size_t p = 0; p < 2 * Motors; ++p) at_half[p] = stage[current_of(p)];
    e.rates(stage, middle, rotors_, second, true);
    unforce(second, half_way);
    ahead(stage, second, h / 2.0);
    currents(stage, [&](std::size_t p, std::size_t i) {
      return half_way.current[p % 2] + weights_.half * (y[i] - from.current[p % 2]) +
             weights_.stage * second[i];
    });
    e.rates(stage, middle, rotors_, third, true);
    unforce(third, half_way);
    ahead(stage, third, h);
    currents(stage, [&](std::size_t p, std::size_t i) {
      return to.current[p % 2] + weights_.half * (at_half[p] - half_way.current[p % 2]) +
             weights_.stage * (2.0 * third[i] - first[i]);
    });
    e.rates(stage, then, rotors_, fourth, true);
    unforce(fourth, to);
    add_up(stage, first, second, third, fourth, h);
    currents(stage, [&](std::size_t p, std::size_t i) {
      return to.current[p % 2] + weights_.whole * (y[i] - from.current[p % 2]) +
             weights_.first * first[i] + 2.0 * weights_.middle * (second[i] + third[i]) +
             weights_.last * fourth[i];
    });
    for (std::size_t p = 0; p < 2 * Motors; ++p) {
      if (!e.phase[p].linear) continue;
      const std::size_t i = current_of(p);
      stage[moving<Motors> + electrical] += 0.5 * e.L * (stage[i] * stage[i] - y[i] * y[i]);
    }
    return stage;
  }
  static std::size_t current_of(std::size_t p) { return of_motor * (p / 2) + p % 2; }
  void ahead(Values& stage, const Values& rates, double h) const {
    const double* from = y.data();
    const double* by = rates.data();
    double* to = stage.data();
    unrolled(std::make_index_sequence<of_motor * Motors>(),
             [&](std::size_t i) { to[i] = from[i] + h * by[i]; });
    if (!e.beam) return;
    for (std::size_t i = tool<Motors>; i < moving<Motors>; ++i) to[i] = from[i] + h * by[i];
  }
  void add_up(Values& to, const Values& a, const Values& b, const Values& c, const Values& d,
              double h) const {
    const double sixth = h * (1.0 / 6.0);
    unrolled(std::make_index_sequence<std::tuple_size_v<Values>>(),
             [&](std::size_t i) { to[i] = y[i] + sixth * (a[i] + 2.0 * (b[i] + c[i]) + d[i]); });
  }
  // A loop without its counting, which takes as long as what is counted.
  template <std::size_t... Index, class Body>
  static void unrolled(std::index_sequence<Index...>, Body&& body) {
    (body(Index), ...);
  }
  template <class Value>
  void currents(Values& stage, Value&& value) const {
    for (std::size_t p = 0; p < 2 * Motors; ++p)
      if (e.phase[p].linear) stage[current_of(p)] = value(p, current_of(p));
  }

  // What the currents in proportion would be behind a field that turns evenly from one command to
  // the other, and the rate with which it drives them. Only what is left over goes through the
  // stages: these know a current that follows so fast to second order alone.
  struct Followed {
    std::array<double, 2> current{}, force{};
  };
  void unforce(Values& rates, const Followed& f) const {
    for (std::size_t p = 0; p < 2 * Motors; ++p)
      if (e.phase[p].linear) rates[current_of(p)] -= f.force[p % 2];
  }

  // Below zero once the event has happened.
  [[nodiscard]] double ahead_of(const Event& event, const Values& s, const Commanded& at) const {
    switch (event.kind) {
      case Event::rotor_stops:
        return e.rotor[event.which].sense * s[of_motor * event.which + omega];
      case Event::load_stops:
        return e.load[event.which].sense * s[of_motor * event.which + v];
      case Event::strand: {
        const double s_now = e.stretch(s.data(), event.which);
        const bool inward = region_[event.which] != 0;
        const double over = event.bound > 0.0 ? event.bound - s_now : s_now - event.bound;
        return inward ? -over : over;
      }
      case Event::phase_limit: {
        const double u = e.wanted_voltage(s, at, event.which);
        const double over = event.bound > 0.0 ? event.bound - u : u - event.bound;
        return e.phase[event.which].linear ? over : -over;
      }
      case Event::current_reached: {
        // In the sense in which it is driven: the command may have passed zero since.
        const double sense = e.phase[event.which].voltage < 0.0 ? -1.0 : 1.0;
        return sense * (e.target(at, event.which) - s[current_of(event.which)]);
      }
      case Event::none:
        break;
    }
    return 1.0;
  }

  // The first thing to happen on the way from `y` to `next`, by straight lines.
  [[nodiscard]] Event first_event(const Values& next, const Commanded& then) const {
    Event first;
    double earliest = std::numeric_limits<double>::infinity();
    const auto ask = [&](const Event& event) {
      const double after = ahead_of(event, next, then);
      if (after >= 0.0) return;
      const double before = std::max(0.0, ahead_of(event, y, now));
      const double share = before / (before - after);
      if (share >= earliest) return;
      earliest = share;
      first = event;
    };
    for (std::size_t n = 0; n < Motors; ++n) {
      if (!e.smooth) {
        if (e.rotor[n].there && e.rotor[n].sense != 0) ask({Event::rotor_stops, n});
        if (e.load[n].there && e.load[n].sense != 0) ask({Event::load_stops, n});
      }
      if (e.spring.tension > 0.0) {
        if (region_[n] >= 0) ask({Event::strand, n, e.spring.slack_above});
        if (region_[n] <= 0) ask({Event::strand, n, e.spring.slack_below});
      }
    }
    const double most = e.highest_voltage();
    for (std::size_t p = 0; p < 2 * Motors; ++p) {
      if (switching_) {
        if (driving_[p] && blanked_until_[p] <= 0.0) ask({Event::current_reached, p});
      } else if (e.phase[p].linear) {
        ask({Event::phase_limit, p, most});
        ask({Event::phase_limit, p, -most});
      } else {
        ask({Event::phase_limit, p, e.phase[p].voltage > 0.0 ? most : -most});
      }
    }
    return first;
  }

  // Where a function that is above zero at `low` and below at `high` comes near enough to zero: by
  // false position with halved weights (Illinois), from `t`.
  template <class Function>
  static double crossing(double low, double at_low, double high, double at_high, double t,
                         double enough, Function&& function) {
    int side = 0;
    for (int n = 1;; ++n) {
      const double there = function(t);
      if (std::fabs(there) <= enough || n == most_tries) return t;
      if (there > 0.0) {
        low = t;
        at_low = there;
        if (side > 0) at_high *= 0.5;
        side = 1;
      } else {
        high = t;
        at_high = there;
        if (side < 0) at_low *= 0.5;
        side = -1;
      }
      t = low + (high - low) * at_low / (at_low - at_high);
    }
  }

  // When the event happens within the step; the state there goes to `found` and `then`. A body that
  // stops and a current that is reached are found to rounding, since force and voltage jump; where
  // only a slope changes the error goes with the square of what is left.
  [[nodiscard]] double time_of(const Event& event, const PlainPart& part, double at, double h,
                               Values& found, Commanded& then) {
    const double before = ahead_of(event, y, now);
    if (!(before > 0.0)) return 0.0;
    const double after = ahead_of(event, found, then);
    const double range = before - after;
    double t = h * before / range;
    if (event.kind == Event::phase_limit) t = limit_met(event, h, before, after);
    const double enough =
        (event.kind <= Event::load_stops || event.kind == Event::current_reached ? 1e-13 : 1e-3) *
        range;
    return crossing(0.0, before, h, after, t, enough, [&](double to) {
      found = moved(part, at, to, then);
      return ahead_of(event, found, then);
    });
  }
  // When the voltage meets or leaves its limit, from its value and slope now and its value at the
  // end: with a current that decays an even change and an exponential, else a parabola.
  [[nodiscard]] double limit_met(const Event& event, double h, double before, double after) const {
    const std::size_t p = event.which;
    const bool linear = e.phase[p].linear;
    const double turning = e.jumps > 0.0 ? 0.0 : e.N * now.turning;
    const double target = e.I * turning * (p % 2 == 0 ? -now.field.sine : now.field.cosine);
    const std::size_t i = current_of(p);
    const double voltage = e.gain * (target - rate[i] + (linear ? decay_ * y[i] : 0.0));
    const double slope = (event.bound > 0.0) == linear ? -voltage : voltage;
    const double bend = after - before - slope * h;
    const double enough = 1e-4 * (before - after);
    const double first = h * before / (before - after);
    if (linear && ExactDecay::fits(decay_, h)) {
      const double share = bend / (-std::expm1(-decay_ * h) - decay_ * h);
      return crossing(0.0, before, h, after, first, enough, [&](double t) {
        return before + slope * t - share * (std::expm1(-decay_ * t) + decay_ * t);
      });
    }
    return crossing(0.0, before, h, after, first, enough,
                    [&](double t) { return before + t * (slope + t * bend / (h * h)); });
  }

  void happen(const Event& event) {
    switch (event.kind) {
      case Event::rotor_stops:
        stop(true, event.which);
        break;
      case Event::load_stops:
        stop(false, event.which);
        break;
      case Event::strand:
        region_[event.which] = region_[event.which] != 0 ? 0 : sign(event.bound);
        break;
      case Event::phase_limit:
        if (e.phase[event.which].linear)
          e.phase[event.which] = {false, event.bound};
        else
          e.phase[event.which] = {true, 0.0};
        break;
      case Event::current_reached:
        decay(event.which);
        break;
      case Event::none:
        break;
    }
  }

  void stop(bool of_rotor, std::size_t n) {
    const auto push = e.push(y.data(), now, rotors_);
    y[of_motor * n + (of_rotor ? omega : v)] = 0.0;
    if (e.rigid) y[v] = 0.0;
    Contact& own = of_rotor ? e.rotor[n] : e.load[n];
    own.sense = 0;
    const double force = of_rotor ? push.rotor[n] : e.force_on_held(push, n);
    const int sense = sign(force);
    const double limit = of_rotor ? e.rotor_limit(n, push.belt[n], sense) : own.limit;
    if (std::fabs(force) > limit) own.sense = sense;
  }

  void release() {
    bool none = true;
    for (std::size_t n = 0; n < Motors; ++n)
      none = none && !e.held(e.rotor[n]) && !e.held(e.load[n]);
    if (none) return;
    const auto push = e.push(y.data(), now, rotors_);
    for (std::size_t n = 0; n < Motors; ++n) {
      if (e.held(e.rotor[n])) {
        const int sense = sign(push.rotor[n]);
        if (std::fabs(push.rotor[n]) > e.rotor_limit(n, push.belt[n], sense))
          e.rotor[n].sense = sense;
      }
      if (e.held(e.load[n])) {
        const double force = e.force_on_held(push, n);
        if (std::fabs(force) > e.load[n].limit) e.load[n].sense = sign(force);
      }
    }
  }

  // The averaged driver after a jump of its command or of its supply.
  void set_phases(double time) {
    if (switching_) {
      if (next_clock_ < 0.0) {
        next_clock_ = time + period_;
        rising_.fill(true);
        for (std::size_t p = 0; p < 2 * Motors; ++p) decay(p);
      }
      return;
    }
    const double most = e.highest_voltage();
    for (std::size_t p = 0; p < 2 * Motors; ++p) {
      const double u = e.wanted_voltage(y, now, p);
      e.phase[p] = std::fabs(u) > most ? Phase{false, u > 0.0 ? most : -most} : Phase{true, 0.0};
    }
  }

 public:
  // After the supply has changed.
  void renew_voltage() {
    if (!switching_) {
      for (Phase& p : e.phase)
        if (!p.linear) p.voltage = p.voltage > 0.0 ? e.highest_voltage() : -e.highest_voltage();
    }
    e.rates(y, now, rotors_, rate, true);
  }

 private:
  // Shortens a step to the clock of a switching driver, or to the end of its blanking.
  bool clip_at_clock(double from, double at, double& to) const {
    double next = next_clock_;
    for (double until : blanked_until_)
      if (until > 0.0) next = std::min(next, until);
    if (next - from >= to) return false;
    to = std::max(next - from, at);
    return true;
  }
  void on_clock(double time) {
    for (double& until : blanked_until_)
      if (until > 0.0 && time >= until - 1e-12) until = 0.0;
    if (time < next_clock_ - 1e-12) {
      for (std::size_t p = 0; p < 2 * Motors; ++p)
        if (driving_[p] && blanked_until_[p] <= 0.0 && reached(p)) decay(p);
      return;
    }
    next_clock_ += period_;
    for (std::size_t p = 0; p < 2 * Motors; ++p) {
      const double aim = e.target(now, p);
      const bool rising = std::fabs(aim) >= last_aim_[p];
      last_aim_[p] = std::fabs(aim);
      rising_[p] = rising;
      driving_[p] = true;
      blanked_until_[p] = time + blanking_;
      e.phase[p] = {false, (aim < 0.0 ? -1.0 : 1.0) * (e.V - e.drop)};
    }
  }
  [[nodiscard]] bool reached(std::size_t p) const {
    return ahead_of({Event::current_reached, p}, y, now) <= 0.0;
  }
  // The current dies away through the bridge while the command rises, against the supply while it
  // falls.
  void decay(std::size_t p) {
    driving_[p] = false;
    const double current = y[current_of(p)];
    const double sense = current < 0.0 ? -1.0 : 1.0;
    e.phase[p] = {false, rising_[p] ? -sense * e.drop : -sense * (e.V + e.drop)};
  }

  double load_rate_;
  double decay_;
  bool switching_;
  double tick_, period_, blanking_;
  double held_pulse_ = 0.0;
  int pulse_sense_ = 0;
  int since_anew_ = 64;
  double next_clock_ = -1.0;
  ExactDecay weights_{};
  typename Equations<Motors>::Rotors rotors_{};  // at `y`
  std::array<int, Motors> region_{};
  std::array<bool, 2 * Motors> driving_{};
  std::array<bool, 2 * Motors> rising_{};
  std::array<double, 2 * Motors> blanked_until_{};
  std::array<double, 2 * Motors> last_aim_{};
};

}  // namespace pitchline::simulate::detail
