#include "support/project_folder.hpp"

namespace pitchline::testing {

std::string project_folder() { return PITCHLINE_PROJECT_DIR; }

}  // namespace pitchline::testing
