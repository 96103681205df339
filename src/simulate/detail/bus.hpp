#pragma once

#include <algorithm>
#include <cmath>

#include "pitchline/simulate/axis.hpp"

namespace pitchline::simulate::detail {

// The capacitor gives what a step took, and the supply makes it up as far as it can. The voltage
// stands still within a step.
struct PlainBus {
  double no_load = 0, resistance = 0, capacitance = 0, voltage = 0;
  double supplied = 0, lost = 0, gained = 0, lowest = 0, highest = 0;

  explicit PlainBus(const Bus& b)
      : no_load(in_volts(b.no_load)),
        resistance(in_ohms(b.resistance)),
        capacitance(in_farads(b.capacitance)),
        voltage(no_load),
        lowest(no_load),
        highest(no_load) {}

  void take(double energy, double time) {
    const double before = voltage;
    fill(time / 2.0);  // half before and half after, so that the error goes with the step squared
    const double left = voltage * voltage - 2.0 * energy / capacitance;
    if (!(left > 0.0))
      throw OutsideValidity("the capacitor of the bus is empty: the supply is too weak");
    voltage = std::sqrt(left);
    fill(time / 2.0);
    gained += 0.5 * capacitance * (voltage * voltage - before * before);
    lowest = std::min(lowest, voltage);
    highest = std::max(highest, voltage);
  }

 private:
  void fill(double time) {
    if (!(voltage < no_load)) return;
    const double drained = voltage;
    voltage = resistance > 0.0
                  ? no_load - (no_load - drained) * std::exp(-time / (resistance * capacitance))
                  : no_load;
    const double charge = capacitance * (voltage - drained);
    const double kept = 0.5 * capacitance * (voltage * voltage - drained * drained);
    // Without resistance the current is spread over the step, and nothing is lost.
    const double given = resistance > 0.0 ? no_load * charge : kept;
    supplied += given;
    lost += given - kept;
  }
};

}  // namespace pitchline::simulate::detail
