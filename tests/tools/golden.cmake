# Runs a program and compares exit status, standard output and standard error, byte for byte, with
# files that a person has read.
#   cmake -DPROGRAM=... -DARGUMENTS="a;b" -DEXIT=0 -DEXPECTED=path/without/ending -P golden.cmake
# With RENEW=ON in the environment the files are written instead: read them before you commit them.
execute_process(COMMAND ${PROGRAM} ${ARGUMENTS}
  RESULT_VARIABLE status OUTPUT_VARIABLE out ERROR_VARIABLE err)
if(NOT status EQUAL EXIT)
  message(FATAL_ERROR "exit status ${status}, wanted ${EXIT}\n${out}\n${err}")
endif()
# What was met goes beside the program, under the name of the test: tests run side by side, and the
# folder that they run in is the project's own.
get_filename_component(build ${PROGRAM} DIRECTORY)
get_filename_component(name ${EXPECTED} NAME)
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
    set(met ${build}/met.${name}.${stream})
    file(WRITE ${met} "${${stream}}")
    execute_process(COMMAND diff -u ${file} ${met}
      OUTPUT_VARIABLE difference)
    message(FATAL_ERROR "differs from ${file}:\n${difference}")
  endif()
endforeach()
