# Turns every cpp/data/**/*.toml into one generated source file, so that the library carries its
# tables and needs no data folder at run time.
function(nightbus_embed_data out_sources)
  file(GLOB_RECURSE data CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/cpp/data/*.toml")
  set(generated "${PROJECT_BINARY_DIR}/generated/embedded_data.cpp")
  add_custom_command(
    OUTPUT "${generated}"
    COMMAND ${CMAKE_COMMAND} -DDATA_DIR=${PROJECT_SOURCE_DIR}/cpp/data -DOUTPUT=${generated} -P
            ${PROJECT_SOURCE_DIR}/cpp/cmake/embed.cmake
    DEPENDS ${data} "${PROJECT_SOURCE_DIR}/cpp/cmake/embed.cmake"
    COMMENT "Embedding the standards tables"
    VERBATIM)
  add_custom_target(nightbus_generated DEPENDS "${generated}")
  # A table may be longer than the 65 536 characters that the language promises for one literal; the
  # compilers we support take far more.
  set_source_files_properties("${generated}" PROPERTIES COMPILE_OPTIONS -Wno-overlength-strings)
  set(${out_sources} "${generated}" PARENT_SCOPE)
endfunction()
