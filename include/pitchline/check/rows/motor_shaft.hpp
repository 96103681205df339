#pragma once

#include <array>
#include <string>
#include <string_view>

#include "pitchline/check/axis_state.hpp"

namespace pitchline::check {

/// Thinnest and thickest shaft that motors of a frame usually have.
struct UsualShaft {
  int frame = 0;
  Length thinnest = unset<Length>();
  Length thickest = unset<Length>();
};

/// Source: [frame sizes], read in a transcription; the 8 mm of frame 23 are of its strong motors,
/// the 14 mm of frame 34 from memory.
inline constexpr std::array usual_shafts{UsualShaft{17, millimetres(5), millimetres(5)},
                                         UsualShaft{23, millimetres(6.35), millimetres(8)},
                                         UsualShaft{24, millimetres(8), millimetres(8)},
                                         UsualShaft{34, millimetres(9.5), millimetres(14)}};

/// The shaft of the motor against the largest bore that the pulley on it can have, and where the
/// builder says the bore, whether that fits.
///
/// The largest bore ends at the grooves of the toothed part; a hub beside the teeth is thicker and
/// does not decide. What wall a maker leaves is not known, so a margin near one is tight indeed.
/// A shaft that nobody stated is taken from the frame of the motor, with the thickest deciding.
Finding pulley_bore_finding(const AxisState& s);

/// The load of the belt at rest on the motor's shaft, against what the motor bears.
///
/// Twice the tension of a strand on an open run; with a stage, that of its belt at its wrap. It
/// does not matter where on the shaft: the figure of the data sheet names that place, commonly the
/// middle of the shaft, and where it is known the row names it too.
///
/// \throws InvalidInput, OutsideValidity  as `stage_state`
Finding shaft_load_finding(const AxisState& s);

}  // namespace pitchline::check
