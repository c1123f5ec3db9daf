#include "nightbus/system.hpp"

namespace nightbus {

std::string_view point_kind_name(PointKind kind) {
  switch (kind) {
    case PointKind::bank:
      return "bank";
    case PointKind::bus:
      return "bus";
    case PointKind::load:
      return "load";
    case PointKind::fan:
      return "fan";
    case PointKind::converter:
      return "converter";
    case PointKind::poe_link:
      return "PoE link";
    case PointKind::charger:
      return "charger";
    case PointKind::array:
      return "array";
  }
  return "";
}

}  // namespace nightbus
