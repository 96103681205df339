#pragma once

// Keys of what an axis is to do.

#include "read/detail/bounds.hpp"
#include "read/detail/key.hpp"

namespace pitchline::io::detail::keys {

namespace move {
inline constexpr QuantityKey<Length> stroke{{.name = "stroke",
                                             .example = "\"300 mm\"",
                                             .doc = "length of the move, within the travel",
                                             .otherwise = "a move of any length",
                                             .weight = Otherwise::decides},
                                            shortest,
                                            longest};
inline constexpr WholeKey repeats{{.name = "repeats",
                                   .example = "10",
                                   .doc = "moves one after the other",
                                   .otherwise = "a single move",
                                   .weight = Otherwise::decides},
                                  1,
                                  most_times};
inline constexpr QuantityKey<Time> dwell{{.name = "dwell",
                                          .example = "\"0.1 s\"",
                                          .doc = "least rest between two of them",
                                          .otherwise = "no rest between moves",
                                          .weight = Otherwise::worded},
                                         seconds(0),
                                         longest_pause,
                                         Least::zero_too};
inline constexpr QuantityKey<Time> jerk_time{{.name = "jerk_time",
                                              .example = "\"20 ms\"",
                                              .doc = "time over which the acceleration builds up",
                                              .otherwise = "acceleration at once",
                                              .weight = Otherwise::decides},
                                             seconds(0),
                                             seconds(10),
                                             Least::zero_too};
inline constexpr std::array rows{row(stroke), row(jerk_time), row(repeats), row(dwell)};
inline constexpr KeyTable table{"[axis.NAME.move]", "", rows};
}  // namespace move

namespace raster {
inline constexpr QuantityKey<Length> line{{.name = "line",
                                           .example = "\"600 mm\"",
                                           .doc = "the part of a line that is worked",
                                           .required = true},
                                          shortest,
                                          longest};
inline constexpr QuantityKey<Speed> speed{{.name = "speed",
                                           .example = "\"250 mm/s\"",
                                           .doc = "along the line, at most `want.speed`",
                                           .required = true},
                                          slowest,
                                          fastest};
inline constexpr QuantityKey<Length> height{
    {.name = "height", .example = "\"200 mm\"", .doc = "of the area", .required = true},
    shortest,
    longest};
inline constexpr QuantityKey<Length> pitch{{.name = "pitch",
                                            .example = "\"0.2 mm\"",
                                            .doc = "from line to line, at most the height",
                                            .required = true},
                                           shortest,
                                           longest,
                                           Least::given};
inline constexpr TextKey across{{.name = "across",
                                 .example = "\"y\"",
                                 .doc = "the axis that steps from line to line",
                                 .required = true}};
inline constexpr std::array rows{row(line), row(speed), row(height), row(pitch), row(across)};
inline constexpr KeyTable table{"[axis.NAME.raster]", "", rows};
}  // namespace raster

namespace cycle {
inline constexpr QuantityKey<Length> stroke{
    {.name = "stroke", .example = "\"300 mm\"", .doc = "within the travel", .required = true},
    shortest,
    longest};
inline constexpr QuantityKey<Speed> speed{{.name = "speed",
                                           .example = "\"600 mm/s\"",
                                           .doc = "at most `want.speed`",
                                           .otherwise = "that of `want`"},
                                          slowest,
                                          fastest};
inline constexpr QuantityKey<Acceleration> acceleration{{.name = "acceleration",
                                                         .example = "\"5 m/s^2\"",
                                                         .doc = "at most `want.acceleration`",
                                                         .otherwise = "that of `want`"},
                                                        softest,
                                                        hardest};
inline constexpr QuantityKey<Time> pause{{.name = "pause",
                                          .example = "\"0.5 s\"",
                                          .doc = "after each stroke",
                                          .otherwise = "no pause after a stroke",
                                          .weight = Otherwise::decides},
                                         seconds(0),
                                         longest_pause,
                                         Least::zero_too};
inline constexpr WholeKey times{
    {.name = "times", .example = "4", .doc = "that the stroke is run", .otherwise = "once"},
    1,
    most_times};
inline constexpr FlagKey there_and_back{{.name = "there_and_back",
                                         .example = "true",
                                         .doc = "whether the way back follows at once",
                                         .otherwise = "false"}};
inline constexpr std::array rows{row(stroke), row(speed), row(acceleration),
                                 row(pause),  row(times), row(there_and_back)};
inline constexpr KeyTable table{"[[axis.NAME.cycle]]",
                                "One table for each stroke, repeated over and over in their order.",
                                rows};
}  // namespace cycle

}  // namespace pitchline::io::detail::keys
