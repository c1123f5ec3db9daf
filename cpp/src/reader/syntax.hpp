#pragma once
/// Says what is wrong with a line that is not TOML, in the words of somebody who wants to help.

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

#include "nightbus/source.hpp"

namespace nightbus::reader_detail {

/// Where the TOML parser gave up and what it said; the words are only used to tell kinds apart.
struct Stumble {
  std::string said;
  std::uint32_t line = 0;
  std::uint32_t column = 0;
};

struct Diagnosis {
  Problem problem;
  std::uint32_t line = 0;  ///< the first line to leave out
  std::uint32_t last_line = 0;
};

/// `text` is the file with earlier bad lines left out, line numbers unchanged.
Diagnosis diagnose(const std::shared_ptr<const SourceText>& source, const SourceText& text,
                   const Stumble& stumble);

}  // namespace nightbus::reader_detail
