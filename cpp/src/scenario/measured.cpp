// What differs from the plan, by weighted least squares on the compiled network.
//
// y readings, h(theta) what the network foretells with theta differing from the plan (theta = 0).
// Before any fault there is ordinary spread: the meter's, S = diag(sigma²), and what nobody knows
// exactly, n = (EMF of each bank, draw of each load, conductor of each run) with variances P. With
// N = dh/dn the readings of a healthy system scatter about h(0) by
//
//   C = S + N P Nᵀ = L Lᵀ,      r = L⁻¹ (y − h(0)),      chi² = rᵀ r  ~  chi²(readings)
//
// The plan stands unless a chi² this large is rarer than the level. Otherwise each single suspect k
// is granted freely, by Gauss-Newton with the adjoint's slope s = L⁻¹ dh/dtheta_k, starting at 0:
//
//   theta := theta + sᵀ r / sᵀ s,      sigma_theta = 1 / sqrt(sᵀ s),      r at the new theta
//
// and ranked by what is left of chi² (the likelihood ratio, since C is the same for all). The
// figure told takes one step more with C at the answer, where ordinary spread weighs more. If none
// passes the test, pairs: the same with a 2 × 2 system; a pair of columns that are parallel has no
// answer of its own and is left out. Explanations within 3.84 of the best (chi²(1) at 5 %) cannot
// be told apart by these readings. A joint adds ohms and cannot take any away.

#include "nightbus/scenario_measured.hpp"

#include <algorithm>
#include <cmath>

#include "scenario/measured_fit.hpp"
#include "scenario/measured_model.hpp"
#include "scenario/measured_next.hpp"
#include "scenario/measured_words.hpp"

namespace nightbus {

using namespace measured_detail;

namespace {

constexpr double within = 3.84;    // chi-square of one degree of freedom at 5 %
constexpr double interval = 1.96;  // standard deviations of a 95 % interval
constexpr int most_steps = 12;
constexpr double settled = 1e-6;       // of a step, in standard deviations
constexpr std::size_t most_pairs = 8;  // fitted on the network itself, by linear promise

std::vector<std::vector<Term>> terms_or_throw(const Model& model,
                                              const std::vector<Reading>& readings) {
  std::vector<std::vector<Term>> all;
  std::vector<Problem> problems;
  std::vector<std::string> names;
  for (const auto& place : model.places()) {
    names.push_back(place.second);
  }
  for (const Reading& reading : readings) {
    all.push_back(model.terms_of(reading.kind, reading.at));
    Problem problem;
    problem.where = reading.where;
    if (all.back().empty()) {
      problem.code = "readings-name";
      problem.what = "nothing called \"" + reading.at + "\" to read " +
                     std::string(reading_kind_name(reading.kind)) + " at";
      problem.expected = reading.kind == ReadingKind::volts  ? "the name of a point"
                         : reading.kind == ReadingKind::drop ? "the name of a run"
                                                             : "a run, load, fan or bank";
      for (const std::string& near : near_misses(reading.at, names, 1)) {
        problem.mend = "did you mean \"" + near + "\"?";
      }
      problems.push_back(std::move(problem));
    } else if (!(reading.sigma > 0.0) || !std::isfinite(reading.value) ||
               !std::isfinite(reading.sigma)) {
      problem.code = "readings-accuracy";
      problem.what = "the reading at \"" + reading.at + "\" has no value or no accuracy";
      problem.expected = "a number, and an accuracy above nothing";
      problems.push_back(std::move(problem));
    }
  }
  if (readings.empty()) {
    Problem problem;
    problem.code = "no-readings";
    problem.what = "there is no reading to compare with the plan";
    problems.push_back(std::move(problem));
  }
  if (!problems.empty()) {
    throw InputError(std::move(problems));
  }
  return all;
}

class Estimation {
 public:
  Estimation(Model& model, const std::vector<Reading>& readings, const MeasuredOptions& options,
             std::vector<std::vector<Term>> terms, const std::vector<double>& planned)
      : model_(model),
        readings_(readings),
        options_(options),
        terms_(std::move(terms)),
        slopes_(model.slopes({}, terms_, model.knobs())),
        whitening_(covariance({}, slopes_), readings.size()),
        residual_(white_residual(planned)) {
    for (std::size_t k = 0; k < model_.knobs().size(); ++k) {
      columns_.push_back(whitening_.white(column(slopes_, k, model_.knobs().size())));
    }
  }

  double chi_square() const { return dot(residual_, residual_); }
  bool sees(std::size_t knob) const { return fit(residual_, {&columns_[knob], 1}).has_value(); }

  std::vector<Explanation> singles() {
    std::vector<Explanation> found;
    for (std::size_t k = 0; k < columns_.size(); ++k) {
      keep(explain({&model_.knobs()[k]}), found);
    }
    order(found);
    return found;
  }

  std::vector<Explanation> pairs() {
    struct Promise {
      double drop;
      std::size_t a, b;
    };
    std::vector<Promise> promises;
    for (std::size_t a = 0; a < columns_.size(); ++a) {
      for (std::size_t b = a + 1; b < columns_.size(); ++b) {
        const std::vector<double> both[2] = {columns_[a], columns_[b]};
        const auto step = fit(residual_, both);
        if (step && step->theta[0] >= model_.knobs()[a].low &&
            step->theta[1] >= model_.knobs()[b].low) {
          promises.push_back({step->drop, a, b});
        }
      }
    }
    std::stable_sort(promises.begin(), promises.end(),
                     [](const Promise& x, const Promise& y) { return x.drop > y.drop; });
    std::vector<Explanation> found;
    for (const Promise& promise : promises) {
      if (found.size() >= most_pairs && promises.front().drop - promise.drop > within) {
        break;
      }
      keep(explain({&model_.knobs()[promise.a], &model_.knobs()[promise.b]}), found);
    }
    order(found);
    return found;
  }

 private:
  static std::vector<double> column(const std::vector<double>& grid, std::size_t k,
                                    std::size_t width) {
    std::vector<double> result;
    for (std::size_t at = k; at < grid.size(); at += width) {
      result.push_back(grid[at]);
    }
    return result;
  }

  std::vector<double> covariance(std::span<const Model::Change> at,
                                 const std::vector<double>& slopes) {
    const std::size_t size = readings_.size();
    std::vector<double> c(size * size, 0.0);
    for (std::size_t k = 0; k < size; ++k) {
      c[k * size + k] = readings_[k].sigma * readings_[k].sigma;
    }
    const auto spread = [&](const std::vector<double>& n, double sigma) {
      for (std::size_t i = 0; i < size; ++i) {
        for (std::size_t j = 0; j < size; ++j) {
          c[i * size + j] += n[i] * n[j] * sigma * sigma;
        }
      }
    };
    const std::vector<Knob>& knobs = model_.knobs();
    for (std::size_t k = 0; k < knobs.size(); ++k) {
      const double sigma = knobs[k].kind == SuspectKind::load  ? options_.load_spread
                           : knobs[k].kind == SuspectKind::run ? options_.run_spread
                                                               : 0.0;
      spread(column(slopes, k, knobs.size()), sigma);
    }
    const std::vector<Knob>& sources = model_.unknown_sources();
    const std::vector<double> grid = model_.slopes(at, terms_, sources);
    for (std::size_t k = 0; k < sources.size(); ++k) {
      spread(column(grid, k, sources.size()), options_.bank_sigma_v);
    }
    return c;
  }

  std::vector<double> white_residual(const std::vector<double>& foretold) const {
    std::vector<double> difference;
    for (std::size_t k = 0; k < readings_.size(); ++k) {
      difference.push_back(readings_[k].value - foretold[k]);
    }
    return whitening_.white(difference);
  }

  // Gauss-Newton with halving while chi-square grows or the network gives way.
  std::optional<Explanation> explain(const std::vector<const Knob*>& granted) {
    std::vector<Model::Change> at;
    std::vector<Knob> knobs;
    for (const Knob* knob : granted) {
      at.push_back({knob, 0.0});
      knobs.push_back(*knob);
    }
    std::vector<double> residual = residual_;
    std::vector<double> values;
    std::optional<Step> step;
    for (int iteration = 0; iteration < most_steps; ++iteration) {
      const std::vector<double> grid = model_.slopes(at, terms_, knobs);
      if (grid.empty()) {
        return std::nullopt;
      }
      std::vector<std::vector<double>> columns;
      for (std::size_t k = 0; k < knobs.size(); ++k) {
        columns.push_back(whitening_.white(column(grid, k, knobs.size())));
      }
      step = fit(residual, columns);
      if (!step) {
        return std::nullopt;
      }
      double share = 1.0;
      bool better = false;
      for (int halving = 0; halving < 20 && !better; ++halving, share *= 0.5) {
        std::vector<Model::Change> tried = at;
        for (std::size_t k = 0; k < tried.size(); ++k) {
          tried[k].theta = std::max(knobs[k].low, tried[k].theta + share * step->theta[k]);
        }
        Model::Answer answer = model_.solve(tried, terms_);
        if (answer.status != SolveStatus::solved) {
          continue;
        }
        const std::vector<double> next = white_residual(answer.values);
        if (dot(next, next) <= dot(residual, residual) + 1e-12) {
          better = true;
          at = tried;
          residual = next;
          values = std::move(answer.values);
        }
      }
      double largest = 0.0;
      for (std::size_t k = 0; k < knobs.size(); ++k) {
        largest = std::max(largest, std::abs(step->theta[k]) / step->sigma[k]);
      }
      if (!better || largest < settled) {
        break;
      }
    }
    if (values.empty()) {
      return std::nullopt;
    }
    // At a large fault the ordinary spread weighs otherwise than in the plan: one more step with
    // the covariance found there gives the estimate and its interval.
    const std::vector<double> there = model_.slopes(at, terms_, model_.knobs());
    if (!there.empty()) {
      const Whitening weighed(covariance(at, there), readings_.size());
      std::vector<std::vector<double>> columns;
      for (const Model::Change& change : at) {
        const auto k = static_cast<std::size_t>(change.knob - model_.knobs().data());
        columns.push_back(weighed.white(column(there, k, model_.knobs().size())));
      }
      std::vector<double> difference;
      for (std::size_t k = 0; k < readings_.size(); ++k) {
        difference.push_back(readings_[k].value - values[k]);
      }
      if (const auto last = fit(weighed.white(difference), columns)) {
        step = last;
        for (std::size_t k = 0; k < at.size(); ++k) {
          at[k].theta += last->theta[k];
        }
      }
    }
    Explanation made;
    made.chi_square = dot(residual, residual);
    made.drop = chi_square() - made.chi_square;
    const std::size_t freedom =
        readings_.size() > at.size() ? readings_.size() - at.size() : std::size_t{0};
    made.probability = chi_square_beyond(made.chi_square, freedom);
    made.predicted = std::move(values);
    for (std::size_t k = 0; k < at.size(); ++k) {
      if (at[k].theta <= knobs[k].low) {
        return std::nullopt;  // at its edge: it is no part of the explanation
      }
      const double reach = interval * step->sigma[k];
      made.suspects.push_back({knobs[k].kind, knobs[k].subject, at[k].theta,
                               std::max(knobs[k].low, at[k].theta - reach), at[k].theta + reach});
    }
    return made;
  }

  static void keep(std::optional<Explanation> made, std::vector<Explanation>& found) {
    if (made) {
      found.push_back(std::move(*made));
    }
  }
  static void order(std::vector<Explanation>& found) {
    std::stable_sort(found.begin(), found.end(), [](const Explanation& a, const Explanation& b) {
      return a.chi_square < b.chi_square;
    });
  }

  Model& model_;
  const std::vector<Reading>& readings_;
  const MeasuredOptions& options_;
  std::vector<std::vector<Term>> terms_;
  std::vector<double> slopes_;
  Whitening whitening_;
  std::vector<double> residual_;
  std::vector<std::vector<double>> columns_;
};

}  // namespace

Measured as_measured(const CompiledSystem& compiled, const CaseInputs& inputs,
                     const std::vector<Reading>& readings, const MeasuredOptions& options) {
  Model model(compiled, inputs);
  std::vector<std::vector<Term>> terms = terms_or_throw(model, readings);
  Measured measured;
  measured.readings = readings.size();
  measured.assumed = options;
  Model::Answer planned = model.solve({}, terms);
  measured.status = planned.status;
  if (planned.status != SolveStatus::solved) {
    put_into_words(measured, readings, inputs.name);
    return measured;
  }
  measured.planned = planned.values;
  Estimation estimation(model, readings, options, std::move(terms), planned.values);
  measured.chi_square = estimation.chi_square();
  measured.probability = chi_square_beyond(measured.chi_square, readings.size());
  measured.healthy = measured.probability >= options.level;
  for (std::size_t k = 0; k < model.knobs().size(); ++k) {
    const std::string& name = model.knobs()[k].subject;
    if (!estimation.sees(k) &&
        std::find(measured.unseen.begin(), measured.unseen.end(), name) == measured.unseen.end()) {
      measured.unseen.push_back(name);
    }
  }
  if (!measured.healthy) {
    measured.explanations = estimation.singles();
    const auto passes = [&] {
      return !measured.explanations.empty() &&
             measured.explanations.front().probability >= options.level;
    };
    if (!passes() && readings.size() > 2) {
      std::vector<Explanation> pairs = estimation.pairs();
      if (!pairs.empty() &&
          (measured.explanations.empty() ||
           pairs.front().chi_square + within < measured.explanations.front().chi_square)) {
        measured.explanations = std::move(pairs);
      }
    }
    measured.explained = passes();
    for (const Explanation& each : measured.explanations) {
      if (each.chi_square <= measured.explanations.front().chi_square + within) {
        ++measured.alike;
      }
    }
    if (!measured.explanations.empty()) {
      measured.next = next_reading(model, measured, options);
    }
  }
  put_into_words(measured, readings, inputs.name);
  return measured;
}

}  // namespace nightbus
