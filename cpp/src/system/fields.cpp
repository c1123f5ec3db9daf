#include "nightbus/fields.hpp"

#include "system/tables.hpp"

namespace nightbus {

namespace detail = system_detail;

const std::vector<RecordType>& record_types() {
  static const std::vector<RecordType> types{
      detail::site_type(),      detail::rules_type(),    detail::bank_type(),
      detail::bus_type(),       detail::load_type(),     detail::fan_type(),
      detail::converter_type(), detail::poe_link_type(), detail::charger_type(),
      detail::array_type(),     detail::run_type(),      detail::compartment_type(),
      detail::price_type(),     detail::case_type()};
  return types;
}

const RecordType& record_type(std::string_view key) {
  std::vector<std::string> keys;
  for (const RecordType& type : record_types()) {
    if (type.key == key) return type;
    keys.push_back(type.key);
  }
  std::string message = "there is no kind of record called \"" + std::string(key) + "\"";
  const auto near = near_misses(key, keys);
  if (!near.empty()) message += "; did you mean \"" + near.front() + "\"?";
  throw LookupError(message);
}

const Field* RecordType::find(std::string_view field_key) const {
  for (const Field& field : fields) {
    if (field.key == field_key) return &field;
  }
  return nullptr;
}

bool is_assumed(const RecordType& type, const Field& field, const void* record) {
  const auto row = static_cast<std::size_t>(&field - type.fields.data());
  // written() takes a mutable record because records are edited through it; here it only reads.
  const Written& written = type.written(const_cast<void*>(record));
  const bool given = row < 64 && ((written.given >> row) & 1U) != 0U;
  return !given && field.get(record) == type.default_of(field);
}

}  // namespace nightbus
