#include <array>

#include "read/detail/bounds.hpp"
#include "read/detail/read_listed.hpp"
#include "read/detail/read_parts.hpp"

namespace pitchline::io::detail {
std::optional<parts::Screw> read_screw(TableReader reader, const std::string& name) {
  parts::Screw screw;
  screw.name = name;
  const auto thread = reader.choice("thread", true, {"trapezoidal", "acme", "square", "ball"});
  const auto lead = reader.exact_length("lead", true);
  const auto starts = reader.whole("starts", false, 1, 20, "4");
  const auto outer = reader.positive<Length>("outer_diameter", true, thickest_screw);
  const auto mean = reader.positive<Length>("mean_diameter", true, thickest_screw);
  const auto minor = reader.positive<Length>("minor_diameter", true, thickest_screw);
  const bool ball = thread && parts::thread_kinds.at(*thread) == parts::ThreadKind::ball;
  const auto ball_diameter = reader.positive<Length>("ball_diameter", ball, thickest_screw);
  const auto rating = [&](std::string_view key, Force& into) {
    const toml::node* node = reader.find(key, false, {});
    if (node == nullptr) return true;
    if (thread && !ball) {
      reader.error(*node, fmt::format("{} is that of balls, and the thread slides", key));
      return false;
    }
    const auto force = reader.positive<Force>(key, false, highest_rating);
    if (force) into = *force;
    return force.has_value();
  };
  const bool dynamic_is_right = rating("dynamic_rating", screw.dynamic_rating);
  const bool static_is_right = rating("static_rating", screw.static_rating);
  const toml::node* preferred = reader.find("preferred", false, {});
  if (preferred != nullptr && !preferred->is_boolean()) {
    reader.error(*preferred, fmt::format("preferred must be true or false, got {}",
                                         TableReader::describe(*preferred)));
    return std::nullopt;
  }
  const auto source = reader.text("source", true, "sheet of the maker");
  const bool notes_are_right = read_notes(reader, screw.notes);
  reader.know(keys::listed::like.name);
  reader.finish();
  if (!notes_are_right || !thread || !lead || !outer || !mean || !minor || !source ||
      (ball && !ball_diameter) || (reader.has("starts") && !starts) || !dynamic_is_right ||
      !static_is_right)
    return std::nullopt;
  screw.thread = parts::thread_kinds.at(*thread);
  screw.lead_millimetres = *lead;
  screw.starts = static_cast<int>(starts.value_or(1));
  screw.outer_diameter = *outer;
  screw.mean_diameter = *mean;
  screw.minor_diameter = *minor;
  if (ball_diameter) screw.ball_diameter = *ball_diameter;
  screw.preferred = preferred != nullptr && preferred->value_or(false);
  screw.source = source_of(reader, *source);
  try {
    parts::require_valid(screw);
  } catch (const InvalidInput& e) {
    reader.error(*reader.find("minor_diameter", false, {}), e.what(),
                 "the core is thinner than the mean diameter, and that no thicker than the outer");
    return std::nullopt;
  }
  return screw;
}

}  // namespace pitchline::io::detail
