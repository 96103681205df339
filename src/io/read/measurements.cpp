#include "pitchline/io/read_measurements.hpp"

#include <set>
#include <utility>

#include "pitchline/parts/belt.hpp"
#include "read/detail/bounds.hpp"
#include "read/detail/measured_words.hpp"
#include "read/detail/name_in.hpp"
#include "read/detail/toml_reader.hpp"

namespace pitchline::io {
namespace {

using detail::approaches;
using detail::Diagnostics;
using detail::TableReader;

using detail::fastest;
using detail::finest_pulses;
using detail::hardest;
using detail::longest_measured;
using detail::results;

const std::vector<std::string_view> tables{"travel", "square", "belts", "trials", "screw"};

/// Reads the table of one name; the others of a file of measurements are left alone.
template <class Read>
void read_table(std::string_view text, std::string_view file, std::string_view name, Read read) {
  const toml::table root = detail::parse_toml(text, file);
  Diagnostics diagnostics;
  TableReader top(root, "", diagnostics);
  for (const std::string_view table : tables) top.know(table);
  if (const toml::table* table = top.table(name, true, "{ ... }, as a table of its own"))
    read(TableReader(*table, std::string(name), diagnostics), *table);
  top.finish();
  if (!diagnostics.empty()) throw UnusableInput(diagnostics.sorted(), file, text);
}

/// A length that may lie on either side of zero.
std::optional<Length> place(TableReader& reader, std::string_view key) {
  return reader.quantity<Length>(
      key, true, fmt::format("at most {}", print_plain(longest_measured)),
      [](Length x) { return x <= longest_measured && x >= -longest_measured; });
}

/// Each table of a list, with a reader of its own.
template <class Read>
void for_each(TableReader& reader, const toml::table& table, std::string_view key,
              std::string_view example, Read read) {
  const toml::node* node = reader.find(key, true, example);
  if (node == nullptr) return;
  const toml::array* list = node->as_array();
  if (list == nullptr || list->empty()) {
    reader.error(*table.get(key), fmt::format("{} must be a list of tables", key),
                 fmt::format("for example {} = {}", key, example));
    return;
  }
  for (const toml::node& item : *list) {
    if (const toml::table* each = item.as_table()) {
      TableReader one(*each, fmt::format("{}.{}", reader.path(), key), reader.diagnostics());
      read(one);
      one.finish();
    } else {
      reader.error(item,
                   fmt::format("{} must hold tables, got {}", key, TableReader::describe(item)));
    }
  }
}

void read_readings(TableReader& reader, const toml::table& table, tune::TravelReadings& readings) {
  const bool exact = readings.zero == tune::GaugeZero::exact;
  if (const auto step = reader.positive<Length>("resolution", true, metres(1)))
    readings.resolution = *step;
  for_each(reader, table, "readings", "[{ commanded = \"100 mm\", measured = \"99.8 mm\" }]",
           [&](TableReader& one) {
             tune::TravelReading r;
             if (const auto x = place(one, "commanded")) r.commanded = *x;
             if (const auto x = place(one, "measured")) r.measured = *x;
             if (one.choice("approach", false, approaches).value_or(0) == 1)
               r.approach = tune::Approach::backward;
             if (exact && r.commanded == metres(0))
               one.error(*one.find("commanded", true, ""),
                         "commanded must be another than 0 where zero = \"exact\"");
             readings.readings.push_back(r);
           });
}

std::vector<Length> read_lengths(TableReader& reader, const toml::table& table,
                                 std::string_view key) {
  std::vector<Length> lengths;
  const auto texts = reader.list_of_texts(key);
  if (!texts && table.get(key) == nullptr) reader.missing(key, "[\"943.5 mm\"]");
  if (!texts) return lengths;
  for (const auto& [text, node] : *texts) {
    try {
      const auto length = read_quantity<Length>(text);
      if (length > metres(0) && length <= longest_measured)
        lengths.push_back(length);
      else
        reader.error(*node, fmt::format("{} must be > 0 and at most {}, got \"{}\"", key,
                                        print_plain(longest_measured), text));
    } catch (const UnreadableQuantity& e) {
      reader.diagnostics().add(node->source(), fmt::format("{}: {}", key, e.what()), {},
                               e.column());
    }
  }
  if (texts->empty()) reader.error(*table.get(key), fmt::format("{} must not be empty", key));
  return lengths;
}

std::optional<double> read_part(TableReader& reader, const toml::table& table,
                                std::string_view key) {
  const toml::node* node = reader.find(key, false, "0.1");
  if (node == nullptr) return std::nullopt;
  const auto value = node->value<double>();
  if (value && node->is_number() && *value > 0.0 && *value < 1.0) return *value;
  reader.error(*table.get(key),
               fmt::format("{} must be > 0 and < 1, got {}", key, TableReader::describe(*node)),
               fmt::format("a part, for example {} = 0.1", key));
  return std::nullopt;
}

/// Mass per length of the belts: weighed, or that of a profile of the catalogue.
LinearDensity read_mass(TableReader& reader, const toml::table& table, const Catalogue& catalogue,
                        std::string& source) {
  const bool weighed = reader.has("mass_per_length");
  const auto mass =
      reader.positive<LinearDensity>("mass_per_length", false, kilograms_per_metre(10));
  const auto name = reader.text("profile", !weighed, "GT 2 mm");
  const auto width = reader.positive<Length>("width", name.has_value() && !weighed, metres(1));
  std::optional<parts::BeltProfile> profile;
  if (name) {
    const auto known =
        detail::name_in(reader, *table.get("profile"), *name, "profile", catalogue.belts);
    if (known) profile = catalogue.belts.at(*known);
  }
  if (mass) {
    source = "as given";
    return *mass;
  }
  if (!profile || !width) return unset<LinearDensity>();
  const LinearDensity of_profile = parts::mass_per_length({.profile = *profile, .width = *width});
  if (is_unset(of_profile))
    reader.error(*table.get("profile"), fmt::format("no source gives the mass of {}", *name),
                 "weigh a piece of the belt and add mass_per_length = \"12.6 g/m\"");
  source = profile->mass_source;
  return of_profile;
}

}  // namespace

TravelMeasurement read_travel(std::string_view text, std::string_view file) {
  TravelMeasurement m;
  read_table(text, file, "travel", [&](TableReader reader, const toml::table& table) {
    if (const auto steps = reader.positive<PulsesPerLength>("steps_per_mm", true, finest_pulses))
      m.steps_per_mm = *steps;
    if (const auto zero = reader.choice("zero", false, {"fitted", "exact"})) {
      m.zero_given = true;
      m.readings.zero = *zero == 1 ? tune::GaugeZero::exact : tune::GaugeZero::fitted;
    }
    if (const auto teeth = reader.whole("pulley_teeth", false, 1, 1000, "20"))
      m.from.pulley_teeth = static_cast<int>(*teeth);
    if (const auto pulses = reader.whole("pulses_per_turn", false, 1, 1'000'000, "3200"))
      m.from.pulses_per_turn = *pulses;
    if (const auto starts = reader.whole("starts", false, 1, 10, "1"))
      m.from.starts = static_cast<int>(*starts);
    read_readings(reader, table, m.readings);
    reader.finish();
  });
  return m;
}

SquareMeasurement read_square(std::string_view text, std::string_view file) {
  SquareMeasurement m;
  read_table(text, file, "square", [&](TableReader reader, const toml::table& table) {
    const auto length = [&](std::string_view key, bool required, Length& into) {
      if (const auto x = reader.positive<Length>(key, required, longest_measured)) into = *x;
    };
    length("along_beam", true, m.rectangle.along_beam);
    length("along_rails", true, m.rectangle.along_rails);
    length("resolution", true, m.diagonals.resolution);
    length("between_rails", false, m.between_rails);
    length("allowed", false, m.allowed);
    m.diagonals.left_to_right = read_lengths(reader, table, "left_to_right");
    m.diagonals.right_to_left = read_lengths(reader, table, "right_to_left");
    if (!is_unset(m.allowed) && is_unset(m.between_rails))
      reader.missing("between_rails", "\"1720 mm\"");
    reader.finish();
  });
  return m;
}

BeltsMeasurement read_belts(std::string_view text, std::string_view file,
                            const Catalogue& catalogue) {
  BeltsMeasurement m;
  read_table(text, file, "belts", [&](TableReader reader, const toml::table& table) {
    tune::PluckedBelt like;
    like.span.mass_per_length = read_mass(reader, table, catalogue, m.mass_source);
    if (const auto wanted = reader.positive<Force>("wanted", true, newtons(20'000)))
      m.wanted = *wanted;
    if (const auto allowed = read_part(reader, table, "allowed")) m.allowed = *allowed;
    if (const auto step = reader.positive<Frequency>("frequency_resolution", true, hertz(1000)))
      like.frequency_resolution = *step;
    if (const auto step = reader.positive<Length>("span_resolution", true, metres(1)))
      like.span_resolution = *step;
    if (const toml::node* node = reader.find("bending_stiffness", false, "\"0.0005 N*m^2\"")) {
      static constexpr Kind kind{"a bending stiffness",
                                 "0.0005 N*m^2",
                                 "N*m^2",
                                 "N*m^2",
                                 exponents_of<belt::BendingStiffness>,
                                 0};
      const auto* words = node->as_string();
      try {
        const double value = read_coherent(words == nullptr ? "" : words->get(), kind);
        if (!(value >= 0.0))
          reader.error(*node, fmt::format("bending_stiffness must be >= 0, got \"{}\"",
                                          words == nullptr ? "" : words->get()));
        like.span.bending_stiffness = value * newtons(1) * square_metres(1);
      } catch (const UnreadableQuantity& e) {
        reader.error(*node, fmt::format("bending_stiffness: {}", e.what()));
      }
    }
    for_each(reader, table, "belt",
             "[{ name = \"left\", span = \"1180 mm\", frequency = \"24 Hz\" }]",
             [&](TableReader& one) {
               tune::PluckedBelt belt = like;
               if (const auto name = one.text("name", true, "left")) belt.name = *name;
               if (const auto span = one.positive<Length>("span", true, longest_measured))
                 belt.span.free_length = *span;
               if (const auto f = one.positive<Frequency>("frequency", true, hertz(20'000)))
                 belt.frequency = *f;
               if (belt.frequency <= belt.frequency_resolution)
                 one.error(*one.find("frequency", true, ""),
                           "frequency must be above frequency_resolution");
               if (belt.span.free_length <= belt.span_resolution)
                 one.error(*one.find("span", true, ""), "span must be above span_resolution");
               m.belts.push_back(std::move(belt));
             });
    if (m.belts.size() > 2)
      reader.error(*table.get("belt"), fmt::format("at most 2 belts, got {}", m.belts.size()),
                   "the two sides of a gantry; measure other axes on their own");
    reader.finish();
  });
  return m;
}

std::vector<tune::TrialRun> read_trials(std::string_view text, std::string_view file) {
  std::vector<tune::TrialRun> runs;
  read_table(text, file, "trials", [&](TableReader reader, const toml::table& table) {
    for_each(reader, table, "run",
             "[{ speed = \"300 mm/s\", acceleration = \"2 m/s^2\", result = \"held\" }]",
             [&](TableReader& one) {
               tune::TrialRun run;
               if (const auto v = one.positive<Speed>("speed", true, fastest)) run.speed = *v;
               if (const auto a = one.positive<Acceleration>("acceleration", true, hardest))
                 run.acceleration = *a;
               if (const auto s = one.positive<Length>("stroke", false, longest_measured))
                 run.stroke = *s;
               run.held = one.choice("result", true, results).value_or(1) == 0;
               runs.push_back(run);
             });
    reader.finish();
  });
  return runs;
}

ScrewMeasurement read_screw_measurement(std::string_view text, std::string_view file) {
  ScrewMeasurement m;
  read_table(text, file, "screw", [&](TableReader reader, const toml::table& table) {
    if (const auto lead = reader.positive<Length>("lead", true, metres(1))) m.lead = *lead;
    if (const auto most = reader.positive<Length>("allowed", false, metres(1))) m.allowed = *most;
    read_readings(reader, table, m.readings);
    reader.finish();
  });
  return m;
}

}  // namespace pitchline::io
