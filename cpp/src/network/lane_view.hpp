#pragma once
// What the lane kernel sees: plain pointers only. Its code is built once for each kind of vector
// unit and must not instantiate anything the rest of the library could pick up by accident.

#include <cstdint>
#include <span>

#include "network/program.hpp"

namespace nightbus::network_detail {

template <class T>
struct List {
  const T* items = nullptr;
  Index size = 0;
  __attribute__((always_inline)) const T& operator[](Index k) const { return items[k]; }
};
template <class T>
List<T> list_of(const std::vector<T>& v) {
  return {v.data(), static_cast<Index>(v.size())};
}

// Numbers of elements that do not vary, laid out as the programme's own lists are.
struct ConverterConstants {
  int kind = 0;  // ConverterTopology
  double loss_fraction = 0.0, loss_per_watt = 0.0, drop_out = 0.0, minimum_input = 0.0;
  double input_current_limit = 0.0, off_conductance = 0.0;
  std::uint32_t block = 0;
  bool on = true;
};
struct BranchConstants {
  std::uint32_t block = 0;
  double forward = 0.0, leakage = 0.0;                     // diode
  double alpha = 0.0, reference_c = 0.0, heating_k = 0.0;  // conductor
};
struct LoadConstants {
  std::uint32_t block = 0;
  double off_conductance = 0.0;
  bool on = true;
};
struct LockOutCheck {
  Index p = 0, n = 0;  // rows
  bool on = true;
  double threshold = 0.0;
};

// A parameter that differs between the scenarios of a batch.
struct VariedSlot {
  std::uint32_t slot = 0;
  const double* data = nullptr;
  std::ptrdiff_t stride = 0;  // from scenario to scenario
};
// A load of constant power behind R whose watts are all that varies.
struct VariedPower {
  Index load = 0;
  std::uint32_t varied = 0;  // index into varied or `none`
  std::uint32_t slot = 0;
  double scale = 1.0;
};
struct OutputColumn {
  Index row = 0;
  Index minus = none;  // row to subtract, if any
  double* data = nullptr;
  std::ptrdiff_t stride = 0;
};

struct LeafStart {  // v and q, see lane_kernel.hpp; C where the factors were made
  double v = 0.0, q = 0.0, c = 0.0;
};
struct PortBase {
  double g = 0.0, i = 0.0;
};

struct LaneView {
  Index unknowns = 0, total = 0, off_count = 0, rows = 0, max_degree = 0;
  Index two_terminal_links = 0, pure = 0, mixed = 0, direct = 0;
  List<KnownRow> known;
  List<std::uint32_t> known_slots;
  List<ChainPart> chains;
  List<LinkPlan> links;
  List<SweepLink> sweep_links;
  List<PortPlan> ports;
  List<Index> leak_ports;
  List<LoadPlan> loads;
  List<LoadConstants> load_constants;
  List<SourcePlan> sources;
  List<std::uint32_t> source_blocks;
  List<BranchPlan> chargers, diodes, conductors;
  List<BranchConstants> charger_constants, diode_constants, conductor_constants;
  List<ConverterPlan> converters;
  List<ConverterConstants> converter_constants;
  List<ColumnPlan> columns;
  bool all_still = false;
  List<Index> entry_row, entry_upper, one_way, targets;
  List<RowFromX> from_x;
  List<RowPair> pairs;
  List<RowChain> row_chains;
  List<LeafRows> leaf_rows, linear_rows, source_rows;
  List<Index> chain_rows;
  List<RowCopy> copies;
  const double* inverse_tolerance = nullptr;
  const double* start_x = nullptr;        // by position
  const LeafStart* start_leaf = nullptr;  // pure and mixed loads
  // One step more where rounding makes the tolerance of a balance wide (very stiff networks).
  bool polish = false;
  bool keep_start = false;  // start where the run before ended
  List<LockOutCheck> lock_outs;

  // The operating point the start belongs to: its factors and the numbers it was solved with. Null
  // when the start came from elsewhere.
  const double* base_off = nullptr;
  const double* base_inverse = nullptr;
  const PortBase* base_port = nullptr;
  const double* base_direct_p = nullptr;

  // Scenario numbers.
  std::uint32_t slots = 0;
  const double* values = nullptr;                 // of every slot where it does not vary
  const std::uint32_t* varied_of_slot = nullptr;  // index into varied or `none`
  List<VariedSlot> varied;
  const double* low = nullptr;  // a slot outside [low, high] needs the careful path
  const double* high = nullptr;
  const std::uint8_t* binary = nullptr;  // a slot that may only be 0 or 1

  // What depends on varied slots and is computed again for every group.
  List<Index> dirty_links, dirty_loads, dirty_load_chains, dirty_sources, dirty_chargers,
      dirty_diodes, dirty_conductors, dirty_converters, dirty_chains;
  bool dirty_ports = false, dirty_matrix = false, dirty_known = false;

  // Resistances and shunts are as at prepare(): their numbers are the same in every lane.
  bool plain = false;
  List<VariedPower> powers;  // not among dirty_loads

  List<OutputColumn> outputs;
  List<OutputColumn> copied;  // in a full group: what `straight` leaves
  // By position in chain_rows: where this row goes at once in a full group; null: to memory first.
  List<double*> straight;
  List<double*> pair_straight;  // p and n of each pair, besides memory
};

inline constexpr int fast_limit = 12;  // Newton steps before a scenario goes to the careful path

// One group of scenarios starting at `first`, `count` of them valid. Bit k of the result: scenario
// first + k is solved; its potentials are in the outputs.
struct GroupResult {
  std::uint32_t solved = 0;
  double residual_a[16] = {};
  std::uint16_t iterations[16] = {};
};

// Places for what take_base finds, sized by the caller.
struct BaseNumbers {
  double* off = nullptr;
  double* inverse = nullptr;
  PortBase* port = nullptr;
  double* leaf_c = nullptr;
  double* direct_p = nullptr;
  bool sound = false;
};

// A kernel for one kind of vector unit.
struct LaneKernel {
  int lanes = 1;
  std::size_t (*memory)(const LaneView&) = nullptr;  // doubles; the block must be 64-byte aligned
  void (*prepare)(const LaneView&, double* memory) = nullptr;  // once: everything from `values`
  void (*run)(const LaneView&, double* memory, std::size_t first, std::uint32_t count,
              GroupResult&) = nullptr;
  // After prepare, one lane only: factors and numbers at the start, for the base_ fields above.
  void (*take_base)(const LaneView&, double* memory, BaseNumbers&) = nullptr;
  const double* (*row_values)(const LaneView&, const double* memory) = nullptr;  // [row × lane]
};

const LaneKernel* scalar_kernel();
const LaneKernel* avx2_narrow_kernel();  // these: nullptr when not built for this machine
const LaneKernel* avx2_kernel();
const LaneKernel* avx512_narrow_kernel();
const LaneKernel* avx512_kernel();
// What this processor runs, fewest lanes first.
std::span<const LaneKernel* const> kernels();
// The widest of at most this many lanes; 0: the widest that keeps a group's numbers in the cache.
const LaneKernel& choose_kernel(const LaneView& view, int lanes);

}  // namespace nightbus::network_detail
