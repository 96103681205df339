#pragma once

#include "pitchline/io/catalogue.hpp"
#include "pitchline/io/tune_answer.hpp"
#include "tune_options.hpp"

namespace pitchline::tools {

// Each answers one question. They throw `UnusableOptions`, and what formulas and readers throw.
io::TuneAnswer answer_travel(const TuneOptions& o, const io::Catalogue& catalogue);
io::TuneAnswer answer_square(const TuneOptions& o, const io::Catalogue& catalogue);
io::TuneAnswer answer_screw(const TuneOptions& o, const io::Catalogue& catalogue);
io::TuneAnswer answer_belts(const TuneOptions& o, const io::Catalogue& catalogue);
io::TuneAnswer answer_trials(const TuneOptions& o, const io::Catalogue& catalogue);

}  // namespace pitchline::tools
