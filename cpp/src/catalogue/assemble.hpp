#pragma once
/// Puts files together into one catalogue.

#include <memory>
#include <vector>

#include "catalogue/catalogue_data.hpp"

namespace nightbus::catalogue_detail {

/// Builds everything from the files, in their order. Problems are added; with any, the result is
/// not fit for use.
std::shared_ptr<const Catalogue::Data> assemble(std::vector<RawFile> files, Problems& problems);

/// Where the same name or alias stands twice in one kind.
void check_names(const Catalogue::Data& data, Problems& problems);

}  // namespace nightbus::catalogue_detail
