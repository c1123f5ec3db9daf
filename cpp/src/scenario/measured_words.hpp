#pragma once
// Sentences and findings of an answer.

#include <string>
#include <vector>

#include "nightbus/scenario_measured.hpp"

namespace nightbus::measured_detail {

void put_into_words(Measured& measured, const std::vector<Reading>& readings,
                    const std::string& case_name);

}  // namespace nightbus::measured_detail
