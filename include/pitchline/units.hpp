#pragma once

// Everything a formula needs of units/. Columns over Eigen and exact fractions cost compile time
// and are included where they are used.
#include "pitchline/units/error.hpp"     // IWYU pragma: export
#include "pitchline/units/literals.hpp"  // IWYU pragma: export
#include "pitchline/units/make.hpp"      // IWYU pragma: export
#include "pitchline/units/print.hpp"     // IWYU pragma: export
#include "pitchline/units/quantity.hpp"  // IWYU pragma: export
#include "pitchline/units/ratio.hpp"     // IWYU pragma: export
#include "pitchline/units/read.hpp"      // IWYU pragma: export
#include "pitchline/units/require.hpp"   // IWYU pragma: export
