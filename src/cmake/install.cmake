# Installs the headers, the compiled libraries, the programs, and the package file of
# find_package(pitchline).
include(CMakePackageConfigHelpers)

set(package_folder ${CMAKE_INSTALL_LIBDIR}/cmake/pitchline)

install(TARGETS pitchline EXPORT pitchlineTargets FILE_SET HEADERS)
install(TARGETS pitchline_formulas pitchline_simulate pitchline_check EXPORT pitchlineTargets)
set(PITCHLINE_IO_DEPENDENCIES "")
if(TARGET pitchline_io)
  install(TARGETS pitchline_io EXPORT pitchlineTargets FILE_SET HEADERS)
  install(TARGETS pitchline_answers EXPORT pitchlineTargets FILE_SET HEADERS)
  # A static library hands on even its private libraries, because its user does the linking.
  get_target_property(linked pitchline_io LINK_LIBRARIES)
  list(FILTER linked EXCLUDE REGEX "BUILD_INTERFACE")
  if(linked MATCHES "tomlplusplus::")
    string(APPEND PITCHLINE_IO_DEPENDENCIES "find_dependency(tomlplusplus 3.3)\n")
  endif()
  if(linked MATCHES "nlohmann_json::")
    string(APPEND PITCHLINE_IO_DEPENDENCIES "find_dependency(nlohmann_json 3.11)\n")
  endif()
endif()

install(EXPORT pitchlineTargets NAMESPACE pitchline:: DESTINATION ${package_folder})
configure_package_config_file(cmake/pitchlineConfig.cmake.in pitchlineConfig.cmake
  INSTALL_DESTINATION ${package_folder} NO_SET_AND_CHECK_MACRO)
write_basic_package_version_file(pitchlineConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES
  ${CMAKE_CURRENT_BINARY_DIR}/pitchlineConfig.cmake
  ${CMAKE_CURRENT_BINARY_DIR}/pitchlineConfigVersion.cmake
  DESTINATION ${package_folder})

# The programs are defined after this file is read, so they are collected at the very end. Whoever
# adds one under tools/ need not think of installing it.
function(pitchline_install_programs)
  get_property(targets DIRECTORY ${PROJECT_SOURCE_DIR}/tools PROPERTY BUILDSYSTEM_TARGETS)
  foreach(target IN LISTS targets)
    get_target_property(type ${target} TYPE)
    if(type STREQUAL "EXECUTABLE")
      install(TARGETS ${target})
    endif()
  endforeach()
endfunction()
if(PITCHLINE_BUILD_TOOLS)
  cmake_language(DEFER DIRECTORY ${PROJECT_SOURCE_DIR} CALL pitchline_install_programs)
endif()
