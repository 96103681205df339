#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <utility>

namespace pitchline::testing {

/// A load on a spring with a viscous damper, behind a reference that follows its command exactly;
/// Coulomb friction, and static friction beyond it. Unit mass: a force is an acceleration.
struct StickingLoad {
  double omega = 1.0;
  double zeta = 0.01;
  double friction = 0.0;
  double breakaway = 0.0;  ///< static friction less running friction
  double wound = 0.0;      ///< force of the spring at the start
};

/// Trapezoids of speed, smoothed by a moving average over the jerk time.
struct RunOfMoves {
  double top = 1.0;
  double acceleration = 1.0;
  double jerk_time = 0.0;
  double cruise = 0.0;  ///< of the trapezoid before it is smoothed
  double dwell = 0.0;
  int moves = 1;
  bool onward = false;
};

/// Integration with closed forms between events: sticking, slipping, pieces of the command. Gives
/// `visit(speed of the command, size of the force on the reference)` at every step, and once more
/// at each crest between two steps.
template <class Visit>
class StickingRun {
 public:
  StickingRun(const StickingLoad& load, int steps_per_period, Visit visit)
      : load_(load),
        sigma_(load.zeta * load.omega),
        damped_(load.omega * std::sqrt(1.0 - load.zeta * load.zeta)),
        square_(load.omega * load.omega),
        step_(2.0 * std::numbers::pi / load.omega / steps_per_period),
        visit_(visit),
        z_(load.wound / square_) {}

  void run(const RunOfMoves& command) {
    for (int i = 0; i < command.moves; ++i) {
      sense_ = !command.onward && i % 2 == 1 ? -1.0 : 1.0;
      move(command);
      const bool last = i + 1 == command.moves;
      // After the last move: what is to come is largest within the first periods.
      rest(last ? 2.0 * 2.0 * std::numbers::pi / load_.omega : command.dwell);
    }
  }
  [[nodiscard]] int sticks() const { return sticks_; }

 private:
  // A piece of the command: acceleration alpha + beta t, from speed_ on.
  struct Piece {
    double alpha = 0.0;
    double beta = 0.0;
    double length = 0.0;
  };
  struct Change {
    double at = 0.0;
    double step = 0.0;   // of the acceleration
    double slope = 0.0;  // of its slope
  };

  void move(const RunOfMoves& c) {
    const double ramp = c.top / c.acceleration;
    const double a = c.acceleration * sense_;
    std::array<Change, 8> changes{};
    std::size_t n = 0;
    for (const double begin : {0.0, ramp + c.cruise}) {
      const double sign = begin > 0.0 || n > 0 ? -1.0 : 1.0;
      for (const double at : {0.0, ramp}) {
        const double on = at > 0.0 ? -sign * a : sign * a;
        if (!(c.jerk_time > 0.0)) {
          changes[n] = {begin + at, on, 0.0};
          ++n;
          continue;
        }
        changes[n] = {begin + at, 0.0, on / c.jerk_time};
        changes[n + 1] = {begin + at + c.jerk_time, 0.0, -on / c.jerk_time};
        n += 2;
      }
    }
    for (std::size_t i = 1; i < n; ++i) {
      for (std::size_t k = i; k > 0 && changes[k].at < changes[k - 1].at; --k)
        std::swap(changes[k], changes[k - 1]);
    }
    speed_ = 0.0;
    double alpha = 0.0;
    double beta = 0.0;
    for (std::size_t i = 0; i + 1 < n; ++i) {
      alpha += changes[i].step;
      beta += changes[i].slope;
      const double length = changes[i + 1].at - changes[i].at;
      if (!(length > 0.0)) continue;
      piece({alpha, beta, length});
      alpha += beta * length;
    }
    speed_ = 0.0;
  }
  void rest(double length) {
    if (length > 0.0) piece({0.0, 0.0, length});
  }

  void piece(const Piece& p) {
    double done = 0.0;
    for (int events = 0; done < p.length && events < 100'000; ++events)
      done = slip_ == 0.0 ? stick(p, done) : slide(p, done);
    speed_ += p.alpha * p.length + p.beta * p.length * p.length / 2.0;
  }
  [[nodiscard]] double speed(const Piece& p, double t) const {
    return speed_ + t * (p.alpha + p.beta * t / 2.0);
  }
  [[nodiscard]] double travel(const Piece& p, double t) const {
    return t * (speed_ + t * (p.alpha / 2.0 + p.beta * t / 6.0));
  }
  void see(double v, double force) { visit_(std::abs(v), std::abs(force)); }

  // Root of a function that changes sign between two times.
  template <class F>
  static double crossing(double low, double high, F&& f) {
    double f_low = f(low);
    double f_high = f(high);
    for (int i = 0; i < 60 && high - low > 1e-13 * (1.0 + high); ++i) {
      // Regula falsi, halved where an end stays: Illinois.
      double x = low + (high - low) * (f_low / (f_low - f_high));
      if (!(x > low && x < high)) x = (low + high) / 2.0;
      const double y = f(x);
      if ((y < 0.0) == (f_low < 0.0)) {
        low = x;
        f_low = y;
        f_high /= 2.0;
      } else {
        high = x;
        f_high = y;
        f_low /= 2.0;
      }
      if (y == 0.0) return x;
    }
    return high;
  }

  double stick(const Piece& p, double from) {
    const double hold = load_.friction + load_.breakaway;
    const double start = travel(p, from);
    const auto force = [&](double t) {
      return square_ * (z_ + travel(p, t) - start) + 2.0 * sigma_ * speed(p, t);
    };
    double before = from;
    if (std::abs(force(from)) > hold) return let_go(p, from, force(from));
    const bool still = p.alpha == 0.0 && p.beta == 0.0 && speed_ == 0.0;
    while (before < p.length) {
      const double t = still ? p.length : std::min(p.length, before + step_);
      const double f = force(t);
      if (std::abs(f) > hold) {
        const double sign = f > 0.0 ? 1.0 : -1.0;
        const double at = crossing(before, t, [&](double x) { return sign * force(x) - hold; });
        z_ += travel(p, at) - start;
        return let_go(p, at, sign * hold);
      }
      see(speed(p, t), f);
      before = t;
    }
    z_ += travel(p, p.length) - start;
    return p.length;
  }
  double let_go(const Piece& p, double t, double force) {
    see(speed(p, t), force);
    slip_ = force > 0.0 ? 1.0 : -1.0;
    rate_ = speed(p, t);
    return t;
  }

  double slide(const Piece& p, double from) {
    const double drag = load_.friction * slip_;
    // Forced stretch: rest + drift (t - from).
    const double drift = p.beta / square_;
    const double now = p.alpha + p.beta * from;
    const double rest = (now + drag - 2.0 * sigma_ * drift) / square_;
    double c = z_ - rest;
    double d = (rate_ - drift + sigma_ * c) / damped_;
    double t = from;
    const double fade = std::exp(-sigma_ * step_);
    const double turn_c = fade * std::cos(damped_ * step_);
    const double turn_s = fade * std::sin(damped_ * step_);
    const auto free_rate = [&](double cc, double dd) { return -sigma_ * cc + damped_ * dd; };
    const auto force = [&](double at, double cc, double dd) {
      return p.alpha + p.beta * at + drag + square_ * cc + 2.0 * sigma_ * free_rate(cc, dd);
    };
    double older = 0.0;
    double old = force(t, c, d);
    int seen = 1;
    see(speed(p, t), old);
    while (t < p.length) {
      const double h = std::min(step_, p.length - t);
      double next_c = 0.0;
      double next_d = 0.0;
      const auto advance = [&](double dt) {
        const double e = std::exp(-sigma_ * dt);
        const double x = e * std::cos(damped_ * dt);
        const double y = e * std::sin(damped_ * dt);
        next_c = c * x + d * y;
        next_d = d * x - c * y;
      };
      if (h < step_) {
        advance(h);
      } else {
        next_c = c * turn_c + d * turn_s;
        next_d = d * turn_c - c * turn_s;
      }
      const double end = h < step_ ? p.length : t + h;
      const auto load_speed = [&](double at) {
        return slip_ * (speed(p, at) - drift - free_rate(next_c, next_d));
      };
      if (load_speed(end) < 0.0) {
        const double at = crossing(t, end, [&](double x) {
          advance(x - t);
          const double v = load_speed(x);
          return x == t ? std::max(v, 1e-300) : v;
        });
        advance(at - t);
        const double f = force(at, next_c, next_d);
        see(speed(p, at), f);
        z_ = rest + drift * (at - from) + next_c;
        rate_ = speed(p, at);
        if (std::abs(f) <= load_.friction + load_.breakaway) {
          slip_ = 0.0;
          ++sticks_;
        } else {
          slip_ = f > 0.0 ? 1.0 : -1.0;
        }
        return at;
      }
      const double f = force(end, next_c, next_d);
      see(speed(p, end), f);
      if (h == step_ && seen >= 2 && (old - older) * (f - old) < 0.0) {
        // A crest between the steps, by the parabola through three of them.
        const double bend = f - 2.0 * old + older;
        const double slope = (f - older) / 2.0;
        see(speed(p, t - slope / bend * step_), old - slope * slope / (2.0 * bend));
      }
      older = old;
      old = f;
      ++seen;
      c = next_c;
      d = next_d;
      t = end;
    }
    z_ = rest + drift * (p.length - from) + c;
    rate_ = drift + free_rate(c, d);
    return p.length;
  }

  StickingLoad load_;
  double sigma_;
  double damped_;
  double square_;
  double step_;
  Visit visit_;
  double sense_ = 1.0;
  double speed_ = 0.0;  // of the command where the piece begins
  double z_;            // stretch
  double rate_ = 0.0;   // of the stretch, while the load slips
  double slip_ = 0.0;   // sense of the slip, 0 while it sticks
  int sticks_ = 0;
};

/// Runs the moves; see `StickingRun`.
template <class Visit>
int run_sticking_load(const StickingLoad& load, const RunOfMoves& command, int steps_per_period,
                      Visit visit) {
  StickingRun<Visit> run(load, steps_per_period, visit);
  run.run(command);
  return run.sticks();
}

}  // namespace pitchline::testing
