#pragma once
/// A document -> a System, with what was lost on the way.

#include <vector>

#include "nightbus/source_toml.hpp"
#include "nightbus/system.hpp"
#include "reader/damage.hpp"

namespace nightbus::reader_detail {

/// Fills `system`, which must be fresh and stay where it is while `damage` is used.
void build_system(const toml::Document& document, System& system, Damage& damage,
                  std::vector<Problem>& problems);

}  // namespace nightbus::reader_detail
