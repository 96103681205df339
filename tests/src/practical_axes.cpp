// Axes of a practical kind: small frames, thin belts, a light head at 500 mm/s and 3 m/s².

#include <fmt/format.h>

#include <array>
#include <string>

#include "pitchline/io/catalogue.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/prove/arbitrate.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

struct Practical {
  const char* motor;
  const char* current;
  const char* profile;
  const char* width;
  double mass;
  const char* jerk_time;
};

std::string text_of(const Practical& x) {
  return fmt::format(R"([machine]
name = "kite loft, an axis of a practical kind"
torque_margin = 1.1
[supply]
voltage = "36 V"
power = "350 W"
[controller]
pulse_rate = "200 kHz"
decimals = 3
[axis.x]
travel = "600 mm"
moving_mass = "{:.1f} kg"
guide = {{ kind = "profile rail", friction = 0.004, drag = "3 N" }}
motor = {{ like = "{}", shaft_load = "60 N" }}
driver = {{ current = "{}", current_is = "rms", pulses_per_turn = 3200 }}
drive = {{ kind = "belt", profile = "{}", width = "{}", pulley_teeth = 20, belt = "open ended", span = "760 mm" }}
want = {{ speed = "500 mm/s", acceleration = "3 m/s^2", position_error = "0.25 mm", corner_error = "1 mm" }}
move = {{ jerk_time = "{}" }}
)",
                     x.mass, x.motor, x.current, x.profile, x.width, x.jerk_time);
}

TEST_CASE("axes of a practical kind end without unsure", "[io][check]") {
  constexpr std::array motors = {std::array{"nema17 48mm 2A", "1.7 A"},
                                 std::array{"nema23 56mm 2.8A", "2.4 A"}};
  constexpr std::array belts = {std::array{"GT 2 mm", "6 mm"}, std::array{"GT 2 mm", "9 mm"},
                                std::array{"GT 3 mm", "15 mm"}};
  int all = 0;
  int sure = 0;
  std::string unsure;
  for (const auto& motor : motors) {
    for (const auto& belt : belts) {
      for (const double mass : {0.6, 1.2}) {
        for (const char* jerk_time : {"0 s", "40 ms"}) {
          const Practical x{motor[0], motor[1], belt[0], belt[1], mass, jerk_time};
          const machine::Machine m =
              io::read_machine(text_of(x), "practical.toml", io::standard_catalogue());
          const report::Report report = prove::checked(m, {.influences = false});
          ++all;
          std::string here;
          for (const report::Finding& f : report.axes.front().findings)
            if (f.verdict == report::Verdict::unsure) here += " " + f.key;
          if (here.empty())
            ++sure;
          else
            unsure += fmt::format("\n{} {} {} {} {}:{}", motor[0], belt[0], belt[1], mass,
                                  jerk_time, here);
        }
      }
    }
  }
  CAPTURE(unsure);
  CHECK(all == 24);
  CHECK(sure >= 18);
}

}  // namespace
}  // namespace pitchline
