#pragma once
/// Private: what is checked once the cases are solved. A check takes the solved plan and adds one
/// finding for each subject: the case in which it stands worst, failed or passed. It never stops at
/// the first, and a figure that is missing is said, not skipped.

#include <string>
#include <string_view>
#include <vector>

#include "nightbus/scenario.hpp"

namespace nightbus::scenario_detail {

/// What every check may look at.
struct CheckInput {
  const CompiledSystem& compiled;
  const System& system;
  const Catalogue& catalogue;
  const std::vector<Case>& cases;
  const std::vector<CaseResult>& results;  ///< one for each case
  const PlanOptions& options;
};

void check_solution(const CheckInput& in, std::vector<Finding>& findings);
void check_devices(const CheckInput& in, std::vector<Finding>& findings);
void check_converters(const CheckInput& in, std::vector<Finding>& findings);
void check_poe(const CheckInput& in, std::vector<Finding>& findings);
void check_sources(const CheckInput& in, std::vector<Finding>& findings);
void check_arrays(const CheckInput& in, std::vector<Finding>& findings);
void check_wiring(const CheckInput& in, const WiringPlan& wiring, std::vector<Finding>& findings);
void check_heat(const CheckInput& in, const HeatPlan& heat, std::vector<Finding>& findings);
void check_energy(const CheckInput& in, const EnergyPlan& energy, std::vector<Finding>& findings);

/// The worst case of one question about one subject.
class Question {
 public:
  enum class Must { reach, stay_below };
  Question(std::string_view code, std::string_view kind, std::string_view subject, Must must,
           Dimension dimension)
      : code_(code), kind_(kind), subject_(subject), must_(must), dimension_(dimension) {}

  void look(double value, double limit, std::string_view case_name) {
    const double room = must_ == Must::reach ? value - limit : limit - value;
    if (!asked_ || room < room_) {
      asked_ = true;
      room_ = room;
      value_ = value;
      limit_ = limit;
      case_name_ = case_name;
    }
  }
  bool asked() const { return asked_; }
  bool failed() const { return asked_ && room_ < -1e-9; }
  double room() const { return room_; }
  double value() const { return value_; }
  double limit() const { return limit_; }
  const std::string& case_name() const { return case_name_; }

  /// The answer; passed ones keep their figures as evidence.
  Finding answer(const Span& where, std::string rule = {}, std::string detail = {}) const;

 private:
  std::string code_, kind_, subject_;
  Must must_;
  Dimension dimension_;
  bool asked_ = false;
  double room_ = 0.0, value_ = 0.0, limit_ = 0.0;
  std::string case_name_;
};

}  // namespace nightbus::scenario_detail
