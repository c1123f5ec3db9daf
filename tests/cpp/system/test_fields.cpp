#include <doctest/doctest.h>

#include <set>

#include "nightbus/fields.hpp"

using namespace nightbus;

TEST_CASE("every field has help, a unique key and a row below 64") {
  for (const RecordType& type : record_types()) {
    CAPTURE(type.key);
    CHECK(type.fields.size() < 64);
    CHECK_FALSE(type.help.empty());
    std::set<std::string> keys;
    for (const Field& field : type.fields) {
      CAPTURE(field.key);
      CHECK_FALSE(field.help.empty());
      CHECK(keys.insert(field.key).second);
      CHECK(field.get);
      CHECK(field.set);
    }
  }
}

TEST_CASE("set then get gives the value back, for every field of every record") {
  const auto sample = [](const Field& field) -> FieldValue {
    switch (field.kind) {
      case FieldKind::flag:
        return true;
      case FieldKind::count:
        return std::int64_t{3};
      case FieldKind::quantity:
        return 1.5;
      case FieldKind::text:
      case FieldKind::reference:
        return std::string("x");
      case FieldKind::choice:
        return field.choices.back();
      case FieldKind::range:
        return Range{1.0, 2.0};
      case FieldKind::size:
        return ConductorSize{SizeSystem::awg, 12.0};
      case FieldKind::quantities:
        return std::vector<double>{1.0, 2.0};
      case FieldKind::texts:
      case FieldKind::windows:
      case FieldKind::references:
        return std::vector<std::string>{"a", "b"};
      case FieldKind::sizes:
        return std::vector<ConductorSize>{{SizeSystem::metric, 2.5}};
      case FieldKind::efficiency:
        return std::vector<EfficiencyPoint>{{0.5, 0.9}};
    }
    return {};
  };
  System system;
  for (const RecordType& type : record_types()) {
    void* record = type.append(system);
    for (const Field& field : type.fields) {
      CAPTURE(type.key);
      CAPTURE(field.key);
      const FieldValue value = sample(field);
      field.set(record, value);
      CHECK(field.get(record) == value);
    }
  }
}

TEST_CASE("a default counts as assumed until it is given or changed") {
  System system;
  const RecordType& type = record_type("rules");
  const Field& field = *type.find("drop_critical");
  CHECK(is_assumed(type, field, &system.rules));
  system.rules.drop_critical = 0.05;
  CHECK_FALSE(is_assumed(type, field, &system.rules));
  system.rules.drop_critical = 0.03;
  const auto bit = static_cast<std::size_t>(&field - type.fields.data());
  system.rules.written.given |= std::uint64_t{1} << bit;
  CHECK_FALSE(is_assumed(type, field, &system.rules));
}

TEST_CASE("an unknown record kind names its nearest") {
  CHECK_THROWS_AS(record_type("rnu"), LookupError);
}

TEST_CASE("the default cases differ in name") {
  std::set<std::string> names;
  for (const Case& entry : default_cases()) CHECK(names.insert(entry.name).second);
  CHECK(names.size() == 6);
}
