# SPDX-License-Identifier: GPL-3.0-or-later
# The room and all below it once more, as a WebAssembly module for the page:
# lib/live/live.wasm in the build folder, target `live_module`.

set(live_to_install
  "install clang-14 lld-14 wasi-libc libc++-14-dev-wasm32 libclang-rt-14-dev-wasm32 (Debian 12), "
  "name the compiler with -DTRUEBLANK_WASM_CXX=…, or configure with -DTRUEBLANK_LIVE=OFF and do "
  "without moving weights in the page")
string(JOIN "" live_to_install ${live_to_install})

find_program(TRUEBLANK_WASM_CXX NAMES clang++-14 clang++
  DOC "Clang with a wasm32-wasi standard library, for the water in the page")
if(NOT TRUEBLANK_WASM_CXX)
  message(FATAL_ERROR "clang++ is needed for the water in the page: ${live_to_install}")
endif()

set(live_target --target=wasm32-wasi)
set(live_functions malloc free)
foreach(name open close lay pose balance slopes map heights)
  list(APPEND live_functions trueblank_live_${name})
endforeach()
set(live_link ${live_target} -mexec-model=reactor -Wl,--gc-sections -Wl,--strip-all)
foreach(name IN LISTS live_functions)
  list(APPEND live_link -Wl,--export=${name})
endforeach()

# Tried once, with all that the module will need: a header of C++20, the library, the linker.
if(NOT live_compiler_tried STREQUAL TRUEBLANK_WASM_CXX)
  set(live_try ${CMAKE_CURRENT_BINARY_DIR}/try.cpp)
  file(WRITE ${live_try} "#include <span>\n#include <vector>\n"
    "int main() { return static_cast<int>(std::span(std::vector<int>(3)).size()) - 3; }\n")
  execute_process(COMMAND ${TRUEBLANK_WASM_CXX} ${live_target} -std=c++20 -fno-exceptions
      ${live_try} -o ${CMAKE_CURRENT_BINARY_DIR}/try.wasm
    RESULT_VARIABLE live_failed ERROR_VARIABLE live_said OUTPUT_QUIET)
  if(live_failed)
    message(FATAL_ERROR "${TRUEBLANK_WASM_CXX} makes no WebAssembly of C++20 here: "
      "${live_to_install}.\n${live_said}")
  endif()
  set(live_compiler_tried ${TRUEBLANK_WASM_CXX} CACHE INTERNAL "")
endif()

# What the page never asks for.
set(live_without silhouette.cpp casting.cpp may_be_off.cpp random_numbers.cpp righting.cpp
  sinking.cpp tight_line.cpp tolerances.cpp waters_table.cpp materials.cpp)
# Where the time goes, as tests/live/bench_module.mjs measures it; all else is made small. All of it
# fast would be a quarter larger, and hardly faster.
set(live_fast coat.cpp cut.cpp cut_body.cpp energy_field.cpp inside.cpp mesh.cpp moment_tree.cpp
  moments.cpp shares.cpp shells.cpp sphere_grid.cpp steepest_way.cpp waterline.cpp)

get_target_property(live_eigen Eigen3::Eigen INTERFACE_INCLUDE_DIRECTORIES)
set(live_flags ${live_target} -std=c++20 -fno-exceptions -fno-rtti -fno-threadsafe-statics
  -ffunction-sections -fdata-sections -ffp-contract=off -DNDEBUG -I${PROJECT_SOURCE_DIR}/lib)
foreach(folder IN LISTS live_eigen)
  list(APPEND live_flags -isystem ${folder})
endforeach()

set(live_objects)
foreach(room geometry rig water live)
  get_target_property(room_sources trueblank_${room} SOURCES)
  get_target_property(room_folder trueblank_${room} SOURCE_DIR)
  list(FILTER room_sources INCLUDE REGEX "\\.cpp$")
  list(REMOVE_ITEM room_sources ${live_without})
  foreach(source IN LISTS room_sources)
    set(speed -Oz)
    if(source IN_LIST live_fast)
      set(speed -O2)
    endif()
    set(object ${CMAKE_CURRENT_BINARY_DIR}/module/${room}/${source}.o)
    add_custom_command(OUTPUT ${object}
      COMMAND ${CMAKE_COMMAND} -E make_directory ${CMAKE_CURRENT_BINARY_DIR}/module/${room}
      COMMAND ${CMAKE_CXX_COMPILER_LAUNCHER} ${TRUEBLANK_WASM_CXX} ${live_flags} ${speed}
        -MD -MF ${object}.d -c ${room_folder}/${source} -o ${object}
      DEPENDS ${room_folder}/${source}
      DEPFILE ${object}.d
      COMMENT "Building WebAssembly object ${room}/${source}.o"
      VERBATIM)
    list(APPEND live_objects ${object})
  endforeach()
endforeach()

set(live_wasm ${CMAKE_CURRENT_BINARY_DIR}/live.wasm)
add_custom_command(OUTPUT ${live_wasm}
  COMMAND ${TRUEBLANK_WASM_CXX} ${live_link} ${live_objects} -o ${live_wasm}
  DEPENDS ${live_objects}
  COMMENT "Linking WebAssembly module live.wasm"
  VERBATIM)
add_custom_target(live_module DEPENDS ${live_wasm})
