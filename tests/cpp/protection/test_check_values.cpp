/// Faults, fuses and pulses against published and computed check values.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "nightbus/protection_fault.hpp"
#include "nightbus/protection_fuse.hpp"
#include "published_table.hpp"

using namespace nightbus;

namespace {

const Material& copper() {
  return Catalogue::builtin().material("copper");
}

using Answer = std::function<double(const published::Row&)>;

double value(const published::Row& row, const char* name) {
  return row.has(name) ? std::stod(row.text(name)) : 0.0;
}

Answer of(double (*function)(double, double, double, double)) {
  return [function](const published::Row& row) {
    return function(value(row, "a"), value(row, "b"), value(row, "c"), value(row, "d"));
  };
}

Answer pulse(PulseShape shape) {
  return [shape](const published::Row& row) {
    return pulse_a2s(shape, value(row, "a"), value(row, "b"), value(row, "c"));
  };
}

const std::map<std::string, Answer>& answers() {
  static const std::map<std::string, Answer> all = {
      {"bank ohm", of([](double cell, double cells, double strings, double links) {
         return bank_loop_ohm(cell, static_cast<int>(cells), static_cast<int>(strings), links);
       })},
      {"short circuit",
       of([](double v, double ohm, double, double) { return short_circuit_a(v, ohm); })},
      {"capacity rule", of([](double ah, double k, double, double) {
         return short_circuit_from_capacity_a(ah, k);
       })},
      {"run fault", of([](double v, double ohm, double mm2, double m) {
         return short_circuit_a(v, ohm + 2.0 * m * copper().resistivity_ohm_mm2_per_m / mm2);
       })},
      {"k copper",
       of([](double from, double to, double, double) { return adiabatic_k(copper(), from, to); })},
      {"withstand", of([](double k, double mm2, double, double) { return withstand_a2s(k, mm2); })},
      {"fault area",
       of([](double a, double s, double k, double) { return area_for_fault_mm2(a, s, k); })},
      {"fault end", of([](double mm2, double from, double a2s, double) {
         return fault_temperature_c(copper(), mm2, from, a2s);
       })},
      {"adiabatic current", of([](double mm2, double from, double to, double s) {
         return adiabatic_k(copper(), from, to) * mm2 / std::sqrt(s);
       })},
      {"non-adiabatic factor",
       of([](double mm2, double s, double, double) { return heat_loss_factor(s, mm2); })},
      {"rise",
       of([](double a, double ohm, double h, double s) { return fault_rise_a(a, ohm, h, s); })},
      {"inductive energy",
       of([](double h, double a, double, double) { return inductive_energy_j(h, a); })},
      {"onderdonk", of([](double cmil, double s, double c, double) {
         return onderdonk_fusing_a(cmil * 5.067075e-4, s, c);
       })},
      {"preece",
       of([](double in, double, double, double) { return preece_fusing_a(in * 0.0254); })},
      {"usable",
       of([](double a, double k, double f, double) { return usable_current_a(a, k, f); })},
      {"needed melting",
       of([](double a2s, double share, double, double) { return needed_melting_a2s(a2s, share); })},
      {"capacitor peak", of([](double f, double v, double ohm, double) {
         return capacitor_pulse(f, v, ohm).peak_a;
       })},
      {"capacitor tau", of([](double f, double v, double ohm, double) {
         return capacitor_pulse(f, v, ohm).time_constant_s;
       })},
      {"capacitor i2t", of([](double f, double v, double ohm, double) {
         return capacitor_pulse(f, v, ohm).i2t_a2s;
       })},
      {"capacitor fuse", of([](double f, double v, double ohm, double pulses) {
         const Curve& shares = Catalogue::builtin().curve("melting share by pulses").curve;
         return needed_melting_a2s(capacitor_pulse(f, v, ohm).i2t_a2s, pulse_share(shares, pulses));
       })},
      {"precharge ohm",
       of([](double v, double f, double a, double) { return precharge(v, f, a).resistance_ohm; })},
      {"precharge tau",
       of([](double v, double f, double a, double) { return precharge(v, f, a).time_constant_s; })},
      {"precharge done",
       of([](double v, double f, double a, double) { return precharge(v, f, a).done_s; })},
      {"precharge energy",
       of([](double v, double f, double a, double) { return precharge(v, f, a).energy_j; })},
      {"precharge peak",
       of([](double v, double f, double a, double) { return precharge(v, f, a).peak_w; })},
      {"pulse square", pulse(PulseShape::square)},
      {"pulse half sine", pulse(PulseShape::half_sine)},
      {"pulse triangle", pulse(PulseShape::triangle)},
      {"pulse parabola", pulse(PulseShape::parabola)},
      {"pulse decay", pulse(PulseShape::decay)},
      {"pulse trapezoid", pulse(PulseShape::trapezoid)},
      {"solar continuous", of([](double a, double strings, double, double) {
         return solar_currents(a, static_cast<int>(strings)).continuous_a;
       })},
      {"solar device", of([](double a, double strings, double, double) {
         return solar_currents(a, static_cast<int>(strings)).device_a;
       })},
      {"needed rating",
       of([](double a, double k, double f, double) { return needed_rating_a(a, k, f); })},
  };
  return all;
}

}  // namespace

TEST_CASE("every check value of faults, wire heating, fuses and pulses") {
  published::Table table;
  for (const auto& row : published::read(table, "protection_check_values.csv").rows) {
    CAPTURE(row.text("quantity"));
    CAPTURE(row.text("a"));
    CAPTURE(row.text("b"));
    CAPTURE(row.text("source"));
    const auto found = answers().find(row.text("quantity"));
    REQUIRE(found != answers().end());
    CHECK(std::abs(found->second(row) - row.number("answer")) <= row.tolerance("answer"));
  }
}

TEST_CASE("worked examples of solar currents and continuous loads") {
  int checked = 0;
  published::Table table;
  for (const auto& row : published::read(table, "wiring_examples.csv").rows) {
    const auto found = answers().find(row.text("quantity"));
    if (found == answers().end()) continue;
    CAPTURE(row.text("quantity"));
    CAPTURE(row.text("source"));
    CHECK(std::abs(found->second(row) - row.number("answer")) <= row.tolerance("answer"));
    ++checked;
  }
  CHECK(checked == 5);
}

TEST_CASE("2500 W converter at 22 V: 235.4 A at 41 to 45 °C need 300 kcmil of the 60 °C column") {
  // NFPA 70 (2023) Tables 310.16 and 310.15(B)(1)(1).
  const RuleSet& nec = Catalogue::builtin().rule_set("NEC");
  const double continuous_a = 2500.0 / 0.85 / 22.0;
  const double factor = nec.ambient_factor(45.0, 60.0)->value;
  CHECK(factor == doctest::Approx(0.71));
  const double needed_a = needed_rating_a(continuous_a, factor, 1.25);
  CHECK(needed_a == doctest::Approx(235.4).epsilon(0.0005));
  for (const ConductorSize& size : nec.listed_sizes()) {
    const auto ampacity = nec.ampacity(size, 60.0);
    if (!ampacity || ampacity->value < needed_a) continue;
    CHECK(print_size(size) == "300 kcmil");
    break;
  }
}

TEST_CASE("five strings of 4.06 A at 68 °C: 10 AWG, and 30 A fuses") {
  // Sandia and NMSU report: 310.17, 90 °C wire, factor 0.58 gives 20.3, 23.2, 31.9, 46.4 A.
  const RuleSet& nec = Catalogue::builtin().rule_set("NEC");
  const double factor = nec.ambient_factor(68.0, 90.0)->value;
  CHECK(factor == doctest::Approx(0.58));
  const std::pair<const char*, double> expected[] = {
      {"14 AWG", 20.3}, {"12 AWG", 23.2}, {"10 AWG", 31.9}, {"8 AWG", 46.4}};
  for (const auto& [size, amperes] : expected) {
    const auto table = nec.ampacity(*parse_size(size), 90.0, Installation::free_air);
    REQUIRE(table);
    CHECK(std::abs(table->value * factor - amperes) <= 0.0501);
  }
  const double continuous_a = solar_currents(3.25, 5).continuous_a;
  CHECK(continuous_a > 20.3);  // 14 AWG fails by 0.01 A
  CHECK(nec.next_standard_rating(solar_currents(3.25, 5).device_a)->value == 30.0);
}

TEST_CASE("10 A blade behind 10 m of 18 AWG at 12 V: below three times its rating, slow and fast") {
  // 12 V, 10 mΩ and 20.95 mΩ/m out and back: 27.97 A, 280 %; log-log between the makers' points.
  const double fault_a = short_circuit_a(12.0, 0.010 + 20.0 * 0.02095);
  CHECK(fault_a == doctest::Approx(27.97).epsilon(0.0005));
  CHECK(fault_a < Catalogue::builtin().guide("fault current multiple").value * 10.0);
  const OvercurrentForm& blade = Catalogue::builtin().overcurrent_form("blade");
  OpeningBand band = *blade.opening_of(10.0);
  // The check value was worked out with a row at 350 % that is published for 35 and 40 A parts.
  if (const auto last = band.points.back(); last.ratio < 3.5) {
    OpeningPoint row = last;
    row.ratio = 3.5;
    row.least_s = 0.08;
    row.most_s = 0.5;
    band.points.push_back(row);
  }
  CHECK(*opening_time_s(band, fault_a / 10.0, BandSide::slowest) ==
        doctest::Approx(1.257).epsilon(0.001));
  CHECK(*opening_time_s(band, fault_a / 10.0, BandSide::fastest) ==
        doctest::Approx(0.1029).epsilon(0.001));
}

TEST_CASE("22 A continuous: 27.5 A, so a 30 A device of the standard list") {
  const RuleSet& nec = Catalogue::builtin().rule_set("NEC");
  const auto next = nec.next_standard_rating(needed_rating_a(22.0, 1.0, 1.25));
  REQUIRE(next);
  CHECK(next->value == 30.0);
}

TEST_CASE("opening times fall with current, meet the published points and are never invented") {
  for (const OvercurrentForm& form : Catalogue::builtin().overcurrent_forms()) {
    for (const OpeningBand& band : form.opening) {
      CAPTURE(form.name);
      for (const OpeningPoint& point : band.points) {
        if (point.most_s) {
          CHECK(*opening_time_s(band, point.ratio, BandSide::slowest) ==
                doctest::Approx(*point.most_s));
        }
        if (point.least_s) {
          CHECK(*opening_time_s(band, point.ratio, BandSide::fastest) ==
                doctest::Approx(*point.least_s));
        }
      }
      double before_slow = 1e9, before_fast = 1e9;
      for (double ratio = 1.0; ratio < 12.0; ratio *= 1.05) {
        const auto slow = opening_time_s(band, ratio, BandSide::slowest);
        const auto fast = opening_time_s(band, ratio, BandSide::fastest);
        if (slow) {
          CHECK(*slow <= before_slow * (1.0 + 1e-12));
          before_slow = *slow;
        }
        if (fast) {
          CHECK(*fast <= before_fast * (1.0 + 1e-12));
          before_fast = *fast;
        }
        if (slow && fast) CHECK(*fast <= *slow);
      }
      CHECK_FALSE(opening_time_s(band, 0.5, BandSide::slowest));
    }
  }
}

TEST_CASE("the current that opens in a time is the inverse of the opening time") {
  for (const OvercurrentForm& form : Catalogue::builtin().overcurrent_forms()) {
    for (const OpeningBand& band : form.opening) {
      for (const double time_s : {0.2, 1.0, 5.0, 60.0}) {
        const auto current_a = current_to_open_a(band, 20.0, time_s);
        if (!current_a) continue;
        CAPTURE(form.name);
        CAPTURE(time_s);
        CHECK(*opening_time_s(band, *current_a / 20.0, BandSide::slowest) <= time_s * (1 + 1e-9));
      }
    }
  }
}

TEST_CASE("ranges of current within an I²t: inside it holds, outside it does not") {
  for (const OvercurrentForm& form : Catalogue::builtin().overcurrent_forms()) {
    for (const OpeningBand& band : form.opening) {
      const double rating_a = std::max(band.low_a, 10.0);
      for (const double most : {50.0, 500.0, 5000.0, 50000.0, 500000.0}) {
        const auto ranges = currents_within_a2s(band, rating_a, 0.0, most);
        const double last_a = band.points.back().ratio * rating_a;
        for (double current_a = rating_a; current_a < 1.5 * last_a; current_a *= 1.013) {
          const auto time_s = opening_time_s(band, current_a / rating_a, BandSide::slowest);
          if (!time_s) continue;
          const double heating_a = std::min(current_a, last_a);
          const double a2s = heating_a * heating_a * *time_s;
          if (std::abs(a2s / most - 1.0) < 1e-6) continue;
          const bool inside = std::any_of(ranges.begin(), ranges.end(), [&](const auto& range) {
            return current_a >= range.low_a && current_a <= range.high_a;
          });
          CAPTURE(form.name);
          CAPTURE(most);
          CAPTURE(current_a);
          CHECK(inside == (a2s <= most));
        }
      }
    }
  }
}

TEST_CASE("a 40 A maxi blade lets through more than 0.75 mm² of PVC wire bears; 1.5 mm² bears it") {
  // Melting 8500 A²s, clearing taken as twice that; k 115 (BS 7671 Table 43.1).
  const OvercurrentForm& maxi = Catalogue::builtin().overcurrent_form("maxi blade");
  CHECK(melting_figure(maxi, 40.0)->value_a2s == doctest::Approx(8500.0));
  CHECK(melting_figure(maxi, 40.0)->value_a2s > withstand_a2s(115.0, 0.75));
  const double clearing_a2s = *let_through_a2s(maxi, 40.0, 20000.0, 20000.0, 2.0);
  CHECK(clearing_a2s > withstand_a2s(115.0, 1.0));
}

TEST_CASE("slow heating: the same as stepping the heat balance, and the adiabat for short times") {
  SlowHeating wire;
  wire.area_mm2 = 2.5;
  wire.rated_a = 25.0;
  wire.rated_c = 70.0;
  wire.base_c = 30.0;
  wire.ambient_c = 35.0;
  wire.initial_c = 50.0;
  const double beta = copper().adiabatic_beta_k;
  for (const double current_a : {20.0, 40.0, 90.0}) {
    double temp_c = wire.initial_c;
    const double ks2 = std::pow(copper().adiabatic_k * wire.area_mm2, 2);
    const double loss =
        wire.rated_a * wire.rated_a * (beta + wire.rated_c) / (wire.rated_c - wire.base_c);
    const int steps = 200000;
    const double time_s = 60.0;
    for (int k = 0; k < steps; ++k) {
      temp_c += time_s / steps *
                (current_a * current_a * (beta + temp_c) - loss * (temp_c - wire.ambient_c)) / ks2;
    }
    CHECK(slow_temperature_c(copper(), wire, current_a, time_s) ==
          doctest::Approx(temp_c).epsilon(1e-4));
  }
  // 0.05 s of 2000 A: no time for heat to leave.
  CHECK(slow_temperature_c(copper(), wire, 2000.0, 0.05) ==
        doctest::Approx(fault_temperature_c(copper(), 2.5, 50.0, 2000.0 * 2000.0 * 0.05))
            .epsilon(1e-3));
  // At rated current and base air it settles at the rated temperature.
  wire.ambient_c = 30.0;
  CHECK(slow_temperature_c(copper(), wire, 25.0, 1e5) == doctest::Approx(70.0).epsilon(1e-6));
  CHECK_FALSE(time_to_temperature_s(copper(), wire, 25.0, 71.0));
  const auto reached = time_to_temperature_s(copper(), wire, 60.0, 160.0);
  REQUIRE(reached);
  CHECK(slow_temperature_c(copper(), wire, 60.0, *reached) == doctest::Approx(160.0));
}

TEST_CASE("devices in series: equal ratings never, ten times the rating does") {
  const OvercurrentForm& mini = Catalogue::builtin().overcurrent_form("mini blade");
  const OvercurrentForm& strip = Catalogue::builtin().overcurrent_form("strip SF 51");
  CHECK(selective(mini, 10.0, mini, 10.0, 100.0) == Selective::no);
  CHECK(selective(mini, 15.0, mini, 10.0, 100.0) == Selective::no);
  CHECK(selective(strip, 200.0, mini, 5.0, 60.0) == Selective::yes);
}
