#include "detail/read_parts.hpp"

#include <cmath>

namespace pitchline::io::detail {
namespace {

/// A value of a catalogue with where it comes from.
struct Sourced {
  const toml::table* table = nullptr;
  std::string source;
};

std::optional<Sourced> sourced(TableReader& reader, std::string_view key, bool required) {
  const toml::table* table =
      reader.table(key, required, "{ value = \"2 mm\", mark = \"read\", source = \"...\" }");
  if (table == nullptr) return std::nullopt;
  TableReader inner(*table, fmt::format("{}.{}", reader.path(), key), reader.diagnostics());
  inner.know("value");
  static const std::vector<std::string_view> words{
      "read", "read in a transcription", "computed", "inferred", "from memory", "common practice"};
  const auto mark = inner.choice("mark", true, words);
  const auto source = inner.text("source", true, "handbook, table 3");
  inner.finish();
  if (!mark || !source) return std::nullopt;
  return Sourced{table, *mark == 0 ? *source : fmt::format("{} ({})", *source, words[*mark])};
}

}  // namespace

std::optional<parts::StepperMotor> read_motor(TableReader reader, const std::string& name) {
  parts::StepperMotor motor;
  motor.name = name;
  const auto step = reader.quantity<Angle>(
      "step_angle", true, "a turn over a whole multiple of four, such as 1.8 deg or 0.9 deg",
      [](const Angle& a) {
        const double steps = number(revolution / a);
        return steps >= 4 && steps <= 4000 && std::fabs(steps / 4 - std::round(steps / 4)) < 1e-9;
      });
  const auto torque = reader.positive<Torque>("holding_torque", true, newton_metres(100));
  const auto rated = reader.choice("rated", true, {"two phases on", "one phase on"});
  const auto current = reader.positive<Current>("current", true, amperes(50));
  const auto resistance = reader.positive<Resistance>("resistance", true, ohms(1000));
  const auto inductance = reader.positive<Inductance>("inductance", true, henries(10));
  const auto inertia = reader.positive<Inertia>("rotor_inertia", true, kilogram_square_metres(1));
  const auto source = reader.text("source", false, "data sheet of the maker");
  reader.finish();
  if (!step || !torque || !rated || !current || !resistance || !inductance || !inertia)
    return std::nullopt;
  motor.full_steps_per_turn = full_steps(4 * std::round(number(revolution / *step) / 4));
  motor.holding_torque = *torque;
  motor.holding_rating =
      *rated == 0 ? parts::HoldingRating::two_phases_on : parts::HoldingRating::one_phase_on;
  motor.rated_current = *current;
  motor.resistance = *resistance;
  motor.inductance = *inductance;
  motor.rotor_inertia = *inertia;
  motor.source = source.value_or("given in the machine file");
  return motor;
}

std::optional<parts::BeltProfile> read_belt_profile(TableReader reader, const std::string& name) {
  parts::BeltProfile profile;
  profile.name = name;
  const auto pitch = sourced(reader, "pitch", true);
  const auto stiffness = sourced(reader, "stiffness_per_width", false);
  const auto mass = sourced(reader, "mass_per_width", false);
  reader.finish();
  const auto inner = [&](const Sourced& s, std::string_view key) {
    return TableReader(*s.table, fmt::format("{}.{}", reader.path(), key), reader.diagnostics());
  };
  if (!pitch) return std::nullopt;
  const auto exact = inner(*pitch, "pitch").exact_length("value", true);
  if (!exact) return std::nullopt;
  profile.pitch_millimetres = *exact;
  profile.source = pitch->source;
  if (stiffness) {
    const auto value = inner(*stiffness, "stiffness_per_width")
                           .positive<Stiffness>("value", true, newtons_per_millimetre(1e6));
    if (!value) return std::nullopt;
    profile.stiffness_per_width = *value;
    profile.stiffness_source = stiffness->source;
  }
  if (mass) {
    const auto value =
        inner(*mass, "mass_per_width")
            .positive<MassPerArea>("value", true, kilograms_per_metre(100) / metres(1));
    if (!value) return std::nullopt;
    profile.mass_per_width = *value;
    profile.mass_source = mass->source;
  }
  return profile;
}

}  // namespace pitchline::io::detail
