# SPDX-License-Identifier: GPL-3.0-or-later
# cmake -D SOURCE=… -D OUT=… -P version.cmake : writes the source OUT, which tells the commit that is
# checked out in SOURCE, and touches it only where what it says has changed. Run at every build, since
# a commit may come between two of them.

set(commit "")
find_program(GIT git)
if(GIT)
  # Of this checkout, not of another project's that this one lies in.
  execute_process(COMMAND ${GIT} -C ${SOURCE} rev-parse --show-prefix --short=12 HEAD
    OUTPUT_VARIABLE said RESULT_VARIABLE failed ERROR_QUIET)
  if(NOT failed AND said MATCHES "^\n([0-9a-f]+)\n$")
    set(commit ${CMAKE_MATCH_1})
    # Without the lock by which looking would come in the way of a commit being made.
    execute_process(COMMAND ${GIT} --no-optional-locks -C ${SOURCE}
        status --porcelain --untracked-files=no
      OUTPUT_VARIABLE changes RESULT_VARIABLE failed ERROR_QUIET)
    if(failed)
      set(commit "")
    elseif(NOT changes STREQUAL "")
      string(APPEND commit " and changes")
    endif()
  endif()
endif()

string(CONCAT text "// Made by tools/trueblank/version.cmake.\n#include \"version.h\"\n\n"
  "namespace trueblank::tools {\n\n"
  "std::string_view commit() { return \"${commit}\"; }\n\n}  // namespace trueblank::tools\n")
set(before "")
if(EXISTS ${OUT})
  file(READ ${OUT} before)
endif()
if(NOT text STREQUAL before)
  file(WRITE ${OUT} "${text}")
endif()
