#pragma once
/// Which fields of which records could not be read, so that no rule complains about the default
/// that stands there instead.

#include <map>
#include <set>
#include <string>

#include "nightbus/system.hpp"

namespace nightbus::reader_detail {

class Damage {
 public:
  void add(const Written& record, const std::string& key) { fields_[&record].insert(key); }
  bool any(const Written& record) const { return fields_.count(&record) != 0; }
  bool has(const Written& record, const std::string& key) const {
    const auto found = fields_.find(&record);
    return found != fields_.end() && found->second.count(key) != 0;
  }

  bool names = false;      ///< a name was lost, so that references to it cannot be judged
  bool structure = false;  ///< a name or an end of a run was lost: what feeds what is not known
  bool voltages = false;   ///< the voltage of a source was lost

 private:
  std::map<const Written*, std::set<std::string>> fields_;
};

}  // namespace nightbus::reader_detail
