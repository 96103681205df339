// expect-error: (too many arguments|invalid initialization of reference|no matching function)
#include "pitchline/motor/bus_voltage.hpp"

// The voltage before and the voltage allowed: only their names tell them apart.
pitchline::Energy taken(pitchline::Voltage bus, pitchline::Voltage limit,
                        pitchline::Capacitance capacitance) {
#ifdef MUST_FAIL
  return pitchline::motor::absorbed_energy(limit, bus, capacitance);
#else
  return pitchline::motor::absorbed_energy({.bus = bus, .limit = limit}, capacitance);
#endif
}
