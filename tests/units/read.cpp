#include "pitchline/units/read.hpp"

#include <string>

#include "pitchline/units/make.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {
using Catch::Matchers::WithinRel;

// The message and the column with which a text is refused.
struct Refusal {
  std::string message;
  std::size_t column = 0;
};
template <class Q>
Refusal refusal(std::string_view text) {
  try {
    read_quantity<Q>(text);
  } catch (const UnreadableQuantity& e) {
    return {e.what(), e.column()};
  }
  return {"it was read", 0};
}
#define CHECK_REFUSED(Type, text, at, wording) \
  do {                                         \
    const Refusal met = refusal<Type>(text);   \
    CHECK(met.message == wording);             \
    CHECK(met.column == at);                   \
  } while (false)

TEST_CASE("read_quantity reads the ways in which the trade writes", "[units][property]") {
  CHECK(read_quantity<Mass>("1.9 kg") == kilograms(1.9));
  CHECK(read_quantity<Voltage>("36 V") == volts(36));
  CHECK(read_quantity<Speed>("600 mm/s") == millimetres_per_second(600));
  CHECK(read_quantity<Torque>("0.5 N*m") == newton_metres(0.5));
  CHECK(read_quantity<Inertia>("82 g*cm^2") == gram_square_centimetres(82));
  CHECK(read_quantity<AngularSpeed>("2000 rpm") == revolutions_per_minute(2000));
  CHECK(read_quantity<Angle>("1.8 deg") == degrees(1.8));
  CHECK(read_quantity<Length>("3/4 in") == inches(0.75));
  CHECK(read_quantity<Acceleration>("5 m/s^2") == metres_per_second_squared(5));
  CHECK(read_quantity<BeltPitch>("2 mm/tooth") == millimetres_per_tooth(2));
  CHECK(read_quantity<PulsesPerLength>("80 pulse/mm") == pulses_per_millimetre(80));
  CHECK(read_quantity<PulsesPerFullStep>("16 pulses/step") == pulses_per_full_step(16));
  CHECK(read_quantity<FullStepsPerAngle>("200 steps/rev") == full_steps_per_revolution(200));
  CHECK(read_quantity<Inductance>("3 mH") == millihenries(3));
  CHECK(read_quantity<Capacitance>("4700 uF") == microfarads(4700));
}

TEST_CASE("read_quantity takes signs, exponents, fractions and spaces", "[units][property]") {
  CHECK(read_quantity<Length>("-8 mm") == millimetres(-8));
  CHECK(read_quantity<Length>("+8 mm") == millimetres(8));
  CHECK(read_quantity<Length>("8mm") == millimetres(8));
  CHECK(read_quantity<Length>(" \t8  mm \t") == millimetres(8));
  CHECK(read_quantity<Length>("8e-3 m") == metres(8e-3));
  CHECK(read_quantity<Length>("8E3 mm") == millimetres(8000));
  CHECK(read_quantity<Length>(".5 mm") == millimetres(0.5));
  CHECK(read_quantity<Length>("0 mm") == metres(0));
  CHECK(read_quantity<Length>("-3/4 in") == inches(-0.75));
  CHECK(read_quantity<Length>("1/16 in") == inches(0.0625));
  CHECK(read_quantity<Speed>("600 mm / s") == millimetres_per_second(600));
  CHECK(read_quantity<Torque>("0.5 N * m") == newton_metres(0.5));
  // A slash and a unit after the number is a unit; only a digit makes it a fraction.
  CHECK(read_quantity<Speed>("3/2 m/s") == metres_per_second(1.5));
}

TEST_CASE("read_quantity takes powers and dots in plain and in raised form", "[units][property]") {
  CHECK(read_quantity<Acceleration>("5 m/s\u00b2") == metres_per_second_squared(5));
  CHECK(read_quantity<Jerk>("50 m/s\u00b3") == metres_per_second_cubed(50));
  CHECK(read_quantity<Torque>("0.5 N\u00b7m") == newton_metres(0.5));
  CHECK(read_quantity<Torque>("0.5 N\u22c5m") == newton_metres(0.5));
  CHECK(read_quantity<Inertia>("82 g\u00b7cm\u00b2") == gram_square_centimetres(82));
  CHECK(read_quantity<Acceleration>("5 m/s/s") == metres_per_second_squared(5));
  CHECK(read_quantity<Area>("183 mm*mm") == read_quantity<Area>("183 mm^2"));
  CHECK_THAT(in_square_metres(read_quantity<Area>("183 mm^2")), WithinRel(183e-6, 1e-15));
  CHECK_THAT(in_millimetres_to_the_fourth(read_quantity<SecondMoment>("10.4 cm^4")),
             WithinRel(104'000.0, 1e-15));
  CHECK_THAT(in_kilograms_per_cubic_metre(read_quantity<Density>("7.85 g/cm^3")),
             WithinRel(7850.0, 1e-15));
  CHECK_THAT(in_square_metres(read_quantity<Area>("1 m^4/m^2")), WithinRel(1.0, 1e-15));
  CHECK_THAT(in_kilogram_square_metres(read_quantity<Inertia>("1 lb*in^2")),
             WithinRel(0.45359237 * 0.0254 * 0.0254, 1e-15));
}

TEST_CASE("read_quantity takes the micro sign, the Greek letter and u", "[units][property]") {
  CHECK(read_quantity<Length>("5 um") == micrometres(5));
  CHECK(read_quantity<Length>("5 \u00b5m") == micrometres(5));
  CHECK(read_quantity<Length>("5 \u03bcm") == micrometres(5));
}

TEST_CASE("read_quantity takes the omega and the ohm sign", "[units][property]") {
  CHECK(read_quantity<Resistance>("1.6 ohm") == ohms(1.6));
  CHECK(read_quantity<Resistance>("1.6 \u03a9") == ohms(1.6));
  CHECK(read_quantity<Resistance>("1.6 \u2126") == ohms(1.6));
  CHECK(read_quantity<Resistance>("1600 m\u2126") == ohms(1.6));
}

TEST_CASE("read_quantity rounds a decimal number once", "[units][property]") {
  int different = 0;
  for (int n = 1; n <= 2000; ++n) {
    if (read_quantity<Length>(fmt::format("{} mm", n)) != metres(n / 1000.0)) ++different;
    if (read_quantity<Length>(fmt::format("{} um", n)) != metres(n / 1e6)) ++different;
  }
  CHECK(different == 0);
}

TEST_CASE("the radian may be left out where the trade leaves it out", "[units][property]") {
  CHECK(read_quantity<Torque>("0.5 N*m") == read_quantity<Torque>("0.5 J/rad"));
  CHECK(read_quantity<Inertia>("2 kg*m^2") == read_quantity<Inertia>("2 kg*m^2/rad^2"));
  CHECK(read_quantity<TorsionalStiffness>("900 N*m/rad") ==
        read_quantity<TorsionalStiffness>("900 N*m/rad^2"));
  CHECK(read_quantity<RotaryDrag>("1e-4 N*m*s/rad") ==
        read_quantity<RotaryDrag>("1e-4 N*m*s/rad^2"));
  CHECK(read_quantity<TorqueConstant>("0.21 N*m/A") ==
        read_quantity<TorqueConstant>("0.21 V*s/rad"));
  // 3 V at 1000 rpm, as voltage constants are printed.
  CHECK_THAT(in_newton_metres_per_ampere(read_quantity<TorqueConstant>("0.003 V/rpm")),
             WithinRel(0.003 * 60 / (2 * std::numbers::pi), 1e-15));
}

TEST_CASE("an energy does not pass for a torque written short", "[units][error]") {
  CHECK_REFUSED(Torque, "0.5 J", 5,
                "expected a torque (like \"0.5 N*m\"), but \"0.5 J\" is an energy");
  CHECK_REFUSED(Torque, "0.5 W*s", 5,
                "expected a torque (like \"0.5 N*m\"), but \"0.5 W*s\" is an energy");
  CHECK(read_quantity<Energy>("2 J") == joules(2));
  CHECK(read_quantity<Energy>("2 N*m") == joules(2));
}

TEST_CASE("a torsional stiffness written short does not pass for a torque", "[units][error]") {
  CHECK_REFUSED(
      Torque, "900 N*m/rad", 5,
      "expected a torque (like \"0.5 N*m\"), but \"900 N*m/rad\" is a torsional stiffness");
}

TEST_CASE("a pulse rate may be given in Hz and nothing else may", "[units][property]") {
  CHECK(read_quantity<PulseRate>("200 kHz") == pulses_per_second(200'000));
  CHECK(read_quantity<PulseRate>("200 kpulse/s") == pulses_per_second(200'000));
  CHECK(read_quantity<Frequency>("200 kHz") == hertz(200'000));
  CHECK_REFUSED(AngularSpeed, "10 Hz", 4,
                "expected an angular speed (like \"600 rpm\"), but \"10 Hz\" is a frequency");
  CHECK_REFUSED(FullStepRate, "10 Hz", 4,
                "expected a full-step rate (like \"3000 step/s\"), but \"10 Hz\" is a frequency");
  CHECK_REFUSED(Frequency, "10 pulse/s", 4,
                "expected a frequency (like \"42 Hz\"), but \"10 pulse/s\" is a pulse rate");
}

TEST_CASE("a wrong dimension is shown beside the wanted one in words", "[units][error]") {
  CHECK_REFUSED(Torque, "0.5 N", 5,
                "expected a torque (like \"0.5 N*m\"), but \"0.5 N\" is a force");
  CHECK_REFUSED(Force, "1.9 kg", 5, "expected a force (like \"4 N\"), but \"1.9 kg\" is a mass");
  CHECK_REFUSED(Mass, "82 g*cm^2", 4,
                "expected a mass (like \"1.9 kg\"), but \"82 g*cm^2\" is an inertia");
  CHECK_REFUSED(Acceleration, "600 mm/s", 5,
                "expected an acceleration (like \"5 m/s^2\"), but \"600 mm/s\" is a speed");
  CHECK_REFUSED(BeltPitch, "2 mm", 3,
                "expected a belt pitch (like \"2 mm/tooth\"), but \"2 mm\" is a length");
  CHECK_REFUSED(FullStepsPerAngle, "3200 pulse/rev", 6,
                "expected full steps per angle (like \"200 step/rev\"), but \"3200 pulse/rev\" is "
                "pulses per angle");
  CHECK_REFUSED(Force, "0.5 N*m", 5,
                "expected a force (like \"4 N\"), but \"0.5 N*m\" is a torque or an energy");
  CHECK_REFUSED(
      Mass, "3 kg*m", 3,
      "expected a mass (like \"1.9 kg\"), but \"3 kg*m\" is of no kind that is used here");
  CHECK_REFUSED(Length, "3 m/m", 3,
                "expected a length (like \"1500 mm\"), but \"3 m/m\" is of no kind that is used "
                "here");
}

TEST_CASE("a text without a number is refused with an example", "[units][error]") {
  const std::string wording = "expected a number with a unit, a mass is written like \"1.9 kg\"";
  CHECK_REFUSED(Mass, "", 1, wording);
  CHECK_REFUSED(Mass, std::string_view{}, 1, wording);
  CHECK_REFUSED(Mass, "  ", 3, wording);
  CHECK_REFUSED(Mass, "kg", 1, wording);
  CHECK_REFUSED(Mass, "--1 kg", 1, wording);
  CHECK_REFUSED(Mass, "++1 kg", 2, wording);
  CHECK_REFUSED(Mass, "+-1 kg", 1, wording);
  CHECK_REFUSED(Mass, "\u00bd kg", 1, wording);
}

TEST_CASE("a number without a unit is refused with an example", "[units][error]") {
  CHECK_REFUSED(Length, "1300", 5, "missing unit: a length is written like \"1500 mm\"");
  CHECK_REFUSED(Length, "1300 ", 6, "missing unit: a length is written like \"1500 mm\"");
  CHECK_REFUSED(Length, "0", 2, "missing unit: a length is written like \"1500 mm\"");
  CHECK_REFUSED(Length, "3/4", 4, "missing unit: a length is written like \"1500 mm\"");
}

TEST_CASE("a decimal comma is refused where it stands", "[units][error]") {
  CHECK_REFUSED(Mass, "1,9 kg", 2, "a decimal point is wanted, not a comma");
  CHECK_REFUSED(Length, "1,500 mm", 2, "a decimal point is wanted, not a comma");
}

TEST_CASE("a number that is not finite is refused", "[units][error]") {
  CHECK_REFUSED(Length, "nan m", 1, "expected a finite number");
  CHECK_REFUSED(Length, "inf m", 1, "expected a finite number");
  CHECK_REFUSED(Length, "-infinity m", 1, "expected a finite number");
  CHECK_REFUSED(Length, "1e999 m", 1, "expected a finite number");
  CHECK_REFUSED(Length, "1e308 Gm", 1, "expected a finite number");
  CHECK_REFUSED(Length, "1/1e999 m", 3, "expected a finite number");
  CHECK_REFUSED(Length, " " + std::string(400, '9') + " m", 2, "expected a finite number");
}

TEST_CASE("a number that would become zero is refused", "[units][error]") {
  const std::string wording = "this number is too close to zero";
  CHECK_REFUSED(Length, "1e-999 m", 1, wording);
  CHECK_REFUSED(Length, "-1E-999 m", 1, wording);
  CHECK_REFUSED(Length, "0." + std::string(400, '0') + "1 m", 1, wording);
  CHECK_REFUSED(Length, "." + std::string(400, '0') + "1 m", 1, wording);
  CHECK_REFUSED(Length, "1e-320 nm", 1, wording);
}

TEST_CASE("a fraction over zero is refused", "[units][error]") {
  CHECK_REFUSED(Length, "3/0 in", 1, "division by zero");
  CHECK_REFUSED(Length, " 3/0.0 in", 2, "division by zero");
}

TEST_CASE("an unknown unit is answered with the nearest known one", "[units][error]") {
  CHECK_REFUSED(AngularSpeed, "600 RPM", 5, "unknown unit \"RPM\", did you mean \"rpm\"?");
  CHECK_REFUSED(Mass, "1.9 Kg", 5, "unknown unit \"Kg\", did you mean \"kg\"?");
  CHECK_REFUSED(Mass, "1.9 KG", 5, "unknown unit \"KG\", did you mean \"kg\"?");
  CHECK_REFUSED(Length, "12 f", 4, "unknown unit \"f\", did you mean \"ft\"?");
  CHECK_REFUSED(BeltPitch, "2 mm/toth", 6, "unknown unit \"toth\", did you mean \"tooth\"?");
}

TEST_CASE("an unknown unit that is near none is answered with an example", "[units][error]") {
  CHECK_REFUSED(Length, "12 furlong", 4,
                "unknown unit \"furlong\", a length is written like \"1500 mm\"");
  CHECK_REFUSED(Speed, "600 mm/sec", 8,
                "unknown unit \"sec\", a speed is written like \"600 mm/s\"");
  CHECK_REFUSED(Length, "12 q", 4, "unknown unit \"q\", a length is written like \"1500 mm\"");
  CHECK_REFUSED(Angle, "1.8\u00b0", 4,
                "unknown unit \"\u00b0\", an angle is written like \"1.8 deg\"");
}

TEST_CASE("the nearest unit is one that makes the wanted kind, where there is one",
          "[units][error]") {
  // By letters alone "Nm" is next to the nanometre and "MM" to the megametre.
  CHECK_REFUSED(Torque, "0.5 Nm", 5, "unknown unit \"Nm\", did you mean \"N*m\"?");
  CHECK_REFUSED(Torque, "50 Ncm", 4, "unknown unit \"Ncm\", did you mean \"N*cm\"?");
  CHECK_REFUSED(TorqueConstant, "0.21 Nm/A", 6, "unknown unit \"Nm\", did you mean \"N*m\"?");
  CHECK_REFUSED(Inertia, "82 gcm^2", 4, "unknown unit \"gcm\", did you mean \"g*cm\"?");
  CHECK_REFUSED(Inertia, "82 gcm2", 4, "unknown unit \"gcm2\", did you mean \"g*cm^2\"?");
  CHECK_REFUSED(Length, "12 MM", 4, "unknown unit \"MM\", did you mean \"mm\"?");
  CHECK_REFUSED(Pressure, "5 MPA", 3, "unknown unit \"MPA\", did you mean \"MPa\"?");
  CHECK_REFUSED(PulseRate, "200 KHZ", 5, "unknown unit \"KHZ\", did you mean \"kHz\"?");
}

TEST_CASE("the place of an error is counted in characters, not in bytes", "[units][error]") {
  CHECK_REFUSED(Torque, "5 \u00b5N\u00b7qq", 6,
                "unknown unit \"qq\", a torque is written like \"0.5 N*m\"");
  CHECK_REFUSED(Acceleration, "5 m/s\u00b2 m", 8, "expected * or / between units");
  CHECK_REFUSED(Inductance, "3 m\u03a9", 3,
                "expected an inductance (like \"3 mH\"), but \"3 m\u03a9\" is a resistance");
}

TEST_CASE("a unit that is cut short is refused where it ends", "[units][error]") {
  CHECK_REFUSED(Speed, "600 mm/", 8, "expected a unit");
  CHECK_REFUSED(Speed, "600 mm//s", 8, "expected a unit");
  CHECK_REFUSED(Torque, "0.5 *m", 5, "expected a unit");
  CHECK_REFUSED(Length, "3 / 4 in", 3, "expected a unit");
  CHECK_REFUSED(Length, "3/4/5 in", 4, "expected a unit");
  CHECK_REFUSED(Torque, "0.5 N m", 7, "expected * or / between units");
}

TEST_CASE("a power of a unit is one digit", "[units][error]") {
  const std::string wording = "a power of a unit is a digit from 1 to 4";
  CHECK_REFUSED(Area, "183 mm^", 8, wording);
  CHECK_REFUSED(Area, "183 mm^0", 8, wording);
  CHECK_REFUSED(Area, "183 mm^5", 8, wording);
  CHECK_REFUSED(Area, "183 mm^-2", 8, wording);
  CHECK_REFUSED(Area, "183 mm^x", 8, wording);
  CHECK_REFUSED(Area, "183 mm^12", 9, "expected * or / between units");
  CHECK_REFUSED(Area, "183 mm^2^2", 9, "expected * or / between units");
}

TEST_CASE("powers are added up to nine and no further", "[units][error]") {
  CHECK_REFUSED(Area, "1 m^4*m^4*m^4", 11, "this unit has too high a power");
  CHECK_REFUSED(Area, "1 m/s^4/s^4/s^4", 13, "this unit has too high a power");
  CHECK(read_quantity<Area>("1 m^4*m^4/m^4/m^2") == square_metres(1));
  std::string chain = "1 m^2";  // long, but no power is high
  for (int i = 0; i < 1000; ++i) chain += "*m/m";
  CHECK(read_quantity<Area>(chain) == square_metres(1));
}

TEST_CASE("read_coherent reads a kind that is known at run time only", "[units][property]") {
  const Kind* wanted = GENERATE(as<const Kind*>{}, kind_of<Mass>, kind_of<Pressure>);
  const double coherent = read_coherent(wanted == kind_of<Mass> ? "1.9 kg" : "5 MPa", *wanted);
  CHECK(coherent == (wanted == kind_of<Mass> ? 1.9 : 5e6));
}

}  // namespace
}  // namespace pitchline
