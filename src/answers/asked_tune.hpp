#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "pitchline/answers/tune_question.hpp"
#include "pitchline/machine/machine.hpp"
#include "pitchline/tune/estimate.hpp"
#include "pitchline/tune/readings.hpp"
#include "pitchline/tune/travel.hpp"

namespace pitchline::answer {

/// Longest length that is measured.
inline const Length longest = metres(100);

/// True for a table of comma-separated values, by the ending of its name.
bool is_csv(const std::string& file);

/// An option and what was typed of it.
using Typed = std::pair<std::string_view, const std::string*>;
using TypedList = std::pair<std::string_view, const std::vector<std::string>*>;

/// Refuses options that the file of measurements already answers.
void require_in_file(const std::string& file, const std::vector<Typed>& options,
                     const std::vector<TypedList>& lists = {});

/// The axis that is asked about: by its name, or the only one.
const machine::Axis& axis_asked_of(const machine::Machine& machine, const TuneQuestion& q);

tune::Confidence confidence_of(const TuneQuestion& q);

/// Smallest step that the gauge shows.
Length resolution_of(const TuneQuestion& q);

/// Lengths as they were typed, on either side of zero.
std::vector<Length> lengths_of(std::string_view option, const std::vector<std::string>& texts);

/// Readings from the options or from a CSV file.
tune::TravelReadings readings_of(const TuneQuestion& q);

/// "0.12 %"
std::string percent(double part);

/// Says where nothing was read twice.
void say_of_repetition(Answer& answer, const tune::TravelFit& fit);

}  // namespace pitchline::answer
