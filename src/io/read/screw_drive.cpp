#include <algorithm>
#include <array>

#include "read/detail/drive_keys.hpp"
#include "read/detail/read_parts.hpp"
#include "pitchline/screw/trapezoidal_thread.hpp"
#include "pitchline/units/nearest.hpp"

namespace pitchline::io::detail {
namespace {

const Length thickest_screw = millimetres(200);
const Force highest_rating = newtons(1e6);

// In the order of the words that the file writes.
constexpr std::array nut_materials{
    screw::NutMaterial::bronze, screw::NutMaterial::brass,  screw::NutMaterial::cast_iron,
    screw::NutMaterial::steel,  screw::NutMaterial::acetal, screw::NutMaterial::filled_plastic};
const std::vector<std::string_view> nut_words{"bronze", "brass",  "cast iron",
                                              "steel",  "acetal", "filled plastic"};
constexpr std::array lubrications{screw::Lubrication::dry, screw::Lubrication::oiled};

// A stage ahead of a screw has an efficiency of its own, beside that of the screw.
void read_screw_stage(TableReader reader, axis::ScrewAxis& drive,
                      std::vector<std::string>& assumed) {
  if (const auto ratio = read_ratio(reader)) drive.motor_turns_per_screw_turn = *ratio;
  if (const auto efficiency = reader.ratio<Efficiency>("efficiency", false, "0.95")) {
    drive.stage_efficiency = *efficiency;
  } else if (!reader.has("efficiency")) {
    drive.stage_efficiency = Efficiency(usual_belt_efficiency);
    assumed.push_back(fmt::format("efficiency {} of the belt stage (drive.stage.efficiency)",
                                  significant(usual_belt_efficiency, 3)));
  }
  reader.finish();
}

// Diameters under the thread: as given, else those of the thread where the file names one.
void read_diameters(TableReader& reader, axis::ScrewBody& screw) {
  const auto thread = reader.choice("thread", false, {"trapezoidal"});
  if (thread) screw.thread = parts::ThreadKind::trapezoidal;
  const auto outer = reader.positive<Length>("outer_diameter", true, thickest_screw);
  const bool by_thread = reader.has("thread");
  const auto read = [&](std::string_view key, std::string_view like, Length& into) {
    if (!by_thread && !reader.has(key)) {
      reader.missing(
          key, fmt::format("\"{}\", or thread = \"trapezoidal\" for that of the standard", like));
    }
    const auto diameter = reader.positive<Length>(key, false, thickest_screw);
    if (diameter) into = *diameter;
  };
  read("mean_diameter", "10.5 mm", screw.mean_diameter);
  read("minor_diameter", "8.5 mm", screw.minor_diameter);
  if (outer) screw.outer_diameter = *outer;
  const bool all_given = reader.has("mean_diameter") && reader.has("minor_diameter");
  if (thread && outer && !all_given && screw.lead_millimetres > Fraction(0)) {
    try {
      const auto standard = screw::trapezoidal_diameters(
          *outer, millimetres(to_double(screw.lead_millimetres / Fraction(screw.starts))));
      if (!reader.has("mean_diameter")) screw.mean_diameter = standard.mean;
      if (!reader.has("minor_diameter")) screw.minor_diameter = standard.minor;
    } catch (const OutsideValidity& e) {
      reader.error(*reader.find("thread", false, {}), e.what(),
                   "correct outer_diameter, lead or starts, or give mean_diameter and "
                   "minor_diameter; pitch is lead over starts");
    }
  }
  const auto in_order = [&](std::string_view thin, const Length& thinner, std::string_view thick,
                            const Length& thicker) {
    // One that is not known has its own error.
    if (is_unset(thinner) || is_unset(thicker) || thinner <= thicker) return;
    const toml::node* node = reader.find(reader.has(thin) ? thin : thick, false, {});
    reader.error(*node, fmt::format("{} must be at most {} of {}, got {}", thin, thick,
                                    print_plain(thicker), print_plain(thinner)));
  };
  in_order("minor_diameter", screw.minor_diameter, "mean_diameter", screw.mean_diameter);
  in_order("mean_diameter", screw.mean_diameter, "outer_diameter", screw.outer_diameter);
}

// Keys by which a file describes a screw itself.
constexpr std::array<std::string_view, 6> body_keys{
    "lead", "starts", "thread", "outer_diameter", "mean_diameter", "minor_diameter"};

// A screw of the catalogue, which says what the keys below it would.
void read_named_screw(TableReader& reader, axis::ScrewBody& body, const Catalogue& catalogue) {
  const auto name = reader.text("screw", true, "Tr 10x2");
  for (const std::string_view key : body_keys) {
    if (const toml::node* node = reader.find(key, false, {}))
      reader.error(*node, fmt::format("screw and {} do not go together", key),
                   "the screw of the catalogue says it: leave one of them out");
  }
  if (!name) return;
  const auto found = catalogue.screws.find(*name);
  if (found == catalogue.screws.end()) {
    const auto nearest = nearest_word(*name, names_of(catalogue.screws));
    reader.error(*reader.find("screw", false, {}), fmt::format("unknown screw \"{}\"", *name),
                 fmt::format("{}the catalogue has {} of them, in reference/catalogue/screws.toml; "
                             "others are described by lead, thread and outer_diameter",
                             nearest ? fmt::format("did you mean \"{}\"? ", *nearest) : "",
                             catalogue.screws.size()));
    return;
  }
  axis::take_screw(body, found->second);
}

// Friction by the names of nut and lubrication; nothing, with an error, where it is not known.
std::optional<screw::FrictionRange> read_named_friction(TableReader& reader,
                                                        std::optional<std::size_t> nut,
                                                        std::optional<std::size_t> lubrication) {
  for (const std::string_view key : {"least", "most"}) {
    if (const toml::node* node = reader.find(key, false, {}))
      reader.error(*node, fmt::format("lubrication and {} do not go together", key),
                   "nut and lubrication say the friction: leave them or least and most out");
  }
  if (!reader.has("nut")) reader.missing("nut", "\"bronze\"");
  if (!nut || !lubrication) return std::nullopt;
  try {
    return screw::running(
        screw::nut_friction(nut_materials.at(*nut), lubrications.at(*lubrication)));
  } catch (const InvalidInput&) {
    reader.error(*reader.find("lubrication", false, {}),
                 fmt::format("no friction is known of a nut of {}, {}",
                             screw::in_words(nut_materials.at(*nut)),
                             screw::in_words(lubrications.at(*lubrication))),
                 "give least and most from its maker in place of lubrication");
    return std::nullopt;
  }
}

// Friction in the thread, and that of a collar where the thrust bearing slides.
std::optional<axis::ThreadFriction> read_thread_friction(TableReader reader,
                                                         std::optional<Angle> flank_of_thread,
                                                         std::vector<std::string>& assumed) {
  const auto nut = reader.choice("nut", false, nut_words);
  const auto lubrication = reader.choice("lubrication", false, {"dry", "oiled"});
  const bool by_name = reader.has("lubrication");
  std::optional<FrictionCoefficient> least;
  std::optional<FrictionCoefficient> most;
  if (by_name) {
    if (const auto range = read_named_friction(reader, nut, lubrication)) {
      least = range->least;
      most = range->most;
    }
  } else {
    least = reader.ratio<FrictionCoefficient>("least", true, "0.10");
    most = reader.ratio<FrictionCoefficient>("most", true, "0.20");
  }
  auto angle = reader.quantity<Angle>(
      "flank_angle", !flank_of_thread, "from 0 to 45 deg, that of one flank and not of the groove",
      [](const Angle& a) { return a >= degrees(0) && a <= degrees(45); });
  if (!angle && flank_of_thread && !reader.has("flank_angle")) angle = flank_of_thread;
  const bool sliding = reader.has("collar_diameter") || reader.has("collar");
  const auto diameter = reader.positive<Length>("collar_diameter", sliding, thickest_screw);
  const auto collar = reader.ratio<FrictionCoefficient>("collar", sliding, "0.15");
  reader.finish();
  if (!sliding)
    assumed.emplace_back("a thrust bearing that rolls freely (drive.friction.collar_diameter)");
  if (!by_name && least && most && least->value() > most->value()) {
    reader.error(
        *reader.find("least", false, {}),
        fmt::format("least must be at most the most of {}, got {}", most->value(), least->value()));
    return std::nullopt;
  }
  if (!least || !most || !angle || (sliding && (!diameter || !collar))) return std::nullopt;
  axis::ThreadFriction friction{.flank_half_angle = *angle, .least = *least, .most = *most};
  if (sliding) {
    friction.collar_mean_diameter = *diameter;
    friction.collar_friction = *collar;
  }
  if (nut) friction.nut = nut_materials.at(*nut);
  if (lubrication) friction.lubrication = lubrications.at(*lubrication);
  return friction;
}

// The flank that the thread says, where the file or the catalogue names one.
std::optional<Angle> flank_of_thread(TableReader& reader, const axis::ScrewBody& screw) {
  if (screw.thread && parts::slides(*screw.thread)) return parts::flank_half_angle(*screw.thread);
  if (reader.has("thread")) return screw::trapezoidal_half_angle;
  return std::nullopt;
}

// The loss of the screw: its efficiency, or its friction; exactly one of them.
void read_screw_loss(TableReader& reader, axis::ScrewAxis& drive,
                     std::vector<std::string>& assumed) {
  const bool has_efficiency = reader.has("efficiency");
  const bool has_friction = reader.has("friction");
  if (drive.screw.thread == parts::ThreadKind::ball && !has_efficiency && !has_friction) {
    drive.loss = Efficiency(axis::least_ball_screw_efficiency);
    assumed.push_back(fmt::format("efficiency {} of a ball screw (drive.efficiency)",
                                  significant(axis::least_ball_screw_efficiency, 3)));
    return;
  }
  const auto efficiency = reader.ratio<Efficiency>("efficiency", false, "0.9");
  if (efficiency) drive.loss = *efficiency;
  const toml::table* table =
      reader.table("friction", false, "{ least = 0.10, most = 0.20, flank_angle = \"15 deg\" }");
  std::optional<axis::ThreadFriction> friction;
  if (table != nullptr) {
    friction = read_thread_friction({*table, reader.path() + ".friction", reader.diagnostics()},
                                    flank_of_thread(reader, drive.screw), assumed);
  }
  if (has_efficiency && has_friction) {
    reader.error(*reader.find("friction", false, {}), "efficiency and friction are both given",
                 "keep efficiency where the maker of the screw states it, else friction");
  } else if (!has_efficiency && !has_friction) {
    reader.missing("efficiency",
                   "0.9 where the maker of a ball screw says so, or friction = { least = 0.10, "
                   "most = 0.20, flank_angle = \"15 deg\" } for a sliding thread");
  }
  if (!friction) return;
  drive.loss = *friction;
  try {
    axis::deciding_efficiency(drive);
  } catch (const OutsideValidity& e) {
    TableReader inner(*table, "", reader.diagnostics());
    reader.error(*inner.find("most", false, {}), e.what());
  } catch (const InvalidInput&) {  // NOLINT(bugprone-empty-catch)
    // Of a lead or a diameter, which has its own error by now.
  }
}

// Load ratings of a ball screw, before those of the catalogue. Who gives them says that balls roll.
void read_ratings(TableReader& reader, axis::ScrewBody& screw, bool left_open) {
  const auto read = [&](std::string_view key, Force& into) {
    const toml::node* node = reader.find(key, false, {});
    if (node == nullptr) return;
    if (left_open || reader.has("friction") || (screw.thread && parts::slides(*screw.thread))) {
      reader.error(*node,
                   left_open ? fmt::format("{} does not go with a screw that is left open", key)
                             : fmt::format("{} is that of balls, and the screw slides", key),
                   left_open ? "it belongs to a screw of the catalogue" : "leave it out");
      return;
    }
    if (const auto rating = reader.positive<Force>(key, false, highest_rating)) into = *rating;
    screw.thread = parts::ThreadKind::ball;
  };
  read("dynamic_rating", screw.dynamic_rating);
  read("static_rating", screw.static_rating);
}

// Friction of the sliding screws that are compared for one that is left open.
void read_open_loss(TableReader& reader, axis::ScrewAxis& drive,
                    std::vector<std::string>& assumed) {
  if (const toml::node* node = reader.find("efficiency", false, {}))
    reader.error(*node, "efficiency does not go with a screw that is left open",
                 "name the screw, or give friction = { nut = \"bronze\", lubrication = \"oiled\" } "
                 "of the sliding ones");
  const toml::table* table =
      reader.table("friction", false, "{ nut = \"bronze\", lubrication = \"oiled\" }");
  if (table != nullptr) {
    TableReader inner(*table, reader.path() + ".friction", reader.diagnostics());
    if (const toml::node* node = inner.find("flank_angle", false, {}))
      reader.error(*node, "flank_angle does not go with a screw that is left open",
                   "each screw of the catalogue says its own: leave it out");
    if (const auto friction = read_thread_friction(inner, screw::trapezoidal_half_angle, assumed))
      drive.loss = *friction;
    return;
  }
  if (reader.has("friction")) return;
  const auto& usual = screw::nut_friction(screw::NutMaterial::bronze, screw::Lubrication::oiled);
  const screw::FrictionRange range = screw::running(usual);
  drive.loss = axis::ThreadFriction{.flank_half_angle = screw::trapezoidal_half_angle,
                                    .least = range.least,
                                    .most = range.most,
                                    .nut = usual.nut,
                                    .lubrication = usual.lubrication};
  assumed.push_back(
      fmt::format("sliding screws in a nut of {}, {}, and a thrust bearing that rolls "
                  "freely (drive.friction)",
                  screw::in_words(usual.nut), screw::in_words(usual.lubrication)));
}

// Whether the file says nothing of the screw itself, and something can be made of that.
bool is_open(TableReader& reader, OpenScrew open) {
  if (open == OpenScrew::unknown || reader.has("screw")) return false;
  if (std::any_of(body_keys.begin(), body_keys.end(),
                  [&](std::string_view key) { return reader.has(key); }))
    return false;
  if (open == OpenScrew::refused)
    reader.diagnostics().add(
        reader.source(), fmt::format("{} leaves its screw open", reader.path()),
        "pitchline-lift chooses it for this lift; then name it here, for example screw = \"Tr "
        "10x2\"");
  return true;
}

}  // namespace

void read_screw_drive(TableReader& reader, machine::Axis& axis, const Catalogue& catalogue,
                      OpenScrew open) {
  auto& drive = std::get<axis::ScrewAxis>(axis.drive);
  axis::ScrewBody& screw = drive.screw;
  const bool named = reader.has("screw");
  const bool left_open = is_open(reader, open);
  if (named) {
    read_named_screw(reader, screw, catalogue);
  } else if (!left_open) {
    if (const auto lead = read_exact(reader, "lead", millimetres(1000)))
      screw.lead_millimetres = *lead;
    if (const auto starts = reader.whole("starts", false, 1, 20, "4"))
      screw.starts = static_cast<int>(*starts);
    read_diameters(reader, screw);
  }
  if (const auto distance = read_distance(
          reader, "bearing_distance", true, drive.travel,
          "bearing_distance is the free length of the screw between its two bearings"))
    screw.bearing_distance = *distance;
  if (const auto ends = reader.choice("ends", false, {"one end held", "both ends held"})) {
    screw.ends = *ends == 0 ? axis::ScrewEnds::one_end_held : axis::ScrewEnds::both_ends_held;
  } else if (!reader.has("ends")) {
    axis.assumed.emplace_back("one end of the screw held along its axis (drive.ends)");
  }
  read_ratings(reader, screw, left_open);
  if (left_open) {
    read_open_loss(reader, drive, axis.assumed);
  } else {
    read_screw_loss(reader, drive, axis.assumed);
  }
  if (const auto screws = reader.whole("screws_per_motor", false, 1, 8, "4"))
    drive.screws_per_motor = static_cast<int>(*screws);
  if (const auto* t = reader.table("stage", false, "{ motor_teeth = 20, driven_teeth = 40 }"))
    read_screw_stage({*t, reader.path() + ".stage", reader.diagnostics()}, drive, axis.assumed);
  read_or_none(reader, "screw_pulley_inertia", largest_inertia, drive.screw_pulley_inertia,
               "nothing that turns with the screw beside it", axis.assumed);
  read_or_none(reader, "motor_pulley_inertia", largest_inertia, drive.motor_pulley_inertia,
               "no coupling or pulley on the motor", axis.assumed);
  if (const auto stiffness =
          reader.positive<Stiffness>("nut_stiffness", false, newtons_per_metre(1e11))) {
    drive.nut_stiffness = *stiffness;
  } else if (!reader.has("nut_stiffness")) {
    axis.assumed.emplace_back("nut and bearing that do not give (drive.nut_stiffness)");
  }
  axis.assumed.push_back(fmt::format("damping ratio {} of the load on its screw",
                                     significant(machine::damping_of(axis.drive).value(), 2)));
  if (left_open) return;
  const Fraction& turns = drive.motor_turns_per_screw_turn;
  require_countable(reader, named ? "screw" : "lead",
                    in_pulses(drive.driver.pulses_per_turn) * numerator(turns) *
                        denominator(screw.lead_millimetres),
                    denominator(turns) * numerator(screw.lead_millimetres));
}

}  // namespace pitchline::io::detail
