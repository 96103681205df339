#pragma once

// What every entry of a catalogue may say, and how the keys of a kind and the fields of its part
// belong together.

#include <array>
#include <string_view>
#include <tuple>

#include "pitchline/parts/notes.hpp"
#include "read/detail/key.hpp"

namespace pitchline::io::detail {

/// A key of a kind, and the field of its part that it fills.
template <class Part, class K, class Value>
struct ListedField {
  const K* key;
  Value Part::*member;
};
template <class Part, class K, class Value>
constexpr ListedField<Part, K, Value> field(const K& key, Value Part::*member) {
  return {&key, member};
}

/// The kind of entry that a part is: its word in a file, and its fields. One specialisation a kind.
template <class Part>
struct ListedKind;

namespace keys::listed {
inline constexpr TextKey like{{.name = "like",
                               .example = "\"nema17 48mm 2A\"",
                               .doc = "an entry of the same kind that is taken over, with the keys "
                                      "beside it in place of its own",
                               .otherwise = "the entry stands for itself"}};
inline constexpr TextKey source{{.name = "source",
                                 .example = "\"catalogue of the maker, p. 85\"",
                                 .doc = "where the figures come from",
                                 .required = true}};
inline constexpr ChoiceKey<int, 6> mark{{.name = "mark",
                                         .example = "\"read\"",
                                         .doc = "how far the figures can be trusted",
                                         .otherwise = "not said"},
                                        {{{"read", 0},
                                          {"read in a transcription", 1},
                                          {"computed", 2},
                                          {"inferred", 3},
                                          {"from memory", 4},
                                          {"common practice", 5}}}};
inline constexpr TextKey doubt{{.name = "doubt",
                                .example = "\"another sheet prints 1.4 ohm\"",
                                .doc = "what is odd about the figures",
                                .otherwise = "nothing"}};
inline constexpr RatioKey<parts::PriceAmount> price{
    {.name = "price",
     .example = "12.50",
     .doc = "what you pay for one, or for a metre of what is cut; none is made up",
     .otherwise = "not known",
     .weight = Otherwise::unknown}};
inline constexpr TextKey currency{{.name = "currency",
                                   .example = "\"EUR\"",
                                   .doc = "of the price, three capital letters; required with it",
                                   .otherwise = "there is no price"}};
inline constexpr std::array rows{row(like),  row(source), row(mark),
                                 row(doubt), row(price),  row(currency)};
inline constexpr KeyTable table{
    "Keys of every entry",
    "Of every kind. An entry with `like` needs no other key; `source` is then that of the other "
    "entry, with what was changed.",
    rows};
}  // namespace keys::listed

/// The rows of the fields of a kind and of what every entry says, as one table lists them.
template <class Part>
constexpr auto rows_of_kind() {
  return std::apply(
      [](const auto&... each) {
        return std::array{row(*each.key)...,          row(keys::listed::like),
                          row(keys::listed::source),  row(keys::listed::mark),
                          row(keys::listed::doubt),   row(keys::listed::price),
                          row(keys::listed::currency)};
      },
      ListedKind<Part>::fields);
}
template <class Part>
inline constexpr auto listed_rows = rows_of_kind<Part>();
template <class Part>
inline constexpr KeyTable listed_table{ListedKind<Part>::title, ListedKind<Part>::about,
                                       listed_rows<Part>};

// Entries of the usual kinds of figures: bounds that no part of these kinds reaches.
struct Said {
  std::string_view name;
  std::string_view example;
  std::string_view doc;
  bool required = false;
};
constexpr Key said(const Said& s) {
  return {.name = s.name,
          .example = s.example,
          .doc = s.doc,
          .required = s.required,
          .otherwise = s.required ? std::string_view{} : std::string_view{"not published"},
          .weight = Otherwise::unknown};
}
constexpr TextKey text_key(const Said& s) { return {said(s)}; }
constexpr QuantityKey<Length> length_key(const Said& s) {
  return {said(s), millimetres(0.001), metres(1000)};
}
constexpr QuantityKey<Force> force_key(const Said& s) {
  return {said(s), newtons(0.01), newtons(1e7)};
}
constexpr QuantityKey<Torque> torque_key(const Said& s) {
  return {said(s), newton_metres(1e-4), newton_metres(1e5)};
}
constexpr QuantityKey<Mass> mass_key(const Said& s) {
  return {said(s), grams(0.01), kilograms(1000)};
}
constexpr QuantityKey<LinearDensity> linear_density_key(const Said& s) {
  return {said(s), kilograms_per_metre(1e-4), kilograms_per_metre(1000)};
}
constexpr QuantityKey<Voltage> voltage_key(const Said& s) {
  return {said(s), volts(0.1), volts(1000)};
}
constexpr QuantityKey<Current> current_key(const Said& s) {
  return {said(s), amperes(1e-4), amperes(1000)};
}
constexpr QuantityKey<Time> time_key(const Said& s) { return {said(s), seconds(1e-9), seconds(1)}; }
constexpr QuantityKey<AngularSpeed> speed_key(const Said& s) {
  return {said(s), revolutions_per_minute(1), revolutions_per_minute(1e6)};
}
constexpr QuantityKey<Power> power_key(const Said& s) { return {said(s), watts(0.1), watts(1e5)}; }
constexpr QuantityKey<SecondMoment> second_moment_key(const Said& s) {
  return {said(s), millimetres_to_the_fourth(1), millimetres_to_the_fourth(1e10)};
}
constexpr QuantityKey<Stiffness> stiffness_key(const Said& s) {
  return {said(s), newtons_per_millimetre(1), newtons_per_millimetre(1e8)};
}
constexpr QuantityKey<TorsionalStiffness> torsional_stiffness_key(const Said& s) {
  return {said(s), newton_metres(0.1) / radian, newton_metres(1e7) / radian};
}

}  // namespace pitchline::io::detail
