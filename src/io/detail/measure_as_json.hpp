#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

#include "pitchline/units/measure.hpp"

namespace pitchline::io::detail {

using Json = nlohmann::ordered_json;

/// JSON has no infinity and no NaN; null stands for "no number".
inline Json number_or_null(double x) { return std::isfinite(x) ? Json(x) : Json(nullptr); }

/// A quantity in its coherent unit, with all digits.
inline Json as_json(const Measure& measure) {
  Json j;
  j["value"] = number_or_null(measure.coherent());
  j["unit"] = measure.si_unit();
  return j;
}

/// Null where there is none.
template <Printable Q>
Json as_json(const std::optional<Q>& quantity) {
  return quantity ? as_json(Measure(*quantity)) : Json(nullptr);
}

}  // namespace pitchline::io::detail
