#include "pitchline/units/nearest.hpp"

#include <array>

#include "support/catch.hpp"

namespace pitchline {
namespace {

TEST_CASE("spelling_distance counts four quarters a change and one for case", "[units][property]") {
  CHECK(spelling_distance("pulse", "pulse") == 0);
  CHECK(spelling_distance("pulse", "pulses") == 4);  // one letter more
  CHECK(spelling_distance("puls", "pulse") == 4);
  CHECK(spelling_distance("pulze", "pulse") == 4);
  CHECK(spelling_distance("pusle", "pulse") == 4);  // neighbours swapped
  CHECK(spelling_distance("Pulse", "pulse") == 1);
  CHECK(spelling_distance("RPM", "rpm") == 3);
  CHECK(spelling_distance("", "rpm") == 12);
  CHECK(spelling_distance("rpm", "") == 12);
}

TEST_CASE("spelling_distance is the same both ways", "[units][property]") {
  const std::array words{"mm", "rpm", "Nm", "tooth", "teeth", "pulse", ""};
  for (const auto* a : words) {
    for (const auto* b : words) CHECK(spelling_distance(a, b) == spelling_distance(b, a));
  }
}

TEST_CASE("nearest_word finds the word meant and nothing where none is close",
          "[units][property]") {
  const std::array known{"m", "in", "ft", "rpm", "deg", "tooth", "pulse"};
  CHECK(nearest_word("f", known) == "ft");
  CHECK(nearest_word("RPM", known) == "rpm");
  CHECK(nearest_word("dge", known) == "deg");
  CHECK(nearest_word("toth", known) == "tooth");
  CHECK(nearest_word("M", known) == "m");
  CHECK(nearest_word("q", known) == std::nullopt);
  CHECK(nearest_word("furlong", known) == std::nullopt);
  CHECK(nearest_word("", known) == std::nullopt);
  CHECK(nearest_word("m", std::array<const char*, 0>{}) == std::nullopt);
}

TEST_CASE("nearest_word goes on from a word cut short", "[units][property]") {
  // A word cut short comes before one with a letter changed, whatever the case.
  const std::vector<std::string> belts{"AT3", "GT 2 mm", "GT 3 mm"};
  CHECK(nearest_word("GT3", belts) == "GT 3 mm");
  CHECK(nearest_word("gt3", belts) == "GT 3 mm");
  const std::array known{"holding torque", "torque", "mass"};
  CHECK(nearest_word("holding", known) == "holding torque");
  CHECK(nearest_word("hol", known) == "holding torque");
  CHECK(nearest_word("ho", known) == std::nullopt);
}

TEST_CASE("nearest_word takes the first of equals", "[units][property]") {
  CHECK(nearest_word("xx", std::array{"ax", "bx"}) == "ax");
  CHECK(nearest_word("xx", std::array{"bx", "ax"}) == "bx");
}

}  // namespace
}  // namespace pitchline
