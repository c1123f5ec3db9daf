// The skyline. Heights are kept for each whole degree of azimuth; between them they are linear. The
// share of the sky dome still seen is the cosine-weighted integral over the dome of an isotropic
// sky, divided by that without a skyline:
//
//   view = ∫∫ max(cos θ, 0) [e > skyline(az)] cos e de daz  /  ∫∫ max(cos θ, 0) cos e de daz,  e in
//   (0, 90°)

#include <algorithm>
#include <cmath>
#include <numbers>

#include "nightbus/energy_sky.hpp"
#include "nightbus/source.hpp"

namespace nightbus {

Horizon::Horizon(std::span<const double> azimuth_deg, std::span<const double> height_deg)
    : count_(azimuth_deg.size()) {
  if (azimuth_deg.empty() || azimuth_deg.size() != height_deg.size()) {
    throw Error("a horizon needs as many heights as azimuths, and at least one");
  }
  for (std::size_t k = 0; k < count_; ++k) {
    const bool rising = k == 0 || azimuth_deg[k] > azimuth_deg[k - 1];
    if (!rising || azimuth_deg[k] < 0.0 || azimuth_deg[k] >= 360.0) {
      throw Error("the azimuths of a horizon must rise within 0° to 360°");
    }
    if (!(height_deg[k] >= -90.0 && height_deg[k] < 90.0)) {
      throw Error("the heights of a horizon must lie between -90° and 90°");
    }
  }
  for (std::size_t bin = 0; bin <= bins_; ++bin) {
    const double azimuth = static_cast<double>(bin % bins_);
    const auto after = std::upper_bound(azimuth_deg.begin(), azimuth_deg.end(), azimuth);
    const auto hi = static_cast<std::size_t>(after - azimuth_deg.begin()) % count_;
    const std::size_t lo = (hi + count_ - 1) % count_;
    double from = azimuth_deg[lo];
    double to = azimuth_deg[hi];
    double at = azimuth;
    if (to <= from) to += 360.0;  // across north, or a single point
    if (at < from) at += 360.0;
    const double share = count_ == 1 ? 0.0 : (at - from) / (to - from);
    height_[bin] = static_cast<float>(height_deg[lo] + share * (height_deg[hi] - height_deg[lo]));
  }
}

double Horizon::height_deg(double azimuth_deg) const {
  if (empty()) return -90.0;
  double wrapped = std::fmod(azimuth_deg, 360.0);
  if (wrapped < 0.0) wrapped += 360.0;
  const auto bin = std::min(static_cast<std::size_t>(wrapped), bins_ - 1);
  const double share = wrapped - static_cast<double>(bin);
  return static_cast<double>(height_[bin]) +
         share * static_cast<double>(height_[bin + 1] - height_[bin]);
}

double Horizon::sky_view(const Plane& plane) const {
  if (empty()) return 1.0;
  constexpr double rad = std::numbers::pi / 180.0;
  const double cos_tilt = std::cos(plane.tilt_deg * rad);
  const double sin_tilt = std::sin(plane.tilt_deg * rad);
  double seen = 0.0;
  double all = 0.0;
  for (int azimuth = 0; azimuth < 360; azimuth += 2) {
    const double skyline = height_deg(azimuth + 1.0);
    const double facing = std::cos((azimuth + 1.0 - plane.azimuth_deg) * rad);
    for (int step = 0; step < 90; ++step) {
      const double e = step + 0.5;
      const double cos_i = cos_tilt * std::sin(e * rad) + sin_tilt * std::cos(e * rad) * facing;
      const double weight = std::max(cos_i, 0.0) * std::cos(e * rad);
      all += weight;
      // A cell that the skyline cuts counts for the part above it.
      seen += weight * std::clamp(step + 1.0 - skyline, 0.0, 1.0);
    }
  }
  return all > 0.0 ? seen / all : 0.0;
}

}  // namespace nightbus
