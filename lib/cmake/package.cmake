# SPDX-License-Identifier: GPL-3.0-or-later
# Installs the rooms with their headers, and what find_package(trueblank) reads. Each room is a
# component with an export file of its own, so that who asks for `water` needs Eigen and no more.

include(CMakePackageConfigHelpers)

# How find_package is asked for what a room links: the versions that this build asks for.
# Not by Eigen's finder in CGAL, which would make no Eigen3::Eigen.
set(package_Eigen3 Eigen3 3.3 NO_MODULE)
set(package_CGAL CGAL 5.5)
set(package_nlohmann_json nlohmann_json 3.11)
set(package_ZLIB ZLIB)
set(package_Boost Boost 1.74)
set(package_tomlplusplus tomlplusplus)
set(package_SQLite SQLite3 3.37)
set(package_NLopt NLopt)
# The Debian packages that these come in.
set(debian_Eigen3 libeigen3-dev)
set(debian_CGAL libcgal-dev)
set(debian_nlohmann_json nlohmann-json3-dev)
set(debian_ZLIB zlib1g-dev)
set(debian_Boost libboost-dev)
set(debian_tomlplusplus libtomlplusplus-dev)
set(debian_SQLite libsqlite3-dev)
set(debian_NLopt libnlopt-dev libnlopt-cxx-dev)
set(debian_development_depends)

set(package_folder ${CMAKE_INSTALL_LIBDIR}/cmake/trueblank)
get_property(package_rooms GLOBAL PROPERTY trueblank_rooms)
set(package_needs "")

# A static library's PRIVATE links must be found too: its user links them in the end.
foreach(room IN LISTS package_rooms)
  set(rooms ${room})
  set(packages)
  get_target_property(links trueblank_${room} LINK_LIBRARIES)
  foreach(link IN LISTS links)
    if(link MATCHES "^\\$<BUILD_INTERFACE:")
      continue()
    elseif(link MATCHES "^trueblank(_|::)(.+)$")
      set(below ${CMAKE_MATCH_2})
      list(APPEND rooms ${rooms_${below}})
      list(APPEND packages ${packages_${below}})
      continue()
    endif()
    string(REGEX REPLACE "::.*" "" package ${link})
    list(APPEND packages ${package})
    if(NOT DEFINED package_${package} OR NOT DEFINED debian_${package})
      message(FATAL_ERROR "room ${room} links ${link}: lib/cmake/package.cmake doesn't know how "
        "one who uses the installed room finds it; add a package_ and a debian_ line there")
    endif()
    list(APPEND debian_development_depends ${debian_${package}})
  endforeach()
  list(REMOVE_DUPLICATES rooms)
  list(REMOVE_DUPLICATES packages)
  set(rooms_${room} ${rooms})
  set(packages_${room} ${packages})
  string(APPEND package_needs "set(trueblank_${room}_rooms ${rooms})\n"
    "set(trueblank_${room}_packages ${packages})\n")

  install(TARGETS trueblank_${room} EXPORT trueblank_${room}
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development
    FILE_SET HEADERS DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/trueblank COMPONENT development)
  install(EXPORT trueblank_${room} NAMESPACE trueblank:: FILE trueblank-${room}.cmake
    DESTINATION ${package_folder} COMPONENT development)
endforeach()
foreach(package Eigen3 CGAL nlohmann_json ZLIB Boost tomlplusplus SQLite NLopt)
  string(APPEND package_needs "set(trueblank_find_${package} ${package_${package}})\n")
endforeach()
list(REMOVE_DUPLICATES debian_development_depends)
string(REPLACE ";" " " package_needs "${package_needs}")
string(REPLACE ";" " " package_rooms "${package_rooms}")

configure_package_config_file(${CMAKE_CURRENT_LIST_DIR}/trueblank-config.cmake.in
  ${PROJECT_BINARY_DIR}/trueblank-config.cmake INSTALL_DESTINATION ${package_folder}
  NO_SET_AND_CHECK_MACRO)
# Before 1.0 a minor version may change what stands in a header.
write_basic_package_version_file(${PROJECT_BINARY_DIR}/trueblank-config-version.cmake
  COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/trueblank-config.cmake
    ${PROJECT_BINARY_DIR}/trueblank-config-version.cmake
  DESTINATION ${package_folder} COMPONENT development)

include(${CMAKE_CURRENT_LIST_DIR}/debian.cmake)
