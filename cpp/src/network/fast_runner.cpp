// A kernel at work: which numbers went stale, the columns of a batch, the start.
#include <algorithm>
#include <cstring>
#include <functional>
#include <new>

#include "network/equations.hpp"
#include "network/fast.hpp"

namespace nightbus::network_detail {

FastRunner::FastRunner(const FastPath& path, const LaneKernel& kernel)
    : path_(&path), kernel_(&kernel), view_(path.view()) {
  loads_.assign(view_.load_constants.items, view_.load_constants.items + view_.loads.size);
  converters_.assign(view_.converter_constants.items,
                     view_.converter_constants.items + view_.converters.size);
  view_.load_constants = list_of(loads_);
  view_.converter_constants = list_of(converters_);
  allocate();
  const Description& d = path.description();
  of_wire_.assign(d.values.size(), 0);
  for (const Element& element : d.elements) {
    if (element.kind != ElementKind::resistor) continue;
    std::fill_n(of_wire_.begin() + element.parameters, d.block_size(element.kind), std::uint8_t{1});
  }
}

void FastRunner::allocate() {
  const std::size_t doubles = kernel_->memory(view_);
  constexpr std::align_val_t alignment{64};
  memory_.reset(static_cast<double*>(::operator new((doubles + 8) * sizeof(double), alignment)));
  std::fill_n(memory_.get(), doubles, 0.0);
  rows_ = kernel_->row_values(view_, memory_.get());
}

void FastRunner::Free::operator()(double* block) const {
  ::operator delete (block, std::align_val_t{64});
}

void FastRunner::clear_marks() {
  marked_.clear();
  for (auto& list : dirty_) list.clear();
  powers_.clear();
  view_.powers = {};
  view_.dirty_ports = view_.dirty_matrix = view_.dirty_known = false;
}

void FastRunner::mark(std::span<const std::uint32_t> slots) {
  for (const std::uint32_t s : slots)
    for (const Dependent& dependent : path_->dependents(s)) {
      dirty_[static_cast<std::size_t>(dependent.kind)].push_back(dependent.item);
      switch (dependent.kind) {
        case Stale::link:
          view_.dirty_matrix = true;
          break;
        case Stale::source: {
          view_.dirty_ports = true;
          const std::uint32_t block =
              path_->description()
                  .elements[path_->program().sources[dependent.item].element]
                  .parameters;
          if (s != block + slot::emf) view_.dirty_matrix = true;
          break;
        }
        case Stale::load:
          if (path_->program().loads[dependent.item].kind == LoadClass::linear)
            view_.dirty_ports = view_.dirty_matrix = true;
          break;
        case Stale::known:
          view_.dirty_known = true;
          break;
        default:
          break;
      }
    }
  for (auto& list : dirty_) {
    if (std::adjacent_find(list.begin(), list.end(), std::greater_equal<>()) == list.end())
      continue;
    std::sort(list.begin(), list.end());
    list.erase(std::unique(list.begin(), list.end()), list.end());
  }
  const auto at = [&](Stale kind) { return list_of(dirty_[static_cast<std::size_t>(kind)]); };
  view_.dirty_chains = at(Stale::chain);
  view_.dirty_links = at(Stale::link);
  view_.dirty_loads = at(Stale::load);
  view_.dirty_load_chains = at(Stale::load_chain);
  view_.dirty_sources = at(Stale::source);
  view_.dirty_chargers = at(Stale::charger);
  view_.dirty_diodes = at(Stale::diode);
  view_.dirty_conductors = at(Stale::conductor);
  view_.dirty_converters = at(Stale::converter);
}

namespace {
// Calls `differs` with each index at which two lists are not the same. Nearly all are: whole blocks
// are passed over at once.
template <class F>
bool each_difference(std::span<const double> a, std::span<const double> b, F differs) {
  constexpr std::size_t block = 32;
  for (std::size_t first = 0; first < a.size(); first += block) {
    const std::size_t last = std::min(first + block, a.size());
    const auto these = std::as_bytes(a.subspan(first, last - first));
    const auto those = std::as_bytes(b.subspan(first, last - first));
    if (std::memcmp(these.data(), those.data(), these.size()) == 0) continue;
    for (std::size_t s = first; s < last; ++s)
      if (a[s] != b[s] && !differs(static_cast<Index>(s))) return false;
  }
  return true;
}
}  // namespace

bool FastRunner::holds(std::span<const double> values) {
  changed_.clear();
  if (!ready_ || values_.size() != values.size()) {
    for (std::uint32_t s = 0; s < values.size(); ++s)
      if (!path_->holds(s, values[s])) return false;
    return true;
  }
  return each_difference(values_, values, [&](Index s) {
    changed_.push_back(s);
    return path_->holds(s, values[s]);
  });
}

void FastRunner::set_base(std::span<const double> values, std::span<const std::uint8_t> on,
                          bool hold_states) {
  const Description& d = path_->description();
  bool states_changed = !ready_;
  if (on_.size() != d.elements.size()) on_.assign(d.elements.size(), 1);
  if (on.empty()) {
    for (std::uint8_t& state : on_) {
      if (state == 1) continue;
      state = 1;
      states_changed = true;
    }
  } else if (!std::equal(on_.begin(), on_.end(), on.begin(), on.end())) {
    on_.assign(on.begin(), on.end());
    states_changed = true;
  }
  if (states_changed) {
    const Program& p = path_->program();
    for (std::size_t k = 0; k < loads_.size(); ++k) loads_[k].on = on_[p.loads[k].element] != 0;
    for (std::size_t k = 0; k < converters_.size(); ++k)
      converters_[k].on = on_[p.converters[k].element] != 0;
    checks_.clear();
    for (std::uint32_t e = 0; e < d.elements.size(); ++e) {
      const Element& element = d.elements[e];
      if (!element.has_lock_out) continue;
      LockOutCheck check;
      const bool relay = element.kind == ElementKind::resistor;
      check.p = path_->net().row[relay ? d.resistors[element.fixed].sense_p : element.a];
      check.n = path_->net().row[relay ? d.resistors[element.fixed].sense_n : element.b];
      check.on = on_[e] != 0;
      check.threshold = check.on ? element.off_below_v : element.on_above_v;
      checks_.push_back(check);
    }
  }
  view_.lock_outs = hold_states ? List<LockOutCheck>{} : list_of(checks_);
  if (states_changed || values_.size() != values.size()) {
    values_.assign(values.begin(), values.end());
    wires_stale_ = true;
    view_.values = values_.data();
    kernel_->prepare(view_, memory_.get());
    ready_ = true;
    clear_marks();
    mark({});
    return;
  }
  for (const std::uint32_t s : changed_) {
    values_[s] = values[s];
    wires_stale_ = wires_stale_ || of_wire_[s] != 0;
  }
  // The same numbers change from step to step: what hangs on them is known.
  if (changed_ == marked_) return;
  clear_marks();
  mark(changed_);
  take_powers(changed_);
  marked_ = changed_;
}

std::optional<double> FastRunner::wire_loss_w(std::span<const double> node_v) {
  if (wires_stale_) {
    wires_stale_ = wires_warm_ = false;
    wires_.clear();
    const Description& d = path_->description();
    for (const Row2& at : path_->net().resistors) {
      const ConductorNumbers n = conductor_of(d, values_, at.element);
      wires_warm_ = wires_warm_ || n.heating != 0.0;
      const Element& element = d.elements[at.element];
      wires_.push_back({element.a, element.b, 1.0 / n.ambient_ohm});
    }
  }
  if (wires_warm_) return std::nullopt;
  double sum_w = 0.0;
  for (const Wire& wire : wires_) {
    const double v = node_v[wire.a] - node_v[wire.b];
    sum_w += v * v * wire.conductance_s;
  }
  return sum_w;
}

void FastRunner::set_columns(std::span<const std::uint32_t> slots) {
  varied_.clear();
  for (const std::uint32_t s : slots) varied_.push_back({s, nullptr, 0});
  view_.varied = list_of(varied_);
  allocate();
  kernel_->prepare(view_, memory_.get());
  varied_of_slot_.assign(view_.slots, none);
  for (std::uint32_t k = 0; k < varied_.size(); ++k) varied_of_slot_[varied_[k].slot] = k;
  view_.varied_of_slot = varied_of_slot_.data();
  clear_marks();
  mark(slots);
  view_.plain = view_.dirty_chains.size == 0 && view_.dirty_links.size == 0 &&
                view_.dirty_load_chains.size == 0 && !view_.dirty_matrix;
  changed_.assign(slots.begin(), slots.end());
  std::sort(changed_.begin(), changed_.end());
  take_powers(changed_);
}

void FastRunner::set_tables(std::vector<VariedSlot> varied, std::vector<OutputColumn> outputs,
                            bool rows_are_read) {
  varied_ = std::move(varied);
  outputs_ = std::move(outputs);
  view_.varied = list_of(varied_);
  place_outputs(rows_are_read);
}

// Loads of which only the watts changed need no look at their other numbers. `changed` is sorted.
void FastRunner::take_powers(std::span<const std::uint32_t> changed) {
  powers_.clear();
  const auto& chains = dirty_[static_cast<std::size_t>(Stale::load_chain)];
  auto& dirty = dirty_[static_cast<std::size_t>(Stale::load)];
  const Description& d = path_->description();
  auto at = changed.begin();
  std::erase_if(dirty, [&](Index k) {
    const LoadPlan& plan = path_->program().loads[k];
    if (plan.kind != LoadClass::pure && plan.kind != LoadClass::direct) return false;
    const std::uint32_t block = loads_[k].block;
    if (at != changed.begin() && *(at - 1) >= block) at = changed.begin();
    at = std::lower_bound(at, changed.end(), block);
    const std::uint32_t end = block + d.block_size(ElementKind::load);
    for (auto s = at; s != changed.end() && *s < end; ++s)
      if (*s != block + slot::power) return false;
    if (!varied_of_slot_.empty())
      for (std::uint32_t s = block; s < end; ++s)
        if (s != block + slot::power && varied_of_slot_[s] != none) return false;
    if (!chains.empty() && std::binary_search(chains.begin(), chains.end(), k)) return false;
    const double scale =
        loads_[k].on ? values_[block + slot::enabled] * values_[block + slot::scale] : 0.0;
    const std::uint32_t power = block + slot::power;
    powers_.push_back({k, varied_of_slot_.empty() ? none : varied_of_slot_[power], power, scale});
    return true;
  });
  view_.dirty_loads = list_of(dirty);
  view_.powers = list_of(powers_);
}

// A row inside a chain that nobody reads again goes straight to its column; that of a pair goes
// there besides.
void FastRunner::place_outputs(bool rows_are_read) {
  const Program& p = path_->program();
  std::vector<double**> place(p.rows, nullptr);
  straight_.assign(p.chain_rows.size(), nullptr);
  pair_straight_.assign(2 * p.pairs.size(), nullptr);
  if (!rows_are_read)
    for (Index k = 0; k < p.chain_rows.size(); ++k) place[p.chain_rows[k]] = &straight_[k];
  const auto read = [&](Index row) {
    if (row != none) place[row] = nullptr;
  };
  for (const RowCopy& copy : p.copies) read(copy.from);
  for (const LockOutCheck& check : checks_) {
    read(check.p);
    read(check.n);
  }
  for (Index k = 0; k < p.pairs.size(); ++k) {
    place[p.pairs[k].p] = &pair_straight_[2 * k];
    place[p.pairs[k].n] = &pair_straight_[2 * k + 1];
  }
  std::vector<std::uint8_t> wanted(p.rows, 0);
  for (const OutputColumn& out : outputs_) {
    if (out.minus == none && out.stride == 1 && wanted[out.row]++ == 0) continue;
    read(out.row);
    read(out.minus);
  }
  copied_.clear();
  for (const OutputColumn& out : outputs_) {
    if (place[out.row] == nullptr)
      copied_.push_back(out);
    else
      *place[out.row] = out.data;
  }
  view_.outputs = list_of(outputs_);
  view_.copied = list_of(copied_);
  view_.straight = list_of(straight_);
  view_.pair_straight = list_of(pair_straight_);
}

void FastRunner::set_changed(std::span<const std::uint32_t> columns) {
  changed_.clear();
  for (const std::uint32_t k : columns) changed_.push_back(varied_[k].slot);
  std::sort(changed_.begin(), changed_.end());
  clear_marks();
  mark(changed_);
  take_powers(changed_);
}

void FastRunner::set_start(std::span<const double> node_v) {
  view_.keep_start = false;
  if (node_v.empty()) {
    view_.start_x = path_->view().start_x;
    view_.start_leaf = path_->view().start_leaf;
    view_.base_off = path_->view().base_off;
    return;
  }
  path_->start_from(node_v, start_x_, start_leaf_);
  view_.start_x = start_x_.data();
  view_.start_leaf = start_leaf_.data();
  view_.base_off = nullptr;  // the factors belong to another point
}

void FastRunner::run(std::size_t first, std::uint32_t count, GroupResult& result) {
  kernel_->run(view_, memory_.get(), first, count, result);
}

}  // namespace nightbus::network_detail
