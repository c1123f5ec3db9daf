// Plain years in packs of lanes over threads. Series are copied into tiles first, the lanes side by
// side; every lane does exactly what a lone run does, so results depend neither on packs nor on
// threads.

#include <algorithm>
#include <array>
#include <atomic>
#include <thread>

#include "energy/plain_pack.hpp"
#include "nightbus/energy_answers.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

namespace {

using plain_detail::PlainPack;
constexpr std::size_t lanes = plain_detail::lanes;
constexpr std::size_t tile_steps = 128;

template <std::size_t width, class Advance>
void run_pack(const PlainBatch& batch, std::size_t first, std::span<PlainYear> years,
              Advance advance) {
  PlainPack<width> pack{};
  for (std::size_t k = 0; k < width; ++k) {
    const PlainBank& bank = batch.banks[first + k];
    pack.capacity[k] = bank.capacity_wh;
    pack.floor[k] = bank.floor_share * bank.capacity_wh;
    pack.efficiency[k] = bank.charge_efficiency;
    pack.inverse_efficiency[k] = 1.0 / bank.charge_efficiency;
    pack.e[k] = bank.start_share * bank.capacity_wh;
    pack.lowest[k] = pack.e[k];
  }
  const double hours = batch.step_s / 3600.0;
  const bool own_sun = batch.array_w.size() > batch.steps;
  const bool steady = batch.load_w.size() == 1;
  alignas(64) std::array<double, tile_steps * width> sun;
  alignas(64) std::array<double, tile_steps * width> load;
  for (std::size_t from = 0; from < batch.steps; from += tile_steps) {
    const std::size_t count = std::min(tile_steps, batch.steps - from);
    for (std::size_t k = 0; k < width; ++k) {
      const double scale = (batch.array_scale.empty() ? 1.0 : batch.array_scale[first + k]) * hours;
      const double* source =
          batch.array_w.data() + (own_sun ? (first + k) * batch.steps : 0) + from;
      for (std::size_t t = 0; t < count; ++t) sun[t * width + k] = source[t] * scale;
      for (std::size_t t = 0; t < count; ++t) {
        load[t * width + k] = (steady ? batch.load_w[0] : batch.load_w[from + t]) * hours;
      }
    }
    advance(pack, sun.data(), load.data(), count);
  }
  for (std::size_t k = 0; k < width; ++k) {
    PlainYear& y = years[first + k];
    const PlainBank& bank = batch.banks[first + k];
    y.array_wh = pack.array[k];
    y.load_wh = pack.load[k];
    y.unmet_wh = pack.unmet[k];
    y.curtailed_wh = pack.curtailed[k];
    y.charged_wh = pack.stored[k];
    y.charge_loss_wh = pack.stored[k] * (1.0 - bank.charge_efficiency);
    y.direct_wh = pack.direct[k];
    y.start_wh = bank.start_share * bank.capacity_wh;
    y.end_wh = pack.e[k];
    y.lowest_share = pack.lowest[k] / bank.capacity_wh;
    y.unmet_steps = static_cast<std::size_t>(pack.unmet_steps[k]);
    y.longest_unmet_steps = static_cast<std::size_t>(pack.longest[k]);
  }
}

void check(const PlainBatch& batch) {
  const std::size_t count = batch.banks.size();
  const bool sun_fits =
      batch.array_w.size() == batch.steps || batch.array_w.size() == batch.steps * count;
  if (!sun_fits)
    throw Error("plain years: array watts are neither one series nor one for each bank");
  if (batch.load_w.size() != 1 && batch.load_w.size() != batch.steps) {
    throw Error("plain years: load watts are neither one value nor one series");
  }
  if (!batch.array_scale.empty() && batch.array_scale.size() != count) {
    throw Error("plain years: as many array scales as banks are needed");
  }
  for (const PlainBank& bank : batch.banks) {
    const bool fine = bank.capacity_wh > 0.0 && bank.charge_efficiency > 0.0 &&
                      bank.charge_efficiency <= 1.0 && bank.floor_share >= 0.0 &&
                      bank.floor_share < 1.0 && bank.start_share <= 1.0;
    if (!fine) throw Error("plain years: a bank's capacity, floor or efficiency is out of range");
  }
}

}  // namespace

std::vector<PlainYear> plain_years(const PlainBatch& batch) {
  check(batch);
  std::vector<PlainYear> years(batch.banks.size());
  const std::size_t packs = years.size() / lanes;
  const std::size_t threads =
      std::clamp<std::size_t>(batch.threads ? batch.threads : std::thread::hardware_concurrency(),
                              1, std::max<std::size_t>(packs, 1));
  const plain_detail::Advance widest = plain_detail::widest_advance();
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t k = next++; k < packs; k = next++) {
      run_pack<plain_detail::lanes>(batch, k * lanes, years, widest);
    }
  };
  std::vector<std::jthread> pool;
  for (std::size_t k = 1; k < threads; ++k) pool.emplace_back(work);
  work();
  pool.clear();
  for (std::size_t k = packs * lanes; k < years.size(); ++k)
    run_pack<1>(batch, k, years, plain_detail::advance_one);
  return years;
}

PlainYear plain_year(std::span<const double> array_w, std::span<const double> load_w, double step_s,
                     const PlainBank& bank) {
  PlainBatch batch;
  batch.array_w = array_w;
  batch.load_w = load_w;
  batch.banks = {&bank, 1};
  batch.steps = array_w.size();
  batch.step_s = step_s;
  batch.threads = 1;
  return plain_years(batch).front();
}

double PlainYear::unmet_share(std::size_t steps) const {
  return steps > 0 ? static_cast<double>(unmet_steps) / static_cast<double>(steps) : 0.0;
}

double PlainYear::unmet_energy_share() const {
  return load_wh > 0.0 ? unmet_wh / load_wh : 0.0;
}

double PlainYear::balance_gap_wh() const {
  return array_wh + (start_wh - end_wh) + unmet_wh - load_wh - curtailed_wh - charge_loss_wh;
}

}  // namespace nightbus
