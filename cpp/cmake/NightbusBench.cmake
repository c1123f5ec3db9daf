# A folder that brings its own build file is taken as it is; otherwise every bench file is a program.
if(EXISTS "${PROJECT_SOURCE_DIR}/cpp/bench/CMakeLists.txt")
  add_subdirectory("${PROJECT_SOURCE_DIR}/cpp/bench" bench)
else()
  find_package(benchmark REQUIRED)
  nightbus_add_programs(cpp/bench bench_ benchmark::benchmark)
endif()
