# A map and a trace are written whole, never over a file that is there, and not at all where the
# program is interrupted.
#   cmake -DPROGRAM=... -DMACHINE=... -DFOLDER=... -P move_files.cmake
file(REMOVE_RECURSE ${FOLDER})
file(MAKE_DIRECTORY ${FOLDER})

function(run wanted)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT status STREQUAL wanted)
    message(FATAL_ERROR "exit status ${status}, wanted ${wanted}: ${ARGN}\n${out}\n${err}")
  endif()
  set(out "${out}" PARENT_SCOPE)
  set(err "${err}" PARENT_SCOPE)
endfunction()
function(require_files)
  file(GLOB there RELATIVE ${FOLDER} ${FOLDER}/*)
  if(NOT there STREQUAL "${ARGN}")
    message(FATAL_ERROR "in the folder are: ${there}; wanted: ${ARGN}")
  endif()
endfunction()

set(axis ${PROGRAM} ${MACHINE} --axis x --stroke "10 mm" --jerk-time "0 s")
set(map ${axis} --map --from "3 m/s^2" --up-to "3.1 m/s^2" --csv ${FOLDER}/map.csv
  --svg ${FOLDER}/map.svg)
run(0 ${map})
run(2 ${map})
if(NOT err MATCHES "map.svg: error: there is a file of this name")
  message(FATAL_ERROR "no word of the file that is there: ${err}")
endif()
run(0 ${map} --overwrite)
run(0 ${axis} --trace ${FOLDER}/trace.csv)
require_files("map.csv;map.svg;trace.csv")
file(STRINGS ${FOLDER}/trace.csv rows)
list(LENGTH rows count)
if(count LESS 1000)
  message(FATAL_ERROR "a trace of ${count} rows")
endif()

# Hours of work, interrupted after a second; nothing of it may remain.
run(130 timeout --preserve-status -s INT 1 ${PROGRAM} ${MACHINE} --axis y --stroke "1000 mm"
  --repeats 1000 --map --csv ${FOLDER}/long.csv)
if(NOT err MATCHES "interrupted: nothing was written")
  message(FATAL_ERROR "no word of the interrupt: ${err}")
endif()
require_files("map.csv;map.svg;trace.csv")
file(REMOVE_RECURSE ${FOLDER})
