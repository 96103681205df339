#include "pitchline/units/error.hpp"

#include "pitchline/units/literals.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {
using Catch::Matchers::Message;
using namespace pitchline::literals;

TEST_CASE("a refused input says field, rule, value and unit", "[units][error]") {
  CHECK(std::string(InvalidInput("lead", "> 0", -8, "mm").what()) == "lead must be > 0, got -8 mm");
  CHECK(std::string(InvalidInput("lead", "> 0", in_metres(unset<Length>()), "m").what()) ==
        "lead must be > 0, got nan m");
  CHECK(std::string(InvalidInput("efficiency", "<= 1", 90, "").what()) ==
        "efficiency must be <= 1, got 90");
}

TEST_CASE("a refused input just past its limit does not read as the limit", "[units][error]") {
  // Six digits would print "must be <= 1, got 1".
  CHECK(std::string(InvalidInput("efficiency", "<= 1", 1.0000001, "").what()) ==
        "efficiency must be <= 1, got 1.0000001");
}

// Two lengths of one part: the compiler cannot tell them apart, the names must.
struct Screw {
  Length mean_diameter = unset<Length>();
  Length lead = unset<Length>();
};
void check(const Screw& screw) {
  if (!(screw.mean_diameter > metres(0)))
    throw InvalidInput("mean_diameter", "> 0", in_millimetres(screw.mean_diameter), "mm");
  if (!(screw.lead > metres(0)))
    throw InvalidInput("lead", "> 0", in_millimetres(screw.lead), "mm");
}

TEST_CASE("fields of one dimension are told apart by name", "[units][error]") {
  CHECK_NOTHROW(check({.mean_diameter = 7_mm, .lead = 2_mm}));
  CHECK_THROWS_MATCHES(check({.mean_diameter = 7_mm}), InvalidInput,
                       Message("lead must be > 0, got nan mm"));
  CHECK_THROWS_MATCHES(check({.lead = 2_mm}), InvalidInput,
                       Message("mean_diameter must be > 0, got nan mm"));
}

TEST_CASE("a number outside the validity of a formula is another error than a bad input",
          "[units][error]") {
  CHECK(std::string(OutsideValidity("screw locks").what()) == "screw locks");
  CHECK_THROWS_AS(throw OutsideValidity("screw locks"), std::domain_error);
  CHECK_THROWS_AS(throw InvalidInput("lead", "> 0", 0, "m"), std::invalid_argument);
}

}  // namespace
}  // namespace pitchline
