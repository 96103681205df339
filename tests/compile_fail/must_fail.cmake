# Checks one file that must be refused by the compiler when MUST_FAIL is defined, with the message
# its first line names, and must compile when it is not. Called by CTest as
#   cmake -DCXX=<compiler> -DFLAGS=<;-list> -DSRC=<file> -P must_fail.cmake
file(STRINGS ${SRC} head LIMIT_COUNT 1 ENCODING UTF-8)
if(NOT head MATCHES "^// expect-error: (.+)$")
  message(FATAL_ERROR "${SRC}: the first line must read // expect-error: REGEX")
endif()
set(want "${CMAKE_MATCH_1}")
set(ENV{LC_ALL} C)  # the message is compared, so it must not be translated

execute_process(COMMAND ${CXX} ${FLAGS} -fsyntax-only ${SRC}
  RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE text)
if(NOT status EQUAL 0)
  message(FATAL_ERROR "the permitted line does not compile:\n${text}")
endif()

execute_process(COMMAND ${CXX} ${FLAGS} -DMUST_FAIL -fsyntax-only ${SRC}
  RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE text)
if(status EQUAL 0)
  message(FATAL_ERROR "the forbidden line compiles")
elseif(NOT text MATCHES "error: [^\n]*${want}")
  message(FATAL_ERROR "refused, but without \"${want}\":\n${text}")
endif()
