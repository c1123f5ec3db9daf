#pragma once
/// Private: the system cut into feeders. Behind a converter a new feeder begins; what it draws from
/// the one before is the converter's input power.

#include <map>
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

/// One tree of runs with its model.
struct Section {
  std::vector<std::size_t> runs;                     ///< [edge]
  std::vector<std::vector<OptionMeaning>> meanings;  ///< [edge][tag]
  FeederModel model;
  std::vector<std::size_t> hopeless;  ///< draws whose limits were left out
  bool whole = true;  ///< false: something was taken from the solved state (several sources, loops)
};

/// What devices ask of a run and size does not change with the plan: looked up once.
class KnownLimits {
 public:
  const std::vector<DeviceRules::Limits>& of(const DeviceRules& devices, const RunContext& context,
                                             std::size_t size, const Conductor& conductor,
                                             double ampacity_a);

 private:
  struct Entry {
    double ampacity_a = -1.0;
    std::vector<DeviceRules::Limits> limits;
  };
  std::map<std::pair<std::size_t, std::size_t>, Entry> entries_;  ///< by run and size
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

/// Sections in the order in which they should be chosen: those behind converters first. Runs that
/// hang on no tree (spare, from chargers) are sections of one edge.
std::vector<Section> make_sections(const SectionAsk& ask);

}  // namespace nightbus::wiring_detail
