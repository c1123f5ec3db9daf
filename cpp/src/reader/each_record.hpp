#pragma once
/// Walks every record of a system through the field table.

#include <string>

#include "nightbus/fields.hpp"
#include "reader/labels.hpp"

namespace nightbus::reader_detail {

/// One record as the rules see it.
struct Seen {
  const RecordType& type;
  std::size_t index;
  const void* record;
  const Written& written;
  std::string label;
};

template <class Visit>
void each_record(const System& system, Visit visit) {
  // The table hands out mutable records because the reader fills them; nothing is changed here.
  auto& open = const_cast<System&>(system);
  for (const auto& type : record_types()) {
    for (std::size_t i = 0; i < type.count(system); ++i) {
      void* record = type.at(open, i);
      visit(Seen{type, i, record, type.written(record), label_of(type, record, i)});
    }
  }
}

}  // namespace nightbus::reader_detail
