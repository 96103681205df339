#include "pitchline/check/axis_state.hpp"
#include "pitchline/check/check_machine.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"
#include "support/is_near.hpp"
#include "support/kite_loft.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::Message;
using Catch::Matchers::WithinRel;
using machine::Machine;
using report::Finding;
using report::Verdict;
using testing::detail;
using testing::IsNear;

// The kite loft with all that its belt rows need, so that each test spoils one thing. The belt runs
// over a span of 1.7 m with 1.5 m of travel: nearest to the drive pulley x = 0.1 m, and the strand
// there takes 1 - x/(2 S) = 1 - 0.1/3.4 of the force.
constexpr double share = 1.0 - 0.1 / 3.4;

Machine loft() {
  Machine m = testing::kite_loft();
  axis::BeltAxis& drive = machine::belt_drive(m.axes.front());
  drive.motor.shaft_diameter = millimetres(5);
  drive.motor.shaft_load = newtons(80);
  drive.belt.profile.pitch_line_differential = {millimetres(0.254), "invented"};
  drive.belt.profile.tooth_height = {millimetres(0.76), "invented"};
  drive.belt.profile.open_ended_tension.rows.front().value = newtons(200);
  return m;
}
axis::BeltAxis& drive(Machine& m) { return machine::belt_drive(m.axes.front()); }
machine::BeltFitting& fitting(Machine& m) { return m.axes.front().fitting; }

// What the belt is pulled with; checked by hand where it is worked out.
double peak(const Machine& m) {
  return in_newtons(check::belt_peak_force(check::state_of(m, m.axes.front())));
}

Finding found(const Machine& m, const std::string& key) {
  return testing::row(check::check_machine(m), key);
}
bool has(const Machine& m, const std::string& key) {
  const report::Report report = check::check_machine(m);
  for (const Finding& f : report.axes.front().findings)
    if (f.key == key) return true;
  return false;
}

TEST_CASE("the belt's strength is judged with the maker's service factor by hand",
          "[check][property]") {
  Machine m = loft();
  const double force = peak(m);
  // Set to F share, so that the slack strand just stays tight; the tight one then has 2 F share,
  // and with 1.6 times the pull F share + 1.6 F share: more than 1.6 F, which a single strand would
  // carry.
  const Finding strand = found(m, "belt_tension");
  CHECK_THAT(detail(strand, "tension to set, each strand"), WithinRel(force * share, 1e-9));
  CHECK_THAT(detail(strand, "without service factor"), WithinRel(2.0 * force * share, 1e-9));
  // The far strand goes slack under 1.6 F far from the pulley as well: then 1.6 F alone counts.
  const double factored = std::max((1.0 + 1.6) * force * share, 1.6 * force);
  const double slack_near = 1.6 * force;  // the near strand slack, the far one carries all
  CHECK(factored > slack_near);
  CHECK_THAT(detail(strand, "with service factor"), WithinRel(factored, 1e-9));
  CHECK_THAT(strand.margin_with_factor, WithinRel(200.0 / factored, 1e-9));
  // The customary factor decides nothing.
  CHECK_THAT(strand.value.coherent(), WithinRel(2.0 * force * share, 1e-9));
  CHECK_THAT(strand.margin, WithinRel(200.0 / (2.0 * force * share), 1e-9));
  CHECK_THAT(strand.source, Contains("GT3 manual 2014"));
  CHECK_THAT(strand.reason, Contains("service factor of 1.6"));

  const Finding teeth = found(m, "tooth_mesh");
  CHECK_THAT(teeth.value.coherent(), WithinRel(force, 1e-9));
  CHECK_THAT(detail(teeth, "with service factor"), WithinRel(1.6 * force, 1e-9));
  CHECK_THAT(detail(teeth, "margin with service factor"), WithinRel(200.0 / (1.6 * force), 1e-9));
}

TEST_CASE("what only a handbook's factor exceeds is tight, what the builder's exceeds fails",
          "[check][property]") {
  Machine m = loft();
  const double force = peak(m);
  axis::BeltAxis& d = drive(m);
  const auto bears = [&](double x) {
    d.belt.profile.open_ended_tension.rows.front().value = newtons(x * force);
  };
  bears(1.59);
  CHECK(found(m, "tooth_mesh").verdict == Verdict::tight);
  CHECK_THAT(found(m, "tooth_mesh").reason, Contains("customary service factor of 1.6"));
  CHECK_THAT(found(m, "tooth_mesh").remedy, Contains("drive.service_factor"));
  bears(1.61);
  CHECK(found(m, "tooth_mesh").verdict == Verdict::holds);
  bears(0.99);
  CHECK(found(m, "tooth_mesh").verdict == Verdict::fails);

  bears(1.59);
  fitting(m).service_factor = belt::ServiceFactor(1.6);
  CHECK(found(m, "tooth_mesh").verdict == Verdict::fails);
  CHECK_THAT(found(m, "tooth_mesh").source, Contains("as given in drive.service_factor"));
  fitting(m).service_factor = belt::ServiceFactor(1.0);
  CHECK(found(m, "tooth_mesh").verdict == Verdict::holds);
  CHECK_THAT(found(m, "tooth_mesh").reason, Contains("no service factor"));
  CHECK_THAT(found(m, "tooth_mesh").value.coherent(), WithinRel(force, 1e-9));
}

TEST_CASE("a polyurethane belt has the factor of its makers", "[check][property]") {
  Machine m = loft();
  parts::BeltProfile& profile = drive(m).belt.profile;
  profile.construction = parts::Construction::polyurethane_steel;
  profile.tooth_strength = {
      .at_speed = {{revolutions_per_minute(10'000), newtons_per_millimetre(1.0)}},
      .counted_at_most = 12,
      .source = "invented"};
  const double force = peak(m);
  CHECK_THAT(found(m, "belt_tension").value.coherent(), WithinRel(2.0 * force * share, 1e-9));
  CHECK_THAT(found(m, "belt_tension").source, Contains("Elatech catalogue p. 55 adds none"));
  const Finding teeth = found(m, "tooth_mesh");
  CHECK_THAT(detail(teeth, "with service factor"), WithinRel(2.0 * force, 1e-9));
  // 10 of 20 teeth in mesh, 9 mm wide, 1 N/mm each.
  CHECK_THAT(teeth.limit.coherent(), WithinRel(90.0, 1e-12));
  CHECK_THAT(teeth.source, Contains("Optibelt manual section 4"));
}

TEST_CASE("a tension that the file gives is used and may leave a strand slack",
          "[check][property]") {
  Machine m = loft();
  CHECK_FALSE(has(m, "slack_strand"));
  const double force = peak(m);
  const double given = 0.8 * force;
  fitting(m).tension = newtons(given);
  const Finding slack = found(m, "slack_strand");
  // The near strand takes `share` of the force and is gone when that is all of its tension.
  CHECK_THAT(slack.value.coherent(), WithinRel(given / share, 1e-12));
  CHECK_THAT(slack.limit.coherent(), WithinRel(force, 1e-12));
  CHECK_THAT(slack.margin, WithinRel(0.8 / share, 1e-12));
  CHECK(slack.verdict == Verdict::fails);
  CHECK_THAT(slack.remedy, Contains("slack strand lets teeth jump"));
  CHECK_THAT(detail(slack, "tension that keeps both tight"), WithinRel(force * share, 1e-12));
  // E A = 3115 N/mm times 9 mm; 0.1 m of belt on one side and 3.3 m on the other, or those alone.
  CHECK_THAT(detail(slack, "stiffness there, both tight"),
             WithinRel(28'035.0 * (1.0 / 0.1 + 1.0 / 3.3), 1e-12));
  CHECK_THAT(detail(slack, "stiffness there, one slack"), WithinRel(28'035.0 / 3.3, 1e-12));

  // With the tension given: 0.8 F + F share while both are tight.
  const Finding strand = found(m, "belt_tension");
  CHECK_THAT(detail(strand, "tension that is set, each strand"), WithinRel(given, 1e-12));
  CHECK_THAT(strand.reason, Contains("as the file says"));
  CHECK_THAT(found(m, "shaft_load").value.coherent(), WithinRel(2.0 * given, 1e-12));

  fitting(m).tension = newtons(force * share * (1 + 1e-9));
  CHECK(found(m, "slack_strand").verdict == Verdict::tight);
  fitting(m).tension = newtons(1.2 * force * share);
  CHECK(found(m, "slack_strand").verdict == Verdict::holds);
  CHECK(found(m, "slack_strand").remedy.empty());

  // Below the least of the maker nobody can be sure, whatever the margin.
  drive(m).belt.profile.least_tension = {.rows = {{millimetres(9), newtons(2.0 * force)}},
                                         .source = "invented"};
  CHECK(found(m, "belt_tension").verdict == Verdict::unsure);
  CHECK_THAT(found(m, "belt_tension").remedy, Contains("the least of the maker"));
}

TEST_CASE("a slack strand is found without the stiffness of the belt", "[check][property]") {
  Machine m = loft();
  drive(m).belt.profile.stiffness_per_width = unset<Stiffness>();
  const double force = peak(m);
  fitting(m).tension = newtons(0.5 * force);
  const Finding f = found(m, "slack_strand");
  CHECK(f.verdict == Verdict::fails);
  CHECK_THROWS(detail(f, "stiffness there, one slack"));
}

TEST_CASE("the shaft is set against what the grooves of the pulley leave", "[check][published]") {
  Machine m = loft();
  Finding f = found(m, "pulley_bore");
  // 20 teeth of 2 mm: 12.22 mm over the teeth, printed; less twice 0.76 mm of tooth.
  CHECK_THAT(millimetres(1000.0 * detail(f, "diameter over the teeth")),
             IsNear(millimetres(12.22), millimetres(0.005)));
  CHECK_THAT(millimetres(1000.0 * f.limit.coherent()),
             IsNear(millimetres(12.22 - 1.52), millimetres(0.005)));
  CHECK_THAT(millimetres(1000.0 * detail(f, "wall under the grooves")),
             IsNear(millimetres((12.22 - 1.52 - 5.0) / 2.0), millimetres(0.003)));
  CHECK(f.verdict == Verdict::holds);

  // 12 teeth: 24/pi - 0.508 - 1.52 = 5.611 mm.
  drive(m).pulley_teeth = 12;
  f = found(m, "pulley_bore");
  CHECK_THAT(f.margin, WithinRel((24.0 / std::numbers::pi - 2.028) / 5.0, 1e-9));
  CHECK(f.verdict == Verdict::tight);
  CHECK_FALSE(f.remedy.empty());
  drive(m).motor.shaft_diameter = millimetres(6.35);
  CHECK(found(m, "pulley_bore").verdict == Verdict::fails);
  // The same shaft, but only because motors of this frame usually have it, or a thicker one.
  drive(m).motor.shaft_diameter = unset<Length>();
  drive(m).motor.frame = 23;
  f = found(m, "pulley_bore");
  CHECK(f.verdict == Verdict::unsure);
  CHECK_THAT(f.value.coherent(), WithinRel(8e-3, 1e-12));
  CHECK_THAT(f.reason, Contains("6.35 mm or 8 mm"));
  CHECK_THAT(f.remedy, Contains("shaft = "));
  CHECK_THAT(f.source, Contains("usual for frame 23"));
}

TEST_CASE("a bore that does not fit the shaft fails, whatever the wall", "[check][property]") {
  Machine m = loft();
  fitting(m).bore = millimetres(5);
  CHECK(found(m, "pulley_bore").verdict == Verdict::holds);
  CHECK_THAT(found(m, "pulley_bore").reason, Contains("the bore of 5 mm fits"));
  for (const double bore : {6.35, 4.0}) {
    CAPTURE(bore);
    fitting(m).bore = millimetres(bore);
    const Finding f = found(m, "pulley_bore");
    CHECK(f.verdict == Verdict::fails);
    CHECK_THAT(f.margin, WithinRel(std::min(5.0 / bore, bore / 5.0), 1e-12));
    CHECK_THAT(f.remedy, Contains("a bore of 5 mm"));
    CHECK_THAT(detail(f, "bore less shaft"), WithinRel(1e-3 * (bore - 5.0), 1e-9));
  }
  // Nobody said the shaft: frame 17 usually has 5 mm, which proves nothing.
  drive(m).motor.shaft_diameter = unset<Length>();
  drive(m).motor.frame = 17;
  CHECK(found(m, "pulley_bore").verdict == Verdict::unsure);
  fitting(m).bore = millimetres(5);
  CHECK(found(m, "pulley_bore").verdict == Verdict::holds);
  // Frame 23 has two usual shafts, so a bore fits one of them at most.
  drive(m).motor.frame = 23;
  fitting(m).bore = millimetres(6.35);
  CHECK(found(m, "pulley_bore").verdict == Verdict::unsure);
}

TEST_CASE("a shaft or grooves that nobody stated are asked for", "[check][property]") {
  Machine m = loft();
  drive(m).motor.shaft_diameter = unset<Length>();
  Finding f = found(m, "pulley_bore");
  CHECK(f.verdict == Verdict::unsure);
  CHECK(f.value_text == "unknown");
  CHECK_THAT(f.remedy, Contains("shaft = "));
  m = loft();
  drive(m).belt.profile.tooth_height = {};
  f = found(m, "pulley_bore");
  CHECK(f.verdict == Verdict::unsure);
  CHECK_THAT(f.reason, Contains("no source gives the grooves"));
  // Even so, a bore that is no fit is known to be none.
  fitting(m).bore = millimetres(8);
  CHECK(found(m, "pulley_bore").verdict == Verdict::fails);
}

TEST_CASE("twice the tension stands against what the motor's shaft bears", "[check][property]") {
  Machine m = loft();
  fitting(m).tension = newtons(30);
  Finding f = found(m, "shaft_load");
  CHECK_THAT(f.value.coherent(), WithinRel(60.0, 1e-12));
  CHECK_THAT(f.margin, WithinRel(80.0 / 60.0, 1e-12));
  CHECK(f.verdict == Verdict::holds);
  drive(m).motor.shaft_load = newtons(59);
  CHECK(found(m, "shaft_load").verdict == Verdict::fails);
  drive(m).motor.shaft_load = unset<Force>();
  f = found(m, "shaft_load");
  CHECK(f.verdict == Verdict::unsure);
  CHECK(std::isnan(f.margin));
  CHECK_THAT(f.value.coherent(), WithinRel(60.0, 1e-12));
  CHECK_THAT(f.remedy, Contains("60.00 N") && Contains("data sheet"));
}

TEST_CASE("a motor with a shaft of no size is refused", "[check][error]") {
  parts::StepperMotor motor = testing::kite_loft_drive().motor;
  CHECK_NOTHROW(require_valid(motor));
  motor.shaft_diameter = millimetres(-5);
  CHECK_THROWS_MATCHES(require_valid(motor), InvalidInput,
                       Message("shaft diameter must be > 0, got -5 mm"));
  motor.shaft_diameter = millimetres(5);
  motor.shaft_load = newtons(0);
  CHECK_THROWS_MATCHES(require_valid(motor), InvalidInput,
                       Message("shaft load must be > 0, got 0 N"));
}

}  // namespace
}  // namespace pitchline
