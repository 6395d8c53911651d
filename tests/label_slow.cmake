# SPDX-License-Identifier: GPL-3.0-or-later
# Asks the test program PROGRAM for its tests tagged [slow] and writes OUTPUT, which labels them for ctest.
# The list's exit status is the number of tests, which is why only a negative or textual one is a failure.
execute_process(
  COMMAND "${PROGRAM}" "[slow]" --list-test-names-only
  OUTPUT_VARIABLE names
  RESULT_VARIABLE result)
if(NOT result MATCHES "^[0-9]+$")
  message(FATAL_ERROR "${PROGRAM} does not list its slow tests: ${result}")
endif()
string(REPLACE ";" "\\;" names "${names}")
string(REPLACE "\n" ";" names "${names}")
set(script "")
foreach(name IN LISTS names)
  if(NOT name STREQUAL "")
    string(APPEND script "set_tests_properties([==[${name}]==] PROPERTIES LABELS slow)\n")
  endif()
endforeach()
file(WRITE "${OUTPUT}" "${script}")
