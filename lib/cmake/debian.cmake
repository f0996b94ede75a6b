# SPDX-License-Identifier: GPL-3.0-or-later
# cpack -G DEB in the build folder makes two packages: trueblank, the program, and libtrueblank-dev,
# the rooms. scripts/package builds for it as a system's package is built. With SOURCE_DATE_EPOCH
# set, the same sources give the same bytes.

set(debian_files ${CMAKE_CURRENT_LIST_DIR}/debian)
set(debian_made ${PROJECT_BINARY_DIR}/debian)
file(MAKE_DIRECTORY ${debian_made})

# Without the time and the name that gzip would put in.
find_program(TRUEBLANK_GZIP gzip)
if(NOT TRUEBLANK_GZIP)
  return()  # on no system that takes such packages
endif()
add_custom_command(OUTPUT ${debian_made}/changelog.gz
  COMMAND ${CMAKE_COMMAND} -E copy ${debian_files}/changelog ${debian_made}/changelog
  COMMAND ${TRUEBLANK_GZIP} -9nf ${debian_made}/changelog
  DEPENDS ${debian_files}/changelog
  COMMENT "Packing the packages' changelog"
  VERBATIM)
add_custom_target(trueblank_changelog ALL DEPENDS ${debian_made}/changelog.gz)

set(debian_program_package trueblank)
set(debian_development_package libtrueblank-dev)
foreach(component program development)
  # Only for the packages: who installs by hand has the checkout beside it.
  install(FILES ${debian_files}/copyright ${debian_made}/changelog.gz
    DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${debian_${component}_package}
    COMPONENT ${component} EXCLUDE_FROM_ALL)
endforeach()

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME trueblank)
set(CPACK_PACKAGE_CONTACT "trueblank maintainers <maintainers@trueblank.invalid>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_PACKAGE_MAINTAINER "${CPACK_PACKAGE_CONTACT}")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_THREADS 1)  # more would cut what is packed elsewhere
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_PRE_BUILD_SCRIPTS ${debian_files}/folders.cmake)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME ${debian_program_package})
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PROGRAM_DESCRIPTION
"how true a lure body is, what it weighs, how it lies in the water
trueblank is for people who carve, print or cast fishing-lure bodies one at a
time. It reads a body's mesh, a scan or a drawing, and a page of notes about
its wood, wire, hooks and weights, and tells whether the blank is true left to
right and where it stands proud, what it weighs, how the rigged lure will lie
in the water and how firmly, and which weight, where, would make it lie as
wished.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME ${debian_development_package})
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
list(JOIN debian_development_depends ", " CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS)
set(CPACK_DEBIAN_DEVELOPMENT_DESCRIPTION
"how a lure body lies in the water: libraries and headers
The rooms of trueblank as static libraries with their headers: triangle
meshes and their exact moments, a lure's parts, rest poses and righting curves,
reading and mending meshes, mirror planes and deviations, weights found.
find_package(trueblank) of CMake finds them.")

include(CPack)
