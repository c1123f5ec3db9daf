/// The tree programme once more, for one case, with currents that follow from the partial plan.
/// Tangents at the volts V1 of a good plan bound the current of every draw from below,
///
///   P/V ≥ P/V1 + β (V1 - Vroot + D),   β = P/V1²,   D the loss on its path,
///
/// so summed over the draws behind edge e, with w(e) = Σ β and b(e) = Σ [P/V1 + β (V1 - Vroot) +
/// I + G Vlo]:
///
///   i(e) ≥ b(e) + w(e) (D(e) + x) + J,          J = Σ over edges e' behind e of w(e') spend(e')
///   spend(e) = R(e) i(e)
///
/// D(e) is the least loss up to the end of e and x what edges up to e lose beyond their least. The
/// choices behind e enter through J, which a label carries; those before e through x, which takes
///
///   allow -= x · grow,     grow = Σ R(e') w(e') over the edges from here to the draw that binds.
///
/// A label (value, allow, J, grow) is dropped when another is as cheap, allows as much and takes as
/// little; the other's grow is then eased so that it is no worse for any x that can still come. J
/// is rounded down into bins. Both keep the bound a bound and the fronts short.

#include "wiring/feeder_coupled.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace nightbus::wiring_detail {

namespace {

constexpr std::size_t most_bins = 512;
constexpr std::uint32_t none = 0xffffffffu;

struct Label {
  double value, allow, extra_a, grow_a;  ///< extra_a is J
  std::uint32_t option, end;         ///< part labels: option taken, label at the end of the edge
  std::uint32_t before, child_part;  ///< end labels: the end label before this child, the child's
};

class Coupled {
 public:
  Coupled(const FeederModel& model, const Relaxation& relaxed, const LeastCurrents& least,
          const CoupledAsk& ask)
      : model_(model),
        relaxed_(relaxed),
        ask_(ask),
        which_(*relaxed.case_of(ask.dimension, model.cases)),
        n_(model.edges.size()) {
    weigh(least);
    spend_floor(least);
  }

  CoupledChoice run() {
    CoupledChoice result;
    ends_.resize(n_);
    parts_.resize(n_);
    children_.resize(n_);
    result.least_a.assign(n_, unlimited);
    for (std::size_t e = 0; e < n_; ++e) {
      ends_[e].push_back({0.0, budget(e), 0.0, 0.0, none, none, none, none});
    }
    for (std::size_t e = n_; e-- > 0;) {
      add_options(e, result.least_a[e]);
      result.labels += parts_[e].size();
      if (result.labels > ask_.most_labels) {
        result.gave_up = true;
        return result;
      }
      if (parts_[e].empty()) return result;
      if (const int parent = model_.edges[e].parent; parent >= 0) {
        if (!add_child(static_cast<std::size_t>(parent), e)) {
          result.gave_up = true;
          return result;
        }
      }
    }
    read_back(result);
    return result;
  }

 private:
  double budget(std::size_t e) const {
    return relaxed_.table.budget[e * relaxed_.table.dims + ask_.dimension];
  }
  double own(std::size_t e, std::size_t k) const {
    return relaxed_.table.own[(relaxed_.table.first[e] + k) * relaxed_.table.dims + ask_.dimension];
  }

  void weigh(const LeastCurrents& least) {
    weight_.assign(n_, 0.0);
    base_a_.assign(n_, 0.0);
    const std::size_t m = model_.draws.size();
    for (std::size_t k = 0; k < m; ++k) {
      const FeederDraw& draw = model_.draws[k];
      if (draw.edge < 0) continue;
      const auto e = static_cast<std::size_t>(draw.edge);
      const double at_v = ask_.tangent_v[k];
      const double power_w = least.draw_w[which_ * m + k];
      const double beta = power_w / (at_v * at_v);
      const double high_v = least.draw_v[which_ * m + k];
      const double root_v = least.root_v[which_ * source_count(model_) + source_of(draw.stage)];
      weight_[e] += beta;
      // All but the constant-power part stays at its least.
      const double other_a = least.draw_a[which_ * m + k] - power_w / high_v;
      base_a_[e] += power_w / at_v + beta * (at_v - root_v) + other_a;
    }
    for (std::size_t e = n_; e-- > 0;) {
      if (const int parent = model_.edges[e].parent; parent >= 0) {
        weight_[static_cast<std::size_t>(parent)] += weight_[e];
        base_a_[static_cast<std::size_t>(parent)] += base_a_[e];
      }
    }
  }

  /// Losses of the options at the least current, and sums of the least along the path.
  void spend_floor(const LeastCurrents& least) {
    least_a_.resize(n_);
    to_end_v_.resize(n_);
    above_v_.assign(n_, 0.0);
    beyond_v_.assign(n_, 0.0);
    raw_v_.resize(n_);
    least_raw_v_.resize(n_);
    std::vector<double> most_more(n_);
    for (std::size_t e = 0; e < n_; ++e) {
      const FeederEdge& edge = model_.edges[e];
      const double current_a = least.edge_a[which_ * n_ + e];
      least_a_[e] = current_a;
      for (const std::uint32_t k : relaxed_.kept[e]) {
        const FeederOption& option = edge.options[k];
        raw_v_[e].push_back(
            pole_drop_v(option.out, current_a, edge.ambient_c[which_], model_.alpha_per_k) +
            pole_drop_v(option.back, current_a, edge.ambient_c[which_], model_.alpha_per_k));
      }
      const auto [low, high] = std::minmax_element(raw_v_[e].begin(), raw_v_[e].end());
      least_raw_v_[e] = *low;
      most_more[e] = *high - *low;
      to_end_v_[e] = at_end(to_end_v_, edge.parent) + *low;
      if (edge.parent >= 0) {
        const auto p = static_cast<std::size_t>(edge.parent);
        above_v_[e] = above_v_[p] + least_raw_v_[p];
        beyond_v_[e] = beyond_v_[p] + most_more[p];
      }
    }
  }

  bool useful(std::size_t e, double value, double allow) const {
    return allow >= above_v_[e] - 1e-12 && value + ask_.outside[e] < ask_.cut_off;
  }

  void add_options(std::size_t e, double& least_a) {
    raw_.clear();
    const std::vector<Label>& end = ends_[e];
    for (std::size_t k = 0; k < relaxed_.kept[e].size(); ++k) {
      const double value = model_.edges[e].options[relaxed_.kept[e][k]].value;
      const double more_v = raw_v_[e][k] - least_raw_v_[e];
      const double known_a = base_a_[e] + weight_[e] * (to_end_v_[e] + more_v);
      const double ohm = least_a_[e] > 0.0 ? raw_v_[e][k] / least_a_[e] : 0.0;
      for (std::size_t at = 0; at < end.size(); ++at) {
        // Loss grows at least in proportion to the current.
        const double current_a = known_a + end[at].extra_a;
        const double spent = ohm * current_a;
        const double allow = std::min(end[at].allow - end[at].grow_a * more_v, own(e, k)) - spent;
        const double total = end[at].value + value;
        if (!useful(e, total, allow)) continue;
        least_a = std::min(least_a, current_a);
        raw_.push_back({total, allow, end[at].extra_a + weight_[e] * spent,
                        end[at].grow_a + ohm * weight_[e], static_cast<std::uint32_t>(k),
                        static_cast<std::uint32_t>(at), none, none});
      }
    }
    keep_best(parts_[e], beyond_v_[e]);
  }

  bool add_child(std::size_t e, std::size_t child) {
    constexpr std::size_t most_pairs = 200'000;
    const std::vector<Label>& part = parts_[child];
    // Labels of ends are chained, so those before this child have to stay where they are.
    std::vector<Label>& end = ends_[e];
    if (end.size() * part.size() > most_pairs) return false;
    raw_.clear();
    for (std::size_t i = 0; i < end.size(); ++i) {
      for (std::size_t j = 0; j < part.size(); ++j) {
        const double value = end[i].value + part[j].value;
        if (value + ask_.outside[e] >= ask_.cut_off) continue;
        const Label& binds = end[i].allow <= part[j].allow ? end[i] : part[j];
        raw_.push_back({value, binds.allow, end[i].extra_a + part[j].extra_a, binds.grow_a, none,
                        none, static_cast<std::uint32_t>(i), static_cast<std::uint32_t>(j)});
      }
    }
    std::vector<Label> now;
    keep_best(now, beyond_v_[e] + *std::max_element(raw_v_[e].begin(), raw_v_[e].end()) -
                       least_raw_v_[e]);
    children_[e].push_back({child, std::move(end)});
    end = std::move(now);
    return true;
  }

  /// By value; a label stays when no cheaper one allows as much and takes as little. `more_v` is
  /// the largest extra loss that edges nearer the root can still bring.
  void keep_best(std::vector<Label>& best, double more_v) {
    best.clear();
    if (raw_.empty()) return;
    double low_a = unlimited, high_a = -unlimited;
    for (const Label& label : raw_) {
      low_a = std::min(low_a, label.extra_a);
      high_a = std::max(high_a, label.extra_a);
    }
    const double width_a = std::max((high_a - low_a) / static_cast<double>(ask_.bins), 1e-15);
    std::sort(raw_.begin(), raw_.end(), [](const Label& a, const Label& b) {
      return a.value != b.value ? a.value < b.value : a.allow > b.allow;
    });
    std::array<double, most_bins> allows;  // best allowance among those that take no more
    std::array<std::uint32_t, most_bins> holder;
    const std::size_t bins = ask_.bins;
    allows.fill(-unlimited);
    holder.fill(none);
    for (Label label : raw_) {
      const auto bin =
          std::min(bins - 1, static_cast<std::size_t>((label.extra_a - low_a) / width_a));
      if (allows[bin] >= label.allow) {
        Label& better = best[holder[bin]];
        if (better.grow_a > label.grow_a && more_v > 0.0) {
          better.grow_a =
              std::min(better.grow_a, label.grow_a + (better.allow - label.allow) / more_v);
        }
        continue;
      }
      for (std::size_t b = bin; b < bins && allows[b] < label.allow; ++b) {
        allows[b] = label.allow;
        holder[b] = static_cast<std::uint32_t>(best.size());
      }
      label.extra_a = low_a + width_a * static_cast<double>(bin);
      best.push_back(label);
    }
  }

  /// Roots are independent: each takes its cheapest label that fits.
  void read_back(CoupledChoice& result) const {
    result.of_kept.assign(n_, 0);
    result.value = 0.0;
    std::vector<std::uint32_t> chosen(n_, none);
    for (std::size_t e = 0; e < n_; ++e) {
      if (model_.edges[e].parent < 0) {
        for (std::size_t at = 0; at < parts_[e].size() && chosen[e] == none; ++at) {
          if (parts_[e][at].allow >= -1e-12) chosen[e] = static_cast<std::uint32_t>(at);
        }
        if (chosen[e] == none) return;
        result.value += parts_[e][chosen[e]].value;
      }
      const Label& label = parts_[e][chosen[e]];
      result.of_kept[e] = label.option;
      // The chain of end labels, last child first.
      std::uint32_t at = label.end;
      const std::vector<Label>* labels = &ends_[e];
      for (std::size_t c = children_[e].size(); c-- > 0;) {
        const Label& end = (*labels)[at];
        chosen[children_[e][c].child] = end.child_part;
        at = end.before;
        labels = &children_[e][c].before;
      }
    }
    result.feasible = result.value < ask_.cut_off;
  }

  struct Joined {
    std::size_t child;
    std::vector<Label> before;  ///< end labels before the child was added
  };
  const FeederModel& model_;
  const Relaxation& relaxed_;
  const CoupledAsk& ask_;
  const std::size_t which_;
  const std::size_t n_;
  std::vector<double> weight_, base_a_, least_a_, to_end_v_, above_v_, beyond_v_, least_raw_v_;
  std::vector<std::vector<double>> raw_v_;
  std::vector<std::vector<Label>> ends_, parts_;
  std::vector<std::vector<Joined>> children_;
  std::vector<Label> raw_;
};

}  // namespace

CoupledChoice choose_coupled(const FeederModel& model, const Relaxation& relaxed,
                             const LeastCurrents& least, const CoupledAsk& ask) {
  // Coarse first: fine bins pay when few labels are left.
  constexpr std::size_t few_labels = 1500;
  CoupledAsk coarse = ask;
  coarse.bins = 48;
  CoupledChoice choice = Coupled(model, relaxed, least, coarse).run();
  if (choice.gave_up || !choice.feasible || choice.labels > few_labels) return choice;
  coarse.bins = most_bins;
  CoupledChoice fine = Coupled(model, relaxed, least, coarse).run();
  fine.labels += choice.labels;
  return fine.gave_up ? choice : fine;
}

}  // namespace nightbus::wiring_detail
