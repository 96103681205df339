#include <array>
#include <functional>

#include "read/detail/read_listed.hpp"
#include "read/detail/read_parts.hpp"

namespace pitchline::io::detail {
namespace {

constexpr Length widest = millimetres(1000);
constexpr Force strongest_of_catalogue = newtons(1e8);
constexpr AngularSpeed fastest_pulley = revolutions_per_minute(100000);
constexpr std::array constructions{parts::Construction::rubber_glass,
                                   parts::Construction::polyurethane_steel,
                                   parts::Construction::polyurethane_heavy_steel};

/// Reads tables of a belt profile whose entries all carry a mark and a source.
class BeltReader {
 public:
  explicit BeltReader(TableReader& reader) : reader_(reader) {}
  [[nodiscard]] bool good() const { return good_; }

  /// Opens the table of `key`, reads mark and source and leaves the rest to `read`, which tells
  /// whether it succeeded. True where the table is there and right.
  bool entry(std::string_view key, bool required, std::string_view example, std::string& source,
             const std::function<bool(TableReader&)>& read) {
    const std::string whole_example =
        fmt::format("{{ {}, mark = \"read\", source = \"...\" }}", example);
    const bool present = reader_.has(key);
    const toml::table* table = reader_.table(key, required, whole_example);
    if (table == nullptr) {
      good_ = good_ && !present && !required;
      return false;
    }
    TableReader inner(*table, fmt::format("{}.{}", reader_.path(), key), reader_.diagnostics());
    static const std::vector<std::string_view> words{"read",        "read in a transcription",
                                                     "computed",    "inferred",
                                                     "from memory", "common practice"};
    const auto mark = inner.choice("mark", true, words);
    const auto text = inner.text("source", true, "handbook, table 3");
    const bool read_well = read(inner);
    inner.finish();
    if (!mark || !text || !read_well) return good_ = false;
    source = *mark == 0 ? *text : fmt::format("{} ({})", *text, words[*mark]);
    return true;
  }

  template <class Q>
  void value(std::string_view key, parts::Sourced<Q>& into, const Q& most) {
    one(key, into.value, into.source, most);
  }

  template <class Q>
  void one(std::string_view key, Q& into, std::string& source, const Q& most) {
    entry(key, false, fmt::format("value = \"{}\"", kind_of<Q>->example), source,
          [&](TableReader& inner) {
            const auto value = inner.positive<Q>("value", true, most);
            if (value) into = *value;
            return value.has_value();
          });
  }

  void count(std::string_view key, parts::SourcedCount& into) {
    entry(key, false, "teeth = 12", into.source, [&](TableReader& inner) {
      const auto value = inner.whole("teeth", true, 1, 500, "12");
      if (value) into.value = static_cast<int>(*value);
      return value.has_value();
    });
  }

  template <class Q>
  void by_width(std::string_view key, parts::ByWidth<Q>& into, const Q& most) {
    entry(key, false, fmt::format("by_width = [[\"6 mm\", \"{}\"]]", kind_of<Q>->example),
          into.source, [&](TableReader& inner) {
            return pairs(inner, "by_width", kind_of<Q>->example, [&](const toml::array& pair) {
              const auto width = quantity<Length>(inner, *pair.get(0), widest);
              const auto value = quantity<Q>(inner, *pair.get(1), most);
              if (!width || !value) return false;
              if (!into.rows.empty() && !(*width > into.rows.back().width)) {
                inner.error(pair, "the rows of by_width must go by rising width");
                return false;
              }
              into.rows.push_back({*width, *value});
              return true;
            });
          });
  }

  void widths(std::string_view key, parts::BeltProfile& profile) {
    entry(key, false, "values = [\"6 mm\", \"9 mm\"]", profile.widths_source,
          [&](TableReader& inner) {
            const auto list = inner.list_of_texts("values");
            if (!list) {
              if (!inner.has("values")) inner.missing("values", "[\"6 mm\", \"9 mm\"]");
              return false;
            }
            bool right = true;
            for (const auto& [text, node] : *list) {
              const auto width = quantity<Length>(inner, *node, widest);
              right = right && width;
              if (width) profile.widths.push_back(*width);
            }
            return right;
          });
  }

  void smallest_pulley(std::string_view key, parts::SmallestPulley& into) {
    entry(key, false, "teeth_up_to = [[12, \"5000 rpm\"]]", into.source, [&](TableReader& inner) {
      if (const auto teeth = inner.whole("teeth", false, 1, 500, "12")) {
        into.limits.push_back({.teeth = static_cast<int>(*teeth)});
        return true;
      }
      return pairs(inner, "teeth_up_to", "5000 rpm", [&](const toml::array& pair) {
        const auto* teeth = pair.get(0)->as_integer();
        if (teeth == nullptr || teeth->get() < 1 || teeth->get() > 500) {
          inner.error(*pair.get(0),
                      fmt::format("teeth must be a whole number from 1 to 500, got {}",
                                  TableReader::describe(*pair.get(0))));
          return false;
        }
        const auto speed = quantity<AngularSpeed>(inner, *pair.get(1), fastest_pulley);
        if (!speed) return false;
        if (!into.limits.empty() && !(*speed > into.limits.back().up_to)) {
          inner.error(pair, "the rows of teeth_up_to must go by rising speed");
          return false;
        }
        into.limits.push_back({static_cast<int>(teeth->get()), *speed});
        return true;
      });
    });
  }

  void tooth_strength(std::string_view key, parts::ToothStrength& into) {
    entry(key, false, "at_speed = [[\"0 rpm\", \"24.7 N/cm\"]], counted = 12", into.source,
          [&](TableReader& inner) {
            const auto open = inner.whole("counted", false, 1, 100, "12");
            const auto welded = inner.whole("counted_welded", false, 1, 100, "6");
            if (open) into.counted_at_most = static_cast<int>(*open);
            if (welded) into.counted_at_most_welded = static_cast<int>(*welded);
            return pairs(inner, "at_speed", "24.7 N/cm", [&](const toml::array& pair) {
              const auto speed = quantity<AngularSpeed>(inner, *pair.get(0), fastest_pulley, true);
              const auto force =
                  quantity<Stiffness>(inner, *pair.get(1), newtons_per_millimetre(1e4));
              if (!speed || !force) return false;
              if (!into.at_speed.empty() && !(*speed > into.at_speed.back().speed)) {
                inner.error(pair, "the rows of at_speed must go by rising speed");
                return false;
              }
              into.at_speed.push_back({*speed, *force});
              return true;
            });
          });
  }

  void welded_share(std::string_view key, parts::SourcedShare& into) {
    entry(key, false, "value = 0.5", into.source, [&](TableReader& inner) {
      const auto value = inner.ratio<TorqueShare>("value", true, "0.5");
      if (value) into.value = value->value();
      return value.has_value();
    });
  }

  void temperature(std::string_view key, parts::TemperatureRange& into) {
    entry(key, false, "highest_celsius = 80", into.source, [&](TableReader& inner) {
      const auto low = inner.whole("lowest_celsius", false, -273, 1000, "-20");
      const auto high = inner.whole("highest_celsius", true, -273, 1000, "80");
      if (low) into.lowest_celsius = static_cast<double>(*low);
      if (high) into.highest_celsius = static_cast<double>(*high);
      return high.has_value();
    });
  }

 private:
  /// A list of pairs; `read` takes each and tells whether it succeeded.
  static bool pairs(TableReader& inner, std::string_view key, std::string_view example,
                    const std::function<bool(const toml::array&)>& read) {
    const toml::node* node = inner.find(key, true, fmt::format("[[..., \"{}\"]]", example));
    if (node == nullptr) return false;
    const toml::array* list = node->as_array();
    if (list == nullptr || list->empty()) {
      inner.error(*node,
                  fmt::format("{} must be a list of pairs, got {}", key,
                              list == nullptr ? TableReader::describe(*node) : "an empty list"));
      return false;
    }
    bool right = true;
    for (const toml::node& item : *list) {
      const toml::array* pair = item.as_array();
      if (pair == nullptr || pair->size() != 2) {
        inner.error(item,
                    fmt::format("{} must hold pairs, got {}", key, TableReader::describe(item)));
        right = false;
      } else {
        right = read(*pair) && right;
      }
    }
    return right;
  }

  template <class Q>
  static std::optional<Q> quantity(TableReader& inner, const toml::node& node, const Q& most,
                                   bool zero_too = false) {
    const auto* text = node.as_string();
    if (text == nullptr) {
      inner.error(
          node,
          fmt::format("must be {} in text, got {}", kind_of<Q>->name, TableReader::describe(node)),
          fmt::format("for example \"{}\"", kind_of<Q>->example));
      return std::nullopt;
    }
    try {
      const Q q = read_quantity<Q>(text->get());
      if ((zero_too ? q >= 0.0 * q : q > 0.0 * q) && q <= most) return q;
      inner.error(node, fmt::format("must be {} 0 and at most {}, got \"{}\"",
                                    zero_too ? ">=" : ">", print_plain(most), text->get()));
    } catch (const UnreadableQuantity& e) {
      inner.diagnostics().add(node.source(), e.what(), {}, e.column());
    }
    return std::nullopt;
  }

  TableReader& reader_;
  bool good_ = true;
};

}  // namespace

std::optional<parts::BeltProfile> read_belt_profile(TableReader reader, const std::string& name) {
  parts::BeltProfile profile;
  profile.name = name;
  BeltReader belt(reader);
  const MassPerArea heaviest_belt = kilograms_per_metre(100) / metres(1);
  belt.entry("pitch", true, "value = \"2 mm\"", profile.source, [&](TableReader& inner) {
    const auto exact = inner.exact_length("value", true);
    if (exact) profile.pitch_millimetres = *exact;
    return exact.has_value();
  });
  const auto construction = reader.choice(
      "construction", false,
      {"rubber, glass cord", "polyurethane, steel cord", "polyurethane, heavy steel cord"});
  if (construction) profile.construction = constructions.at(*construction);
  belt.one("stiffness_per_width", profile.stiffness_per_width, profile.stiffness_source,
           newtons_per_millimetre(1e6));
  belt.by_width("tension_per_strain", profile.tension_per_strain, strongest_of_catalogue);
  belt.one("mass_per_width", profile.mass_per_width, profile.mass_source, heaviest_belt);
  belt.value("pitch_line_differential", profile.pitch_line_differential, millimetres(50));
  belt.value("tooth_height", profile.tooth_height, millimetres(50));
  belt.value("thickness", profile.thickness, millimetres(50));
  belt.widths("widths", profile);
  belt.smallest_pulley("smallest_pulley", profile.smallest_pulley);
  belt.count("smallest_pulley_with_back_bend", profile.smallest_pulley_with_back_bend);
  belt.count("smallest_inside_idler", profile.smallest_inside_idler);
  belt.value("smallest_flat_inside_idler", profile.smallest_flat_inside_idler, widest);
  belt.value("smallest_back_idler", profile.smallest_back_idler, widest);
  belt.by_width("open_ended_tension", profile.open_ended_tension, strongest_of_catalogue);
  belt.by_width("closed_loop_tension", profile.closed_loop_tension, strongest_of_catalogue);
  belt.welded_share("welded_share", profile.welded_share);
  belt.value("tension_of_one_inch", profile.tension_of_one_inch, strongest_of_catalogue);
  belt.by_width("breaking_load", profile.breaking_load, strongest_of_catalogue);
  belt.tooth_strength("tooth_strength", profile.tooth_strength);
  belt.by_width("start_tension", profile.start_tension, strongest_of_catalogue);
  belt.by_width("least_tension", profile.least_tension, strongest_of_catalogue);
  belt.by_width("speed_tension", profile.speed_tension, strongest_of_catalogue);
  belt.temperature("temperature", profile.temperature);
  belt.value("highest_speed", profile.highest_speed, metres_per_second(1000));
  const bool notes_are_right = read_notes(reader, profile.notes);
  reader.know(keys::listed::like.name);
  reader.finish();
  if (!belt.good() || !notes_are_right || (reader.has("construction") && !construction))
    return std::nullopt;
  return profile;
}

}  // namespace pitchline::io::detail
