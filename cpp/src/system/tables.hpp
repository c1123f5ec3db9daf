#pragma once
/// The pieces of record_types(), one function per family of records.

#include "nightbus/fields.hpp"

namespace nightbus::system_detail {

RecordType site_type();
RecordType rules_type();
RecordType bank_type();
RecordType bus_type();
RecordType run_type();
RecordType load_type();
RecordType fan_type();
RecordType converter_type();
RecordType poe_link_type();
RecordType charger_type();
RecordType array_type();
RecordType compartment_type();
RecordType price_type();
RecordType case_type();

}  // namespace nightbus::system_detail
