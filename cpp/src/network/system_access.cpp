/// What a compiled system lets one look at.

#include <fmt/format.h>

#include "network/system_impl.hpp"

namespace nightbus {

const System& CompiledSystem::system() const {
  return impl_->layout->system;
}
const Catalogue& CompiledSystem::catalogue() const {
  return impl_->layout->catalogue;
}
const Circuit& CompiledSystem::circuit() const {
  return *impl_->circuit;
}
const std::vector<RunChoice>& CompiledSystem::choices() const {
  return impl_->choices;
}
const std::vector<PointNodes>& CompiledSystem::points() const {
  return impl_->layout->points;
}
const std::vector<Domain>& CompiledSystem::domains() const {
  return impl_->layout->domains;
}

std::optional<std::size_t> CompiledSystem::find_point(std::string_view name) const {
  const auto found = impl_->layout->by_name.find(name);
  return found == impl_->layout->by_name.end() ? std::nullopt : std::optional(found->second);
}

const PointNodes& CompiledSystem::point(std::string_view name) const {
  if (const auto found = find_point(name)) {
    return points()[*found];
  }
  std::vector<std::string> names;
  for (const PointNodes& each : points()) {
    names.push_back(each.name);
  }
  const auto near = near_misses(name, names);
  throw LookupError(near.empty() ? fmt::format("there is no point \"{}\"", name)
                                 : fmt::format("there is no point \"{}\"; did you mean \"{}\"?",
                                               name, near.front()));
}

const PointNodes& CompiledSystem::point_of(PointKind kind, std::size_t index) const {
  return points()[impl_->layout->point_of(kind, index)];
}

const std::vector<RunElements>& CompiledSystem::runs() const {
  return impl_->runs;
}
const std::vector<BankElements>& CompiledSystem::banks() const {
  return impl_->banks;
}
const std::vector<ElementId>& CompiledSystem::loads() const {
  return impl_->loads;
}
const std::vector<ElementId>& CompiledSystem::fans() const {
  return impl_->fans;
}
const std::vector<ElementId>& CompiledSystem::converters() const {
  return impl_->converters;
}
const std::vector<PoeElements>& CompiledSystem::poe_links() const {
  return impl_->poe_links;
}
const std::vector<ElementId>& CompiledSystem::chargers() const {
  return impl_->chargers;
}
const std::vector<ElementId>& CompiledSystem::arrays() const {
  return impl_->arrays;
}
const std::vector<ElementId>& CompiledSystem::array_standby() const {
  return impl_->array_standby;
}
const std::vector<Finding>& CompiledSystem::assumptions() const {
  return impl_->assumptions;
}

std::string CompiledSystem::element_name(ElementId element) const {
  return index(element) < impl_->names.size() ? impl_->names[index(element)] : std::string();
}

}  // namespace nightbus
