# SPDX-License-Identifier: GPL-3.0-or-later
# Included before anything that is installed: writes down which folders an installation makes, so that `uninstall` takes
# away no folder that was there before. Paths stand as they are on the disk, with DESTDIR in front.
include(GNUInstallDirs)
# The environment may name another record: tests install into folders of their own and leave the builder's alone.
set(LATCHWRIGHT_INSTALLED "${PROJECT_BINARY_DIR}/installed.txt")
set(LATCHWRIGHT_ZSH_DIR "${CMAKE_INSTALL_DATADIR}/zsh/site-functions" CACHE STRING "Where zsh looks for completions")
set(LATCHWRIGHT_BASH_DIR "${CMAKE_INSTALL_DATADIR}/bash-completion/completions")
set(LATCHWRIGHT_FISH_DIR "${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d")
set(LATCHWRIGHT_CMAKE_DIR "${CMAKE_INSTALL_LIBDIR}/cmake/latchwright")
set(LATCHWRIGHT_HEADER_DIR "${CMAKE_INSTALL_INCLUDEDIR}/latchwright")
set(LATCHWRIGHT_ICON_DIR "${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps")

set(latchwright_folders
    ${CMAKE_INSTALL_BINDIR} ${LATCHWRIGHT_CMAKE_DIR} ${LATCHWRIGHT_HEADER_DIR} ${CMAKE_INSTALL_DOCDIR}
    ${CMAKE_INSTALL_DOCDIR}-desk ${CMAKE_INSTALL_MANDIR}/man1 ${LATCHWRIGHT_BASH_DIR} ${LATCHWRIGHT_FISH_DIR}
    ${LATCHWRIGHT_ZSH_DIR} ${CMAKE_INSTALL_DATADIR}/applications ${CMAKE_INSTALL_DATADIR}/mime/packages
    ${LATCHWRIGHT_ICON_DIR})
install(CODE "
  set(latchwright_record \"${LATCHWRIGHT_INSTALLED}\")
  if(DEFINED ENV{LATCHWRIGHT_INSTALLED})
    set(latchwright_record \"\$ENV{LATCHWRIGHT_INSTALLED}\")
  endif()
  foreach(folder ${latchwright_folders})
    if(NOT IS_ABSOLUTE \"\${folder}\")
      set(folder \"\${CMAKE_INSTALL_PREFIX}/\${folder}\")
    endif()
    set(folder \"\$ENV{DESTDIR}\${folder}\")
    while(NOT EXISTS \"\${folder}\")
      file(APPEND \"\${latchwright_record}\" \"made \${folder}\\n\")
      get_filename_component(folder \"\${folder}\" DIRECTORY)
    endwhile()
  endforeach()" ALL_COMPONENTS)
