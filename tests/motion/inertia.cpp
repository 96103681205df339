#include "pitchline/motion/inertia.hpp"

#include "pitchline/parts/solid_cylinder.hpp"
#include "support/catch.hpp"
#include "support/is_near.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using motion::carried_inertia;
using testing::IsNear;

Inertia kgm2(double x) { return kilogram_square_metres(x); }

TEST_CASE("carried_inertia and a solid screw give two makers' printed inertias",
          "[motion][published]") {
  // [Yaskawa E-V-MD] p. 30, Q: 250 kg on a screw of lead 10 mm behind 2:1; printed JL1 1.58e-4.
  const Transmission lead = millimetres(10) / revolution;
  CHECK_THAT(carried_inertia(kilograms(250), lead / 2.0), IsNear(kgm2(1.58e-4), kgm2(0.005e-4)));
  // The screw itself, 20 mm by 1 m: printed JB 0.31e-4 at the motor. Density 7870 kg/m3 (C).
  const parts::SolidCylinder screw{
      .diameter = millimetres(20), .length = metres(1), .density = kilograms_per_cubic_metre(7870)};
  CHECK_THAT(Inertia(parts::inertia(screw) / 4.0), IsNear(kgm2(0.31e-4), kgm2(0.005e-4)));
  // [FANUC alpha] p. 44, Q: screw 32 mm by 1 m, 7800 kg/m3, Jb 0.0008; 1000 kg at 8 mm, Jw 0.00162.
  const parts::SolidCylinder thick{
      .diameter = millimetres(32), .length = metres(1), .density = kilograms_per_cubic_metre(7800)};
  CHECK_THAT(parts::inertia(thick), IsNear(kgm2(0.0008), kgm2(0.00005)));
  CHECK_THAT(carried_inertia(kilograms(1000), millimetres(8) / revolution),
             IsNear(kgm2(0.00162), kgm2(0.000005)));
}

TEST_CASE("inertia of a solid cylinder is half its mass times its radius squared",
          "[motion][property]") {
  // The other common form, m r^2/2.
  const double d = GENERATE(take(10, random(0.005, 0.2)));
  const double l = GENERATE(take(3, random(0.01, 2.0)));
  CAPTURE(d, l);
  const Density steel = kilograms_per_cubic_metre(7850);
  const Length r = metres(d / 2.0);
  const Mass mass = std::numbers::pi * r * r * metres(l) * steel;
  const Inertia expected = 0.5 * mass * r * r / (radian * radian);
  const Inertia met =
      parts::inertia({.diameter = metres(d), .length = metres(l), .density = steel});
  CHECK_THAT(number(met / expected), WithinRel(1.0, 1e-12));
}

TEST_CASE("carried_inertia stores the energy of the mass in straight motion",
          "[motion][property]") {
  const double m = GENERATE(take(10, random(0.1, 50.0)));
  const double t = GENERATE(take(5, random(1e-4, 0.05)));
  CAPTURE(m, t);
  const Transmission transmission = metres_per_radian(t);
  const AngularSpeed speed = radians_per_second(40);
  const Speed travel = speed * transmission;
  const Energy turning = 0.5 * carried_inertia(kilograms(m), transmission) * speed * speed;
  const Energy straight = 0.5 * kilograms(m) * travel * travel;
  CHECK_THAT(number(turning / straight), WithinRel(1.0, 1e-12));
}

TEST_CASE("carried_inertia and inertia refuse what their tables exclude", "[motion][error]") {
  const Transmission t = metres_per_radian(0.01);
  CHECK_THROWS_MATCHES(carried_inertia(unset<Mass>(), t), InvalidInput,
                       Message("mass must be >= 0, got nan kg"));
  CHECK_THROWS_MATCHES(carried_inertia(kilograms(1), metres_per_radian(0)), InvalidInput,
                       Message("transmission must be > 0, got 0 m/rad"));
  const parts::SolidCylinder good{
      .diameter = millimetres(20), .length = metres(1), .density = kilograms_per_cubic_metre(7870)};
  auto bad = good;
  bad.diameter = unset<Length>();
  CHECK_THROWS_MATCHES(parts::inertia(bad), InvalidInput,
                       Message("diameter must be > 0, got nan m"));
  bad = good;
  bad.length = metres(-1);
  CHECK_THROWS_MATCHES(parts::inertia(bad), InvalidInput, Message("length must be > 0, got -1 m"));
  bad = good;
  bad.density = kilograms_per_cubic_metre(0);
  CHECK_THROWS_MATCHES(parts::inertia(bad), InvalidInput,
                       Message("density must be > 0, got 0 kg/m^3"));
}

}  // namespace
}  // namespace pitchline
