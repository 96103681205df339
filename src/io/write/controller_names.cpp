// The names that a template may use, each in one place: name, unit, meaning and value.

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <utility>

#include "detail/plain_number.hpp"
#include "detail/wrap.hpp"
#include "pitchline/io/print_controller_values.hpp"
#include "pitchline/report/finding.hpp"

namespace pitchline::io {
namespace {

using detail::plain_number;
using motion::KeptFigure;
using report::AxisValues;
using report::ControllerValues;
using report::OverrunAt;

constexpr int derived = 4;  // digits of what no file gives

// An axis with its place among the others.
struct AxisHere {
  const AxisValues& values;
  std::size_t index;
  std::size_t count;
};

using Filled = decltype(TemplateName::value);

Filled text(std::string value) { return TemplateText{std::move(value)}; }
Filled none() { return TemplateText{}; }
Filled condition(bool holds) { return TemplateCondition{holds}; }
Filled number(double x, int digits = detail::digits_as_given) {
  return text(plain_number(x, digits));
}
Filled whole(double x) { return text(fmt::format("{}", std::llround(x))); }

Filled kept(const KeptFigure& figure) {
  return figure.kept ? text(motion::print_decimal(*figure.kept, figure.decimals)) : none();
}
Filled exact(const KeptFigure& figure) { return text(motion::print_pi_fraction(figure.exact)); }
Filled error_mm(const KeptFigure& figure, Length travel) {
  return figure.kept ? number(in_millimetres(motion::error_over(figure, travel)), derived) : none();
}
Filled error_deg(const KeptFigure& figure) {
  return figure.kept ? number(in_degrees(motion::error_over(figure, revolutions(1))), derived)
                     : none();
}
// Of a turning axis alone.
template <class Of>
Filled if_turning(const AxisHere& a, Of of) {
  return a.values.turning ? of(*a.values.turning) : none();
}

std::string listed(const std::vector<std::string>& words) {
  return fmt::format("{}", fmt::join(words, ", "));
}

template <class Of>
struct Row {
  const char* name;
  const char* unit;
  const char* meaning;
  Filled (*value)(const Of&);
};

template <class Of, std::size_t n>
TemplateScope scope_of(std::string label, const std::array<Row<Of>, n>& rows, const Of& of) {
  TemplateScope scope{.label = std::move(label), .names = {}};
  for (const Row<Of>& row : rows)
    scope.names.push_back(
        {.name = row.name, .meaning = row.meaning, .unit = row.unit, .value = row.value(of)});
  return scope;
}

const auto overrun_rows = std::to_array<Row<OverrunAt>>({
    {"line_speed_mm_per_s", "mm/s", "speed along a line",
     [](const OverrunAt& o) { return number(in_millimetres_per_second(o.speed)); }},
    {"line_speed_mm_per_min", "mm/min", "speed along a line",
     [](const OverrunAt& o) { return number(60.0 * in_millimetres_per_second(o.speed)); }},
    {"ramp_mm", "mm", "way beside the line on which the speed is reached",
     [](const OverrunAt& o) { return number(in_millimetres(o.ramp), derived); }},
    {"overrun_mm", "mm", "the same until the swing has settled too; where a raster is described",
     [](const OverrunAt& o) {
       return o.settled ? number(in_millimetres(*o.settled), derived) : none();
     }},
});

Filled overruns_of(const AxisValues& axis) {
  TemplateList list{.items = {}, .each = scope_of("a speed", overrun_rows, OverrunAt{})};
  for (const OverrunAt& o : axis.overruns)
    list.items.push_back(
        scope_of(fmt::format("axis {} at {}", axis.name, print_plain(o.speed)), overrun_rows, o));
  return list;
}

const auto axis_rows = std::to_array<Row<AxisHere>>({
    {"name", "", "of the axis in the machine file",
     [](const AxisHere& a) { return text(a.values.name); }},
    {"index", "", "its place in the file, from 0",
     [](const AxisHere& a) { return text(fmt::format("{}", a.index)); }},
    {"number", "", "its place in the file, from 1",
     [](const AxisHere& a) { return text(fmt::format("{}", a.index + 1)); }},
    {"first", "", "whether it is the first axis",
     [](const AxisHere& a) { return condition(a.index == 0); }},
    {"last", "", "whether it is the last axis",
     [](const AxisHere& a) { return condition(a.index + 1 == a.count); }},
    {"parts", "", "what it is built of", [](const AxisHere& a) { return text(a.values.parts); }},
    {"drive", "", "belt, screw, chuck or rollers",
     [](const AxisHere& a) { return text(std::string(a.values.drive)); }},
    {"straight", "", "whether it has a travel",
     [](const AxisHere& a) { return condition(!a.values.turning); }},
    {"turning", "", "whether it turns a workpiece",
     [](const AxisHere& a) { return condition(a.values.turning.has_value()); }},
    {"motors", "", "motors that move it together",
     [](const AxisHere& a) { return whole(a.values.motors); }},

    {"steps_per_mm", "pulse/mm", "at the controller's decimals; of a turning axis at the surface",
     [](const AxisHere& a) { return kept(a.values.pulses_per_mm); }},
    {"steps_per_mm_exact", "pulse/mm", "as a fraction",
     [](const AxisHere& a) { return exact(a.values.pulses_per_mm); }},
    {"steps_per_mm_error_mm", "mm", "too far over the travel by that rounding; below 0 too short",
     [](const AxisHere& a) { return error_mm(a.values.pulses_per_mm, a.values.travel); }},
    {"steps_per_mm_whole", "pulse/mm", "the nearest whole number",
     [](const AxisHere& a) { return kept(a.values.whole_per_mm); }},
    {"steps_per_mm_whole_error_mm", "mm", "too far over the travel with the whole number",
     [](const AxisHere& a) { return error_mm(a.values.whole_per_mm, a.values.travel); }},
    {"um_per_pulse", "um/pulse", "travel of a pulse at the controller's decimals",
     [](const AxisHere& a) { return kept(a.values.um_per_pulse); }},
    {"mm_per_pulse", "mm/pulse", "travel of a pulse in mm, with three decimals more",
     [](const AxisHere& a) {
       const KeptFigure& um = a.values.um_per_pulse;
       return um.kept ? text(motion::print_decimal(*um.kept / Fraction(1000), um.decimals + 3))
                      : none();
     }},
    {"um_per_pulse_exact", "um/pulse", "as a fraction",
     [](const AxisHere& a) { return exact(a.values.um_per_pulse); }},
    {"um_per_pulse_error_mm", "mm", "too far over the travel by that rounding",
     [](const AxisHere& a) { return error_mm(a.values.um_per_pulse, a.values.travel); }},

    {"steps_per_degree", "pulse/deg", "at the controller's decimals; of a turning axis",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return kept(t.pulses_per_degree); });
     }},
    {"steps_per_degree_exact", "pulse/deg", "as a fraction",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return exact(t.pulses_per_degree); });
     }},
    {"steps_per_degree_error_deg", "deg", "too far over one turn by that rounding",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return error_deg(t.pulses_per_degree); });
     }},
    {"steps_per_degree_whole", "pulse/deg", "the nearest whole number",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return kept(t.whole_per_degree); });
     }},
    {"steps_per_degree_whole_error_deg", "deg", "too far over one turn with the whole number",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return error_deg(t.whole_per_degree); });
     }},
    {"degrees_per_pulse", "deg/pulse", "at the controller's decimals",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return kept(t.degrees_per_pulse); });
     }},
    {"degrees_per_pulse_exact", "deg/pulse", "as a fraction",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return exact(t.degrees_per_pulse); });
     }},
    {"degrees_per_pulse_error_deg", "deg", "too far over one turn by that rounding",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return error_deg(t.degrees_per_pulse); });
     }},
    {"diameter_mm", "mm", "of the workpiece for which surface and angle go together",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) { return number(in_millimetres(t.diameter)); });
     }},

    {"speed_mm_per_s", "mm/s", "top speed; of a turning axis at the surface",
     [](const AxisHere& a) { return number(in_millimetres_per_second(a.values.speed)); }},
    {"speed_mm_per_min", "mm/min", "top speed by the minute",
     [](const AxisHere& a) { return number(60.0 * in_millimetres_per_second(a.values.speed)); }},
    {"speed_deg_per_s", "deg/s", "top speed of a turning axis",
     [](const AxisHere& a) {
       return if_turning(
           a, [](const auto& t) { return number(in_degrees(t.speed * seconds(1)), derived); });
     }},
    {"speed_deg_per_min", "deg/min", "top speed of a turning axis by the minute",
     [](const AxisHere& a) {
       return if_turning(
           a, [](const auto& t) { return number(in_degrees(t.speed * seconds(60)), derived); });
     }},
    {"acceleration_mm_per_s2", "mm/s^2", "of a turning axis at the surface",
     [](const AxisHere& a) {
       return number(in_millimetres_per_second_squared(a.values.acceleration));
     }},
    {"acceleration_deg_per_s2", "deg/s^2", "of a turning axis",
     [](const AxisHere& a) {
       return if_turning(a, [](const auto& t) {
         return number(in_degrees(t.acceleration * (seconds(1) * seconds(1))), derived);
       });
     }},
    {"jerk_mm_per_s3", "mm/s^3", "change of acceleration; where the file has a jerk time",
     [](const AxisHere& a) {
       return a.values.jerk ? number(1000.0 * in_metres_per_second_cubed(*a.values.jerk)) : none();
     }},
    {"jerk_time_ms", "ms", "over which the acceleration builds up; 0: at once",
     [](const AxisHere& a) { return number(1000.0 * in_seconds(a.values.jerk_time)); }},
    {"unramped_speed_mm_per_s", "mm/s",
     "speed below which no ramp is used; the check ramps all from rest",
     [](const AxisHere& a) { return number(in_millimetres_per_second(a.values.unramped)); }},
    {"travel_mm", "mm", "between the ends of a straight axis",
     [](const AxisHere& a) {
       return a.values.turning ? none() : number(in_millimetres(a.values.travel));
     }},

    {"current_rms_a", "A", "of a driver that is set by RMS",
     [](const AxisHere& a) { return number(in_amperes(a.values.rms), derived); }},
    {"current_peak_a", "A", "of a driver that is set by the peak",
     [](const AxisHere& a) { return number(in_amperes(a.values.peak), derived); }},
    {"current_rms_ma", "mA", "of a driver that is set by RMS, whole",
     [](const AxisHere& a) { return whole(1000.0 * in_amperes(a.values.rms)); }},
    {"current_peak_ma", "mA", "of a driver that is set by the peak, whole",
     [](const AxisHere& a) { return whole(1000.0 * in_amperes(a.values.peak)); }},
    {"rest_rms_a", "A", "RMS at standstill, where the driver reduces it",
     [](const AxisHere& a) {
       return a.values.rms_at_rest ? number(in_amperes(*a.values.rms_at_rest), derived) : none();
     }},
    {"microsteps", "", "pulses to a full step, where they are a whole number",
     [](const AxisHere& a) {
       const double each = in_pulses_per_full_step(a.values.microsteps);
       return each == std::floor(each) ? whole(each) : none();
     }},
    {"pulses_per_turn", "pulse", "to a turn of the motor",
     [](const AxisHere& a) { return text(fmt::format("{}", a.values.pulses_per_turn)); }},
    {"pulse_rate", "pulse/s", "that the top speed needs",
     [](const AxisHere& a) { return number(in_pulses_per_second(a.values.needed)); }},
    {"direction", "", "how to find which way it turns",
     [](const AxisHere& a) { return text(a.values.direction); }},

    {"line_room_mm", "mm", "left of the travel on each side of a line, where a raster is described",
     [](const AxisHere& a) {
       return is_unset(a.values.room) ? none() : number(in_millimetres(a.values.room));
     }},
    {"overruns", "", "speeds along a line of a straight axis",
     [](const AxisHere& a) { return overruns_of(a.values); }},
    {"holds", "", "whether no row of the check fails for this axis",
     [](const AxisHere& a) { return condition(a.values.fails.empty()); }},
    {"fails", "", "the rows of the check that fail for this axis",
     [](const AxisHere& a) {
       return a.values.fails.empty() ? none() : text(listed(a.values.fails));
     }},
});

TemplateScope axis_scope(const ControllerValues& values, std::size_t index) {
  const AxisValues& axis = values.axes[index];
  return scope_of("axis " + axis.name, axis_rows, AxisHere{axis, index, values.axes.size()});
}

const auto machine_rows = std::to_array<Row<ControllerValues>>({
    {"machine", "", "name of the machine",
     [](const ControllerValues& v) { return text(v.machine); }},
    {"decimals", "", "places that the controller keeps",
     [](const ControllerValues& v) { return whole(v.controller.decimals); }},
    {"most_pulse_rate", "pulse/s", "that the controller gives",
     [](const ControllerValues& v) {
       return number(in_pulses_per_second(v.controller.pulse_rate));
     }},
    {"all_hold", "", "whether no row of the check fails",
     [](const ControllerValues& v) { return condition(v.worst != report::Verdict::fails); }},
    {"fails_together", "", "the rows of all axes together that fail",
     [](const ControllerValues& v) {
       return v.common_fails.empty() ? none() : text(listed(v.common_fails));
     }},
    {"axes", "", "the axes, in the order of the file",
     [](const ControllerValues& v) -> Filled {
       TemplateList list{.items = {}, .each = {}};
       for (std::size_t i = 0; i < v.axes.size(); ++i) list.items.push_back(axis_scope(v, i));
       return list;
     }},
    {"axis", "", "one axis by its name",
     [](const ControllerValues& v) -> Filled {
       TemplateScope all{.label = "axis", .names = {}};
       for (std::size_t i = 0; i < v.axes.size(); ++i)
         all.names.push_back({.name = v.axes[i].name, .value = axis_scope(v, i)});
       return all;
     }},
});

// "80.000", "yes", "-" where there is none.
std::string shown(const Filled& value) {
  if (const auto* text = std::get_if<TemplateText>(&value)) return text->text.value_or("-");
  if (const auto* condition = std::get_if<TemplateCondition>(&value))
    return condition->holds ? "yes" : "no";
  return "";
}

void print_name(std::string& out, const TemplateName& name, const std::string& values,
                std::size_t indent) {
  out += detail::wrapped(
      fmt::format("{}{}{}", name.name, name.unit.empty() ? "" : fmt::format("  [{}]", name.unit),
                  values.empty() ? "" : "  = " + values),
      indent, indent + 6);
  out += detail::wrapped(name.meaning, indent + 4, indent + 4);
}

// Every name of a list once, with the values of all its items.
void print_list(std::string& out, const TemplateList& list, std::size_t indent) {
  const TemplateScope& first = list.items.empty() ? list.each : list.items.front();
  for (std::size_t n = 0; n < first.names.size(); ++n) {
    const TemplateName& name = first.names[n];
    std::string values;
    for (const TemplateScope& item : list.items) {
      const std::string value = shown(item.names[n].value);
      if (!value.empty()) values += fmt::format("{}{}", values.empty() ? "" : "; ", value);
    }
    print_name(out, name, values, indent);
    if (std::holds_alternative<TemplateList>(name.value)) {
      // Of the first item that has any: the values of all would fill pages.
      const TemplateList* inner = std::get_if<TemplateList>(&name.value);
      for (const TemplateScope& item : list.items) {
        if (!inner->items.empty()) break;
        inner = std::get_if<TemplateList>(&item.names[n].value);
      }
      out += fmt::format("{}inside {{{{#{}}}}} ... {{{{/{}}}}}{}\n", std::string(indent + 4, ' '),
                         name.name, name.name,
                         inner->items.empty() ? "" : ", " + inner->items.front().label + " and on");
      print_list(out, *inner, indent + 6);
    }
  }
}

}  // namespace

TemplateScope controller_names(const ControllerValues& values) {
  return scope_of("the machine", machine_rows, values);
}

std::string print_template_names(const TemplateScope& names) {
  std::string out = detail::wrapped(
      "{{name}} fills in what stands behind \"=\". Where that is \"-\" there is nothing to fill "
      "in: "
      "{{#name}} ... {{/name}} stays where there is something, {{^name}} ... {{/name}} where not. "
      "\"yes\" and \"no\" are asked for in the same way.",
      0, 0);
  out += "\n";
  for (const TemplateName& name : names.names) {
    if (const auto* group = std::get_if<TemplateScope>(&name.value)) {
      std::vector<std::string> each;
      for (const TemplateName& inner : group->names) each.push_back(name.name + "." + inner.name);
      print_name(out, name, "", 0);
      out +=
          detail::wrapped(fmt::format("{}: then a dot and a name of an axis, as {}.speed_mm_per_s",
                                      listed(each), each.empty() ? name.name : each.front()),
                          4, 6);
      continue;
    }
    print_name(out, name, shown(name.value), 0);
    if (const auto* list = std::get_if<TemplateList>(&name.value)) {
      std::string labels;
      for (const TemplateScope& item : list->items)
        labels += fmt::format("{}{}", labels.empty() ? "" : "; ", item.label);
      out += detail::wrapped(
          fmt::format("inside {{{{#{0}}}}} ... {{{{/{0}}}}}, with the values of {1}", name.name,
                      labels),
          4, 6);
      print_list(out, *list, 6);
    }
  }
  return out;
}

}  // namespace pitchline::io
