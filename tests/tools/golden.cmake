# Runs a program and compares exit status, standard output and standard error, byte for byte, with
# files that a person has read.
#   cmake -DPROGRAM=... -DARGUMENTS="a;b" -DEXIT=0 -DNAME=... -DEXPECTED=path/without/ending
#         [-DLINES=n] -P golden.cmake
# With LINES only the first n lines of standard output are compared.
# With RENEW=ON in the environment the files are written instead: read them before you commit them.
execute_process(COMMAND ${PROGRAM} ${ARGUMENTS}
  RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE err)
if(NOT status EQUAL EXIT)
  message(FATAL_ERROR "exit status ${status}, wanted ${EXIT}\n${out}\n${err}")
endif()
if(LINES)
  set(rest "${out}")
  set(out "")
  foreach(n RANGE 1 ${LINES})
    string(FIND "${rest}" "\n" end)
    if(end EQUAL -1)
      message(FATAL_ERROR "less than ${LINES} lines of output")
    endif()
    math(EXPR end "${end} + 1")
    string(SUBSTRING "${rest}" 0 ${end} line)
    string(SUBSTRING "${rest}" ${end} -1 rest)
    string(APPEND out "${line}")
  endforeach()
endif()
# What was met goes beside the program, under the name of the test: tests run side by side, and the
# folder that they run in is the project's own.
get_filename_component(build ${PROGRAM} DIRECTORY)
foreach(stream out err)
  set(file ${EXPECTED}.${stream})
  if("$ENV{RENEW}" STREQUAL "ON")
    if("${${stream}}" STREQUAL "")
      file(REMOVE ${file})
    else()
      file(WRITE ${file} "${${stream}}")
    endif()
    continue()
  endif()
  set(wanted "")
  if(EXISTS ${file})
    file(READ ${file} wanted)
  endif()
  if(NOT "${${stream}}" STREQUAL "${wanted}")
    set(met ${build}/met.${NAME}.${stream})
    file(WRITE ${met} "${${stream}}")
    execute_process(COMMAND diff -u ${file} ${met}
      OUTPUT_VARIABLE difference)
    message(FATAL_ERROR "differs from ${file}:\n${difference}")
  endif()
endforeach()
