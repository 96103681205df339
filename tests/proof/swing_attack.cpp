// Looks for a move that asks its motor for more than the bound on swings allows: many moves by
// chance, and a climb from the worst of them. pitchline_swing_attack [evaluations] [seed]
#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <map>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "support/swing_attack.hpp"

namespace {

using pitchline::testing::Attack;
using pitchline::testing::Attacker;

struct Worst {
  double ratio = 0.0;
  Attack attack{};
};

// Kinds of attack that are shown apart, so that one does not hide the others.
std::string kind_of(const Attack& x) {
  std::string kind;
  kind += x.friction > 0.0 ? "friction" : "no friction";
  if (x.breakaway > 0.0) kind += ", static";
  if (x.jerk_time > 0.0) kind += x.cruise < x.jerk_time ? ", jerk, overlapping" : ", jerk";
  kind += x.moves > 1 ? ", repeated" : ", once";
  if (x.wound) kind += ", wound";
  return kind;
}

int run(long evaluations, std::uint32_t seed) {
  std::map<std::string, Worst> worst;
  std::mutex guard;
  const unsigned threads = std::max(1U, std::thread::hardware_concurrency());
  std::vector<std::thread> pool;
  for (unsigned i = 0; i < threads; ++i) {
    pool.emplace_back([&, i] {
      // Every other one also takes overlapping ramps and friction next to nothing.
      Attacker attacker(seed + i);
      attacker.overlap = i % 2 == 1 || threads == 1;
      if (attacker.overlap) {
        attacker.most_breakaway = 1e9;
        attacker.least_friction = 1e-5;
      }
      attacker.search(evaluations / static_cast<long>(threads),
                      [&](const Attack& attack, double ratio) {
                        const std::lock_guard lock(guard);
                        Worst& kept = worst[kind_of(attack)];
                        if (ratio > kept.ratio) kept = {ratio, attack};
                      });
    });
  }
  for (std::thread& thread : pool) thread.join();
  int exceeded = 0;
  for (const auto& [kind, kept] : worst) {
    // Finer steps tell an excess from the crest that a parabola puts too high.
    const double ratio = pitchline::testing::outcome_of(kept.attack, 320).ratio;
    fmt::print("{:<46} {:.5f}  {}\n", kind, ratio, pitchline::testing::in_words(kept.attack));
    if (ratio > 1.0) ++exceeded;
  }
  fmt::print("{} evaluations, {} kinds of move exceed the bound\n", evaluations, exceeded);
  return exceeded == 0 ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  const long evaluations = argc > 1 ? std::atol(argv[1]) : 1'000'000;
  const unsigned long seed = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 1;
  return run(evaluations, static_cast<std::uint32_t>(seed));
}
