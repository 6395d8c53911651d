# SPDX-License-Identifier: GPL-3.0-or-later
# Manual pages and completions, written by a program that walks the command line's own options. Nobody installs a build
# with the sanitizers: there they are left out.
file(GLOB texts_sources CONFIGURE_DEPENDS "texts/*.cpp")
add_executable(latchwright_write_texts ${texts_sources})
target_link_libraries(latchwright_write_texts PRIVATE latchwright::cli fmt::fmt)

set(texts "${CMAKE_CURRENT_BINARY_DIR}/written")
file(MAKE_DIRECTORY "${texts}")
set(written latchwright.1 latchwright.bash _latchwright latchwright.fish)
set(templates "${CMAKE_CURRENT_SOURCE_DIR}/texts")
set(arguments "${templates}" "${texts}")
set(needs latchwright_write_texts "${templates}/latchwright.bash" "${templates}/_latchwright"
          "${templates}/latchwright.fish" "${templates}/latchwright-desk.bash" "${templates}/_latchwright-desk"
          "${templates}/latchwright-desk.fish")
if(LATCHWRIGHT_QT)
  # What the window says of its options; no screen needed.
  add_custom_command(
    OUTPUT "${texts}/desk-help.txt"
    COMMAND "${CMAKE_COMMAND}" -E env QT_QPA_PLATFORM=offscreen LC_ALL=C.UTF-8 "$<TARGET_FILE:latchwright_window>" --help >
            "${texts}/desk-help.txt"
    DEPENDS latchwright_window
    COMMENT "Asking the window for its options"
    VERBATIM)
  list(APPEND written latchwright-desk.1 latchwright-desk.bash _latchwright-desk latchwright-desk.fish)
  list(APPEND arguments "${texts}/desk-help.txt")
  list(APPEND needs "${texts}/desk-help.txt")
endif()
list(TRANSFORM written PREPEND "${texts}/" OUTPUT_VARIABLE written_paths)
add_custom_command(
  OUTPUT ${written_paths}
  COMMAND latchwright_write_texts ${arguments}
  DEPENDS ${needs}
  COMMENT "Writing manual pages and completions"
  VERBATIM)

# Readers of manual pages take them compressed; without a date inside, the same page is the same bytes.
find_program(LATCHWRIGHT_GZIP gzip REQUIRED)
set(pages)
foreach(page ${written})
  if(page MATCHES "\\.1$")
    add_custom_command(
      OUTPUT "${texts}/${page}.gz"
      COMMAND "${LATCHWRIGHT_GZIP}" -9nc "${texts}/${page}" > "${texts}/${page}.gz"
      DEPENDS "${texts}/${page}"
      VERBATIM)
    list(APPEND pages "${texts}/${page}.gz")
  endif()
endforeach()
add_custom_target(latchwright_texts ALL DEPENDS ${written_paths} ${pages})

# Each shell asks for a file named after the command.
function(latchwright_install_texts command component)
  install(FILES "${texts}/${command}.1.gz" DESTINATION "${CMAKE_INSTALL_MANDIR}/man1" COMPONENT ${component})
  install(FILES "${texts}/${command}.bash" DESTINATION "${LATCHWRIGHT_BASH_DIR}" RENAME ${command}
          COMPONENT ${component})
  install(FILES "${texts}/_${command}" DESTINATION "${LATCHWRIGHT_ZSH_DIR}" COMPONENT ${component})
  install(FILES "${texts}/${command}.fish" DESTINATION "${LATCHWRIGHT_FISH_DIR}" COMPONENT ${component})
endfunction()
latchwright_install_texts(latchwright program)
if(LATCHWRIGHT_QT)
  latchwright_install_texts(latchwright-desk desk)
endif()
