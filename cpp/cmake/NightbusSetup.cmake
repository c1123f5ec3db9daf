# Compiler settings that belong to us and must not leak to a project that embeds us.
if(PROJECT_IS_TOP_LEVEL)
  if(NOT CMAKE_BUILD_TYPE AND NOT CMAKE_CONFIGURATION_TYPES)
    set(CMAKE_BUILD_TYPE Release CACHE STRING "Debug, Release, RelWithDebInfo" FORCE)
  endif()
  set(CMAKE_EXPORT_COMPILE_COMMANDS ON)
  find_program(CCACHE_PROGRAM ccache)
  if(CCACHE_PROGRAM AND NOT CMAKE_CXX_COMPILER_LAUNCHER)
    set(CMAKE_CXX_COMPILER_LAUNCHER "${CCACHE_PROGRAM}")
  endif()
  # Lines are enough for a sanitizer's report, and keep linking fast; full symbols on request.
  if(NOT CMAKE_CXX_FLAGS_DEBUG MATCHES "-g1")
    set(CMAKE_CXX_FLAGS_DEBUG "-g1 -D_GLIBCXX_ASSERTIONS" CACHE STRING "Debug flags" FORCE)
  endif()
  # Reports and assertions name files from the top of the project, wherever it lies.
  add_compile_options(-ffile-prefix-map=${PROJECT_SOURCE_DIR}/=)
endif()
set(CMAKE_POSITION_INDEPENDENT_CODE ON)

set(NIGHTBUS_WARNINGS
    -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Wnon-virtual-dtor
    -Wold-style-cast -Wcast-qual -Woverloaded-virtual)
if(CMAKE_CXX_COMPILER_ID MATCHES "Clang")
  # The first arises inside std::stable_sort of GNU's own headers; designated initializers leave
  # members at their defaults on purpose.
  list(APPEND NIGHTBUS_WARNINGS -Wno-deprecated-declarations
       -Wno-missing-designated-field-initializers)
elseif(CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13 AND NOT CMAKE_BUILD_TYPE STREQUAL "Debug")
  # GCC 12 sees an overlap in `"x" + std::string` that is not there (its bug 105651).
  list(APPEND NIGHTBUS_WARNINGS -Wno-restrict)
endif()

# Sanitizers act on everything linked into one program, so they are set for the whole tree.
if(PROJECT_IS_TOP_LEVEL)
  if(NIGHTBUS_SANITIZE STREQUAL "thread")
    add_compile_options(-fsanitize=thread -fno-omit-frame-pointer -g1)
    add_link_options(-fsanitize=thread)
  elseif(NIGHTBUS_SANITIZE STREQUAL "address"
         OR (NIGHTBUS_SANITIZE STREQUAL "auto" AND CMAKE_BUILD_TYPE STREQUAL "Debug"))
    add_compile_options(-fsanitize=address,undefined -fno-sanitize-recover=undefined
                        -fno-omit-frame-pointer)
    add_link_options(-fsanitize=address,undefined)
  endif()
  if(NIGHTBUS_FUZZ)
    if(NOT CMAKE_CXX_COMPILER_ID MATCHES "Clang")
      message(FATAL_ERROR "NIGHTBUS_FUZZ needs clang: use the preset \"fuzz\"")
    endif()
    add_compile_options(-fsanitize=fuzzer-no-link)
  endif()
endif()

# Applies C++20, our include path, hidden symbols and our warnings to one of our targets.
function(nightbus_configure target)
  target_compile_features(${target} PUBLIC cxx_std_20)
  set_target_properties(${target} PROPERTIES CXX_EXTENSIONS OFF CXX_VISIBILITY_PRESET hidden
                                             VISIBILITY_INLINES_HIDDEN ON)
  target_include_directories(
    ${target} PUBLIC $<BUILD_INTERFACE:${PROJECT_SOURCE_DIR}/cpp/include>
                     $<INSTALL_INTERFACE:include>
    PRIVATE ${PROJECT_SOURCE_DIR}/cpp/src)
  if(NIGHTBUS_STRICT)
    target_compile_options(${target} PRIVATE ${NIGHTBUS_WARNINGS} -Werror)
  endif()
endfunction()
