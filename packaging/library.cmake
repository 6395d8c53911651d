# SPDX-License-Identifier: GPL-3.0-or-later
# The layers below the command line as static libraries with their headers, for other programs. None of them has Qt.
set(latchwright_installed_layers base model io physics sim bench verdict choose spread report)
set(targets)
foreach(layer ${latchwright_installed_layers})
  list(APPEND targets latchwright_${layer})
  set_target_properties(latchwright_${layer} PROPERTIES EXPORT_NAME ${layer})
  install(DIRECTORY "${PROJECT_SOURCE_DIR}/src/${layer}" DESTINATION "${LATCHWRIGHT_HEADER_DIR}" COMPONENT library
          FILES_MATCHING PATTERN "*.h")
endforeach()
install(TARGETS ${targets} EXPORT latchwright ARCHIVE DESTINATION "${CMAKE_INSTALL_LIBDIR}" COMPONENT library
        INCLUDES DESTINATION "${LATCHWRIGHT_HEADER_DIR}")
install(EXPORT latchwright NAMESPACE latchwright:: FILE latchwrightTargets.cmake DESTINATION "${LATCHWRIGHT_CMAKE_DIR}"
        COMPONENT library)

list(JOIN latchwright_installed_layers ", " latchwright_layer_words)
include(CMakePackageConfigHelpers)
configure_package_config_file(latchwrightConfig.cmake.in "${CMAKE_CURRENT_BINARY_DIR}/latchwrightConfig.cmake"
                              INSTALL_DESTINATION "${LATCHWRIGHT_CMAKE_DIR}" NO_SET_AND_CHECK_MACRO
                              NO_CHECK_REQUIRED_COMPONENTS_MACRO)
# Before 1.0 a minor version may change what others build on.
write_basic_package_version_file("${CMAKE_CURRENT_BINARY_DIR}/latchwrightConfigVersion.cmake"
                                 COMPATIBILITY SameMinorVersion)
install(FILES "${CMAKE_CURRENT_BINARY_DIR}/latchwrightConfig.cmake"
              "${CMAKE_CURRENT_BINARY_DIR}/latchwrightConfigVersion.cmake"
        DESTINATION "${LATCHWRIGHT_CMAKE_DIR}" COMPONENT library)
