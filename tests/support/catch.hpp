#pragma once

// The one place that includes Catch2, so that its next major version is one change.
#include <catch2/catch.hpp>

#include "pitchline/units/print.hpp"

namespace Catch {
/// Prints a quantity with its unit in a failure message instead of "{?}".
template <class Unit>
requires pitchline::Printable<boost::units::quantity<Unit, double>>
struct StringMaker<boost::units::quantity<Unit, double>> {
  static std::string convert(const boost::units::quantity<Unit, double>& q) {
    return pitchline::print(q, 10);
  }
};
}  // namespace Catch
