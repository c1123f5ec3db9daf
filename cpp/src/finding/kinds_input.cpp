#include "finding/kinds.hpp"

namespace nightbus::finding_detail {

namespace {

using enum Severity;

constexpr FindingKind rows[] = {
    {"assumed", notice, "value stated", "Value assumed", "{subject}: {value} was assumed.{detail}",
     "Write the real value into the system file.",
     "The file did not say, so a usual value was taken. It may not be yours."},
    {"assumed-choice", notice, "choice stated", "Choice assumed",
     "{subject}: a choice was not stated; the usual one was taken.{detail}",
     "Write the real one into the system file.",
     "The file did not say, so the usual one was taken. It may not be yours."},
    {"missing-safe", notice, "data stated", "Missing data taken on the safe side",
     "{subject}: not stated, so {value} was used as the safe side.{detail}",
     "Look the figure up and write it into the system file; the plan may get lighter.",
     "Where a figure is missing the plan takes the one that cannot hurt. That costs copper, not "
     "safety."},
    {"missing-unchecked", warning, "data for the check", "Check not possible",
     "{subject} could not be checked.{detail}", "Add what is missing to the system file.",
     "Without it nothing can be said on this point, neither good nor bad."},
    {"table-weak", notice, "source of a table", "Rests on a weakly sourced table",
     "{subject} rests on figures whose source is weak.{detail}",
     "Compare them with the maker's data sheet.",
     "Each table carries where it comes from and how sure that is. This one is a default, not "
     "evidence."},
    {"table-extrapolated", warning, "inside the published table", "Outside the published table",
     "{subject}: {value} lies beyond the table, which ends at {limit}.{detail}",
     "Ask somebody who knows; the nearest safe row was used.",
     "Values are never stretched beyond what was published."},
    {"licensed-check", notice, "check by a licensed person", "To be checked by a licensed person",
     "{subject} must be checked by a licensed person under the local code.{detail}",
     "Show them this plan with its sources.",
     "Published rules were applied as data. That is not an inspection, a permit or an approval."},
    {"uncertain", notice, "certainty of a figure", "Result depends on an uncertain figure",
     "{subject}: within the uncertainty given the result reaches {value}; the limit is "
     "{limit}.{detail}",
     "Measure it, or plan for the bad end.",
     "Inputs carry a spread. At the nominal value the check holds, at the far end it does not."},
    {"measured-differs", warning, "measured against planned", "Measured differs from planned",
     "{subject} measures {value}{case}; the plan says {limit}.{detail}",
     "Look at the joints between here and the last point that agrees.",
     "The difference is larger than the meter's accuracy explains."},
};

}  // namespace

std::span<const FindingKind> input_kinds() {
  return rows;
}

}  // namespace nightbus::finding_detail
