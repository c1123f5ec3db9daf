#pragma once
/// One line of the user's own text with a caret under the place.

#include <string>

#include "nightbus/source.hpp"

namespace nightbus::source_detail {

struct Excerpt {
  std::string line;   ///< tabs expanded, shortened around the place with "…"
  std::string caret;  ///< spaces and carets, as wide as the place is on a terminal
};

/// `width` is the most columns the line may take.
Excerpt excerpt(const Span& span, int width = 88);

}  // namespace nightbus::source_detail
