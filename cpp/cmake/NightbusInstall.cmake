# `cmake --install` gives a stranger find_package(nightbus) and nightbus::nightbus. Headers and the
# archive are all there is: what we build with (Eigen, fmt, toml++, json) stays ours.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

set(config_dir "${CMAKE_INSTALL_LIBDIR}/cmake/nightbus")

# The public headers were written for C++20; a user of the library must compile them so.
install(
  TARGETS nightbus
  EXPORT nightbus
  ARCHIVE DESTINATION "${CMAKE_INSTALL_LIBDIR}" COMPONENT library)
install(
  DIRECTORY "${PROJECT_SOURCE_DIR}/cpp/include/nightbus"
  DESTINATION "${CMAKE_INSTALL_INCLUDEDIR}"
  COMPONENT library
  FILES_MATCHING
  PATTERN "*.hpp")
install(
  EXPORT nightbus
  NAMESPACE nightbus::
  FILE nightbus-targets.cmake
  DESTINATION "${config_dir}"
  COMPONENT library)

configure_package_config_file("${CMAKE_CURRENT_LIST_DIR}/nightbus-config.cmake.in"
                              "${PROJECT_BINARY_DIR}/nightbus-config.cmake"
                              INSTALL_DESTINATION "${config_dir}")
# Before 1.0 a minor version may change names, so only the same minor version is compatible.
write_basic_package_version_file("${PROJECT_BINARY_DIR}/nightbus-config-version.cmake"
                                 COMPATIBILITY SameMinorVersion)
install(
  FILES "${PROJECT_BINARY_DIR}/nightbus-config.cmake"
        "${PROJECT_BINARY_DIR}/nightbus-config-version.cmake"
  DESTINATION "${config_dir}"
  COMPONENT library)
install(
  FILES "${PROJECT_SOURCE_DIR}/LICENSE"
  DESTINATION "${CMAKE_INSTALL_DATADIR}/licenses/nightbus"
  COMPONENT library)
