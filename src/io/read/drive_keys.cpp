#include "read/detail/drive_keys.hpp"

namespace pitchline::io::detail {

std::optional<Fraction> read_exact(TableReader& reader, std::string_view key, const Length& most) {
  const auto value = reader.exact_length(key, true);
  if (!value || millimetres(to_double(*value)) <= most) return value;
  reader.error(*reader.find(key, false, {}),
               fmt::format("{} must be > 0 and at most {}, got {}", key, print_plain(most),
                           print_plain(millimetres(to_double(*value)))));
  return std::nullopt;
}

std::optional<Length> read_distance(TableReader& reader, std::string_view key, bool required,
                                    const Length& travel, std::string_view meaning) {
  auto distance = reader.positive<Length>(key, required, longest);
  if (!distance || is_unset(travel) || *distance >= travel) return distance;
  const toml::node& node = *reader.find(key, false, {});
  reader.error(node,
               fmt::format("{} must be at least the travel of {}, got {}", key, print_plain(travel),
                           TableReader::describe(node)),
               std::string(meaning));
  return std::nullopt;
}

bool read_bore(TableReader& reader, std::optional<Length> diameter, Length& bore) {
  const auto read = reader.not_negative<Length>("bore", false, thickest_workpiece);
  if (!read) return !reader.has("bore");
  bore = *read;
  if (!diameter || bore < *diameter) return true;
  reader.error(*reader.find("bore", false, {}),
               fmt::format("bore must be below the diameter of {}, got {}", print_plain(*diameter),
                           print_plain(bore)));
  return false;
}

std::optional<Fraction> read_ratio(TableReader& reader) {
  const auto motor_teeth = reader.whole("motor_teeth", true, 6, 500, "20");
  const auto driven_teeth = reader.whole("driven_teeth", true, 6, 500, "40");
  if (!motor_teeth || !driven_teeth) return std::nullopt;
  return Fraction(*driven_teeth, *motor_teeth);
}

void require_countable(TableReader& reader, std::string_view key, double numerator,
                       double denominator) {
  constexpr double most = 1e8;                      // of what `motion::kept_at` takes
  constexpr double largest = 9.2e17;                // a tenth of what 64 bits hold
  if (!(numerator > 0 && denominator > 0)) return;  // what is not known has its own error
  if (numerator < largest && denominator < largest && numerator / denominator <= most) return;
  reader.error(*reader.find(key, false, {}),
               fmt::format("{} makes pulses that cannot be counted exactly", key),
               "round it to 0.001 mm, or correct its unit");
}

}  // namespace pitchline::io::detail
