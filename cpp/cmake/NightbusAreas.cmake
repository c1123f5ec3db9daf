# The areas, lowest first. An area may include only areas named before it; the layer test under
# tests/identities checks that. Sources are globbed so that a new small file needs no edit here.
set(NIGHTBUS_AREAS quantity source finding catalogue system reader network wiring protection
                   thermal energy scenario)

# Kernels compute the same bits on every machine (nothing is fused), and each vector unit has a file of
# its own with its own flags; which one runs is decided at run time.
function(nightbus_set_kernel_flags)
  foreach(area IN ITEMS network energy)
    set(folder "${PROJECT_SOURCE_DIR}/cpp/src/${area}")
    file(GLOB kernels "${folder}/kernel_*.cpp")
    set_source_files_properties(${kernels} PROPERTIES COMPILE_OPTIONS "-ffp-contract=off")
    if(CMAKE_SYSTEM_PROCESSOR MATCHES "x86_64|AMD64|i[3-6]86")
      set_source_files_properties("${folder}/kernel_avx2.cpp"
                                  PROPERTIES COMPILE_OPTIONS "-ffp-contract=off;-mavx2")
      set_source_files_properties(
        "${folder}/kernel_avx512.cpp"
        PROPERTIES COMPILE_OPTIONS "-ffp-contract=off;-mavx512f;-mavx512dq;-mavx512vl")
    endif()
  endforeach()
endfunction()

function(nightbus_add_areas)
  nightbus_set_kernel_flags()
  foreach(area IN LISTS NIGHTBUS_AREAS)
    file(GLOB sources CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/cpp/src/${area}/*.cpp")
    if(area STREQUAL "catalogue")
      include(NightbusEmbed)
      nightbus_embed_data(embedded)
      list(APPEND sources ${embedded})
    endif()
    if(NOT sources)
      continue()
    endif()
    add_library(nightbus_${area} OBJECT ${sources})
    nightbus_configure(nightbus_${area})
    target_link_libraries(nightbus_${area} PRIVATE $<BUILD_INTERFACE:nightbus_headers>)
  endforeach()
endfunction()

# Puts the objects of all areas up to and including `last` into `target`; of all areas when `last`
# is none of them.
function(nightbus_use_areas target last)
  foreach(area IN LISTS NIGHTBUS_AREAS)
    if(TARGET nightbus_${area})
      target_sources(${target} PRIVATE $<TARGET_OBJECTS:nightbus_${area}>)
    endif()
    if(area STREQUAL last)
      break()
    endif()
  endforeach()
endfunction()

function(nightbus_add_library)
  add_library(nightbus STATIC)
  add_library(nightbus::nightbus ALIAS nightbus)
  nightbus_configure(nightbus)
  target_link_libraries(nightbus PUBLIC Threads::Threads)
  nightbus_use_areas(nightbus all)
  set_target_properties(nightbus PROPERTIES LINKER_LANGUAGE CXX)
  if(PROJECT_IS_TOP_LEVEL)
    include(NightbusInstall)
  endif()
endfunction()

# One doctest program per folder of tests/cpp; it links the areas up to its own name, or all of
# them when the folder is not an area.
function(nightbus_add_tests)
  find_path(NIGHTBUS_DOCTEST_DIR doctest/doctest.h REQUIRED)
  add_library(nightbus_doctest_main OBJECT "${PROJECT_SOURCE_DIR}/tests/cpp/main.cpp")
  target_include_directories(nightbus_doctest_main SYSTEM PUBLIC ${NIGHTBUS_DOCTEST_DIR})
  target_compile_features(nightbus_doctest_main PUBLIC cxx_std_20)
  file(GLOB folders CONFIGURE_DEPENDS LIST_DIRECTORIES true "${PROJECT_SOURCE_DIR}/tests/cpp/*")
  foreach(folder IN LISTS folders)
    if(NOT IS_DIRECTORY "${folder}")
      continue()
    endif()
    get_filename_component(name "${folder}" NAME)
    file(GLOB sources CONFIGURE_DEPENDS "${folder}/*.cpp")
    if(NOT sources)
      continue()
    endif()
    add_executable(test_${name} ${sources} $<TARGET_OBJECTS:nightbus_doctest_main>)
    nightbus_configure(test_${name})
    target_include_directories(test_${name} SYSTEM PRIVATE ${NIGHTBUS_DOCTEST_DIR})
    target_include_directories(test_${name} PRIVATE "${PROJECT_SOURCE_DIR}/tests/cpp")
    target_compile_definitions(test_${name} PRIVATE
      NIGHTBUS_SOURCE_DIR="${PROJECT_SOURCE_DIR}")
    target_link_libraries(test_${name} PRIVATE nightbus_headers Threads::Threads)
    nightbus_use_areas(test_${name} ${name})
    add_test(NAME ${name} COMMAND test_${name})
    set_tests_properties(${name} PROPERTIES TIMEOUT 600 WORKING_DIRECTORY "${PROJECT_BINARY_DIR}")
  endforeach()
endfunction()

# One program per file of `folder`, named `prefix` and the file's name, with the whole library.
function(nightbus_add_programs folder prefix)
  file(GLOB sources CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/${folder}/*.cpp")
  foreach(source IN LISTS sources)
    get_filename_component(name "${source}" NAME_WE)
    string(REGEX REPLACE "^${prefix}" "" name "${name}")
    add_executable(${prefix}${name} "${source}")
    nightbus_configure(${prefix}${name})
    target_compile_definitions(${prefix}${name} PRIVATE
      NIGHTBUS_SOURCE_DIR="${PROJECT_SOURCE_DIR}")
    target_link_libraries(${prefix}${name} PRIVATE nightbus nightbus_headers ${ARGN})
  endforeach()
endfunction()
