#include "pitchline/parts/winding_connection.hpp"

#include <array>

#include "pitchline/motor/winding.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"
#include "support/windings.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using parts::Connection;
using parts::reconnected;
using parts::StepperMotor;
using testing::IsNear;

struct Column {
  Connection connection;
  StepperMotor motor;
};

// [23-305-DS8A], drawing sheet 20070513, Q: three connections of one motor. 215 and 300 N·cm are
// least values.
std::array<Column, 3> printed() {
  return {{{Connection::half_coil, testing::stepper(2.15, 3.0, 1.4, 3.2)},
           {Connection::series, testing::stepper(3.00, 2.12, 2.8, 12.8)},
           {Connection::parallel, testing::stepper(3.00, 4.2, 0.7, 3.2)}}};
}

TEST_CASE("each column of a sheet with three connections gives the other two to its rounding",
          "[motor][published]") {
  for (const Column& from : printed()) {
    for (const Column& to : printed()) {
      CAPTURE(static_cast<int>(from.connection), static_cast<int>(to.connection));
      const StepperMotor met =
          reconnected(from.motor, {.leads = 8, .stated = from.connection, .used = to.connection});
      CHECK_THAT(met.resistance, IsNear(to.motor.resistance, ohms(1e-12)));
      CHECK_THAT(met.inductance, IsNear(to.motor.inductance, millihenries(1e-12)));
      // 3.0 √2 = 4.24 A is printed 4.2, 2.12 · 2 = 4.24 A likewise: half a unit of the tenth.
      CHECK_THAT(met.rated_current, IsNear(to.motor.rated_current, amperes(0.05)));
      // 2.15 √2 = 3.04 N·m is printed 3.00; the sheet rounds to 0.05 N·m.
      CHECK_THAT(met.holding_torque, IsNear(to.motor.holding_torque, newton_metres(0.05)));
    }
  }
}

TEST_CASE("reconnecting follows the table of connections", "[motor][property]") {
  // Half coil R, L, I, T, K_t; series 2R, 4L, I/√2, √2 T, 2 K_t; parallel R/2, L, √2 I, √2 T, K_t.
  const double root = std::sqrt(2.0);
  auto half = testing::stepper(2.0, 3.0, 1.5, 3.0, 4e-5);
  half.detent_torque = newton_metres(0.08);
  const auto check = [&](Connection used, double R, double L, double I, double T, double k) {
    CAPTURE(static_cast<int>(used));
    const StepperMotor met =
        reconnected(half, {.leads = 8, .stated = Connection::half_coil, .used = used});
    CHECK_THAT(number(met.resistance / half.resistance), WithinRel(R, 1e-12));
    CHECK_THAT(number(met.inductance / half.inductance), WithinRel(L, 1e-12));
    CHECK_THAT(number(met.rated_current / half.rated_current), WithinRel(I, 1e-12));
    CHECK_THAT(number(met.holding_torque / half.holding_torque), WithinRel(T, 1e-12));
    CHECK_THAT(number(motor::torque_constant(met) / motor::torque_constant(half)),
               WithinRel(k, 1e-12));
    CHECK(met.rotor_inertia == half.rotor_inertia);
    CHECK(met.detent_torque == half.detent_torque);
    // And back.
    const StepperMotor back =
        reconnected(met, {.leads = 8, .stated = used, .used = Connection::half_coil});
    CHECK_THAT(number(back.resistance / half.resistance), WithinRel(1.0, 1e-12));
    CHECK_THAT(number(back.inductance / half.inductance), WithinRel(1.0, 1e-12));
    CHECK_THAT(number(back.rated_current / half.rated_current), WithinRel(1.0, 1e-12));
    CHECK_THAT(number(back.holding_torque / half.holding_torque), WithinRel(1.0, 1e-12));
  };
  check(Connection::half_coil, 1, 1, 1, 1, 1);
  check(Connection::series, 2, 4, 1 / root, root, 2);
  check(Connection::parallel, 0.5, 1, root, root, 1);
}

TEST_CASE("published curves follow a rewinding and are left out where other copper works",
          "[motor][property]") {
  auto series = testing::stepper(3.0, 2.12, 2.8, 12.8);
  series.curves.push_back({.points = {{radians_per_second(30), newton_metres(2)}},
                           .voltage = volts(48),
                           .amplitude = amperes(3.0),
                           .source = "invented"});
  const auto parallel =
      reconnected(series, {.leads = 8, .stated = Connection::series, .used = Connection::parallel});
  REQUIRE(parallel.curves.size() == 1);
  CHECK(parallel.curves[0].voltage == volts(24));
  CHECK(parallel.curves[0].amplitude == amperes(6));
  CHECK(parallel.curves[0].points[0].torque == newton_metres(2));
  const auto half = reconnected(
      series, {.leads = 8, .stated = Connection::series, .used = Connection::half_coil});
  CHECK(half.curves.empty());
  const auto same =
      reconnected(series, {.leads = 6, .stated = Connection::series, .used = Connection::series});
  CHECK(same.curves.size() == 1);
}

TEST_CASE("rewinding keeps torque and copper loss and scales the rest", "[motor][property]") {
  const auto motor = testing::stepper(1.9, 2.8, 1.1, 5.4);
  const auto other = parts::rewound(motor, 3.0);
  CHECK_THAT(in_ohms(other.resistance), WithinRel(9.9, 1e-12));
  CHECK_THAT(in_millihenries(other.inductance), WithinRel(48.6, 1e-12));
  CHECK_THAT(in_amperes(other.rated_current), WithinRel(2.8 / 3, 1e-12));
  CHECK(other.holding_torque == motor.holding_torque);
  CHECK_THAT(number(motor::torque_constant(other) / motor::torque_constant(motor)),
             WithinRel(3.0, 1e-12));
}

TEST_CASE("a connection that the leads do not allow is refused", "[motor][error]") {
  const auto motor = testing::stepper(1.9, 2.8, 1.1, 5.4);
  const auto refuses = [&](int leads, Connection stated, Connection used, const char* text) {
    CHECK_THROWS_MATCHES(reconnected(motor, {.leads = leads, .stated = stated, .used = used}),
                         InvalidInput, Message(text));
  };
  refuses(5, Connection::series, Connection::series, "leads must be 4, 6 or 8, got 5");
  refuses(6, Connection::single, Connection::series,
          "leads must be 4 where the halves of a winding are not brought out, got 6");
  refuses(4, Connection::single, Connection::half_coil,
          "leads must be 6 or 8 for a half coil, got 4");
  refuses(4, Connection::series, Connection::single,
          "leads must be 6 or 8 for halves in series, got 4");
  refuses(6, Connection::series, Connection::parallel,
          "leads must be 8 for halves in parallel, got 6");
  CHECK_NOTHROW(
      reconnected(motor, {.leads = 4, .stated = Connection::single, .used = Connection::single}));
  for (const double wrong : {0.0, -1.0, std::numeric_limits<double>::quiet_NaN(),
                             std::numeric_limits<double>::infinity()}) {
    CAPTURE(wrong);
    CHECK_THROWS_AS(parts::rewound(motor, wrong), InvalidInput);
  }
  CHECK_THROWS_MATCHES(parts::rewound(motor, 0), InvalidInput,
                       Message("turns ratio must be > 0, got 0"));
}

}  // namespace
}  // namespace pitchline
