#pragma once
// Readings as sums of network quantities, and how they move with what may differ from the plan.

#include <span>
#include <string>
#include <vector>

#include "nightbus/scenario_measured.hpp"

namespace nightbus::measured_detail {

/// One thing that may differ: theta = 0 is the plan; parameter = planned + theta · unit.
struct Knob {
  SuspectKind kind = SuspectKind::joint;
  std::string subject;
  Parameter parameter;
  double unit = 1.0;
  double low = 0.0;  ///< least theta that makes sense
};

struct Term {
  Quantity quantity;
  double weight = 1.0;
};

class Model {
 public:
  Model(const CompiledSystem& compiled, const CaseInputs& inputs);

  const std::vector<Knob>& knobs() const { return knobs_; }
  const std::vector<Knob>& unknown_sources() const { return sources_; }
  /// The terms whose sum a reading is; empty when there is nothing of that name to be read so.
  std::vector<Term> terms_of(ReadingKind kind, std::string_view at) const;
  /// Everything a meter could be held to.
  std::vector<std::pair<ReadingKind, std::string>> places() const;

  struct Change {
    const Knob* knob;
    double theta;
  };
  struct Answer {
    SolveStatus status = SolveStatus::not_converged;
    std::vector<double> values;
  };
  Answer solve(std::span<const Change> changes, const std::vector<std::vector<Term>>& readings);
  /// Row-major [reading × knob] of d(reading) / d(theta) with the changes made.
  std::vector<double> slopes(std::span<const Change> changes,
                             const std::vector<std::vector<Term>>& readings,
                             std::span<const Knob> knobs);

 private:
  Parameters changed(std::span<const Change> changes) const;

  const CompiledSystem& compiled_;
  Parameters plan_;
  Workspace work_;
  std::vector<Knob> knobs_, sources_;
};

}  // namespace nightbus::measured_detail
