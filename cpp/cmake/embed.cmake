# cmake -DDATA_DIR=... -DOUTPUT=... -P embed.cmake
#
# Writes every data file as a run of raw string literals. Pieces end at a line end, so that no
# character is cut in two, and stay small, since compilers slow down on long literals.
set(piece_size 8000)

file(GLOB_RECURSE files "${DATA_DIR}/*.toml")
list(SORT files)
set(body "")
foreach(file IN LISTS files)
  file(RELATIVE_PATH name "${DATA_DIR}" "${file}")
  file(READ "${file}" text)
  string(FIND "${text}" ")nightbus\"" clash)
  if(NOT clash EQUAL -1)
    message(FATAL_ERROR "${file} holds the text that ends an embedded literal")
  endif()
  string(LENGTH "${text}" left)
  set(literals "")
  while(left GREATER 0)
    set(size ${left})
    if(left GREATER piece_size)
      string(SUBSTRING "${text}" 0 ${piece_size} piece)
      string(FIND "${piece}" "\n" line_end REVERSE)
      if(line_end EQUAL -1)
        message(FATAL_ERROR "${file} has a line longer than ${piece_size} bytes")
      endif()
      math(EXPR size "${line_end} + 1")
    endif()
    string(SUBSTRING "${text}" 0 ${size} piece)
    string(SUBSTRING "${text}" ${size} -1 text)
    string(APPEND literals "R\"nightbus(${piece})nightbus\"\n")
    math(EXPR left "${left} - ${size}")
  endwhile()
  if(literals STREQUAL "")
    set(literals "\"\"\n")
  endif()
  string(APPEND body "    {\"${name}\",\n${literals}},\n")
endforeach()
file(WRITE "${OUTPUT}.new"
     "// Generated from cpp/data by cpp/cmake/embed.cmake.\n"
     "#include \"catalogue/embedded.hpp\"\n\n"
     "namespace nightbus::catalogue_detail {\n\n"
     "const std::vector<EmbeddedFile>& embedded_files() {\n"
     "  static const std::vector<EmbeddedFile> files{\n${body}  };\n"
     "  return files;\n}\n\n}  // namespace nightbus::catalogue_detail\n")
file(COPY_FILE "${OUTPUT}.new" "${OUTPUT}")
