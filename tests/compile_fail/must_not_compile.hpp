// Precompiled for the files in this folder, which include what they need all the same. No `#pragma
// once`: a compiler warns of it in the file it was called for.
#include "pitchline/units.hpp"
#include "pitchline/units/column.hpp"
