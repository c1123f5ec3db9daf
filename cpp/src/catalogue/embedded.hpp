#pragma once

#include <string_view>
#include <vector>

namespace nightbus::catalogue_detail {

struct EmbeddedFile {
  std::string_view name;  ///< path below cpp/data, with forward slashes
  std::string_view text;
};

/// All data files, in name order; generated at build time.
const std::vector<EmbeddedFile>& embedded_files();

}  // namespace nightbus::catalogue_detail
