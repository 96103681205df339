#pragma once

#include <string>

namespace pitchline::testing {

/// The folder of the project, where the build was configured; without a slash at its end.
std::string project_folder();

/// reference/ in it.
inline std::string reference_folder() { return project_folder() + "/reference"; }

}  // namespace pitchline::testing
