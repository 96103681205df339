#include "pitchline/io/machine_file_reference.hpp"

#include <array>

#include "read/keys/axis.hpp"
#include "read/keys/belt_drive.hpp"
#include "read/keys/lift.hpp"
#include "read/keys/loop.hpp"
#include "read/keys/machine.hpp"
#include "read/keys/motor.hpp"
#include "read/keys/screw_drive.hpp"
#include "read/keys/turning_drive.hpp"
#include "read/keys/work.hpp"

namespace pitchline::io {
namespace {

namespace keys = detail::keys;

// In the order in which a builder meets them.
constexpr std::array key_tables{&keys::header::table,
                                &keys::supply::table,
                                &keys::controller::table,
                                &keys::axis::table,
                                &keys::motor::like_table,
                                &keys::motor::table,
                                &keys::published::table,
                                &keys::driver::table,
                                &keys::want::table,
                                &keys::move::table,
                                &keys::raster::table,
                                &keys::cycle::table,
                                &keys::guide::table,
                                &keys::beam::table,
                                &keys::belt_drive::table,
                                &keys::belt_stage::table,
                                &keys::cross_shaft::table,
                                &keys::screw_drive::table,
                                &keys::friction::table,
                                &keys::screw_stage::table,
                                &keys::lift::table,
                                &keys::lift_belt::table,
                                &keys::pulley::table,
                                &keys::slide::table,
                                &keys::turning_drive::chuck_table,
                                &keys::turning_drive::rollers_table,
                                &keys::workpiece::table,
                                &keys::turning_stage::table};

constexpr std::string_view introduction =
    R"(# The machine file

Every key that the programs read, made by them: build the target `renew_reference` after a key has changed. Quantities
are text with a unit (`"350 mm/s"`); a number without one is an error. "Assumed" means that the value that counts where the key is
left out can decide a verdict and is named under the axis. Complete files stand in `machines/`; all of them are invented.
)";

std::string left_out(const detail::Key& key) {
  using detail::Otherwise;
  if (key.required) return "required";
  if (key.otherwise.empty()) return "";
  const bool assumed = key.weight == Otherwise::decides || key.weight == Otherwise::worded;
  return fmt::format("{}{}", key.otherwise, assumed ? "; assumed" : "");
}

}  // namespace

std::string machine_file_reference() {
  std::string text(introduction);
  for (const detail::KeyTable* table : key_tables) {
    text += fmt::format("\n## {}\n\n", table->title);
    if (!table->text.empty()) text += fmt::format("{}\n\n", table->text);
    text +=
        "| key | kind, bounds | meaning | example | left out |\n| --- | --- | --- | --- | --- |\n";
    for (const detail::KeyRow& each : table->rows) {
      const std::string bounds = each.bounds(*each.key);
      text += fmt::format("| `{}` | {}{}{} | {} | `{}` | {} |\n", each.key->name,
                          each.kind(*each.key), bounds.empty() ? "" : ", ", bounds, each.key->doc,
                          each.key->example, left_out(*each.key));
    }
  }
  return text;
}

}  // namespace pitchline::io
