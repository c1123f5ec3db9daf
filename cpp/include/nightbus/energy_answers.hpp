#pragma once
/// Questions put to the simulation: the night, the morning, the grey days, the year.

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "nightbus/energy_simulation.hpp"

namespace nightbus {

// ---- The night
// --------------------------------------------------------------------------------------

/// One night and the day after, from sunset to the next time the bank is full.
struct NightReport {
  double sunset_s = 0.0, sunrise_s = 0.0;  ///< UTC
  bool polar = false;    ///< no sunset or no sunrise: a span of 24 h from local noon is taken
  double night_h = 0.0;  ///< from sunset to sunrise
  double night_wh = 0.0, night_ah = 0.0;            ///< drawn from the banks between the two
  std::vector<double> load_wh{};                    ///< by load, at the device
  double soc_sunset = 0.0, soc_sunrise = 0.0;       ///< state of charge, 0 to 1
  double lowest_bus_v = 0.0, lowest_bus_v_s = 0.0;  ///< and when, UTC
  std::optional<double> full_s{};                   ///< time when the bank was full again
  std::optional<double> hours_to_full{};            ///< from sunrise
  bool never_full = false;                          ///< not within the span looked at
};
/// The night that follows local noon of the day holding `date_s`, starting at that noon with charge
/// `soc_noon`; looks `days` ahead for "full again".
NightReport night_report(SimulationInput input, double date_s, double soc_noon, int days = 14);

// ---- Autonomy and recovery
// ---------------------------------------------------------------------------

struct AutonomyReport {
  std::optional<double> until_first_drop_h{};  ///< of a critical load; none: not within the span
  std::optional<double> until_empty_h{};       ///< of the first bank, or its reserve when given
  int first_drop_load = -1;                    ///< index; -1: none dropped
  double span_h = 0.0;                         ///< that was looked at
};
/// No sun, no chargers, from `from_s` with charge `soc`.
AutonomyReport autonomy(SimulationInput input, double from_s, double soc, double reserve_soc = 0.0,
                        double longest_days = 60.0);

/// Closed forms for a first look.
double autonomy_h(double bank_wh, double usable_share, double load_w, double efficiency);
/// Days to refill `missing_wh` when each day brings `array_wh`, takes `load_wh`, and the surplus is
/// stored at `efficiency`; none when there is no surplus.
std::optional<double> refill_days(double missing_wh, double array_wh, double load_wh,
                                  double efficiency);

// ---- A vehicle that turns
// ---------------------------------------------------------------------------

/// What all arrays together could give over a span by the way the vehicle stands. Arrays whose
/// heading is not known turn with it: at heading h a plane faces its own azimuth + h. Others stay.
struct HeadingReport {
  std::vector<double> array_wh{};  ///< at 0°, 30° … 330°, before controllers
  double mean_wh = 0.0;
  double worst_wh = 0.0, worst_heading_deg = 0.0;
  double best_wh = 0.0, best_heading_deg = 0.0;
};
/// Over the whole span of the input's options.
HeadingReport heading_report(const SimulationInput& input);

// ---- A year of plain balance
// ----------------------------------------------------------------------------

/// The cheapest year: array watts and load watts in, a bank of Wh with a floor and a charge
/// efficiency.
struct PlainBank {
  double capacity_wh = 1280.0;
  double floor_share = 0.2;  ///< of the capacity, never gone below
  double start_share = 1.0;  ///< of the capacity, at the start
  double charge_efficiency = 0.95;
};
struct PlainYear {
  double array_wh = 0.0, load_wh = 0.0, unmet_wh = 0.0, curtailed_wh = 0.0, charged_wh = 0.0;
  double charge_loss_wh = 0.0, direct_wh = 0.0;  ///< lost on the way in; straight to the load
  double start_wh = 0.0, end_wh = 0.0, lowest_share = 1.0;  ///< in the bank
  std::size_t unmet_steps = 0, longest_unmet_steps = 0;     ///< with any load unmet
  double unmet_share(std::size_t steps) const;              ///< loss-of-load probability
  double unmet_energy_share() const;                        ///< unmet over wanted energy
  double balance_gap_wh() const;                            ///< 0 within rounding
};
PlainYear plain_year(std::span<const double> array_w, std::span<const double> load_w, double step_s,
                     const PlainBank& bank);
/// Many banks over many years at once: scenario k takes array_w[k·steps …] · scale[k]. Lanes and
/// threads do not change the results.
struct PlainBatch {
  std::span<const double> array_w;      ///< steps, or count·steps
  std::span<const double> load_w;       ///< steps, or one value
  std::span<const double> array_scale;  ///< count, or empty
  std::span<const PlainBank> banks;     ///< count
  std::size_t steps = 0;                ///< of each year
  double step_s = 3600.0;
  std::size_t threads = 0;  ///< 0: all processors
};
std::vector<PlainYear> plain_years(const PlainBatch& batch);

// ---- Many years of weather
// -----------------------------------------------------------------------

/// Years made of whole days drawn in blocks from a weather file, each from the same season ±
/// `window_days`; a file of several years gives any of them.
struct BootstrapOptions {
  std::size_t years = 100;  ///< to make
  int block_days = 7;       ///< days that stay together
  int window_days = 15;     ///< how far from its own date a block may come
  std::uint64_t seed = 1;   ///< the same seed gives the same years
};
/// Day numbers of the file (0-based) for each day of each made year, year after year; a year has
/// 365.
std::vector<std::uint32_t> bootstrap_days(std::size_t days_in_file,
                                          const BootstrapOptions& options);
/// Weather of those days, one after the other, from `start_s`. The file must hold whole days.
WeatherSeries shuffled_weather(const WeatherSeries& file, std::span<const std::uint32_t> days,
                               double start_s);

/// Share of the clear sky with persistence from day to day: k' = mean + r (k - mean) + noise, cut
/// off at the limits (which moves the mean a little).
struct PersistenceOptions {
  double mean = 0.65, deviation = 0.25, correlation = 0.4, lowest = 0.05, highest = 1.05;
  std::uint64_t seed = 1;
};
std::vector<double> persistent_clearness(std::size_t days, const PersistenceOptions& options);

/// What many simulated years say. The interval of 95 % is by resampling the years.
struct AvailabilityReport {
  std::size_t years = 0;
  double mean_unmet_h = 0.0, low_unmet_h = 0.0, high_unmet_h = 0.0;
  double mean_unmet_wh = 0.0;  ///< per year
  double availability = 1.0, availability_low = 1.0, availability_high = 1.0;
  double years_without_failure = 1.0;  ///< share
  double worst_unmet_h = 0.0;          ///< in the worst year
};
AvailabilityReport availability_report(std::span<const double> unmet_h,
                                       std::span<const double> unmet_wh, double hours_in_year,
                                       std::uint64_t seed = 1);
/// Simulates every year and reports. Inputs differ in weather only, or in anything else.
AvailabilityReport availability_of(std::span<const SimulationInput> years, std::size_t threads = 0);

// ---- Sizes found by search
// ---------------------------------------------------------------------------

/// The same system with another bank, array or demand. A bank's resistance falls as its capacity
/// grows; an array's controller grows with it.
void scale_bank(SimulationInput& input, double factor);
void scale_arrays(SimulationInput& input, double factor);
void scale_draws(SimulationInput& input, double factor);

/// Smallest factor within [low, high] at which `availability` (rising) reaches `wanted`, found to
/// `relative`; none when not even `high` does.
std::optional<double> smallest_factor(const std::function<double(double)>& availability,
                                      double wanted, double low, double high,
                                      double relative = 0.005);

struct SizePair {
  double array_factor = 1.0;          ///< on the array as described
  std::optional<double> bank_factor;  ///< smallest that reaches the wanted availability
};
/// For each array factor the smallest bank factor within [low, high].
std::vector<SizePair> size_frontier(std::span<const SimulationInput> years, double wanted,
                                    std::span<const double> array_factors, double low = 0.1,
                                    double high = 20.0, std::size_t threads = 0);

/// What a change buys, in availability and in hours a year.
struct Marginal {
  std::string change;          ///< "one more panel", "one more battery", "less draw"
  double factor = 1.0;         ///< of array, bank or demand
  AvailabilityReport after{};  ///< with the change
  double hours_won = 0.0;      ///< per year
};
struct MarginalOptions {
  double panel_share = 0.25;   ///< one more panel is this share of the present array
  double battery_share = 1.0;  ///< one more battery is this share of the present bank
  double less_w = 10.0;        ///< watts less of mean demand
};
std::vector<Marginal> marginal_values(std::span<const SimulationInput> years,
                                      const MarginalOptions& options, std::size_t threads = 0);

}  // namespace nightbus
