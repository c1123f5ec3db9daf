#pragma once
/// Transposition by direction cosines, for loops that know them already.

#include "nightbus/energy_sky.hpp"

namespace nightbus::sky_detail {

struct PlaneGeometry {
  double cos_tilt, sin_tilt;
  double cos_incidence;
  double cos_zenith;
};

/// As plane_irradiance(); zenith and azimuth of `in` are not looked at.
PlaneIrradiance transpose(SkyModel model, const PlaneGeometry& geometry, const SkyInput& in);

}  // namespace nightbus::sky_detail
