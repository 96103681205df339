#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "pitchline/io/catalogue.hpp"
#include "pitchline/io/diagnostic.hpp"
#include "pitchline/tune/belt_balance.hpp"
#include "pitchline/tune/readings.hpp"

namespace pitchline::io {

/// What was measured of the travel of an axis, with what its steps per mm were worked out from.
struct TravelMeasurement {
  tune::TravelReadings readings{};
  bool zero_given = false;  ///< else the number of places decides
  PulsesPerLength steps_per_mm = unset<PulsesPerLength>();
  tune::SetFrom from{};
};

/// What was measured of a drawn rectangle.
struct SquareMeasurement {
  tune::DrawnRectangle rectangle{};
  tune::DiagonalReadings diagonals{};
  Length between_rails = unset<Length>();  ///< unset: the offset is not asked
  Length allowed = unset<Length>();        ///< largest offset; unset: nothing is judged
};

/// What was heard of the belts of an axis.
struct BeltsMeasurement {
  std::vector<tune::PluckedBelt> belts{};  ///< one, or both of a gantry
  Force wanted = unset<Force>();
  double allowed = 0.1;  ///< part of the tension; common practice, no source
  std::string mass_source{};
};

/// What was measured along a screw.
struct ScrewMeasurement {
  tune::TravelReadings readings{};
  Length lead = unset<Length>();
  Length allowed = unset<Length>();  ///< variation over 300 mm; unset: nothing is judged
};

// Each reads one table of a TOML file of measurements: reference/measurements.md has the keys. The
// other tables of the file are left alone.
//
// \throws UnusableInput  all errors of the table at once, with line and column
TravelMeasurement read_travel(std::string_view text, std::string_view file);
SquareMeasurement read_square(std::string_view text, std::string_view file);
BeltsMeasurement read_belts(std::string_view text, std::string_view file,
                            const Catalogue& catalogue);
std::vector<tune::TrialRun> read_trials(std::string_view text, std::string_view file);
ScrewMeasurement read_screw_measurement(std::string_view text, std::string_view file);

/// Readings from the text of a CSV file, the columns of its head in any order:
///
///     commanded_mm,measured_mm[,approach]
///
/// Lines that begin with # are left out.
///
/// \throws UnusableInput  all errors of the file at once, with line and column
std::vector<tune::TravelReading> read_travel_csv(std::string_view text, std::string_view file);

/// Trial runs likewise: speed_mm_s,acceleration_m_s2,result[,stroke_mm]
///
/// \throws UnusableInput  all errors of the file at once, with line and column
std::vector<tune::TrialRun> read_trials_csv(std::string_view text, std::string_view file);

}  // namespace pitchline::io
