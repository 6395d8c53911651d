# SPDX-License-Identifier: GPL-3.0-or-later
# Included after everything that is installed: writes down the files, and makes the target that takes them away. CMake's
# own install_manifest.txt would not do: making a package writes one too, of files that are dpkg's.
install(CODE "
  foreach(file \${CMAKE_INSTALL_MANIFEST_FILES})
    file(APPEND \"\${latchwright_record}\" \"file \$ENV{DESTDIR}\${file}\\n\")
  endforeach()" ALL_COMPONENTS)
add_custom_target(
  uninstall
  COMMAND "${CMAKE_COMMAND}" "-DRECORD=${LATCHWRIGHT_INSTALLED}" -P "${PROJECT_SOURCE_DIR}/packaging/uninstall.cmake"
  COMMENT "Taking away what was installed from here"
  VERBATIM)
