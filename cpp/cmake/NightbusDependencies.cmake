# Everything below is needed to build us, nothing of it to use us: all of it is header-only and
# stays out of the public headers.
find_package(Threads REQUIRED)

# PyPI's cmeel wheels keep their files under site-packages/cmeel.prefix.
if(SKBUILD_PLATLIB_DIR)
  list(APPEND CMAKE_PREFIX_PATH "${SKBUILD_PLATLIB_DIR}/cmeel.prefix")
endif()
foreach(place IN LISTS CMAKE_PREFIX_PATH)
  if(EXISTS "${place}/cmeel.prefix")
    list(APPEND CMAKE_PREFIX_PATH "${place}/cmeel.prefix")
  endif()
endforeach()

# Eigen's config file accepts one major version only.
find_package(Eigen3 3.4 QUIET NO_MODULE)
if(NOT Eigen3_FOUND)
  find_package(Eigen3 5 REQUIRED NO_MODULE)
endif()
find_package(fmt REQUIRED)

find_path(NIGHTBUS_TOMLPP_DIR toml++/toml.h)
if(NOT NIGHTBUS_TOMLPP_DIR)
  message(FATAL_ERROR "toml++ headers not found; on Debian: apt-get install libtomlplusplus-dev")
endif()
find_path(NIGHTBUS_JSON_DIR nlohmann/json.hpp)
if(NOT NIGHTBUS_JSON_DIR)
  message(FATAL_ERROR "nlohmann json headers not found; on Debian: apt-get install nlohmann-json3-dev")
endif()

add_library(nightbus_headers INTERFACE)
target_link_libraries(nightbus_headers INTERFACE Eigen3::Eigen fmt::fmt-header-only)
target_include_directories(nightbus_headers SYSTEM INTERFACE ${NIGHTBUS_TOMLPP_DIR}
                                                             ${NIGHTBUS_JSON_DIR})
target_compile_definitions(nightbus_headers INTERFACE TOML_HEADER_ONLY=1)
