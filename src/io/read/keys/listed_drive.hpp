#pragma once

// Keys of what stands between motor and load, in a catalogue.

#include "pitchline/parts/screw_end.hpp"
#include "pitchline/parts/stock_pulley.hpp"
#include "read/keys/listed.hpp"

namespace pitchline::io::detail {
namespace keys {

namespace pulley_of_stock {
inline constexpr auto profile =
    text_key({"profile", "\"HTD 5M\"", "of the catalogue of belts", true});
inline constexpr WholeKey teeth{said({"teeth", "20", "of the pulley", true}), 6, 500};
inline constexpr auto belt_width =
    length_key({"belt_width", "\"15 mm\"", "widest belt that it takes", true});
inline constexpr auto outer_diameter =
    length_key({"outer_diameter", "\"37.06 mm\"", "over the teeth"});
inline constexpr auto flange_diameter =
    length_key({"flange_diameter", "\"42 mm\"", "where it has flanges"});
inline constexpr auto face_width = length_key({"face_width", "\"20.5 mm\"", "of the toothed part"});
inline constexpr auto length = length_key({"length", "\"28 mm\"", "with the hub"});
inline constexpr auto pilot_bore =
    length_key({"pilot_bore", "\"6 mm\"", "as delivered, to be bored out"});
inline constexpr auto usual_bores =
    text_key({"usual_bores", "\"5 mm, 8 mm\"", "with which it comes bored"});
inline constexpr auto mass = mass_key({"mass", "\"0.18 kg\"", "of one"});
inline constexpr FlagKey listed{{.name = "listed",
                                 .example = "false",
                                 .doc = "whether a source lists it",
                                 .otherwise = "it is listed"}};
}  // namespace pulley_of_stock

namespace coupling {
inline constexpr ChoiceKey<int, 5> type{
    said({"type", "\"jaw with spider\"", "build", true}),
    {{{"jaw with spider", 0}, {"bellows", 1}, {"beam", 2}, {"disc", 3}, {"rigid", 4}}}};
inline constexpr auto hardness = text_key({"hardness", "\"98 Sh A\"", "of its spider"});
inline constexpr auto nominal_torque =
    torque_key({"nominal_torque", "\"10 N*m\"", "that it carries for good", true});
inline constexpr auto highest_torque =
    torque_key({"highest_torque", "\"20 N*m\"", "that it carries for a moment"});
inline constexpr auto reversing_torque =
    torque_key({"reversing_torque", "\"2.6 N*m\"", "that it carries where the drive reverses"});
inline constexpr auto stiffness_at_quarter = torsional_stiffness_key(
    {"stiffness_at_quarter", "\"470 N*m/rad\"", "dynamic, at a quarter of the nominal torque"});
inline constexpr auto stiffness_at_half =
    torsional_stiffness_key({"stiffness_at_half", "\"800 N*m/rad\"", "likewise, at half of it"});
inline constexpr auto stiffness_at_three_quarters = torsional_stiffness_key(
    {"stiffness_at_three_quarters", "\"1050 N*m/rad\"", "likewise, at three quarters"});
inline constexpr auto stiffness =
    torsional_stiffness_key({"stiffness", "\"1280 N*m/rad\"", "likewise, at all of it"});
inline constexpr auto radial_offset =
    length_key({"radial_offset", "\"0.2 mm\"", "of the shafts that it bears"});
inline constexpr QuantityKey<Angle> angular_offset{
    said({"angular_offset", "\"1.2 deg\"", "likewise"}), degrees(0.01), degrees(45)};
inline constexpr auto highest_speed =
    speed_key({"highest_speed", "\"14000 rpm\"", "that it bears"});
inline constexpr auto outer_diameter =
    length_key({"outer_diameter", "\"25 mm\"", "of the coupling"});
inline constexpr auto length = length_key({"length", "\"26 mm\"", "of the coupling"});
inline constexpr auto mass = mass_key({"mass", "\"0.02 kg\"", "of the coupling"});
inline constexpr QuantityKey<Inertia> inertia{said({"inertia", "\"40 g*cm^2\"", "of the coupling"}),
                                              gram_square_centimetres(0.001),
                                              gram_square_centimetres(1e9)};
}  // namespace coupling

namespace bearing {
inline constexpr ChoiceKey<int, 3> type{
    said({"type", "\"deep groove\"", "build", true}),
    {{{"deep groove", 0}, {"thrust", 1}, {"angular contact", 2}}}};
inline constexpr auto bore = length_key({"bore", "\"8 mm\"", "of the inner ring", true});
inline constexpr auto outer_diameter =
    length_key({"outer_diameter", "\"22 mm\"", "of the outer ring", true});
inline constexpr auto width = length_key({"width", "\"7 mm\"", "of both"});
inline constexpr auto dynamic_rating =
    force_key({"dynamic_rating", "\"3.45 kN\"", "C, for a million revolutions", true});
inline constexpr auto static_rating = force_key({"static_rating", "\"1.37 kN\"", "C0"});
inline constexpr auto highest_speed =
    speed_key({"highest_speed", "\"75000 rpm\"", "that it bears"});
inline constexpr auto mass = mass_key({"mass", "\"0.012 kg\"", "of one"});
}  // namespace bearing

namespace support {
inline constexpr ChoiceKey<int, 2> type{
    said({"type", "\"fixed end\"", "which end of the screw it holds", true}),
    {{{"fixed end", 0}, {"floating end", 1}}}};
inline constexpr auto shaft =
    length_key({"shaft", "\"10 mm\"", "end of the screw that it takes", true});
inline constexpr auto dynamic_rating =
    force_key({"dynamic_rating", "\"6.08 kN\"", "C of its bearings"});
inline constexpr auto axial_load = force_key({"axial_load", "\"3.1 kN\"", "that is permitted"});
inline constexpr auto axial_stiffness =
    stiffness_key({"axial_stiffness", "\"65 kN/mm\"", "along the screw"});
}  // namespace support

namespace nut {
inline constexpr ChoiceKey<int, 2> type{
    said({"type", "\"ball\"", "whether balls roll or a thread slides", true}),
    {{{"ball", 0}, {"sliding", 1}}}};
inline constexpr auto screw =
    text_key({"screw", "\"Tr 12x2\"", "of the catalogue, where it is one"});
inline constexpr auto screw_diameter = length_key({"screw_diameter", "\"16 mm\"", "nominal", true});
inline constexpr auto lead = length_key({"lead", "\"5 mm\"", "of the screw", true});
inline constexpr auto thread_diameter =
    length_key({"thread_diameter", "\"15.5 mm\"", "of the rolled shaft, over its thread"});
inline constexpr auto dynamic_rating =
    force_key({"dynamic_rating", "\"6.5 kN\"", "C of balls, for a million revolutions"});
inline constexpr auto static_rating = force_key({"static_rating", "\"11.7 kN\"", "C0 of balls"});
inline constexpr auto axial_load =
    force_key({"axial_load", "\"3.92 kN\"", "that a sliding nut is permitted"});
inline constexpr auto flange_load =
    force_key({"flange_load", "\"20.2 kN\"", "that its flange stands at rest"});
inline constexpr auto axial_stiffness =
    stiffness_key({"axial_stiffness", "\"110 kN/mm\"", "along the screw"});
inline constexpr auto axial_play = length_key({"axial_play", "\"0.04 mm\"", "most, as delivered"});
inline constexpr auto mass = mass_key({"mass", "\"0.18 kg\"", "of one"});
}  // namespace nut
}  // namespace keys

template <>
struct ListedKind<parts::StockPulley> {
  static constexpr std::string_view word = "pulley";
  static constexpr std::string_view title = "[pulley.NAME]";
  static constexpr std::string_view about = "A toothed pulley of a stock list.";
  static constexpr std::tuple fields{
      field(keys::pulley_of_stock::profile, &parts::StockPulley::profile),
      field(keys::pulley_of_stock::teeth, &parts::StockPulley::teeth),
      field(keys::pulley_of_stock::belt_width, &parts::StockPulley::belt_width),
      field(keys::pulley_of_stock::outer_diameter, &parts::StockPulley::outer_diameter),
      field(keys::pulley_of_stock::flange_diameter, &parts::StockPulley::flange_diameter),
      field(keys::pulley_of_stock::face_width, &parts::StockPulley::face_width),
      field(keys::pulley_of_stock::length, &parts::StockPulley::length),
      field(keys::pulley_of_stock::pilot_bore, &parts::StockPulley::pilot_bore),
      field(keys::pulley_of_stock::usual_bores, &parts::StockPulley::usual_bores),
      field(keys::pulley_of_stock::mass, &parts::StockPulley::mass),
      field(keys::pulley_of_stock::listed, &parts::StockPulley::listed)};
};

template <>
struct ListedKind<parts::Coupling> {
  static constexpr std::string_view word = "coupling";
  static constexpr std::string_view title = "[coupling.NAME]";
  static constexpr std::string_view about = "A shaft coupling.";
  static constexpr std::tuple fields{
      field(keys::coupling::type, &parts::Coupling::type),
      field(keys::coupling::hardness, &parts::Coupling::hardness),
      field(keys::coupling::nominal_torque, &parts::Coupling::nominal_torque),
      field(keys::coupling::highest_torque, &parts::Coupling::highest_torque),
      field(keys::coupling::reversing_torque, &parts::Coupling::reversing_torque),
      field(keys::coupling::stiffness_at_quarter, &parts::Coupling::stiffness_at_quarter),
      field(keys::coupling::stiffness_at_half, &parts::Coupling::stiffness_at_half),
      field(keys::coupling::stiffness_at_three_quarters,
            &parts::Coupling::stiffness_at_three_quarters),
      field(keys::coupling::stiffness, &parts::Coupling::stiffness),
      field(keys::coupling::radial_offset, &parts::Coupling::radial_offset),
      field(keys::coupling::angular_offset, &parts::Coupling::angular_offset),
      field(keys::coupling::highest_speed, &parts::Coupling::highest_speed),
      field(keys::coupling::outer_diameter, &parts::Coupling::outer_diameter),
      field(keys::coupling::length, &parts::Coupling::length),
      field(keys::coupling::mass, &parts::Coupling::mass),
      field(keys::coupling::inertia, &parts::Coupling::inertia)};
};

template <>
struct ListedKind<parts::Bearing> {
  static constexpr std::string_view word = "bearing";
  static constexpr std::string_view title = "[bearing.NAME]";
  static constexpr std::string_view about = "A rolling bearing for idlers and ends of screws.";
  static constexpr std::tuple fields{
      field(keys::bearing::type, &parts::Bearing::type),
      field(keys::bearing::bore, &parts::Bearing::bore),
      field(keys::bearing::outer_diameter, &parts::Bearing::outer_diameter),
      field(keys::bearing::width, &parts::Bearing::width),
      field(keys::bearing::dynamic_rating, &parts::Bearing::dynamic_rating),
      field(keys::bearing::static_rating, &parts::Bearing::static_rating),
      field(keys::bearing::highest_speed, &parts::Bearing::highest_speed),
      field(keys::bearing::mass, &parts::Bearing::mass)};
};

template <>
struct ListedKind<parts::ScrewSupport> {
  static constexpr std::string_view word = "support";
  static constexpr std::string_view title = "[support.NAME]";
  static constexpr std::string_view about = "A housing with bearings for one end of a screw.";
  static constexpr std::tuple fields{
      field(keys::support::type, &parts::ScrewSupport::type),
      field(keys::support::shaft, &parts::ScrewSupport::shaft),
      field(keys::support::dynamic_rating, &parts::ScrewSupport::dynamic_rating),
      field(keys::support::axial_load, &parts::ScrewSupport::axial_load),
      field(keys::support::axial_stiffness, &parts::ScrewSupport::axial_stiffness)};
};

template <>
struct ListedKind<parts::Nut> {
  static constexpr std::string_view word = "nut";
  static constexpr std::string_view title = "[nut.NAME]";
  static constexpr std::string_view about = "A nut of a screw.";
  static constexpr std::tuple fields{
      field(keys::nut::type, &parts::Nut::type),
      field(keys::nut::screw, &parts::Nut::screw),
      field(keys::nut::screw_diameter, &parts::Nut::screw_diameter),
      field(keys::nut::lead, &parts::Nut::lead),
      field(keys::nut::thread_diameter, &parts::Nut::thread_diameter),
      field(keys::nut::dynamic_rating, &parts::Nut::dynamic_rating),
      field(keys::nut::static_rating, &parts::Nut::static_rating),
      field(keys::nut::axial_load, &parts::Nut::axial_load),
      field(keys::nut::flange_load, &parts::Nut::flange_load),
      field(keys::nut::axial_stiffness, &parts::Nut::axial_stiffness),
      field(keys::nut::axial_play, &parts::Nut::axial_play),
      field(keys::nut::mass, &parts::Nut::mass)};
};

}  // namespace pitchline::io::detail
