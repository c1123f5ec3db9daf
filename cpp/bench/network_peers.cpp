// The same networks through general-purpose sparse solvers: Newton on the node potentials with
// SuiteSparse KLU (one symbolic analysis, numeric refactoring) or Eigen SparseLU (pattern analysed
// once), each point started from the one before, stopped at a correction below 1e-10 V.
//
//   network_peers export rack80               the network as JSON
//   network_peers klu rack80 1440 [file]      processor seconds for the points; potentials as
//                                             doubles into file
//   the same with eigen, nightbus-single (potentials) or nightbus-read (every element besides)
#include <Eigen/SparseLU>
#include <cstdio>
#include <ctime>
#include <string>

#include "workload.hpp"
#ifdef NIGHTBUS_HAS_KLU
#include <klu.h>
#endif

namespace {

// Processor time of this thread: other work on the machine does not count.
double thread_seconds() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;

void print_json(const bench::Network& net) {
  std::printf("{\"nodes\": %zu, \"source\": [%zu, %zu, %.17g, %.17g], \"grounds\": [", net.nodes,
              net.source_p, net.source_n, net.emf_v, net.source_ohm);
  const char* comma = "";
  for (const std::size_t g : net.grounds) {
    std::printf("%s%zu", comma, g);
    comma = ", ";
  }
  std::printf("], \"resistors\": [");
  comma = "";
  for (const bench::Resistor& r : net.resistors) {
    std::printf("%s[%zu, %zu, %.17g]", comma, r.a, r.b, r.ohm);
    comma = ", ";
  }
  std::printf("], \"loads\": [");
  comma = "";
  for (const bench::Load& l : net.loads) {
    std::printf("%s[%zu, %zu, %.17g, %.17g, %.17g, %.17g]", comma, l.a, l.b, l.power_w, l.current_a,
                l.conductance_s, l.minimum_v);
    comma = ", ";
  }
  std::printf("], \"converters\": [");
  comma = "";
  for (const bench::Converter& c : net.converters) {
    std::printf("%s[%zu, %zu, %zu, %zu, %.17g, %.17g, %.17g, %.17g]", comma, c.a, c.b, c.s, c.t,
                c.set_point_v, c.resistance_ohm, c.standby_w, c.loss_fraction);
    comma = ", ";
  }
  std::printf("]}\n");
}

// Residual and Jacobian values into a matrix of fixed pattern, through a map made once.
class Nodal {
 public:
  explicit Nodal(const bench::Network& net) : net_(net), row_(net.nodes, -1) {
    std::vector<bool> grounded(net.nodes, false);
    for (const std::size_t g : net.grounds) grounded[g] = true;
    for (std::size_t n = 0; n < net.nodes; ++n)
      if (!grounded[n]) row_[n] = count_++;
    std::vector<Eigen::Triplet<double>> entries;
    const auto pair = [&](std::size_t a, std::size_t b) {
      if (row_[a] >= 0 && row_[b] >= 0) entries.emplace_back(row_[a], row_[b], 0.0);
    };
    const auto stamp = [&](std::size_t a, std::size_t b) {
      pair(a, a);
      pair(a, b);
      pair(b, a);
      pair(b, b);
    };
    stamp(net.source_p, net.source_n);
    for (const auto& r : net.resistors) stamp(r.a, r.b);
    for (const auto& l : net.loads) stamp(l.a, l.b);
    for (const auto& c : net.converters) {
      stamp(c.a, c.b);
      stamp(c.s, c.t);
      for (const std::size_t in : {c.a, c.b})
        for (const std::size_t out : {c.s, c.t}) pair(in, out);
    }
    jacobian.resize(count_, count_);
    jacobian.setFromTriplets(entries.begin(), entries.end());
    jacobian.makeCompressed();
    f.resize(count_);
    const auto places = [&](std::size_t a, std::size_t b) {
      for (const auto& [i, j] :
           {std::pair(a, a), std::pair(a, b), std::pair(b, a), std::pair(b, b)})
        places_.push_back(place(i, j));
    };
    places(net.source_p, net.source_n);
    for (const auto& r : net.resistors) places(r.a, r.b);
    for (const auto& l : net.loads) places(l.a, l.b);
    for (const auto& c : net.converters) {
      places(c.a, c.b);
      places(c.s, c.t);
      for (const std::size_t in : {c.a, c.b})
        for (const std::size_t out : {c.s, c.t}) places_.push_back(place(in, out));
    }
  }

  void evaluate(const Eigen::VectorXd& v, double emf_v, double demand) {
    f.setZero();
    std::fill_n(jacobian.valuePtr(), jacobian.nonZeros(), 0.0);
    double* values = jacobian.valuePtr();
    const int* at = places_.data();
    const auto volts = [&](std::size_t n) { return row_[n] < 0 ? 0.0 : v[row_[n]]; };
    const auto add = [&](std::size_t a, std::size_t b, double current, double slope) {
      if (row_[a] >= 0) f[row_[a]] += current;
      if (row_[b] >= 0) f[row_[b]] -= current;
      const double sign[4] = {slope, -slope, -slope, slope};
      for (const double s : sign) {
        if (*at >= 0) values[*at] += s;
        ++at;
      }
    };
    const auto across = [&](std::size_t a, std::size_t b) { return volts(a) - volts(b); };
    add(net_.source_p, net_.source_n,
        (across(net_.source_p, net_.source_n) - emf_v) / net_.source_ohm, 1.0 / net_.source_ohm);
    for (const auto& r : net_.resistors) add(r.a, r.b, across(r.a, r.b) / r.ohm, 1.0 / r.ohm);
    for (const auto& l : net_.loads) {
      const double u = across(l.a, l.b);
      const double p = demand * l.power_w;
      if (u >= l.minimum_v) {
        add(l.a, l.b, p / u + l.current_a + l.conductance_s * u, -p / (u * u) + l.conductance_s);
      } else {
        const double m = l.minimum_v;
        const double g = (p / m + l.current_a + l.conductance_s * m) / m;
        add(l.a, l.b, g * u, g);
      }
    }
    for (const auto& c : net_.converters) {
      const double x = across(c.a, c.b);
      const double y = across(c.s, c.t);
      const double g = 1.0 / c.resistance_ohm;
      const double i = (c.set_point_v - y) * g;
      const double drawn = (c.standby_w + (1.0 + c.loss_fraction) * y * i) / x;
      add(c.a, c.b, drawn, -drawn / x);
      add(c.s, c.t, -i, g);
      const double cross = (1.0 + c.loss_fraction) * (i - y * g) / x;
      const double sign[4] = {cross, -cross, -cross, cross};
      for (const double s : sign) {
        if (*at >= 0) values[*at] += s;
        ++at;
      }
    }
  }

  Eigen::VectorXd start() const {
    Eigen::VectorXd v = Eigen::VectorXd::Zero(count_);
    // No load: every positive side at its source.
    std::vector<double> volts(net_.nodes, 0.0);
    volts[net_.source_p] = net_.emf_v;
    for (const auto& c : net_.converters) volts[c.s] = c.set_point_v;
    for (bool grown = true; grown;) {
      grown = false;
      for (const auto& r : net_.resistors)
        for (const auto& [a, b] : {std::pair(r.a, r.b), std::pair(r.b, r.a)})
          if (volts[a] > 0.0 && volts[b] == 0.0) {
            volts[b] = volts[a];
            grown = true;
          }
    }
    for (std::size_t n = 0; n < net_.nodes; ++n)
      if (row_[n] >= 0) v[row_[n]] = volts[n];
    return v;
  }
  int row(std::size_t node) const { return row_[node]; }

  Matrix jacobian;
  Eigen::VectorXd f;

 private:
  int place(std::size_t a, std::size_t b) const {
    if (row_[a] < 0 || row_[b] < 0) return -1;
    const int* first = jacobian.innerIndexPtr() + jacobian.outerIndexPtr()[row_[b]];
    const int* last = jacobian.innerIndexPtr() + jacobian.outerIndexPtr()[row_[b] + 1];
    return static_cast<int>(std::lower_bound(first, last, row_[a]) - jacobian.innerIndexPtr());
  }

  const bench::Network& net_;
  std::vector<int> row_, places_;
  int count_ = 0;
};

template <class Solve>
double run_day(const bench::Network& net, std::size_t points, std::vector<double>& potentials,
               Solve solve) {
  Nodal nodal(net);
  Eigen::VectorXd v = nodal.start();
  const double begin = thread_seconds();
  for (std::size_t s = 0; s < points; ++s) {
    const std::size_t minute = s * bench::day_points / points;
    for (int k = 0; k < 50; ++k) {
      nodal.evaluate(v, bench::day_emf_v(minute), bench::day_demand(minute));
      solve(nodal);  // leaves the correction in nodal.f
      v -= nodal.f;
      if (nodal.f.lpNorm<Eigen::Infinity>() < 1e-10) break;
    }
    for (std::size_t n = 0; n < net.nodes; ++n)
      potentials[s * net.nodes + n] = nodal.row(n) < 0 ? 0.0 : v[nodal.row(n)];
  }
  return thread_seconds() - begin;
}

double run_eigen(const bench::Network& net, std::size_t points, std::vector<double>& potentials) {
  Eigen::SparseLU<Matrix, Eigen::COLAMDOrdering<int>> lu;
  bool analysed = false;
  return run_day(net, points, potentials, [&](Nodal& nodal) {
    if (!analysed) lu.analyzePattern(nodal.jacobian);
    analysed = true;
    lu.factorize(nodal.jacobian);
    nodal.f = lu.solve(nodal.f).eval();
  });
}

#ifdef NIGHTBUS_HAS_KLU
double run_klu(const bench::Network& net, std::size_t points, std::vector<double>& potentials) {
  klu_common common;
  klu_defaults(&common);
  klu_symbolic* symbolic = nullptr;
  klu_numeric* numeric = nullptr;
  const double seconds = run_day(net, points, potentials, [&](Nodal& nodal) {
    Matrix& a = nodal.jacobian;
    const int n = static_cast<int>(a.rows());
    if (symbolic == nullptr) {
      symbolic = klu_analyze(n, a.outerIndexPtr(), a.innerIndexPtr(), &common);
      numeric = klu_factor(a.outerIndexPtr(), a.innerIndexPtr(), a.valuePtr(), symbolic, &common);
    } else {
      klu_refactor(a.outerIndexPtr(), a.innerIndexPtr(), a.valuePtr(), symbolic, numeric, &common);
    }
    klu_solve(symbolic, numeric, n, 1, nodal.f.data(), &common);
  });
  klu_free_numeric(&numeric, &common);
  klu_free_symbolic(&symbolic, &common);
  return seconds;
}
#endif

// One solve at a time: potentials as the peers give them, or every element read as well.
double run_single(const bench::Network& net, std::size_t points, bool read,
                  std::vector<double>& potentials) {
  bench::Workload work(net, points);
  nightbus::Workspace workspace(work.compiled.circuit);
  nightbus::Parameters parameters = work.compiled.circuit.parameters();
  nightbus::OperatingPoint point;
  nightbus::SolveOptions options;
  options.read_elements = read;
  nightbus::solve(work.compiled.circuit, parameters, workspace, options, point);
  const double begin = thread_seconds();
  for (std::size_t s = 0; s < points; ++s) {
    for (std::size_t c = 0; c < work.parameters.size(); ++c)
      parameters.set(work.parameters[c], work.table[c * points + s]);
    nightbus::solve(work.compiled.circuit, parameters, workspace, options, point);
    std::copy(point.node_v.begin(), point.node_v.end(), &potentials[s * net.nodes]);
  }
  return thread_seconds() - begin;
}

}  // namespace

int main(int count, char** words) {
  if (count < 3) return 2;
  const std::string what = words[1];
  const bench::Network net = bench::named(words[2]);
  if (what == "export") {
    print_json(net);
    return 0;
  }
  const std::size_t points = count > 3 ? std::stoul(words[3]) : bench::day_points;
  std::vector<double> potentials(points * net.nodes);
  double seconds = -1.0;
  if (what == "eigen") seconds = run_eigen(net, points, potentials);
  if (what == "nightbus-single") seconds = run_single(net, points, false, potentials);
  if (what == "nightbus-read") seconds = run_single(net, points, true, potentials);
#ifdef NIGHTBUS_HAS_KLU
  if (what == "klu") seconds = run_klu(net, points, potentials);
#endif
  if (seconds < 0.0) return 3;
  std::printf("%.9f\n", seconds);
  if (count > 4) {
    std::FILE* file = std::fopen(words[4], "wb");
    if (file == nullptr) return 4;
    std::fwrite(potentials.data(), sizeof(double), potentials.size(), file);
    std::fclose(file);
  }
  return 0;
}
