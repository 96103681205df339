// The beam that an axis moves.

#include <algorithm>

#include "read/detail/read_drives.hpp"
#include "read/detail/read_parts.hpp"

namespace pitchline::io::detail {
namespace {

// Names which of the moving parts travel along the beam.
void read_carried_parts(TableReader& reader, std::vector<axis::MovingPart>& moving) {
  const auto carries = reader.list_of_texts("carries");
  if (!carries) return;
  if (carries->empty())
    reader.error(*reader.find("carries", false, {}), "carries must name at least one part");
  std::vector<std::string> names;
  for (const axis::MovingPart& part : moving) names.push_back(part.name);
  for (const auto& [name, node] : *carries) {
    const auto part = std::find_if(moving.begin(), moving.end(),
                                   [&, n = name](const auto& each) { return each.name == n; });
    if (part == moving.end()) {
      reader.unknown_word(*node, "part of moving_mass", name, names);
    } else if (part->travels_along_beam) {
      reader.error(*node, fmt::format("part \"{}\" is named twice", name));
    } else {
      part->travels_along_beam = true;
    }
  }
}

}  // namespace

structure::Beam read_beam(TableReader reader, std::vector<axis::MovingPart>& moving,
                          bool carries_axis, std::vector<std::string>& assumed) {
  structure::Beam beam;
  if (const auto span = reader.positive<Length>("span", true, longest)) beam.span = *span;
  if (const auto modulus = reader.quantity<Pressure>(
          "elastic_modulus", true, "from 1 GPa to 1000 GPa",
          [](const Pressure& e) { return e >= megapascals(1'000) && e <= megapascals(1'000'000); }))
    beam.elastic_modulus = *modulus;
  if (const auto moment = reader.quantity<SecondMoment>(
          "second_moment", true, "> 0 and at most 1e9 mm^4", [](const SecondMoment& i) {
            return i > metres_to_the_fourth(0) && i <= millimetres_to_the_fourth(1e9);
          }))
    beam.second_moment = *moment;
  read_carried_parts(reader, moving);

  Mass still{};
  bool nothing_travels = !carries_axis;
  for (const axis::MovingPart& part : moving) {
    if (part.travels_along_beam)
      nothing_travels = false;
    else
      still += part.mass;
  }
  const auto mass = reader.quantity<Mass>(
      "mass", true, "> 0", [](const Mass& m) { return m > kilograms(0) && is_finite(m); });
  if (mass) beam.mass = *mass;
  // Without a moving mass there is another error already.
  if (mass && !moving.empty() && *mass > still) {
    const toml::node& node = *reader.find("mass", false, {});
    reader.error(
        node,
        fmt::format("mass must be at most {}, what of moving_mass does not travel along the beam, "
                    "got {}",
                    print_plain(still), TableReader::describe(node)),
        "moving_mass counts the beam too");
  }
  if (nothing_travels && !moving.empty() && !reader.has("carries"))
    reader.missing("carries",
                   "[\"carriage\"], parts of moving_mass that travel along the beam; or "
                   "the axis that rides on this one: carries = [\"x\"] beside beam");
  if (const auto damping = reader.ratio<DampingRatio>("damping", false, "0.01")) {
    beam.damping_ratio = *damping;
  } else if (!reader.has("damping")) {
    assumed.push_back(fmt::format("damping ratio {} of the beam (beam.damping)",
                                  significant(beam.damping_ratio.value(), 2)));
  }
  reader.finish();
  return beam;
}

}  // namespace pitchline::io::detail
