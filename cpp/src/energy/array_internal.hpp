#pragma once
/// Arrays inside loops: what does not change from step to step is worked out once.

#include <vector>

#include "energy/sky_internal.hpp"
#include "nightbus/energy_array.hpp"
#include "nightbus/energy_sun.hpp"

namespace nightbus::array_detail {

/// One orientation of an array.
struct PlaneView {
  double cos_tilt = 1.0, sin_tilt = 0.0;
  double east = 0.0, north = 0.0;  ///< horizontal parts of the unit normal
  double sky_view = 1.0;
  double sky_modifier = 1.0, ground_modifier = 1.0;
};
PlaneView plane_view(const ArrayModel& array, double azimuth_deg);
/// One, or twelve headings of a vehicle that turns.
std::vector<PlaneView> plane_views(const ArrayModel& array);
double effective_on(const ArrayModel& array, const PlaneView& view, const SunTrack::Direction& sun,
                    const SkyInput& in);

double pwm_current_a(const ArrayModel& array, double effective_wm2, double cell_c,
                     double loss_share, double bus_v);

}  // namespace nightbus::array_detail
