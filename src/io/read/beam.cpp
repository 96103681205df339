// The beam that an axis moves.

#include <algorithm>

#include "read/detail/read_drives.hpp"
#include "read/detail/read_parts.hpp"
#include "read/keys/axis.hpp"

namespace pitchline::io::detail {
namespace {

// Names which of the moving parts travel along the beam.
void read_carried_parts(TableReader& reader, std::vector<axis::MovingPart>& moving) {
  const auto carries = reader.list_of_texts(keys::beam::carries.name);
  if (!carries) return;
  if (carries->empty())
    reader.error(reader.at(keys::beam::carries), "carries must name at least one part");
  std::vector<std::string> names;
  names.reserve(moving.size());
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
                          bool carries_axis) {
  structure::Beam beam;
  reader.into(keys::beam::span, beam.span);
  reader.into(keys::beam::elastic_modulus, beam.elastic_modulus);
  reader.into(keys::beam::second_moment, beam.second_moment);
  read_carried_parts(reader, moving);

  Mass still{};
  bool nothing_travels = !carries_axis;
  for (const axis::MovingPart& part : moving) {
    if (part.travels_along_beam)
      nothing_travels = false;
    else
      still += part.mass;
  }
  const auto mass = reader.read(keys::beam::mass);
  if (mass) beam.mass = *mass;
  // Without a moving mass there is another error already.
  if (mass && !moving.empty() && *mass > still) {
    const toml::node& node = reader.at(keys::beam::mass);
    reader.error(
        node,
        fmt::format("mass must be at most {}, what of moving_mass does not travel along the beam, "
                    "got {}",
                    print_plain(still), TableReader::describe(node)),
        "moving_mass counts the beam too");
  }
  if (nothing_travels && !moving.empty() && !reader.has(keys::beam::carries))
    reader.missing(keys::beam::carries,
                   "[\"carriage\"], parts of moving_mass that travel along the beam; or "
                   "the axis that rides on this one: carries = [\"x\"] beside beam");
  if (!reader.into(keys::beam::damping, beam.damping_ratio) && !reader.has(keys::beam::damping))
    reader.assume(keys::beam::damping, fmt::format("damping ratio {} of the beam",
                                                   significant(beam.damping_ratio.value(), 2)));
  reader.finish();
  return beam;
}

}  // namespace pitchline::io::detail
