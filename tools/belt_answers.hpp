#pragma once

#include "belt_options.hpp"
#include "pitchline/io/belt_answer.hpp"
#include "pitchline/io/catalogue.hpp"

namespace pitchline::tools {

// Each answers one question. They throw `UnusableOptions`, and what formulas and readers throw.
io::BeltAnswer answer_length(const BeltOptions& o, const io::Catalogue& catalogue);
io::BeltAnswer answer_distance(const BeltOptions& o, const io::Catalogue& catalogue);
io::BeltAnswer answer_tension(const BeltOptions& o, const io::Catalogue& catalogue);
io::BeltAnswer answer_frequency(const BeltOptions& o, const io::Catalogue& catalogue);
io::BeltAnswer answer_pulley(const BeltOptions& o, const io::Catalogue& catalogue);
io::BeltAnswer answer_steps(const BeltOptions& o, const io::Catalogue& catalogue);
io::BeltAnswer answer_loop(const BeltOptions& o, const io::Catalogue& catalogue);
io::BeltAnswer answer_profiles(const BeltOptions& o, const io::Catalogue& catalogue);

}  // namespace pitchline::tools
