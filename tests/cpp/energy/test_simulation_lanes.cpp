// Many runs in the lanes of one solver, and the solver by itself.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "energy/simulated_circuit.hpp"
#include "nightbus/network_points.hpp"

using namespace simulated;

namespace {

bool same_bits(const SimulationResult& a, const SimulationResult& b) {
  const auto same_events = [](const SimEvent& x, const SimEvent& y) {
    return x.time_s == y.time_s && x.kind == y.kind && x.index == y.index && x.value == y.value;
  };
  return a.status == b.status && a.ledger.load_wh == b.ledger.load_wh &&
         a.ledger.wire_loss_wh == b.ledger.wire_loss_wh &&
         a.ledger.curtailed_wh == b.ledger.curtailed_wh &&
         a.ledger.converter_loss_wh == b.ledger.converter_loss_wh &&
         a.banks[0].final_soc == b.banks[0].final_soc && a.unmet_h == b.unmet_h &&
         a.solves == b.solves && a.sub_steps == b.sub_steps &&
         std::equal(a.events.begin(), a.events.end(), b.events.begin(), b.events.end(),
                    same_events);
}

/// Systems on one circuit that are not in step with each other: other suns, charges, draws that
/// switch at other times, and some that run out of charge and drop their loads.
std::vector<SimulationInput> a_mixed_lot(std::size_t count) {
  SimulationInput bus = sunny(lossy_lfp(), 2.0, 60.0);
  bus.loads.pop_back();
  bus.converters.clear();
  const SimulationInput first = as_circuit(bus);
  std::vector<SimulationInput> lot;
  for (std::size_t k = 0; k < count; ++k) {
    SimulationInput in = first;
    const double share = static_cast<double>(k) / static_cast<double>(count);
    ClearSkyYear year;
    year.site = in.site;
    year.clearness.assign(12, 0.15 + 0.85 * share);
    in.weather = clear_sky_weather(year, in.clock, in.options.start_s, 300.0, 2 * 288);
    in.banks[0].soc = k % 3 == 0 ? 0.06 : 0.9;
    in.loads[2].draw = DutyDraw{900.0 + 37.0 * static_cast<double>(k), 200.0, 11.0, 12.0, 1.0, {}};
    if (k % 5 == 4) in.options.steps = 700;  // its lane is free for another early
    lot.push_back(std::move(in));
  }
  return lot;
}

}  // namespace

TEST_CASE("runs in the lanes of one solver have the bits of runs on their own") {
  const std::vector<SimulationInput> lot = a_mixed_lot(21);
  std::vector<SimulationResult> alone;
  for (const SimulationInput& in : lot) alone.push_back(simulate(in));
  std::size_t drops = 0;
  for (const std::size_t threads : {1u, 3u}) {
    const std::vector<SimulationResult> many = simulate_many(lot, threads);
    REQUIRE(many.size() == lot.size());
    for (std::size_t k = 0; k < lot.size(); ++k) {
      INFO("run ", k, " of ", threads, " threads");
      REQUIRE(many[k].status == SimStatus::done);
      CHECK(same_bits(many[k], alone[k]));
      CHECK(many[k].ledger.relative_gap() < 1e-9);
      for (const LoadRecord& load : many[k].loads) drops += load.drops;
    }
  }
  CHECK(drops > 0);  // the lot does what it is for
}

TEST_CASE("runs of several circuits and of the plain bus may stand in one list, bad ones as well") {
  std::vector<SimulationInput> lot = a_mixed_lot(4);
  lot.push_back(sunny(plain_lfp(), 2.0, 60.0));
  lot.push_back(as_circuit(sunny(lossy_lfp(), 2.0, 60.0)));
  lot.push_back(as_circuit(sunny(lead(), 2.0, 60.0)));
  lot.push_back(as_circuit(sunny(plain_lfp(), 2.0, 60.0)));
  lot.back().banks.clear();
  lot.back().options.step_s = -1.0;
  const std::vector<SimulationResult> many = simulate_many(lot, 2);
  for (std::size_t k = 0; k + 1 < lot.size(); ++k) CHECK(same_bits(many[k], simulate(lot[k])));
  CHECK(many.back().status == SimStatus::bad_input);
  CHECK(!many.back().message.empty());
}

TEST_CASE("a lot that its caller stops is told so run by run") {
  const std::vector<SimulationInput> lot = a_mixed_lot(30);
  const auto many = simulate_many(lot, 1, [](double share) { return share < 0.2; });
  std::size_t done = 0;
  std::size_t stopped = 0;
  for (const SimulationResult& one : many) {
    done += one.status == SimStatus::done ? 1 : 0;
    stopped += one.status == SimStatus::stopped ? 1 : 0;
  }
  CHECK(done >= 6);
  CHECK(stopped > 0);
  CHECK(done + stopped == lot.size());
}

TEST_CASE("points side by side are the points that solve() finds, whatever stands beside them") {
  CircuitBuilder b;
  const std::vector<NodeId> n = b.add_nodes(6);
  b.set_reference(n[1]);
  const ElementId bank = b.add_source(n[0], n[1], {.emf_v = 12.8, .resistance_ohm = 0.02});
  const ElementId feeder = b.add_resistor(n[0], n[2], 0.05);
  const ElementId router = b.add_load(n[2], n[1], {.power_w = 40.0, .minimum_v = 9.0});
  const ElementId lamp = b.add_load(n[2], n[1], {.current_a = 1.0});
  const ElementId boost =
      b.add_converter(n[2], n[1], n[3], n[4], {.set_point_v = 54.0, .standby_w = 1.0});
  b.add_resistor(n[3], n[5], 2.0);
  const ElementId camera = b.add_load(n[5], n[4], {.power_w = 12.0});
  const Circuit circuit = b.compile();

  const std::vector<Parameter> columns = {{bank, ParameterKind::emf_v},
                                          {bank, ParameterKind::resistance_ohm},
                                          {router, ParameterKind::power_w},
                                          {boost, ParameterKind::scale}};
  const std::vector<int> groups = {0, 3};  // the feeder warms the third sum
  PointLanes many(circuit, columns, groups);
  PointLanes one(circuit, columns, groups, 1);
  REQUIRE(one.lanes() == 1);
  Workspace workspace(circuit);
  std::size_t without = 0;
  for (int round = 0; round < 40; ++round) {
    const auto numbers = [&](int lane) {
      const double t = round * 16.0 + lane;
      return std::vector<double>{12.0 + std::sin(t), 0.02 + 0.01 * std::cos(3.0 * t),
                                 t > 600.0 ? 5000.0 : 30.0 + 20.0 * std::sin(0.7 * t),
                                 std::fmod(t, 7.0) < 1.0 ? 0.0 : 1.0};
    };
    for (int k = 0; k < many.lanes(); ++k) {
      for (std::size_t c = 0; c < columns.size(); ++c) many.set(c, k, numbers(k)[c]);
    }
    const std::uint32_t solved = many.run(many.lanes());
    for (int k = 0; k < many.lanes(); ++k) {
      Parameters parameters = circuit.parameters();
      for (std::size_t c = 0; c < columns.size(); ++c) {
        one.set(c, 0, numbers(k)[c]);
        parameters.set(columns[c], numbers(k)[c]);
      }
      const bool answered = one.run(1) != 0;
      CHECK(answered == ((solved >> k & 1u) != 0));
      const OperatingPoint point = solve(circuit, parameters, workspace);
      if (!answered) {
        ++without;
        const bool router_starves = point.states[index(router)] == ElementState::starved;
        const bool camera_is_dark = point.states[index(camera)] != ElementState::normal;
        CHECK((router_starves || camera_is_dark));
        continue;
      }
      REQUIRE(point.status == SolveStatus::solved);
      CHECK(many.loss_w(3, k) == one.loss_w(3, 0));
      CHECK(one.loss_w(3, 0) == doctest::Approx(point.loss_w[index(feeder)]).epsilon(1e-9));
      CHECK(one.loss_w(0, 0) + one.loss_w(3, 0) ==
            doctest::Approx(point.wire_loss_w).epsilon(1e-9));
      for (const ElementId e : {bank, router, lamp, boost, camera}) {
        const ElementReading r = many.read(e, k);
        const ElementReading s = one.read(e, 0);
        CHECK(r.voltage_v == s.voltage_v);
        CHECK(r.current_a == s.current_a);
        CHECK(r.voltage_v == many.voltage_v(many.place(e), k));
        CHECK(std::abs(s.voltage_v - point.voltage_v[index(e)]) < 1e-9);
        CHECK(std::abs(s.current_a - point.current_a[index(e)]) < 1e-9);
        CHECK(std::abs(s.output_voltage_v - point.output_voltage_v[index(e)]) < 1e-9);
        CHECK(s.state == point.states[index(e)]);
      }
    }
  }
  CHECK(without > 0);
  CHECK_THROWS_AS(PointLanes(circuit, std::vector<Parameter>{{router, ParameterKind::emf_v}}),
                  std::out_of_range);
}
