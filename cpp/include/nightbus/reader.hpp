#pragma once
/// From a system file to a System and back, and what editors and the manual need to know about it.
///
///   System system = read_system_file("hut.toml");     // or InputError with every problem
///   system.loads[0].typical_w = 12.0;
///   write_system_file(system, "hut.toml");            // reads back to an equal system
///
/// Everything here is driven by the one field table of fields.hpp.

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/catalogue.hpp"
#include "nightbus/source.hpp"
#include "nightbus/system.hpp"

namespace nightbus {

// ---- Reading ------------------------------------------------------------------------------------

/// What could be made of a text. `system` is complete only when there are no problems.
struct Examined {
  System system;                  ///< as far as it could be read
  std::vector<Problem> problems;  ///< in the order of the file
};

/// Reads as far as it goes and never throws on its input: bad lines and values are reported and
/// left out, everything else is read and checked. `name` stands in messages.
Examined examine_system(std::string text, std::string name,
                        const Catalogue& catalogue = Catalogue::builtin());

/// The system, or InputError with all problems of the text in one pass.
System read_system(std::string text, std::string name,
                   const Catalogue& catalogue = Catalogue::builtin());

/// The same for a file; Error when it cannot be opened.
System read_system_file(const std::filesystem::path& path,
                        const Catalogue& catalogue = Catalogue::builtin());

// ---- Checking -----------------------------------------------------------------------------------

/// What is wrong with a system beyond the values of single fields, wherever it was built: names and
/// references, bounds, what feeds what, which voltages meet, what cannot exist. Empty when a plan
/// can be made. Problems of a system built in code have no place.
std::vector<Problem> check_system(const System& system,
                                  const Catalogue& catalogue = Catalogue::builtin());

// ---- Writing ------------------------------------------------------------------------------------

/// TOML that reads back to an equal system: what was given or is not the default, in the order of
/// the field table, with units. A run that feeds one record only is written there, as `feed = {…}`.
/// Throws Error when a text in the system is not UTF-8.
std::string write_system(const System& system);

/// Writes beside the file first and then renames, so that nothing half-written is left.
void write_system_file(const System& system, const std::filesystem::path& path);

// ---- The field table for others
// -------------------------------------------------------------------

/// JSON Schema (draft 2020-12) of a system file, for editors.
std::string json_schema();

/// The field reference: one table for each kind of record, in Markdown.
std::string field_reference_markdown();

}  // namespace nightbus
