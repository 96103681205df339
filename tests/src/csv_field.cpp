#include "detail/csv_field.hpp"

#include "support/catch.hpp"

namespace pitchline::io::detail {
namespace {

TEST_CASE("a field of a CSV table is quoted as RFC 4180 asks", "[io][published]") {
  // RFC 4180, section 2, rules 6 and 7.
  CHECK(csv_field("aaa") == "aaa");
  CHECK(csv_field("b,b") == "\"b,b\"");
  CHECK(csv_field("b\r\nbb") == "\"b\r\nbb\"");
  CHECK(csv_field("b\"bb") == "\"b\"\"bb\"");
  CHECK(csv_field(" b") == "\" b\"");
  CHECK(csv_field("").empty());
}

TEST_CASE("no field of a CSV table is a formula", "[io]") {
  CHECK(csv_field("=1+1,2") == "\"'=1+1,2\"");
  CHECK(csv_field("+cmd") == "'+cmd");
  CHECK(csv_field("-x") == "'-x");
  CHECK(csv_field("@SUM(A1)") == "'@SUM(A1)");
  CHECK(csv_field(" =1") == "' =1");
  CHECK(csv_field("\t=1") == "'\t=1");
  CHECK(csv_field("-") == "'-");
}

TEST_CASE("a number stays a number in a CSV table", "[io]") {
  for (const char* number : {"-1.5", "+2", "1e-3", "-1.25e+06", "0"})
    CHECK(csv_field(number) == number);
}

}  // namespace
}  // namespace pitchline::io::detail
