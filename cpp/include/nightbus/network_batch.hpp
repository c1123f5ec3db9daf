#pragma once
/// Many scenarios of one circuit: a table of changed parameters in, a block of quantities out.
///
/// Scenarios run in the lanes of the widest vector unit the processor has, and in threads. Row k of
/// the result is bit for bit what solve() returns for the parameters of row k, whatever the thread
/// count, the lane count or the order of the rows. A scenario that fails keeps its own status and
/// touches no other.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>

#include "nightbus/network.hpp"

namespace nightbus {

/// A view of [scenario × column] doubles; strides count doubles and may be anything. Columns that
/// are contiguous over scenarios (scenario_stride 1) are the fastest.
struct TableView {
  const double* data = nullptr;
  std::ptrdiff_t scenario_stride = 1;  ///< in doubles, from one scenario to the next
  std::ptrdiff_t column_stride = 0;    ///< from one parameter to the next
};
struct BlockView {
  double* data = nullptr;
  std::ptrdiff_t scenario_stride = 1;  ///< in doubles, from one scenario to the next
  std::ptrdiff_t column_stride = 0;    ///< from one quantity to the next
};

/// Where the numbers of one call are.
struct BatchTables {
  std::size_t scenarios = 0;
  TableView table{};
  BlockView block{};
  std::span<SolveStatus> status{};        ///< one per scenario; may be empty
  std::span<double> residual_a{};         ///< one per scenario; may be empty
  std::span<std::uint16_t> iterations{};  ///< one per scenario; may be empty
  int threads = 1;                        ///< 0: as many as the machine has
};

struct BatchRequest : BatchTables {
  std::span<const Parameter> parameters{};      ///< columns of `table`
  std::span<const Quantity> quantities{};       ///< columns of `block`
  std::span<const std::uint8_t> previous_on{};  ///< as in SolveOptions, for every scenario
  int lanes = 0;  ///< at most this many; 0: chosen; 1: the scalar path (for comparison)
};

struct BatchReport {
  std::size_t solved = 0;  ///< scenarios
  std::size_t failed = 0;
  std::size_t careful = 0;  ///< scenarios that needed more than the fast path
  int lanes = 1;            ///< used
  int threads = 1;          ///< used
};

/// A batch made ready: its columns looked up and its memory laid out once, for many tables of the
/// same columns. One call at a time; a second one waits.
class Batch {
 public:
  /// Throws std::out_of_range for a parameter or quantity that does not exist,
  /// std::invalid_argument for a previous_on of a wrong length.
  Batch(const Circuit& circuit, std::span<const Parameter> parameters,
        std::span<const Quantity> quantities, std::span<const std::uint8_t> previous_on = {},
        int lanes = 0);
  ~Batch();
  Batch(Batch&&) noexcept;
  Batch& operator=(Batch&&) noexcept;

  /// Quantities of a failed scenario are written as they stand at the last iterate for
  /// no_consistent_state and as 0 otherwise: read `status` first. Throws std::invalid_argument for
  /// spans of a wrong length.
  BatchReport solve(const BatchTables& tables);

  std::size_t parameter_count() const;
  std::size_t quantity_count() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// The same for one table.
BatchReport solve_batch(const Circuit& circuit, const BatchRequest& request);

/// The widest lane count this processor runs: 1, 8 or 16.
int widest_lanes();

}  // namespace nightbus
