#include "pitchline/check/search/what_binds.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "pitchline/check/rows/drive.hpp"
#include "pitchline/check/rows/motor_condition.hpp"
#include "pitchline/check/search/halved_by_margin.hpp"
#include "pitchline/motion/move_demand.hpp"

namespace pitchline::check {

AxisState at_acceleration(const AxisState& s, Acceleration a) {
  AxisState other = s;
  other.axis.want.acceleration = a;
  return other;
}

namespace {

// A row that is not known does not stop the search: it is named as not known.
bool allows(const Finding& f) { return !(f.margin < 1.0); }

// An axis that is asked for one acceleration after another. What the move asks at an acceleration
// is worked out once, whichever mechanism comes to it.
class AskedAxis {
 public:
  explicit AskedAxis(const AxisState& s) : tried_(s) { tried_.in_words = false; }

  const AxisState& at(Acceleration a) {
    tried_.axis.want.acceleration = a;
    const auto known = known_.find(a);
    if (known != known_.end()) {
      tried_.known_move = wanted_move(tried_.axis.want);
      tried_.known_loads = known->second;
    } else {
      known_.emplace(a, tried_.loads());
    }
    return tried_;
  }

 private:
  AxisState tried_;
  std::map<Acceleration, MoveLoads> known_{};
};

bool allows(const Mechanism& mechanism, const AxisState& asked) {
  return mechanism.allows ? mechanism.allows(asked) : allows(mechanism.judge(asked));
}

// Over a short stroke a harder acceleration reaches a higher speed, so that what binds the speed
// binds the acceleration too.
bool binds_speed(const AxisState& s, const Mechanism& mechanism) {
  return mechanism.binds != Binds::acceleration && !(s.top_speed() < s.axis.want.speed);
}

Binding bound_of(const Finding& now, const Mechanism& mechanism) {
  Binding b;
  b.key = now.key;
  b.what = mechanism.what;
  b.margin = now.margin;
  b.verdict = now.verdict;
  b.reason = now.reason;
  return b;
}

Binding speed_binding(const AxisState& s, const Finding& now, const Mechanism& mechanism) {
  Binding b = bound_of(now, mechanism);
  if (now.margin == now.margin)
    b.allowed = allows(now) ? unlimited<Acceleration>() : Acceleration{};
  // The lag of the rotor grows with speed, but no closed form gives the speed back.
  if (mechanism.binds == Binds::speed_at_all) return b;
  b.speed_limit = now.margin * s.top_speed();
  b.verdict = judge(b.margin);
  return b;
}

// The largest acceleration between two rungs that a mechanism allows.
Acceleration allowed_between(const Mechanism& mechanism, AskedAxis& asked, Acceleration good,
                             Acceleration bad) {
  if (mechanism.allows)
    return motion::halved_between(good, bad,
                                  [&](Acceleration a) { return mechanism.allows(asked.at(a)); });
  return halved_by_margin({.good = good, .bad = bad},
                          [&](Acceleration a) { return mechanism.judge(asked.at(a)).margin; });
}

// As `motion::largest_holding`, of what has a margin not below 1.
Acceleration largest_by_margin(Acceleration most,
                               const std::function<double(Acceleration)>& margin) {
  Acceleration good{};
  for (const Acceleration& a : motion::accelerations_up_to(most)) {
    if (margin(a) < 1.0)
      return good > Acceleration{} ? halved_by_margin({.good = good, .bad = a}, margin) : good;
    good = a;
  }
  return most;
}

// As `motion::largest_holding`.
Acceleration largest_allowed(const Mechanism& mechanism, AskedAxis& asked, Acceleration most) {
  if (mechanism.allows)
    return motion::largest_holding(most,
                                   [&](Acceleration a) { return mechanism.allows(asked.at(a)); });
  return largest_by_margin(most,
                           [&](Acceleration a) { return mechanism.judge(asked.at(a)).margin; });
}

Binding acceleration_binding(const AxisState& s, AskedAxis& asked, const Mechanism& mechanism) {
  const Finding now = mechanism.judge(s);
  Binding b = bound_of(now, mechanism);
  const bool has_margin = !mechanism.allows;
  if (has_margin && now.margin != now.margin) {
    b.verdict = Verdict::unsure;
    return b;
  }
  const Acceleration most = hardest_for(s);
  const auto holds = [&](Acceleration a) { return allows(mechanism, asked.at(a)); };
  if (s.seen.breakaway > Force{}) {
    const motion::HeldRange range = motion::widest_holding(most, holds);
    b.allowed = range.most;
    b.least = range.least;
  } else {
    b.allowed = largest_allowed(mechanism, asked, most);
  }
  if (now.margin_with_factor == now.margin_with_factor)
    b.customary = largest_by_margin(
        most, [&](Acceleration a) { return mechanism.judge(asked.at(a)).margin_with_factor; });
  if (b.allowed >= most) {
    b.allowed = unlimited<Acceleration>();
  } else if (has_margin) {
    b.reason = mechanism.judge(at_acceleration(s, b.allowed)).reason;
  }
  const Acceleration wanted = s.axis.want.acceleration;
  b.margin = wanted < b.least ? number(wanted / b.least) : number(b.allowed / wanted);
  // What is unsure at the wanted acceleration is made neither sure nor a failure by a search.
  const bool sure = has_margin ? now.verdict != Verdict::unsure : now.verdict == Verdict::holds;
  b.verdict = sure ? judge(b.margin) : Verdict::unsure;
  return b;
}

}  // namespace

std::vector<Mechanism> mechanisms(const AxisState& s, const SupplyJudge& supply) {
  std::vector<Mechanism> list;
  for (const Row& row : rows()) {
    if (row.binds == Binds::nothing || !row.applies(s)) continue;
    if (row.is_asked != nullptr && !row.is_asked(s)) continue;
    list.push_back({row.mechanism, row.binds, row.judge, row.allows});
  }
  list.push_back({"supply power", Binds::acceleration, supply, {}});
  return list;
}

Binding binding_of(const AxisState& s, const Mechanism& mechanism) {
  if (binds_speed(s, mechanism)) return speed_binding(s, mechanism.judge(s), mechanism);
  AskedAxis asked(s);
  return acceleration_binding(s, asked, mechanism);
}

std::vector<Binding> what_binds(const AxisState& s, const SupplyJudge& supply) {
  std::vector<Binding> list{};
  AskedAxis asked(s);
  for (const Mechanism& each : mechanisms(s, supply)) {
    list.push_back(binds_speed(s, each) ? speed_binding(s, each.judge(s), each)
                                        : acceleration_binding(s, asked, each));
  }
  std::stable_sort(list.begin(), list.end(), [](const Binding& x, const Binding& y) {
    if (is_unset(x.allowed) || is_unset(y.allowed)) return !is_unset(x.allowed);
    return x.allowed < y.allowed;
  });
  return list;
}

Acceleration least_acceleration(const std::vector<Binding>& binds) {
  Acceleration least{};
  for (const Binding& each : binds) least = std::max(least, each.least);
  return least;
}

Acceleration allowed_acceleration(const std::vector<Binding>& binds) {
  if (binds.empty() || is_unset(binds.front().allowed)) return unlimited<Acceleration>();
  const Acceleration most = binds.front().allowed;
  return most > least_acceleration(binds) ? most : Acceleration{};
}

namespace {

// The first mechanism, in their order, that does not allow what is asked.
const Mechanism* first_against(const std::vector<Mechanism>& all, const AxisState& asked) {
  for (const Mechanism& each : all)
    if (!allows(each, asked)) return &each;
  return nullptr;
}

// The rung below the first that is refused, sought upwards or downwards from one nearby; none where
// all down to the lowest are refused.
std::size_t rung_near(const std::vector<Acceleration>& ladder, Acceleration near,
                      const std::function<bool(Acceleration)>& holds) {
  const auto above = std::upper_bound(ladder.begin(), ladder.end(), near);
  auto rung = static_cast<std::size_t>(above - ladder.begin());
  rung = std::min(rung, ladder.size() - 1);
  while (rung > 0 && !holds(ladder[rung])) --rung;
  if (!holds(ladder[rung])) return ladder.size();
  while (rung + 1 < ladder.size() && holds(ladder[rung + 1])) ++rung;
  return rung;
}

}  // namespace

FirstToBind first_to_bind(const AxisState& s, const SupplyJudge& supply, Acceleration near) {
  std::vector<Mechanism> by_acceleration;
  const std::vector<Mechanism> all = mechanisms(s, supply);
  AskedAxis asked(s);
  const bool sticks = s.seen.breakaway > Force{};
  const std::vector<Acceleration> ladder = motion::accelerations_up_to(hardest_for(s));
  for (const Mechanism& each : all) {
    const AxisState& wanted = asked.at(s.axis.want.acceleration);
    const double margin = each.allows ? 1.0 : each.judge(wanted).margin;
    if (binds_speed(s, each)) {
      if (margin < 1.0) return {Acceleration{}, std::string(each.what)};
    } else if (margin == margin) {
      if (!sticks && !allows(each, asked.at(ladder.front())))
        return {Acceleration{}, std::string(each.what)};
      by_acceleration.push_back(each);
    }
  }
  const auto holds = [&](Acceleration a) {
    return first_against(by_acceleration, asked.at(a)) == nullptr;
  };
  std::size_t rung = rung_near(ladder, is_finite(near) ? near : ladder.front(), holds);
  if (rung == ladder.size()) {
    // The stretch that holds may begin above.
    rung = 0;
    while (rung < ladder.size() && !holds(ladder[rung])) ++rung;
    if (rung == ladder.size())
      return {Acceleration{}, std::string(first_against(by_acceleration, asked.at(near))->what)};
    while (rung + 1 < ladder.size() && holds(ladder[rung + 1])) ++rung;
  }
  if (rung + 1 == ladder.size())
    return s.axis.want.jerk_time > seconds(0)
               ? FirstToBind{hardest_for(s), "jerk time"}
               : FirstToBind{unlimited<Acceleration>(), std::string(all.front().what)};
  // Between two rungs only what refuses the upper one is asked again, each by itself.
  FirstToBind first;
  for (const Mechanism& each : by_acceleration) {
    if (allows(each, asked.at(ladder[rung + 1]))) continue;
    const Acceleration up_to = allowed_between(each, asked, ladder[rung], ladder[rung + 1]);
    if (up_to < first.allowed) first = {up_to, std::string(each.what)};
  }
  return first;
}

}  // namespace pitchline::check
