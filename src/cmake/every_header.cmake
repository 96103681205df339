# One file that includes every public header, for checkers that read files rather than targets. Only
# built when asked for by name.
set(text "// Every public header; generated.\n")
foreach(target pitchline pitchline_io pitchline_answers)
  if(TARGET ${target})
    get_target_property(files ${target} HEADER_SET)
    foreach(file IN LISTS files)
      string(APPEND text "#include \"${file}\"\n")
    endforeach()
  endif()
endforeach()
file(CONFIGURE OUTPUT every_header.cpp CONTENT "${text}" @ONLY)

add_library(pitchline_every_header OBJECT EXCLUDE_FROM_ALL
  ${CMAKE_CURRENT_BINARY_DIR}/every_header.cpp)
target_link_libraries(pitchline_every_header PRIVATE
  pitchline $<TARGET_NAME_IF_EXISTS:pitchline_io>
  $<TARGET_NAME_IF_EXISTS:pitchline_answers> pitchline_options)
