# Compares every unit factor of the library with those of the program `units` (GNU Units), which has
# its own table. Called by CTest as
#   cmake -DFACTORS=<pitchline_unit_factors> -DMAKERS=<make.hpp> -P gnu_units.cmake
find_program(UNITS units)
if(NOT UNITS)
  message(FATAL_ERROR "the program `units` is missing, and this test compares with it: "
                      "install the Debian package units (apt-get install units)")
endif()
# A maker that is missing in the list of rows would never be compared.
file(STRINGS ${MAKERS} makers REGEX "^PITCHLINE_UNIT\\(")
file(READ ${CMAKE_CURRENT_LIST_DIR}/gnu_units.cpp rows)
foreach(maker IN LISTS makers)
  string(REGEX REPLACE "^PITCHLINE_UNIT\\([^,]+, ([a-z_]+),.*" "\\1" name "${maker}")
  if(NOT rows MATCHES "PITCHLINE_ROW\\(${name}, ")
    message(FATAL_ERROR "gnu_units.cpp has no row for the maker ${name}")
  endif()
endforeach()

set(ENV{LC_ALL} C)
set(ENV{UNITS_ENGLISH} US)

# quiet, terse, forward only, no reciprocals; first its own definitions, then ours
execute_process(
  COMMAND ${FACTORS} ask
  COMMAND ${UNITS} -q -t -1 -s -o %.17g -f "" -f ${CMAKE_CURRENT_LIST_DIR}/gnu_units.units
  COMMAND ${FACTORS} compare
  RESULTS_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE text)
message("${text}")
if(NOT status STREQUAL "0;0;0")
  message(FATAL_ERROR "the factors differ, or the program stopped early (exit codes ${status})")
endif()
