#include "pitchline/settings/controller_values.hpp"
#include "pitchline/io/print_controller_values.hpp"

#include <charconv>
#include <functional>
#include <locale>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <string>
#include <utility>

#include "pitchline/check/check_machine.hpp"
#include "pitchline/io/read_machine.hpp"
#include "support/catch.hpp"
#include "support/project_folder.hpp"

namespace pitchline {
namespace {

using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using io::TemplateList;
using io::TemplateName;
using io::TemplateScope;
using io::TemplateText;
using report::ControllerValues;

ControllerValues values_of(const std::string& name) {
  const std::string path = testing::reference_folder() + "/machines/" + name;
  const machine::Machine machine =
      io::read_machine(io::read_file(path), path, io::standard_catalogue());
  return settings::controller_values(machine, check::check_machine(machine));
}

std::string filled(const std::string& form, const ControllerValues& values) {
  return io::fill_template(form, "form.txt", io::controller_names(values));
}

// Every scope of a tree, its lists' items and its groups.
void visit(const TemplateScope& scope, const std::function<void(const TemplateScope&)>& see) {
  see(scope);
  for (const TemplateName& name : scope.names) {
    if (const auto* group = std::get_if<TemplateScope>(&name.value)) visit(*group, see);
    if (const auto* list = std::get_if<TemplateList>(&name.value)) {
      for (const TemplateScope& item : list->items) visit(item, see);
    }
  }
}

TEST_CASE("no line of the values is wider than 80 columns", "[values]") {
  const std::string file = GENERATE("kite-loft.toml", "too-weak.toml", "gantry-1300.toml",
                                    "shaft-driven.toml", "lift-and-spool.toml");
  CAPTURE(file);
  const ControllerValues values = values_of(file);
  for (const std::string& all : {io::print_controller_values(values),
                                 io::print_template_names(io::controller_names(values))}) {
    std::istringstream text(all);
    for (std::string line; std::getline(text, line);) {
      CAPTURE(line);
      CHECK(line.size() <= 80);
      CHECK(line.find("nan") == std::string::npos);
      CHECK(line.find(" inf") == std::string::npos);
    }
  }
}

TEST_CASE("no name of an axis hides one around it", "[values]") {
  const TemplateScope names = io::controller_names(values_of("shaft-driven.toml"));
  std::set<std::string> machine;
  for (const TemplateName& name : names.names) CHECK(machine.insert(name.name).second);
  for (const TemplateName& name : names.names) {
    const auto* axes = std::get_if<TemplateList>(&name.value);
    if (axes == nullptr) continue;
    std::set<std::string> axis = machine;
    for (const TemplateName& inner : axes->items.front().names) {
      CHECK(axis.insert(inner.name).second);
      if (const auto* list = std::get_if<TemplateList>(&inner.value)) {
        std::set<std::string> innermost = axis;
        for (const TemplateName& last : list->each.names) CHECK(innermost.insert(last.name).second);
        CHECK(innermost.size() > axis.size());
      }
    }
    CHECK(axis.size() > machine.size());
  }
}

TEST_CASE("every name has a meaning, and every number with a unit reads back without a locale",
          "[values]") {
  // What a locale with decimal commas and grouped thousands makes of numbers.
  struct Comma : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
  };
  const std::string file = GENERATE("kite-loft.toml", "shaft-driven.toml", "lift-and-spool.toml");
  const ControllerValues values = values_of(file);
  const std::string plain = io::print_template_names(io::controller_names(values));
  const std::locale before = std::locale::global(std::locale(std::locale(), new Comma));
  const TemplateScope names = io::controller_names(values);
  const std::string form =
      filled("{{#axes}}{{speed_mm_per_min}} {{steps_per_mm}};{{/axes}}", values);
  const std::string printed = io::print_template_names(names);
  std::locale::global(before);
  CHECK(printed == plain);
  CHECK(form.find(',') == std::string::npos);
  int numbers = 0;
  visit(names, [&](const TemplateScope& scope) {
    for (const TemplateName& name : scope.names) {
      CAPTURE(scope.label, name.name);
      if (scope.label != "axis") CHECK_FALSE(name.meaning.empty());
      const auto* text = std::get_if<TemplateText>(&name.value);
      if (text == nullptr || !text->text || name.unit.empty() || name.name.ends_with("_exact"))
        continue;
      ++numbers;
      double x = 0.0;
      const char* end = text->text->data() + text->text->size();
      const auto [stop, error] = std::from_chars(text->text->data(), end, x);
      CHECK(stop == end);
      CHECK(text->text->find('e') == std::string::npos);
    }
  });
  CHECK(numbers > 40);
}

TEST_CASE("names stand for the values of the machine file", "[values]") {
  // Of reference/machines/kite-loft.toml: x at 350 mm/s and 3 m/s² over 50 ms, 1.7 A RMS, 3200
  // pulses over 20 teeth of 2 mm; y at 3200 pulses over 16 teeth of 3 mm, 200/3 = 66.667 a mm, so
  // 0.005 mm too far over 1000 mm, and 5 mm with 67.
  const ControllerValues loft = values_of("kite-loft.toml");
  CHECK(filled("{{machine}} {{decimals}} {{most_pulse_rate}}", loft) == "Kite loft 3 200000");
  CHECK(filled("{{#axis.x}}{{speed_mm_per_s}} {{speed_mm_per_min}} {{acceleration_mm_per_s2}} "
               "{{jerk_mm_per_s3}} {{jerk_time_ms}} {{travel_mm}} {{steps_per_mm}} "
               "{{pulse_rate}}{{/axis.x}}",
               loft) == "350 21000 3000 60000 50 1500 66.667 23333.3333");
  CHECK(filled("{{#axis.x}}{{current_rms_a}} {{current_peak_a}} {{current_rms_ma}} "
               "{{current_peak_ma}} {{microsteps}} {{pulses_per_turn}} {{motors}}{{/axis.x}}",
               loft) == "1.7 2.404 1700 2404 16 3200 1");
  CHECK(filled("{{#axis.y}}{{steps_per_mm}} {{steps_per_mm_exact}} {{steps_per_mm_error_mm}} "
               "{{steps_per_mm_whole}} {{steps_per_mm_whole_error_mm}} {{um_per_pulse}} "
               "{{mm_per_pulse}} {{um_per_pulse_exact}} {{um_per_pulse_error_mm}} "
               "{{motors}}{{/axis.y}}",
               loft) == "66.667 200/3 0.005 67 5 15.000 0.015000 15 0 2");
  CHECK(filled("{{#axes}}{{index}}{{number}}{{name}}{{^last}},{{/last}}{{/axes}}", loft) ==
        "01x,12y");
  CHECK(filled("{{#axes}}{{#turning}}t{{/turning}}{{#straight}}s{{/straight}}{{drive}} "
               "{{#holds}}ok {{/holds}}{{#fails}}bad{{/fails}}{{/axes}}",
               loft) == "sbelt ok sbelt ok ");
  // Of lift-and-spool.toml: 3200 pulses through 3 to 1 are 80/3 a degree, 1/80 of a degree too far
  // by 26.667: 360 · 0.000333/26.6667 = 0.0045; 120 mm/s at a radius of 40 mm are 3 rad/s.
  const ControllerValues spool = values_of("lift-and-spool.toml");
  CHECK(filled("{{#axis.a}}{{steps_per_degree}} {{steps_per_degree_exact}} "
               "{{steps_per_degree_error_deg}} {{steps_per_degree_whole}} "
               "{{steps_per_degree_whole_error_deg}} {{degrees_per_pulse_exact}} {{diameter_mm}} "
               "{{speed_deg_per_s}} {{rest_rms_a}} {{drive}}{{/axis.a}}",
               spool) == "26.667 80/3 0.0045 27 4.5 3/80 80 171.9 1 chuck");
  CHECK(filled("{{#axis.a}}{{^travel_mm}}turns{{/travel_mm}}{{/axis.a}}", spool) == "turns");
}

TEST_CASE("JSON carries the values in SI units and as they are typed", "[values]") {
  const ControllerValues values = values_of("lift-and-spool.toml");
  const auto json = nlohmann::json::parse(io::controller_values_as_json(values));
  CHECK(json["schema"] == 1);
  CHECK(json["verdict"] == "holds");
  REQUIRE(json["axes"].size() == 2);
  const auto& z = json["axes"][0];
  CHECK(z["name"] == "z");
  CHECK(z.at("turning").is_null());
  CHECK_THAT(z["travel"]["value"].get<double>(), WithinRel(0.12, 1e-12));
  CHECK(z["travel"]["unit"] == "m");
  CHECK_THAT(z["current_rms_at_rest"]["value"].get<double>(), WithinRel(1.5, 1e-12));
  CHECK(z["overruns"].size() == 4);
  CHECK(z.at("overruns").at(0).at("settled").is_null());
  CHECK(z.at("line_room").is_null());
  const auto& a = json["axes"][1];
  CHECK(a.at("travel").is_null());
  CHECK(a["turning"]["steps_per_degree"]["exact"] == "80/3");
  CHECK(a["turning"]["steps_per_degree"]["kept"].get<double>() == 26.667);
  CHECK(a["turning"]["steps_per_degree"]["kept_text"] == "26.667");
  CHECK(a["turning"]["steps_per_degree"]["error"]["unit"] == "rad");
  CHECK(a["steps_per_mm"]["decimals"] == 3);
  CHECK(a["steps_per_mm"]["error"]["unit"] == "m");
}

TEST_CASE("values that fail the check say so in text, JSON and names", "[values]") {
  const ControllerValues values = values_of("too-weak.toml");
  CHECK_THAT(io::print_controller_values(values), Contains("the check fails with these values") &&
                                                      Contains("these values fail the check by"));
  const auto json = nlohmann::json::parse(io::controller_values_as_json(values));
  CHECK(json["verdict"] == "fails");
  CHECK_FALSE(json["axes"][0]["fails"].empty());
  CHECK(filled("{{^all_hold}}no{{/all_hold}}{{#all_hold}}yes{{/all_hold}}", values) == "no");
  CHECK_THAT(filled("{{#axes}}{{^holds}}{{fails}}{{/holds}}{{/axes}}", values),
             Contains("torque margin"));
}

TEST_CASE("a figure that rounds to zero is offered to nobody", "[values]") {
  // The spool turns by 3/80 of a degree a pulse: without decimals, that is zero.
  ControllerValues values = values_of("lift-and-spool.toml");
  values.axes[1].turning->degrees_per_pulse =
      motion::kept_travel(values.axes[1].turning->degrees_per_pulse.exact, 0);
  CHECK_THAT(io::print_controller_values(values), Contains("rounds to zero: of no use"));
  CHECK_THROWS_AS(filled("{{axis.a.degrees_per_pulse}}", values), io::UnusableInput);
  CHECK(filled("{{^axis.a.degrees_per_pulse}}none{{/axis.a.degrees_per_pulse}}", values) == "none");
  const auto json = nlohmann::json::parse(io::controller_values_as_json(values));
  CHECK(json.at("axes").at(1).at("turning").at("degrees_per_pulse").at("kept").is_null());
  CHECK(json.at("axes").at(1).at("turning").at("degrees_per_pulse").at("error").is_null());
}

TEST_CASE("a raster shows its overruns with the room for them", "[values]") {
  const ControllerValues values = values_of("shaft-driven.toml");
  CHECK_THAT(io::print_controller_values(values),
             Contains("overrun beside a raster line, of which 100 mm have room:") &&
                 Contains("with settling"));
  CHECK(filled("{{axis.x.line_room_mm}}", values) == "100");
  // 350 mm/s in quarters, and the 300 mm/s of the raster among them.
  CHECK(filled("{{#axis.x}}{{#overruns}}{{line_speed_mm_per_s}} {{/overruns}}{{/axis.x}}",
               values) == "87.5 175 262.5 300 350 ");
}

}  // namespace
}  // namespace pitchline
