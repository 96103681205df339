#include "pitchline/belt/service_factor.hpp"

#include "support/catch.hpp"

namespace pitchline {
namespace {

using belt::FactorUse;
using belt::ServiceFactor;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using parts::Construction;

TEST_CASE("service_factor gives the printed table", "[belt][published]") {
  // [GT3 manual] p. 11, Q.
  using belt::DailyUse;
  using belt::DriveClass;
  const auto row = [](DriveClass drive, double a, double b, double c) {
    CHECK_THAT(service_factor(drive, DailyUse::up_to_8_hours), WithinRel(a, 1e-15));
    CHECK_THAT(service_factor(drive, DailyUse::up_to_16_hours), WithinRel(b, 1e-15));
    CHECK_THAT(service_factor(drive, DailyUse::up_to_24_hours), WithinRel(c, 1e-15));
  };
  row(DriveClass::office_normal_torque, 1.0, 1.2, 1.4);
  row(DriveClass::office_high_torque, 1.2, 1.4, 1.6);
  row(DriveClass::machine_tool_normal_torque, 1.3, 1.5, 1.7);
  row(DriveClass::machine_tool_high_torque, 1.6, 1.8, 2.0);
  // The printed rows: < 1.25, 1.25-1.74, 1.75-2.49, 2.5-3.49, >= 3.5.
  CHECK(belt::speed_up_addition(0.5) == 0.0);
  CHECK(belt::speed_up_addition(1.24) == 0.0);
  CHECK(belt::speed_up_addition(1.25) == 0.1);
  CHECK(belt::speed_up_addition(1.75) == 0.2);
  CHECK(belt::speed_up_addition(2.5) == 0.3);
  CHECK(belt::speed_up_addition(3.5) == 0.4);
}

TEST_CASE("the usual service factor is that of the maker's edition", "[belt][published]") {
  const auto factor = [](Construction construction, FactorUse use) {
    return belt::usual_service_factor(construction, use).factor.value();
  };
  for (const FactorUse use :
       {FactorUse::clamped_strand, FactorUse::clamped_teeth, FactorUse::rotating_reduction}) {
    // [GT3 manual] p. 11, Q: machine tools, the group that lists stepper motors, up to 8 hours.
    CHECK_THAT(factor(Construction::rubber_glass, use), WithinRel(1.6, 1e-15));
    CHECK(factor(Construction::unknown, use) == 1.0);
  }
  for (const Construction polyurethane :
       {Construction::polyurethane_steel, Construction::polyurethane_heavy_steel}) {
    // [Optibelt manual] section 4, Q: c2 = 2.0; [Elatech] p. 55, Q: pretension + peripheral force.
    CHECK(factor(polyurethane, FactorUse::clamped_teeth) == 2.0);
    CHECK(factor(polyurethane, FactorUse::clamped_strand) == 1.0);
    CHECK_THAT(factor(polyurethane, FactorUse::rotating_reduction), WithinRel(1.6, 1e-15));
  }
}

TEST_CASE("a service factor below one and a speed ratio of zero are refused", "[belt][error]") {
  CHECK_THROWS_MATCHES(ServiceFactor(0.9), InvalidInput,
                       Message("service factor must be >= 1 and <= 10, got 0.9"));
  CHECK_THROWS_AS(ServiceFactor(std::nan("")), InvalidInput);
  CHECK_THROWS_AS(belt::speed_up_addition(0), InvalidInput);
}

}  // namespace
}  // namespace pitchline
