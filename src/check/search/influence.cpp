#include "pitchline/check/search/influence.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/check/search/what_binds.hpp"

namespace pitchline::check {

namespace detail {

namespace {
// Whole teeth: a tenth, and at least one.
int changed_count(int count, double factor) {
  const int changed = static_cast<int>(std::lround(count * factor));
  return changed != count ? changed : count + (factor > 1.0 ? 1 : -1);
}

ChangedText change_mass(machine::Axis& axis, double factor) {
  if (axis.beam) axis.beam->mass *= factor;
  machine::change_moving_mass(axis.drive, factor);
  return print(machine::moving_mass(axis.drive));
}

ChangedText change_friction(machine::Axis& axis, double factor) {
  if (machine::guide_of(axis.drive) == nullptr) return std::nullopt;
  // Upright, what a guide rubs with is rounding: nothing that anybody could change.
  if (!(machine::axis_at_motor(axis.drive).friction > newtons(1e-3))) return std::nullopt;
  machine::change_drag(axis.drive, factor);
  return print(machine::axis_at_motor(axis.drive).friction);
}

// The next width that the maker lists where there is such a list, else a tenth.
ChangedText change_width(axis::BeltAxis& drive, double factor) {
  const auto& rows = drive.belt.profile.open_ended_tension.rows;
  auto next = unset<Length>();
  for (const auto& row : rows) {
    const bool beyond = factor > 1.0 ? row.width > drive.belt.width : row.width < drive.belt.width;
    const bool nearer = is_unset(next) || (factor > 1.0 ? row.width < next : row.width > next);
    if (beyond && nearer) next = row.width;
  }
  if (is_unset(next) && !rows.empty()) return std::nullopt;
  drive.belt.width = is_unset(next) ? factor * drive.belt.width : next;
  return print(drive.belt.width);
}
}  // namespace

Changeable of_belt(std::string what,
                   std::function<ChangedText(machine::Axis&, axis::BeltAxis&, double)> change) {
  return {std::move(what),
          [change = std::move(change)](machine::Machine&, machine::Axis& axis,
                                       double factor) -> ChangedText {
            auto* belt = machine::as<axis::BeltAxis>(axis.drive);
            return belt ? change(axis, *belt, factor) : std::nullopt;
          }};
}

namespace {
std::vector<Changeable> changeables() {
  using machine::Axis;
  using machine::Machine;
  return {
      {"moving mass", [](Machine&, Axis& axis, double x) { return change_mass(axis, x); }},
      of_belt("pulley teeth",
              [](Axis&, axis::BeltAxis& drive, double x) -> ChangedText {
                drive.pulley_teeth = changed_count(drive.pulley_teeth, x);
                return fmt::format("{}", drive.pulley_teeth);
              }),
      {"supply voltage",
       [](Machine& machine, Axis&, double x) -> ChangedText {
         machine.supply.voltage *= x;
         return print(machine.supply.voltage);
       }},
      {"driver current",
       [](Machine&, Axis& axis, double x) -> ChangedText {
         parts::Driver& driver = machine::driver_of(axis.drive);
         driver.current *= x;
         return print(driver.current);
       }},
      {"friction and drag",
       [](Machine&, Axis& axis, double x) { return change_friction(axis, x); }},
      of_belt("belt width",
              [](Axis&, axis::BeltAxis& drive, double x) { return change_width(drive, x); }),
      of_belt("belt tension",
              [](Axis& axis, axis::BeltAxis&, double x) -> ChangedText {
                if (is_unset(axis.fitting.tension)) return std::nullopt;
                axis.fitting.tension *= x;
                return print(axis.fitting.tension);
              }),
      {"pulses per turn",
       [](Machine&, Axis& axis, double x) -> ChangedText {
         parts::Driver& driver = machine::driver_of(axis.drive);
         const double changed = std::round(in_pulses(driver.pulses_per_turn) * x);
         driver.pulses_per_turn = pulses(changed);
         return fmt::format("{:.0f}", changed);
       }},
      {"jerk time",
       [](Machine&, Axis& axis, double x) -> ChangedText {
         Time& jerk_time = axis.want.jerk_time;
         if (!(jerk_time > seconds(0))) return std::nullopt;
         jerk_time *= x;
         return print(jerk_time);
       }},
      {"wanted speed",
       [](Machine&, Axis& axis, double x) -> ChangedText {
         axis.want.speed *= x;
         return print(axis.want.speed);
       }},
  };
}
}  // namespace

}  // namespace detail

std::vector<Influence> influences(
    const machine::Machine& machine, std::size_t place, Acceleration now,
    const std::function<FirstToBind(const machine::Machine&, std::size_t, Acceleration)>& first) {
  std::vector<Influence> list{};
  for (const Changeable& each : detail::changeables()) {
    Influence i;
    i.what = each.what;
    const auto ask = [&](double factor, std::string& text, Acceleration& allowed,
                         std::string& binds, double& change) {
      machine::Machine other = machine;
      const auto said = each.change(other, other.axes.at(place), factor);
      if (!said) return;
      text = *said;
      FirstToBind then = first(other, place, now);
      allowed = then.allowed;
      binds = std::move(then.what);
      change = number(allowed / now) - 1.0;
    };
    ask(0.9, i.less, i.allowed_less, i.binds_less, i.change_less);
    ask(1.1, i.more, i.allowed_more, i.binds_more, i.change_more);
    if (!i.less.empty() || !i.more.empty()) list.push_back(std::move(i));
  }
  const auto size = [](const Influence& i) {
    const auto known = [](double x) { return x == x ? std::fabs(x) : 0.0; };
    return std::max(known(i.change_less), known(i.change_more));
  };
  std::stable_sort(list.begin(), list.end(),
                   [&](const Influence& x, const Influence& y) { return size(x) > size(y); });
  return list;
}

}  // namespace pitchline::check
