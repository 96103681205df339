# Called by CTest; see CMakeLists.txt for what is passed in.
function(run)
  execute_process(COMMAND ${ARGV} RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE text)
  message("${text}")
  if(NOT status EQUAL 0)
    string(REPLACE ";" " " command "${ARGV}")
    message(FATAL_ERROR "exit status ${status}: ${command}")
  endif()
  set(text "${text}" PARENT_SCOPE)
endfunction()

# The old folder is left behind, so a path into it would show; and names with spaces are tried too.
file(REMOVE_RECURSE ${WORK})
run(${CMAKE_COMMAND} --install ${BUILD} --prefix "${WORK}/as installed")
file(RENAME "${WORK}/as installed" "${WORK}/moved elsewhere")
set(prefix "${WORK}/moved elsewhere")

file(GLOB_RECURSE package_files "${prefix}/*.cmake")
foreach(file IN LISTS package_files)
  file(READ ${file} text)
  foreach(folder "${SOURCE}/" "${BUILD}/" "as installed")
    string(FIND "${text}" "${folder}" at)
    if(NOT at EQUAL -1)
      message(FATAL_ERROR "${file} names a folder that its user does not have: ${folder}")
    endif()
  endforeach()
endforeach()

run(${CMAKE_COMMAND} -S ${CMAKE_CURRENT_LIST_DIR}/consumer -B ${WORK}/build -G ${GENERATOR}
  -DCMAKE_CXX_COMPILER=${CXX} -DCMAKE_CXX_FLAGS=${FLAGS} -DCMAKE_PREFIX_PATH=${prefix}
  -DWANTED_VERSION=${VERSION})
run(${CMAKE_COMMAND} --build ${WORK}/build)
run(${WORK}/build/consumer)
if(NOT text MATCHES "60.00 N")
  message(FATAL_ERROR "expected a force of 60.00 N")
endif()
run(${WORK}/build/simulate_consumer)
run(${WORK}/build/io_consumer)

file(GLOB programs "${prefix}/bin/*")
foreach(program IN LISTS programs)
  run(${program} --help)
endforeach()
