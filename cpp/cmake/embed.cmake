# cmake -DDATA_DIR=... -DOUTPUT=... -P embed.cmake
file(GLOB_RECURSE files "${DATA_DIR}/*.toml")
list(SORT files)
set(body "")
set(count 0)
foreach(file IN LISTS files)
  file(RELATIVE_PATH name "${DATA_DIR}" "${file}")
  file(READ "${file}" text)
  # A string literal may hold at most 65 536 characters: adjacent raw literals of 8 000 each.
  string(LENGTH "${text}" length)
  set(at 0)
  set(literals "")
  while(at LESS length)
    string(SUBSTRING "${text}" ${at} 8000 piece)
    string(APPEND literals "R\"nightbus(${piece})nightbus\"\n")
    math(EXPR at "${at} + 8000")
  endwhile()
  string(APPEND body "    {\"${name}\",\n${literals}},\n")
  math(EXPR count "${count} + 1")
endforeach()
file(WRITE "${OUTPUT}.new"
     "// Generated from cpp/data by cpp/cmake/embed.cmake.\n"
     "#include \"catalogue/embedded.hpp\"\n\n"
     "namespace nightbus::catalogue_detail {\n\n"
     "const std::vector<EmbeddedFile>& embedded_files() {\n"
     "  static const std::vector<EmbeddedFile> files{\n${body}  };\n"
     "  return files;\n}\n\n}  // namespace nightbus::catalogue_detail\n")
file(COPY_FILE "${OUTPUT}.new" "${OUTPUT}")
