#pragma once

// Keys of the pulleys that a belt meets, in a layout of its own or under a lift.

#include "pitchline/belt/loop.hpp"
#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"

namespace pitchline::io::detail::keys {

inline constexpr Length farthest = metres(1000);
/// A coordinate; on either side of zero.
constexpr QuantityKey<Length> place_of(std::string_view name, std::string_view example,
                                       std::string_view doc) {
  return {{.name = name, .example = example, .doc = doc, .required = true},
          -farthest,
          farthest,
          Least::given,
          "within 1000 m"};
}

namespace loop {
inline constexpr TextKey profile{{.name = "profile",
                                  .example = "\"GT 2 mm\"",
                                  .doc = "a belt profile of the catalogue; this or `pitch`"}};
inline constexpr ExactLengthKey pitch{
    {.name = "pitch", .example = "\"2 mm\"", .doc = "of the teeth of the belt"},
    nanometre,
    longest_lead};
inline constexpr std::array rows{row(profile), row(pitch)};
inline constexpr KeyTable table{"[loop]", "", rows};
}  // namespace loop

namespace slide {
inline constexpr QuantityKey<Angle> along{{.name = "along",
                                           .example = "\"90 deg\"",
                                           .doc = "direction, counted from x towards y",
                                           .required = true},
                                          degrees(-360),
                                          degrees(360),
                                          Least::given,
                                          "from -360 deg to 360 deg"};
inline constexpr QuantityKey<Length> from = place_of("from", "\"-5 mm\"", "how far back");
inline constexpr QuantityKey<Length> to = place_of("to", "\"5 mm\"", "how far on, above `from`");
inline constexpr std::array rows{row(along), row(from), row(to)};
inline constexpr KeyTable table{"[axis.NAME.lift.belt.pulley.slide]",
                                "How far a pulley can be set.", rows};
}  // namespace slide

namespace pulley {
inline constexpr TextKey name{
    {.name = "name", .example = "\"motor\"", .doc = "of its own", .required = true}};
inline constexpr QuantityKey<Length> x = place_of("x", "\"0 mm\"", "of its centre");
inline constexpr QuantityKey<Length> y = place_of("y", "\"600 mm\"", "of its centre");
inline constexpr WholeKey teeth{
    {.name = "teeth", .example = "20", .doc = "of a toothed one; one of these three"}, 1, 1000};
inline constexpr QuantityKey<Length> diameter{
    {.name = "diameter", .example = "\"12 mm\"", .doc = "outside, of a smooth one"},
    shortest,
    farthest};
inline constexpr QuantityKey<Length> pitch_diameter{
    {.name = "pitch_diameter",
     .example = "\"12.7 mm\"",
     .doc = "twice the distance from the centre to the cords of the belt"},
    shortest,
    farthest};
inline constexpr ChoiceKey<belt::BeltSide, 2> side{
    {.name = "side",
     .example = "\"inside\"",
     .doc = "of the belt, that touches it",
     .otherwise = "`inside`"},
    {{{"inside", belt::BeltSide::inside}, {"back", belt::BeltSide::back}}}};
inline constexpr NodeKey slide{
    {.name = "slide",
     .example = "{ along = \"90 deg\", from = \"-5 mm\", to = \"5 mm\" }",
     .doc = "how far it can be set",
     .otherwise = "it cannot"},
    "a table"};
inline constexpr std::array rows{row(name),  row(x),        row(y),
                                 row(teeth), row(diameter), row(pitch_diameter),
                                 row(side),  row(slide)};
inline constexpr KeyTable table{"[[axis.NAME.lift.belt.pulley]]", "", rows};
}  // namespace pulley

}  // namespace pitchline::io::detail::keys
