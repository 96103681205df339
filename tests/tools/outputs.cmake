# No program destroys a file of the user's: not an input of the same call, not what is no file, not
# a stranger's file beside the output. What is written over keeps its mode.
#   cmake -DPROGRAMS=folder of the programs -DFOLDER=... -P outputs.cmake
set(machine_text reference/machines/kite-loft.toml)
set(form_text tests/tools/loft-controller.mustache)
file(REMOVE_RECURSE ${FOLDER})
file(MAKE_DIRECTORY ${FOLDER})
set(machine ${FOLDER}/m.toml)
set(form ${FOLDER}/form.mustache)
set(parts ${FOLDER}/parts.toml)
configure_file(${machine_text} ${machine} COPYONLY)
configure_file(${form_text} ${form} COPYONLY)
configure_file(tests/tools/own-belts.toml ${parts} COPYONLY)
file(CREATE_LINK ${machine} ${FOLDER}/link.toml SYMBOLIC)
execute_process(COMMAND mkfifo ${FOLDER}/pipe)
file(GLOB before RELATIVE ${FOLDER} ${FOLDER}/*)

# refused(TEXT PROGRAM ARGUMENT...): exit status 2, the text on standard error, nothing on standard
# output, every input as it was, nothing new in the folder.
function(refused text program)
  execute_process(COMMAND timeout 60 ${PROGRAMS}/${program} ${ARGN}
    RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT status STREQUAL 2 OR NOT out STREQUAL "")
    message(FATAL_ERROR "exit status ${status}, wanted 2: ${program} ${ARGN}\n${out}\n${err}")
  endif()
  string(FIND "${err}" "${text}" at)
  if(at LESS 0)
    message(FATAL_ERROR "no word of \"${text}\": ${program} ${ARGN}\n${err}")
  endif()
  foreach(pair "${machine_text}|${machine}" "${form_text}|${form}")
    string(REPLACE "|" ";" pair "${pair}")
    list(GET pair 0 original)
    list(GET pair 1 copy)
    file(READ ${original} wanted)
    file(READ ${copy} met)
    if(NOT met STREQUAL wanted)
      message(FATAL_ERROR "${copy} was changed by ${program} ${ARGN}")
    endif()
  endforeach()
  file(GLOB after RELATIVE ${FOLDER} ${FOLDER}/*)
  if(NOT after STREQUAL before)
    message(FATAL_ERROR "in the folder are ${after}, not ${before}, after ${program} ${ARGN}")
  endif()
endfunction()

set(values pitchline-values ${machine})
refused("this is the file that is read as ${machine}" ${values} --output ${machine} --overwrite)
refused("${FOLDER}/link.toml: error: this is the file that is read as" ${values}
  --output ${FOLDER}/link.toml --overwrite)
refused("this is the file that is read as ${form}" ${values} --template ${form} --output ${form}
  --overwrite)
refused("this is the file that is read as ${parts}" ${values} --catalogue ${parts} --output ${parts}
  --overwrite)
refused("this is a link to" pitchline-values ${machine_text} --output ${FOLDER}/link.toml
  --overwrite)
refused("no file" ${values} --output ${FOLDER}/pipe --overwrite)
refused("no file" ${values} --output /dev/null --overwrite)
refused("this is a folder" ${values} --output ${FOLDER} --overwrite)
refused("this is the file that is read as ${machine}" pitchline-motor ${machine} --axis x
  --svg ${machine} --overwrite)
# Said before hours of work.
set(map pitchline-move ${machine} --axis y --stroke "1000 mm" --repeats 1000 --map)
refused("this is the file that is read as ${machine}" ${map} --csv ${machine} --overwrite)
refused("this is the file that is written as ${FOLDER}/map, too" ${map} --svg ${FOLDER}/map
  --csv ${FOLDER}/../outputs/map)
refused("${FOLDER}/none/map.csv: error: cannot be written" ${map} --csv ${FOLDER}/none/map.csv)

# What is written over keeps its mode.
set(output ${FOLDER}/out.txt)
file(WRITE ${output} "old")
execute_process(COMMAND chmod 640 ${output})
execute_process(COMMAND ${PROGRAMS}/pitchline-values ${machine} --output ${output} --overwrite
  RESULT_VARIABLE status)
execute_process(COMMAND stat -c %a ${output} OUTPUT_VARIABLE mode OUTPUT_STRIP_TRAILING_WHITESPACE)
if(NOT status EQUAL 0 OR NOT mode STREQUAL 640)
  message(FATAL_ERROR "exit status ${status}, mode ${mode}, wanted 640")
endif()

# An output that takes nothing more is blamed itself; help is an output, too.
foreach(call "pitchline-belt;--help" "pitchline-belt;profiles" "pitchline-tune;travel;--help")
  list(POP_FRONT call program)
  execute_process(COMMAND ${PROGRAMS}/${program} ${call}
    RESULT_VARIABLE status OUTPUT_FILE /dev/full ERROR_VARIABLE err)
  if(NOT status EQUAL 2 OR NOT err MATCHES "^the output: error: cannot be written: ")
    message(FATAL_ERROR "exit status ${status}, wanted 2: ${program} ${call}\n${err}")
  endif()
endforeach()

# Nothing that was typed or read is obeyed by a terminal.
string(ASCII 27 escape)
file(WRITE ${FOLDER}/bad.toml "# ${escape}[2J\n[machine]\nname = 1\n\"a${escape}[2Jb\" = 2\n")
foreach(call "pitchline-check;${FOLDER}/bad.toml" "pitchline-belt;pulley;--profile;G${escape}[2J"
    "pitchline-belt;l${escape}[2J")
  list(POP_FRONT call program)
  execute_process(COMMAND ${PROGRAMS}/${program} ${call}
    RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE err)
  string(FIND "${out}${err}" "${escape}" at)
  if(NOT status EQUAL 2 OR NOT at LESS 0)
    message(FATAL_ERROR "exit status ${status}; an escape at ${at}: ${program} ${call}\n${err}")
  endif()
endforeach()
file(REMOVE_RECURSE ${FOLDER})
