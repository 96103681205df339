#include "pitchline/units/unit_table.hpp"

#include <set>
#include <string>

#include "support/catch.hpp"

namespace pitchline {
namespace {
using Catch::Matchers::WithinRel;

// The factors themselves are compared with an independent program: gnu_units.cmake.

TEST_CASE("an exact symbol goes before a prefix and a symbol", "[units][property]") {
  for (const UnitSymbol& unit : unit_symbols) {
    CAPTURE(unit.symbol);
    const auto found = find_unit(unit.symbol);
    REQUIRE(found);
    CHECK(found->symbol == unit.symbol);
    CHECK(found->exponents == unit.exponents);
    CHECK(found->scale.to_coherent(1) == unit.scale.to_coherent(1));
  }
  CHECK(find_unit("min")->exponents == exponents_of<Time>);
  CHECK(find_unit("m")->exponents == exponents_of<Length>);
}

TEST_CASE("every prefix stands before every unit that takes one", "[units][property]") {
  for (const UnitPrefix& prefix : unit_prefixes) {
    for (const UnitSymbol& unit : unit_symbols) {
      const std::string text = std::string(prefix.symbol) + std::string(unit.symbol);
      CAPTURE(text);
      const auto found = find_unit(text);
      if (text == "min") continue;  // the minute; the inch takes no prefix
      REQUIRE(found.has_value() == unit.takes_prefix);
      if (!found) continue;
      CHECK(found->exponents == unit.exponents);
      CHECK_THAT(found->scale.to_coherent(1),
                 WithinRel(prefix.scale.to_coherent(1) * unit.scale.to_coherent(1), 1e-15));
    }
  }
}

TEST_CASE("no symbol stands in the table twice, with or without prefix", "[units][property]") {
  std::set<std::string> seen;
  for (const UnitSymbol& unit : unit_symbols) {
    CAPTURE(unit.symbol);
    CHECK(seen.insert(std::string(unit.symbol)).second);
    if (!unit.takes_prefix) continue;
    for (const UnitPrefix& prefix : unit_prefixes)
      CHECK(seen.insert(std::string(prefix.symbol) + std::string(unit.symbol)).second);
  }
}

TEST_CASE("find_unit knows neither a bare prefix nor two of them", "[units][error]") {
  CHECK_FALSE(find_unit(""));
  CHECK_FALSE(find_unit("k"));
  CHECK_FALSE(find_unit("kkg"));
  CHECK_FALSE(find_unit("min "));
  CHECK_FALSE(find_unit("kin"));
  CHECK_FALSE(find_unit("Nm"));
}

}  // namespace
}  // namespace pitchline
