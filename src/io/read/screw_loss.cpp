// The loss of a screw: its efficiency, or the friction of its thread.

#include <array>
#include <utility>

#include "pitchline/screw/trapezoidal_thread.hpp"
#include "read/detail/drive_keys.hpp"
#include "read/keys/screw_drive.hpp"

namespace pitchline::io::detail {
namespace {

// Friction by the names of nut and lubrication; nothing, with an error, where it is not known.
std::optional<screw::FrictionRange> read_named_friction(
    TableReader& reader, std::optional<screw::NutMaterial> nut,
    std::optional<screw::Lubrication> lubrication) {
  for (const Key* key : {static_cast<const Key*>(&keys::friction::least),
                         static_cast<const Key*>(&keys::friction::most)}) {
    if (reader.has(*key))
      reader.error(reader.at(*key), fmt::format("lubrication and {} do not go together", key->name),
                   "nut and lubrication say the friction: leave them or least and most out");
  }
  if (!reader.has(keys::friction::nut)) reader.missing(keys::friction::nut);
  if (!nut || !lubrication) return std::nullopt;
  try {
    return screw::running(screw::nut_friction(*nut, *lubrication));
  } catch (const InvalidInput&) {
    reader.error(reader.at(keys::friction::lubrication),
                 fmt::format("no friction is known of a nut of {}, {}", screw::in_words(*nut),
                             screw::in_words(*lubrication)),
                 "give least and most from its maker in place of lubrication");
    return std::nullopt;
  }
}

// The range, from least to most.
std::optional<screw::FrictionRange> read_range(TableReader& reader) {
  const auto least = reader.read(keys::friction::least, true);
  const auto most = reader.read(keys::friction::most, true);
  if (!least || !most) return std::nullopt;
  if (least->value() > most->value()) {
    reader.error(
        reader.at(keys::friction::least),
        fmt::format("least must be at most the most of {}, got {}", most->value(), least->value()));
    return std::nullopt;
  }
  return screw::FrictionRange{.least = *least, .most = *most};
}

// Included angles that threads of screws have: square, Acme and trapezoidal by parts::ThreadKind;
// 33 deg of a metric saw tooth, 3 and 30, from memory.
constexpr std::array usual_angles{degrees(0), degrees(29), degrees(30), degrees(33)};

bool near(Angle a, Angle b) { return a - b < degrees(0.3) && b - a < degrees(0.3); }

// The half angle of the flank. The file gives the included angle, as builders know a thread by; one
// that contradicts the thread that is named, or is half of a usual one, is an error, since it would
// change what holds without a word. Other odd ones are named under what is assumed.
std::optional<Angle> read_flank(TableReader& reader, std::optional<Angle> flank_of_thread) {
  const QuantityKey<Angle>& key = keys::friction::thread_angle;
  // Who wrote the key of one flank learns of that, and not that another is missing.
  const bool retired = reader.names_retired();
  const auto angle = reader.read(key, !flank_of_thread && !retired);
  if (!angle) return reader.has(key) ? std::nullopt : flank_of_thread;
  const toml::node& node = reader.at(key);
  if (flank_of_thread) {
    const Angle of_thread = 2.0 * *flank_of_thread;
    if (near(*angle, of_thread)) return flank_of_thread;
    reader.error(node,
                 fmt::format("thread_angle of {} is not that of the thread that is named, {}",
                             print_plain(*angle), print_plain(of_thread)),
                 "it is the angle between both flanks; leave it out");
    return std::nullopt;
  }
  for (const Angle& usual : {degrees(29), degrees(30)}) {
    if (!near(2.0 * *angle, usual)) continue;
    reader.error(
        node,
        fmt::format("thread_angle of {} is half of {}: it is the angle between both flanks",
                    print_plain(*angle), print_plain(usual)),
        "for example thread_angle = \"30 deg\" of a trapezoidal thread, \"29 deg\" of an "
        "Acme one");
    return std::nullopt;
  }
  if (std::none_of(usual_angles.begin(), usual_angles.end(),
                   [&](Angle usual) { return near(*angle, usual); }))
    reader.assume(key, fmt::format("a thread of {} between its flanks, which no usual thread has",
                                   print_plain(*angle)));
  return *angle / 2.0;
}

// Friction in the thread, and that of a collar where the thrust bearing slides.
std::optional<axis::ThreadFriction> read_thread_friction(TableReader reader,
                                                         std::optional<Angle> flank_of_thread) {
  const auto nut = reader.read(keys::friction::nut);
  const auto lubrication = reader.read(keys::friction::lubrication);
  const bool by_name = reader.has(keys::friction::lubrication);
  const auto range = by_name ? read_named_friction(reader, nut, lubrication) : read_range(reader);
  const auto flank = read_flank(reader, std::move(flank_of_thread));
  const bool sliding =
      reader.has(keys::friction::collar_diameter) || reader.has(keys::friction::collar);
  const auto diameter = reader.read(keys::friction::collar_diameter, sliding);
  const auto collar = reader.read(keys::friction::collar, sliding);
  if (!sliding) reader.assume(keys::friction::collar_diameter);
  reader.finish();
  if (!range || !flank || (sliding && (!diameter || !collar))) return std::nullopt;
  axis::ThreadFriction friction{
      .flank_half_angle = *flank, .least = range->least, .most = range->most};
  if (sliding) {
    friction.collar_mean_diameter = *diameter;
    friction.collar_friction = *collar;
  }
  friction.nut = nut;
  friction.lubrication = lubrication;
  return friction;
}

// The flank that the thread says, where the file or the catalogue names one.
std::optional<Angle> flank_of_thread(TableReader& reader, const axis::ScrewBody& screw) {
  if (screw.thread && parts::slides(*screw.thread)) return parts::flank_half_angle(*screw.thread);
  if (reader.has(keys::screw_drive::thread)) return screw::trapezoidal_half_angle;
  return std::nullopt;
}

// Whether the friction leaves an efficiency at all.
void require_turning(TableReader& reader, const axis::ScrewAxis& drive) {
  const toml::table& table = *reader.at(keys::screw_drive::friction).as_table();
  try {
    axis::deciding_efficiency(drive);
  } catch (const OutsideValidity& e) {
    // Of a friction by names, the name stands in its place.
    const toml::node* most = table.get(keys::friction::most.name);
    reader.error(most != nullptr ? *most : static_cast<const toml::node&>(table), e.what());
  } catch (const InvalidInput&) {  // NOLINT(bugprone-empty-catch)
    // Of a lead or a diameter, which has its own error by now.
  }
}

}  // namespace

void read_screw_loss(TableReader& reader, axis::ScrewAxis& drive) {
  const bool has_efficiency = reader.has(keys::screw_drive::efficiency);
  const bool has_friction = reader.has(keys::screw_drive::friction);
  if (drive.screw.thread == parts::ThreadKind::ball && !has_efficiency && !has_friction) {
    drive.loss = Efficiency(axis::least_ball_screw_efficiency);
    reader.assume(keys::screw_drive::efficiency,
                  fmt::format("efficiency {} of a ball screw",
                              significant(axis::least_ball_screw_efficiency, 3)));
    return;
  }
  reader.into(keys::screw_drive::efficiency, drive.loss);
  std::optional<axis::ThreadFriction> friction;
  if (auto table = reader.table(keys::screw_drive::friction, keys::friction::table))
    friction = read_thread_friction(std::move(*table), flank_of_thread(reader, drive.screw));
  if (has_efficiency && has_friction) {
    reader.error(reader.at(keys::screw_drive::friction), "efficiency and friction are both given",
                 "keep efficiency where the maker of the screw states it, else friction");
  } else if (!has_efficiency && !has_friction) {
    reader.missing(keys::screw_drive::efficiency,
                   "0.9 where the maker of a ball screw says so, or friction = { least = 0.10, "
                   "most = 0.20, thread_angle = \"30 deg\" } for a trapezoidal thread");
  }
  if (!friction) return;
  drive.loss = *friction;
  require_turning(reader, drive);
}

void read_open_loss(TableReader& reader, axis::ScrewAxis& drive) {
  if (reader.has(keys::screw_drive::efficiency))
    reader.error(reader.at(keys::screw_drive::efficiency),
                 "efficiency does not go with a screw that is left open",
                 "name the screw, or give friction = { nut = \"bronze\", lubrication = \"oiled\" } "
                 "of the sliding ones");
  if (auto table = reader.table(keys::screw_drive::friction, keys::friction::table)) {
    if (table->has(keys::friction::thread_angle)) {
      table->error(table->at(keys::friction::thread_angle),
                   "thread_angle does not go with a screw that is left open",
                   "each screw of the catalogue says its own: leave it out");
      return;
    }
    if (const auto friction =
            read_thread_friction(std::move(*table), screw::trapezoidal_half_angle))
      drive.loss = *friction;
    return;
  }
  if (reader.has(keys::screw_drive::friction)) return;
  const auto& usual = screw::nut_friction(screw::NutMaterial::bronze, screw::Lubrication::oiled);
  const screw::FrictionRange range = screw::running(usual);
  drive.loss = axis::ThreadFriction{.flank_half_angle = screw::trapezoidal_half_angle,
                                    .least = range.least,
                                    .most = range.most,
                                    .nut = usual.nut,
                                    .lubrication = usual.lubrication};
  reader.assume(keys::screw_drive::friction,
                fmt::format("sliding screws in a nut of {}, {}, and a thrust bearing that rolls "
                            "freely",
                            screw::in_words(usual.nut), screw::in_words(usual.lubrication)));
}

}  // namespace pitchline::io::detail
