// Rivals part best where |h_1 − h_2| / sigma of an ordinary meter is largest.

#include "scenario/measured_next.hpp"

#include <algorithm>
#include <cmath>

namespace nightbus {

double NextReading::parting() const {
  return std::abs(first - second) / sigma;
}

namespace measured_detail {

namespace {

std::vector<double> foretold(Model& model, const Explanation& explanation,
                             const std::vector<std::vector<Term>>& terms) {
  std::vector<Model::Change> changes;
  for (const Suspect& suspect : explanation.suspects) {
    for (const Knob& knob : model.knobs()) {
      if (knob.kind == suspect.kind && knob.subject == suspect.subject) {
        changes.push_back({&knob, suspect.estimate});
      }
    }
  }
  return model.solve(changes, terms).values;
}

}  // namespace

// The place where the best explanation and its nearest rival elsewhere part most.
std::optional<NextReading> next_reading(Model& model, const Measured& measured,
                                        const MeasuredOptions& options) {
  const std::vector<Explanation>& all = measured.explanations;
  const auto same_place = [&](const Explanation& other) {
    return std::equal(other.suspects.begin(), other.suspects.end(), all.front().suspects.begin(),
                      all.front().suspects.end(),
                      [](const Suspect& a, const Suspect& b) { return a.subject == b.subject; });
  };
  const auto alike = all.begin() + static_cast<std::ptrdiff_t>(measured.alike);
  const auto rival = std::find_if_not(all.begin(), alike, same_place);
  if (rival == alike) {
    return std::nullopt;
  }
  const auto places = model.places();
  std::vector<std::vector<Term>> terms;
  for (const auto& [kind, name] : places) {
    terms.push_back(model.terms_of(kind, name));
  }
  const std::vector<double> first = foretold(model, all.front(), terms);
  const std::vector<double> second = foretold(model, *rival, terms);
  std::optional<NextReading> best;
  for (std::size_t k = 0; k < std::min(first.size(), second.size()); ++k) {
    // Last places of an ordinary meter: 10 mV on a bank's volts, 0.1 mV on a drop, 10 mA.
    const double step = places[k].first == ReadingKind::drop ? 1e-4 : 1e-2;
    const NextReading here{places[k].first, places[k].second, first[k], second[k],
                           meter_sigma(first[k], options.meter_ratio, options.meter_digits, step)};
    if (!best || here.parting() > best->parting()) {
      best = here;
    }
  }
  return best && best->parting() > 1.0 ? best : std::nullopt;
}

}  // namespace measured_detail

}  // namespace nightbus
