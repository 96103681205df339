#pragma once

// Keys of what a carriage runs on and of what beams are cut from, in a catalogue.

#include "pitchline/parts/linear_guide.hpp"
#include "pitchline/parts/section.hpp"
#include "read/keys/listed.hpp"

namespace pitchline::io::detail {
namespace keys {

namespace rail {
inline constexpr ChoiceKey<int, 6> type{
    said({"type", "\"miniature\"", "build of rail and block", true}),
    {{{"miniature", 0},
      {"wide miniature", 1},
      {"miniature, caged balls", 2},
      {"wide miniature, caged balls", 3},
      {"full size", 4},
      {"low", 5}}}};
inline constexpr auto size =
    length_key({"size", "\"15 mm\"", "nominal, by which it is sold", true});
inline constexpr auto dynamic_rating =
    force_key({"dynamic_rating", "\"14.7 kN\"", "C, for `rated_travel`", true});
inline constexpr auto static_rating = force_key({"static_rating", "\"23.5 kN\"", "C0", true});
inline constexpr QuantityKey<Length> rated_travel{
    said({"rated_travel", "\"50 km\"", "travel for which C holds: 50 or 100 km", true}), metres(1),
    metres(1e6)};
inline constexpr auto roll_moment =
    torque_key({"roll_moment", "\"120 N*m\"", "static, round the rail"});
inline constexpr auto pitch_moment =
    torque_key({"pitch_moment", "\"100 N*m\"", "static, the block nods along the rail"});
inline constexpr auto yaw_moment =
    torque_key({"yaw_moment", "\"100 N*m\"", "static, the block turns on the rail"});
inline constexpr auto block_mass = mass_key({"block_mass", "\"0.18 kg\"", "of one block"});
inline constexpr auto rail_mass = linear_density_key({"rail_mass", "\"1.45 kg/m\"", "of the rail"});
inline constexpr auto height = length_key({"height", "\"28 mm\"", "of rail and block together"});
inline constexpr auto block_width = length_key({"block_width", "\"34 mm\"", "of the block"});
inline constexpr auto block_length = length_key({"block_length", "\"61.4 mm\"", "of the block"});
inline constexpr auto bearing_length =
    length_key({"bearing_length", "\"39.4 mm\"", "of the steel body of the block"});
inline constexpr auto hole_pitch = length_key({"hole_pitch", "\"60 mm\"", "of the rail"});
inline constexpr auto seal_drag =
    force_key({"seal_drag", "\"2.4 N\"", "of one block with its seals"});
inline constexpr RatioKey<FrictionCoefficient> friction{
    said({"friction", "0.004", "of its balls, as its maker prints it"})};
}  // namespace rail

namespace roller {
inline constexpr ChoiceKey<int, 5> type{
    said({"type", "\"V\"", "what it runs on", true}),
    {{{"on round shaft", 0}, {"V", 1}, {"with stud", 2}, {"carriage", 3}, {"plastic V wheel", 4}}}};
inline constexpr auto diameter = length_key({"diameter", "\"24 mm\"", "outer"});
inline constexpr auto width = length_key({"width", "\"11 mm\"", "of the roller"});
inline constexpr auto shaft =
    length_key({"shaft", "\"6 mm\"", "round shaft that its groove runs on"});
inline constexpr auto dynamic_rating =
    force_key({"dynamic_rating", "\"3.67 kN\"", "for a million revolutions of the roller"});
inline constexpr auto static_rating = force_key({"static_rating", "\"2.28 kN\"", "C0"});
inline constexpr auto radial_load =
    force_key({"radial_load", "\"980 N\"", "that a carriage bears across its rail"});
inline constexpr auto axial_load = force_key({"axial_load", "\"330 N\"", "likewise, sideways"});
inline constexpr auto mass = mass_key({"mass", "\"0.02 kg\"", "of one"});
}  // namespace roller

namespace bush {
inline constexpr ChoiceKey<int, 3> type{
    said({"type", "\"closed bush\"", "build", true}),
    {{{"closed bush", 0}, {"supported shaft, block", 1}, {"supported shaft, flanged block", 2}}}};
inline constexpr auto shaft = length_key({"shaft", "\"12 mm\"", "diameter of the shaft", true});
inline constexpr auto dynamic_rating =
    force_key({"dynamic_rating", "\"520 N\"", "C, see `doubt` for its travel", true});
inline constexpr auto static_rating = force_key({"static_rating", "\"790 N\"", "C0", true});
inline constexpr auto mass = mass_key({"mass", "\"0.041 kg\"", "of one"});
inline constexpr auto height =
    length_key({"height", "\"22 mm\"", "of the block, or outer diameter of the bush"});
inline constexpr auto width = length_key({"width", "\"22 mm\"", "likewise"});
inline constexpr auto length = length_key({"length", "\"32 mm\"", "along the shaft"});
inline constexpr auto least_seal_drag =
    force_key({"least_seal_drag", "\"2 N\"", "of one, where a range is printed"});
inline constexpr auto most_seal_drag = force_key({"most_seal_drag", "\"5 N\"", "likewise"});
}  // namespace bush

namespace section {
inline constexpr ChoiceKey<int, 4> type{
    said({"type", "\"T-slot\"", "build", true}),
    {{{"T-slot", 0}, {"steel tube", 1}, {"aluminium tube", 2}, {"flat bar", 3}}}};
inline constexpr auto width = length_key({"width", "\"20 mm\"", "the smaller side", true});
inline constexpr auto height = length_key({"height", "\"40 mm\"", "the larger side", true});
inline constexpr QuantityKey<Area> area{said({"area", "\"326 mm^2\"", "of the section"}),
                                        square_metres(1e-6), square_metres(1)};
inline constexpr auto mass = linear_density_key({"mass", "\"0.88 kg/m\"", "of a metre"});
inline constexpr auto strong_second_moment = second_moment_key(
    {"strong_second_moment", "\"51300 mm^4\"", "bending across the height", true});
inline constexpr auto weak_second_moment =
    second_moment_key({"weak_second_moment", "\"13580 mm^4\"", "bending across the width", true});
inline constexpr auto torsion_constant =
    second_moment_key({"torsion_constant", "\"34500 mm^4\"", "against twisting"});
inline constexpr QuantityKey<Pressure> elastic_modulus{
    said({"elastic_modulus", "\"70 GPa\"", "of its material", true}), megapascals(100),
    megapascals(1e6)};
inline constexpr QuantityKey<Pressure> shear_modulus{
    said({"shear_modulus", "\"26 GPa\"", "of its material"}), megapascals(100), megapascals(1e6)};
inline constexpr QuantityKey<Density> density{
    said({"density", "\"2700 kg/m^3\"", "of its material"}), kilograms_per_cubic_metre(1),
    kilograms_per_cubic_metre(25'000)};
}  // namespace section
}  // namespace keys

template <>
struct ListedKind<parts::Rail> {
  static constexpr std::string_view word = "rail";
  static constexpr std::string_view title = "[rail.NAME]";
  static constexpr std::string_view about = "A profile rail with one block.";
  static constexpr std::tuple fields{
      field(keys::rail::type, &parts::Rail::type),
      field(keys::rail::size, &parts::Rail::size),
      field(keys::rail::dynamic_rating, &parts::Rail::dynamic_rating),
      field(keys::rail::static_rating, &parts::Rail::static_rating),
      field(keys::rail::roll_moment, &parts::Rail::roll_moment),
      field(keys::rail::pitch_moment, &parts::Rail::pitch_moment),
      field(keys::rail::yaw_moment, &parts::Rail::yaw_moment),
      field(keys::rail::block_mass, &parts::Rail::block_mass),
      field(keys::rail::rail_mass, &parts::Rail::rail_mass),
      field(keys::rail::height, &parts::Rail::height),
      field(keys::rail::block_width, &parts::Rail::block_width),
      field(keys::rail::block_length, &parts::Rail::block_length),
      field(keys::rail::bearing_length, &parts::Rail::bearing_length),
      field(keys::rail::hole_pitch, &parts::Rail::hole_pitch),
      field(keys::rail::seal_drag, &parts::Rail::seal_drag),
      field(keys::rail::friction, &parts::Rail::friction),
      field(keys::rail::rated_travel, &parts::Rail::rated_travel)};
};

template <>
struct ListedKind<parts::Roller> {
  static constexpr std::string_view word = "roller";
  static constexpr std::string_view title = "[roller.NAME]";
  static constexpr std::string_view about = "A roller, or a carriage on rollers.";
  static constexpr std::tuple fields{
      field(keys::roller::type, &parts::Roller::type),
      field(keys::roller::diameter, &parts::Roller::diameter),
      field(keys::roller::width, &parts::Roller::width),
      field(keys::roller::shaft, &parts::Roller::shaft),
      field(keys::roller::dynamic_rating, &parts::Roller::dynamic_rating),
      field(keys::roller::static_rating, &parts::Roller::static_rating),
      field(keys::roller::radial_load, &parts::Roller::radial_load),
      field(keys::roller::axial_load, &parts::Roller::axial_load),
      field(keys::roller::mass, &parts::Roller::mass)};
};

template <>
struct ListedKind<parts::Bush> {
  static constexpr std::string_view word = "bush";
  static constexpr std::string_view title = "[bush.NAME]";
  static constexpr std::string_view about = "A ball bush on a round shaft, or a block with one.";
  static constexpr std::tuple fields{
      field(keys::bush::type, &parts::Bush::type),
      field(keys::bush::shaft, &parts::Bush::shaft),
      field(keys::bush::dynamic_rating, &parts::Bush::dynamic_rating),
      field(keys::bush::static_rating, &parts::Bush::static_rating),
      field(keys::bush::mass, &parts::Bush::mass),
      field(keys::bush::height, &parts::Bush::height),
      field(keys::bush::width, &parts::Bush::width),
      field(keys::bush::length, &parts::Bush::length),
      field(keys::bush::least_seal_drag, &parts::Bush::least_seal_drag),
      field(keys::bush::most_seal_drag, &parts::Bush::most_seal_drag)};
};

template <>
struct ListedKind<parts::Section> {
  static constexpr std::string_view word = "section";
  static constexpr std::string_view title = "[section.NAME]";
  static constexpr std::string_view about = "The section of a bar that beams are cut from.";
  static constexpr std::tuple fields{
      field(keys::section::type, &parts::Section::type),
      field(keys::section::width, &parts::Section::width),
      field(keys::section::height, &parts::Section::height),
      field(keys::section::area, &parts::Section::area),
      field(keys::section::mass, &parts::Section::mass),
      field(keys::section::strong_second_moment, &parts::Section::strong_second_moment),
      field(keys::section::weak_second_moment, &parts::Section::weak_second_moment),
      field(keys::section::torsion_constant, &parts::Section::torsion_constant),
      field(keys::section::elastic_modulus, &parts::Section::elastic_modulus),
      field(keys::section::shear_modulus, &parts::Section::shear_modulus),
      field(keys::section::density, &parts::Section::density)};
};

}  // namespace pitchline::io::detail
