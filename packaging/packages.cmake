# SPDX-License-Identifier: GPL-3.0-or-later
# Two Debian packages; docs/decisions/0022-packages.md says why two. Used by packaging/make-deb.sh.
if(NOT CMAKE_INSTALL_PREFIX STREQUAL "/usr")
  message(FATAL_ERROR "LATCHWRIGHT_PACKAGE goes with CMAKE_INSTALL_PREFIX=/usr (cmake --preset package)")
endif()

# What Debian wants beside the rest.
find_program(LATCHWRIGHT_PYTHON python3 PATHS /usr/bin NO_DEFAULT_PATH)
find_program(LATCHWRIGHT_PYTHON python3 REQUIRED)
set(changelog "${CMAKE_CURRENT_BINARY_DIR}/changelog.gz")
add_custom_command(
  OUTPUT "${changelog}"
  COMMAND "${LATCHWRIGHT_PYTHON}" "${CMAKE_CURRENT_SOURCE_DIR}/debian_changelog.py" "${PROJECT_SOURCE_DIR}/CHANGELOG.md"
          "${PROJECT_VERSION}" "${changelog}"
  DEPENDS debian_changelog.py "${PROJECT_SOURCE_DIR}/CHANGELOG.md"
  VERBATIM)
add_custom_target(latchwright_changelog ALL DEPENDS "${changelog}")
install(FILES "${changelog}" DESTINATION "${CMAKE_INSTALL_DOCDIR}" COMPONENT program)
install(FILES "${changelog}" copyright DESTINATION "${CMAKE_INSTALL_DOCDIR}-desk" COMPONENT desk)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "")  # each package has its own
set(CPACK_PACKAGE_NAME latchwright)
set(CPACK_PACKAGE_VERSION "${PROJECT_VERSION}")
set(CPACK_PACKAGE_CONTACT "Latchwright developers <latchwright@example.invalid>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_VERBATIM_VARIABLES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ
                                                WORLD_EXECUTE)
set(CPACK_COMPONENTS_ALL program desk)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME latchwright)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION utils)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SUGGESTS "latchwright-desk (= ${PROJECT_VERSION})")
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION
    "checks and sizes 12 V power door lock installations
For people who fit and repair central locking. From run lengths, rod forces
and the parts that are to be fitted it solves circuit, motors, gears and
heat of every door together, runs fourteen checks at every voltage and
temperature that the car will see, names the weakest link and says what
would cure it.
.
It also chooses actuators, wires, fuses and relay, tells a dead actuator
from one that only waits to cool, and makes a measured part of bench logs.
.
This package has the command line with pictures (png, svg, pdf), the
documentation and example jobs.")

set(CPACK_DEBIAN_DESK_PACKAGE_NAME latchwright-desk)
set(CPACK_DEBIAN_DESK_PACKAGE_SECTION utils)
set(CPACK_DEBIAN_DESK_PACKAGE_RECOMMENDS "latchwright (= ${PROJECT_VERSION})")
set(CPACK_COMPONENT_DESK_DESCRIPTION
    "window for checking and sizing 12 V power door lock installations
For people who fit and repair central locking. The circuit itself is the way
around: from the battery to the rods, every link with its part and its worst
margin; the weakest link is always in sight, with cures that one button
applies.
.
Pictures of the chosen link follow voltage, ambient, pulse, rest and cycles
while they are moved. A bench page tells a dead actuator from one that only
waits to cool.")

include(CPack)
