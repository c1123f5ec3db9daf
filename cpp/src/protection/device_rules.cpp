/// The device rules that protection hands to the choice: all ratings of all forms allowed, judged
/// on one conductor, best first. Best is: no advice unmet, then the smallest rating, then the
/// smallest form that is made in it.

#include <algorithm>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "protection/device_judge.hpp"

namespace nightbus {

namespace {

using protection_detail::conductor_facts;
using protection_detail::ConductorFacts;
using protection_detail::Judge;

class CatalogueDevices final : public DeviceRules {
 public:
  CatalogueDevices(const System& system, const Catalogue& catalogue,
                   const ProtectionOptions& options)
      : catalogue_(catalogue), options_(options) {
    for (const OvercurrentForm& form : catalogue.overcurrent_forms()) {
      const auto& allowed = system.rules.fuse_forms;
      const bool named = std::any_of(allowed.begin(), allowed.end(), [&](const auto& name) {
        return catalogue.overcurrent_form(name).name == form.name;
      });
      if (allowed.empty() || named) forms_.push_back(&form);
    }
    // Small forms first: a blade is taken before a bolted block of the same rating, and a part for
    // a higher voltage only where it is needed.
    std::stable_sort(forms_.begin(), forms_.end(),
                     [](const auto* a, const auto* b) { return form_key(*a) < form_key(*b); });
  }

  Options options(const RunContext& context, const Conductor& conductor,
                  double ampacity_a) const override {
    Options result;
    if (!context.needs_device && !context.run->fuse_a) {
      result.none_needed = true;
      return result;
    }
    const ConductorFacts facts = conductor_facts(context, conductor, ampacity_a, false);
    std::vector<std::pair<int, Device>> ranked;
    each_device(context, [&](const OvercurrentForm& form, double rating_a) {
      if (rating_a < context.design_a || rating_a > 2.0 * ampacity_a) return;
      Device device = make_device(context, form, rating_a);
      Judge judge(facts, options_, nullptr);
      if (judge.device(form, device)) ranked.emplace_back(judge.warned(), std::move(device));
    });
    std::stable_sort(ranked.begin(), ranked.end(), [](const auto& a, const auto& b) {
      if (a.first != b.first) return a.first < b.first;
      return a.second.rating_a < b.second.rating_a;
    });
    for (auto& [warned, device] : ranked) result.fitting.push_back(std::move(device));
    return result;
  }

  std::vector<Limits> limits(const RunContext& context, const Conductor& conductor,
                             double ampacity_a) const override {
    const ConductorFacts facts = conductor_facts(context, conductor, ampacity_a, false);
    std::vector<Limits> all;
    each_device(context, [&](const OvercurrentForm& form, double rating_a) {
      if (rating_a > 2.0 * ampacity_a) return;  // above every ceiling there is
      const Device device = make_device(context, form, rating_a);
      for (Limits& limits : Judge(facts, options_, nullptr).limits(form, device)) {
        all.push_back(std::move(limits));
      }
    });
    return all;
  }

  bool passes(const RunContext& context, const Conductor& conductor, double ampacity_a,
              const Device& device) const override {
    const ConductorFacts facts = conductor_facts(context, conductor, ampacity_a, false);
    Judge judge(facts, options_, nullptr);
    return judge.device(catalogue_.overcurrent_form(device.form), device) &&
           judge.surroundings(&device);
  }

  void explain(const RunContext& context, const Conductor& conductor, double ampacity_a,
               const Device* device, std::vector<Verdict>& verdicts) const override {
    const ConductorFacts facts = conductor_facts(context, conductor, ampacity_a, true);
    Judge judge(facts, options_, &verdicts);
    if (device) judge.device(catalogue_.overcurrent_form(device->form), *device);
    judge.surroundings(device);
  }

  std::optional<Device> nearest(const RunContext& context, const Conductor& conductor,
                                double ampacity_a) const override {
    const ConductorFacts facts = conductor_facts(context, conductor, ampacity_a, false);
    std::optional<Device> best;
    int furthest = -1;
    each_device(context, [&](const OvercurrentForm& form, double rating_a) {
      Device device = make_device(context, form, rating_a);
      Judge judge(facts, options_, nullptr);
      judge.device(form, device);
      if (judge.passed() > furthest) {
        furthest = judge.passed();
        best = std::move(device);
      }
    });
    return best;
  }

  bool selective(const Device& upstream, const Device& downstream, double fault_a) const override {
    return nightbus::selective(catalogue_.overcurrent_form(upstream.form), upstream.rating_a,
                               catalogue_.overcurrent_form(downstream.form), downstream.rating_a,
                               fault_a) != Selective::no;
  }

 private:
  static std::pair<double, double> form_key(const OvercurrentForm& form) {
    const double largest = form.ratings_a.empty() ? 0.0 : form.ratings_a.back();
    const double voltage = form.interrupts.empty() ? 0.0 : form.interrupts.back().voltage_v;
    return {largest, voltage};
  }

  Device make_device(const RunContext& context, const OvercurrentForm& form,
                     double rating_a) const {
    Device device;
    device.form = form.name;
    device.kind = form.kind;
    device.rating_a = rating_a;
    device.resistance_ohm = device_resistance_ohm(catalogue_, form.name, rating_a);
    device.given = context.run->fuse_a.has_value() && !context.run->fuse_form.empty();
    return device;
  }

  /// Every rating that the run may have; what the file fixes stays fixed, made or not.
  template <class Visit>
  void each_device(const RunContext& context, Visit visit) const {
    const auto ratings = [&](const OvercurrentForm& form) {
      if (context.run->fuse_a) {
        visit(form, *context.run->fuse_a);
        return;
      }
      for (double rating_a : form.ratings_a) visit(form, rating_a);
    };
    if (!context.run->fuse_form.empty()) {
      ratings(catalogue_.overcurrent_form(context.run->fuse_form));
      return;
    }
    for (const OvercurrentForm* form : forms_) {
      const auto& made = form->ratings_a;
      if (context.run->fuse_a &&
          std::find(made.begin(), made.end(), *context.run->fuse_a) == made.end()) {
        continue;
      }
      ratings(*form);
    }
  }

  const Catalogue& catalogue_;
  ProtectionOptions options_;
  std::vector<const OvercurrentForm*> forms_;
};

}  // namespace

std::unique_ptr<DeviceRules> device_rules(const System& system, const Catalogue& catalogue,
                                          const ProtectionOptions& options) {
  return std::make_unique<CatalogueDevices>(system, catalogue, options);
}

}  // namespace nightbus
