/// Prints every kind of message that a system file can get: give it the gallery's files, or a
/// folder of them.
///
///   error_gallery tests/cpp/reader/gallery
///
/// Exit status 0 when every file had something wrong, 1 when one was sound, 2 when one was not
/// read.

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>
#include <vector>

#include "nightbus/reader.hpp"

namespace {

std::vector<std::filesystem::path> files_of(const std::filesystem::path& path) {
  if (!std::filesystem::is_directory(path)) return {path};
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(path)) {
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 2) {
    std::cerr << "usage: error_gallery FILE-OR-FOLDER...\n";
    return 2;
  }
  int status = 0;
  for (int i = 1; i < count; ++i) {
    for (const auto& path : files_of(arguments[i])) {
      std::ifstream file(path, std::ios::binary);
      if (!file) {
        std::cerr << "cannot open " << path << "\n";
        return 2;
      }
      const std::string text{std::istreambuf_iterator<char>(file),
                             std::istreambuf_iterator<char>()};
      const auto examined = nightbus::examine_system(text, path.filename().string());
      std::cout << "---- " << path.stem().string() << "\n";
      if (examined.problems.empty()) {
        std::cout << "nothing is wrong with it\n";
        status = 1;
      } else {
        std::cout << nightbus::render(examined.problems);
      }
      std::cout << "\n";
    }
  }
  return status;
}
