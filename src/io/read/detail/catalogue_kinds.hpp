#pragma once

// The kinds of a catalogue: for each, the word of its entries, its shelf, and what reads an entry.

#include <optional>
#include <string>
#include <string_view>

#include "pitchline/io/catalogue.hpp"
#include "read/detail/read_listed.hpp"
#include "read/detail/read_parts.hpp"
#include "read/keys/listed_drive.hpp"
#include "read/keys/listed_guides.hpp"
#include "read/keys/listed_power.hpp"
#include "read/keys/motor.hpp"

namespace pitchline::io::detail {

template <class Part>
struct CatalogueKind;

template <>
struct CatalogueKind<parts::StepperMotor> {
  static constexpr std::string_view word = "motor";
  static constexpr auto shelf = &Catalogue::motors;
  static std::optional<parts::StepperMotor> read(const toml::table& table, TablePlace place,
                                                 Diagnostics& diagnostics,
                                                 const std::string& name) {
    return read_motor({table, keys::motor::table, std::move(place), diagnostics}, name);
  }
};
template <>
struct CatalogueKind<parts::BeltProfile> {
  static constexpr std::string_view word = "belt";
  static constexpr auto shelf = &Catalogue::belts;
  static std::optional<parts::BeltProfile> read(const toml::table& table, TablePlace place,
                                                Diagnostics& diagnostics, const std::string& name) {
    return read_belt_profile({table, std::move(place.path), diagnostics, place.base}, name);
  }
};
template <>
struct CatalogueKind<parts::Screw> {
  static constexpr std::string_view word = "screw";
  static constexpr auto shelf = &Catalogue::screws;
  static std::optional<parts::Screw> read(const toml::table& table, TablePlace place,
                                          Diagnostics& diagnostics, const std::string& name) {
    return read_screw({table, std::move(place.path), diagnostics, place.base}, name);
  }
};

/// A kind whose keys are fields of its part.
template <class Part, Shelf<Part> Catalogue::*its_shelf>
struct ListedCatalogueKind {
  static constexpr std::string_view word = ListedKind<Part>::word;
  static constexpr auto shelf = its_shelf;
  static std::optional<Part> read(const toml::table& table, TablePlace place,
                                  Diagnostics& diagnostics, const std::string& name) {
    return read_listed<Part>({table, listed_table<Part>, std::move(place), diagnostics}, name);
  }
};
template <>
struct CatalogueKind<parts::Rail> : ListedCatalogueKind<parts::Rail, &Catalogue::rails> {};
template <>
struct CatalogueKind<parts::Roller> : ListedCatalogueKind<parts::Roller, &Catalogue::rollers> {};
template <>
struct CatalogueKind<parts::Bush> : ListedCatalogueKind<parts::Bush, &Catalogue::bushes> {};
template <>
struct CatalogueKind<parts::Section> : ListedCatalogueKind<parts::Section, &Catalogue::sections> {};
template <>
struct CatalogueKind<parts::StockPulley>
    : ListedCatalogueKind<parts::StockPulley, &Catalogue::pulleys> {};
template <>
struct CatalogueKind<parts::ListedDriver>
    : ListedCatalogueKind<parts::ListedDriver, &Catalogue::drivers> {};
template <>
struct CatalogueKind<parts::ListedSupply>
    : ListedCatalogueKind<parts::ListedSupply, &Catalogue::supplies> {};
template <>
struct CatalogueKind<parts::Coupling>
    : ListedCatalogueKind<parts::Coupling, &Catalogue::couplings> {};
template <>
struct CatalogueKind<parts::Bearing> : ListedCatalogueKind<parts::Bearing, &Catalogue::bearings> {};
template <>
struct CatalogueKind<parts::ScrewSupport>
    : ListedCatalogueKind<parts::ScrewSupport, &Catalogue::supports> {};
template <>
struct CatalogueKind<parts::Nut> : ListedCatalogueKind<parts::Nut, &Catalogue::nuts> {};
template <>
struct CatalogueKind<parts::Carrier> : ListedCatalogueKind<parts::Carrier, &Catalogue::carriers> {};
template <>
struct CatalogueKind<parts::Tube> : ListedCatalogueKind<parts::Tube, &Catalogue::tubes> {};

/// Calls `work` with a value of the part of each kind, in the order in which kinds are listed.
template <class Work>
void for_each_kind(Work&& work) {
  work(parts::StepperMotor{});
  work(parts::BeltProfile{});
  work(parts::StockPulley{});
  work(parts::Screw{});
  work(parts::Nut{});
  work(parts::ScrewSupport{});
  work(parts::Coupling{});
  work(parts::Bearing{});
  work(parts::Rail{});
  work(parts::Roller{});
  work(parts::Bush{});
  work(parts::Section{});
  work(parts::ListedDriver{});
  work(parts::ListedSupply{});
  work(parts::Carrier{});
  work(parts::Tube{});
}

/// The entry of a part as TOML: as it stands, or of one line of a table of stock pulleys.
std::string entry_as_toml(std::string_view text);

/// The entry of a part that another one takes over, without places in a file; nothing where no
/// source has it. Motors that lack a figure can be taken over too.
template <class Part>
std::optional<toml::table> entry_of(const Catalogue& catalogue, std::string_view name) {
  std::string_view text = (catalogue.*CatalogueKind<Part>::shelf).text_of(name);
  if constexpr (std::is_same_v<Part, parts::StepperMotor>)
    if (text.empty()) text = catalogue.motors_in_part.text_of(name);
  if (text.empty()) return std::nullopt;
  const toml::table root = parse_toml(entry_as_toml(text), "an entry of the catalogue");
  // A copy keeps no places: they would be those of another file.
  return toml::table(*root.begin()->second.as_table()->begin()->second.as_table());
}

}  // namespace pitchline::io::detail
