#pragma once
/// Rules beyond single values. Each rule is one function with the same contract: it looks at the
/// whole system, adds one problem for each thing that is wrong, never stops at the first, and says
/// nothing about fields that were lost in reading. "Not given" is an empty text or an empty
/// optional.

#include <string>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/fields.hpp"
#include "nightbus/source.hpp"
#include "nightbus/system.hpp"
#include "reader/damage.hpp"

namespace nightbus::reader_detail {

struct Check {
  const System& system;
  const Catalogue& catalogue;
  const Damage& damage;
  std::vector<Problem>& problems;

  /// Of a field of a record, or of the record when the field has no place.
  static Span place(const Written& record, const std::string& key = {});

  Problem& report(std::string code, std::string what, Span where, std::string expected = {},
                  std::string mend = {}) const;
};

// Values of single fields, for systems built in code as well.
void check_bounds(const Check& check);
void check_schedules(const Check& check);
void check_efficiency_curves(const Check& check);

// Names and what they refer to.
void check_names(const Check& check);
void check_duplicates(const Check& check);
void check_references(const Check& check);
void check_catalogue_references(const Check& check);
void check_conductor_sizes(const Check& check);

// Values that must fit each other.
void check_draws(const Check& check);
void check_lockouts(const Check& check);
void check_bank_levels(const Check& check);
void check_site(const Check& check);
void check_fans(const Check& check);
void check_compartments(const Check& check);
void check_arrays(const Check& check);
void check_chargers(const Check& check);
void check_runs(const Check& check);
void check_objective(const Check& check);
void check_poe(const Check& check);

// What feeds what; only when no name and no end of a run is in doubt.
void check_bank_present(const Check& check);
void check_run_ends(const Check& check);
void check_fed(const Check& check);
void check_dead_ends(const Check& check);
void check_reachable(const Check& check);
void check_converter_sides(const Check& check);

// Which voltages meet; only when what feeds what is sound.
void check_bank_voltage(const Check& check);
void check_joined_voltages(const Check& check);
void check_input_windows(const Check& check);
void check_charger_voltages(const Check& check);
void check_poe_voltages(const Check& check);

/// Runs every rule that the damage leaves a meaning to.
void check_all(const Check& check);

}  // namespace nightbus::reader_detail
