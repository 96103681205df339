#include "pitchline/units/require.hpp"

#include <cmath>
#include <limits>

#include "support/catch.hpp"

namespace pitchline {
namespace {
using Catch::Matchers::Message;

TEST_CASE("a range check lets through what its rule names", "[units]") {
  CHECK_NOTHROW(require_positive("mass", kilograms(1e-300)));
  CHECK_NOTHROW(require_positive("turns", 2));
  CHECK_NOTHROW(require_positive_or_infinite("stiffness", unlimited<Stiffness>()));
  CHECK_NOTHROW(require_not_negative("mass", kilograms(0)));
  CHECK_NOTHROW(require_not_negative("share", 0.0));
  CHECK_NOTHROW(require_not_negative_or_infinite("stiffness", unlimited<Stiffness>()));
  CHECK_NOTHROW(require_finite("lag", degrees(-3)));
  CHECK_NOTHROW(require_given("x", metres(-3)));
  CHECK_NOTHROW(require_in_range("incline", degrees(0), degrees(0), degrees(90)));
  CHECK_NOTHROW(require_in_range("incline", degrees(90), degrees(0), degrees(90)));
  CHECK_NOTHROW(require_in_range("starts", 20, 1, 20));
  CHECK_NOTHROW(require_at_least("teeth", 1, 1));
}

TEST_CASE("a range check names field, rule, value and the unit of the kind", "[units][error]") {
  CHECK_THROWS_MATCHES(require_positive("mass", kilograms(0)), InvalidInput,
                       Message("mass must be > 0, got 0 kg"));
  CHECK_THROWS_MATCHES(require_positive("span", metres(-1)), InvalidInput,
                       Message("span must be > 0, got -1000 mm"));
  CHECK_THROWS_MATCHES(require_positive("span", metres(-1), shown::metres), InvalidInput,
                       Message("span must be > 0, got -1 m"));
  CHECK_THROWS_MATCHES(require_positive("turns", 0), InvalidInput,
                       Message("turns must be > 0, got 0"));
  CHECK_THROWS_MATCHES(require_not_negative("drag", newtons(-2)), InvalidInput,
                       Message("drag must be >= 0, got -2 N"));
  CHECK_THROWS_MATCHES(require_in_range("incline", degrees(91), degrees(0), degrees(90)),
                       InvalidInput, Message("incline must be from 0 to 90, got 91 deg"));
  CHECK_THROWS_MATCHES(require_in_range("share", 1.5, 0, 1), InvalidInput,
                       Message("share must be from 0 to 1, got 1.5"));
  CHECK_THROWS_MATCHES(require_at_least("teeth", 3, 4), InvalidInput,
                       Message("teeth must be >= 4, got 3"));
  CHECK_THROWS_MATCHES(require_at_least("service factor", 0.9, 1), InvalidInput,
                       Message("service factor must be >= 1, got 0.9"));
  CHECK_THROWS_AS(require_at_least("service factor", std::nan(""), 1), InvalidInput);
  CHECK_THROWS_MATCHES(require_finite("rise", unlimited<TemperatureRise>()), InvalidInput,
                       Message("rise must be finite, got inf K"));
  CHECK_THROWS_MATCHES(require_given("x", unset<Length>()), InvalidInput,
                       Message("x must be given and finite, got nan mm"));
}

TEST_CASE("what was never set fails every range check, and infinity all but two",
          "[units][error]") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double inf = std::numeric_limits<double>::infinity();
  const auto never = unset<Mass>();
  const auto endless = unlimited<Mass>();
  CHECK_THROWS_AS(require_positive("m", never), InvalidInput);
  CHECK_THROWS_AS(require_positive("m", nan), InvalidInput);
  CHECK_THROWS_AS(require_positive_or_infinite("m", never), InvalidInput);
  CHECK_THROWS_AS(require_positive_or_infinite("m", nan), InvalidInput);
  CHECK_THROWS_AS(require_not_negative("m", never), InvalidInput);
  CHECK_THROWS_AS(require_not_negative("m", nan), InvalidInput);
  CHECK_THROWS_AS(require_not_negative_or_infinite("m", never), InvalidInput);
  CHECK_THROWS_AS(require_not_negative_or_infinite("m", nan), InvalidInput);
  CHECK_THROWS_AS(require_finite("m", never), InvalidInput);
  CHECK_THROWS_AS(require_finite("m", nan), InvalidInput);
  CHECK_THROWS_AS(require_in_range("m", never, kilograms(0), kilograms(1)), InvalidInput);
  CHECK_THROWS_AS(require_in_range("m", nan, 0, 1), InvalidInput);
  CHECK_THROWS_AS(require_positive("m", endless), InvalidInput);
  CHECK_THROWS_AS(require_positive("m", inf), InvalidInput);
  CHECK_THROWS_AS(require_not_negative("m", endless), InvalidInput);
  CHECK_THROWS_AS(require_not_negative("m", inf), InvalidInput);
}

}  // namespace
}  // namespace pitchline
