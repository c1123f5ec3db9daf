#pragma once
/// Private: the system cut into feeders. What hangs behind a converter is a stage of the feeder
/// that the converter hangs on.

#include <array>
#include <limits>
#include <map>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "wiring/choose.hpp"
#include "wiring/feeder.hpp"

namespace nightbus::wiring_detail {

/// What stands behind FeederOption::tag.
struct OptionMeaning {
  std::size_t size = 0;          ///< in the run's sizes
  std::optional<Device> device;  ///< empty: none
  bool last_resort = false;      ///< nothing passes on this run
};

/// An edge that is no run: the cable of a PoE link, which nobody chooses.
inline constexpr std::size_t no_run = std::numeric_limits<std::size_t>::max();

/// One tree of runs with its model.
struct Section {
  std::vector<std::size_t> runs;                     ///< [edge]; or no_run
  std::vector<std::vector<OptionMeaning>> meanings;  ///< [edge][tag]
  FeederModel model;
  std::vector<std::size_t> hopeless;  ///< draws whose limits were left out
  bool whole = true;  ///< false: something was taken from the solved state (several sources, loops)
};

/// What devices ask of a conductor does not change with the plan, and is the same for all runs that
/// lie alike: looked up once.
class KnownLimits {
 public:
  const std::vector<DeviceRules::Limits>& of(const DeviceRules& devices, const RunContext& context,
                                             const Conductor& conductor, double ampacity_a);

 private:
  /// All that DeviceRules::limits() looks at.
  using Key = std::tuple<const Conductor*, double, double, double, double, double, double, double,
                         std::string, std::array<int, 4>>;
  std::map<Key, std::vector<DeviceRules::Limits>> entries_;
};

struct SectionAsk {
  const Solved& solved;
  const std::vector<RunContext>& contexts;
  const std::vector<std::vector<SizeOption>>& sizes;
  const DeviceRules* devices = nullptr;
  Weights weights;
  double share = 1.0;        ///< on every drop limit
  double tighten = 1.0;      ///< on every drop limit, for what the model cannot see
  bool all_devices = false;  ///< keep devices that another one covers, for the choice among them
  std::vector<std::size_t> only_size = {};  ///< [run]; empty: all sizes
  KnownLimits* known = nullptr;
};

/// Runs that hang on no tree (spare, from chargers) are sections of one edge.
std::vector<Section> make_sections(const SectionAsk& ask);

}  // namespace nightbus::wiring_detail
