#include "pitchline/io/machine_file_reference.hpp"

#include <array>
#include <span>
#include <tuple>

#include "read/keys/axis.hpp"
#include "read/keys/belt_drive.hpp"
#include "read/keys/lift.hpp"
#include "read/keys/listed_drive.hpp"
#include "read/keys/listed_guides.hpp"
#include "read/keys/listed_power.hpp"
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

constexpr std::string_view catalogue_introduction =
    R"(# A catalogue

Every key of the entries of a catalogue, made by the programs: build the target `renew_reference` after a key has changed.
The catalogue that comes with them stands in `catalogue/`: one TOML file a kind, and stock pulleys as lines of
`pulleys_inch.csv` and `pulleys_metric.csv`, whose head has the unit behind each key. Programs read a file of your own with
`--catalogue FILE`, `pitchline-parts --check FILE` judges it, and `pitchline-parts` lists and searches what there is.

An entry is a table with the word of its kind and a name of its own, `[rail."rail 15mm 14.7kN"]`. Names say class and figures;
makers stand in `source`. A file may call an entry by its name in any spelling: case, blanks, hyphens and the order of words do
not count, figures match in any unit of their kind, and where several entries may be meant it is asked which. Two entries for one
part number are two editions of its sheet; `doubt` says so.

    [motor."mine"]
    like          = "nema17 48mm 2A"
    rotor_inertia = "75 g*cm^2"
    price         = 12.50
    currency      = "EUR"

Belts and screws have more keys than are listed here: see `catalogue/belts.toml` and `catalogue/screws.toml`.
)";

std::string left_out(const detail::Key& key) {
  using detail::Otherwise;
  if (key.required) return "required";
  if (key.otherwise.empty()) return "";
  const bool assumed = key.weight == Otherwise::decides || key.weight == Otherwise::worded;
  return fmt::format("{}{}", key.otherwise, assumed ? "; assumed" : "");
}

std::string table_of_keys(const detail::KeyTable& table) {
  std::string text = fmt::format("\n## {}\n\n", table.title);
  if (!table.text.empty()) text += fmt::format("{}\n\n", table.text);
  text +=
      "| key | kind, bounds | meaning | example | left out |\n| --- | --- | --- | --- | --- |\n";
  for (const detail::KeyRow& each : table.rows) {
    const std::string bounds = each.bounds(*each.key);
    text += fmt::format("| `{}` | {}{}{} | {} | `{}` | {} |\n", each.key->name,
                        each.kind(*each.key), bounds.empty() ? "" : ", ", bounds, each.key->doc,
                        each.key->example, left_out(*each.key));
  }
  return text;
}

// Without the keys that every entry has.
template <class Part>
std::string table_of_kind() {
  constexpr std::size_t own = std::tuple_size_v<decltype(detail::ListedKind<Part>::fields)>;
  return table_of_keys({detail::ListedKind<Part>::title, detail::ListedKind<Part>::about,
                        std::span(detail::listed_rows<Part>).first(own)});
}

}  // namespace

std::string machine_file_reference() {
  std::string text(introduction);
  for (const detail::KeyTable* table : key_tables) text += table_of_keys(*table);
  return text;
}

std::string catalogue_reference() {
  return std::string(catalogue_introduction) + table_of_keys(keys::listed::table) +
         table_of_keys(keys::motor::table) + table_of_keys(keys::published::table) +
         table_of_kind<parts::StockPulley>() + table_of_kind<parts::Nut>() +
         table_of_kind<parts::ScrewSupport>() + table_of_kind<parts::Coupling>() +
         table_of_kind<parts::Bearing>() + table_of_kind<parts::Rail>() +
         table_of_kind<parts::Roller>() + table_of_kind<parts::Bush>() +
         table_of_kind<parts::Section>() + table_of_kind<parts::ListedDriver>() +
         table_of_kind<parts::ListedSupply>() + table_of_kind<parts::Carrier>() +
         table_of_kind<parts::Tube>();
}

}  // namespace pitchline::io
