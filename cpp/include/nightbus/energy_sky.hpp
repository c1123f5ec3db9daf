#pragma once
/// Irradiance: outside the air, under a clear sky, split into beam and diffuse, and on a plane.
/// W/m², degrees, Pa. Functions are pure; zenith is the apparent one unless a comment says
/// otherwise.

#include <array>
#include <cstddef>
#include <optional>
#include <span>

namespace nightbus {

inline constexpr double solar_constant_wm2 = 1366.1;  ///< ASTM E490-00

/// Horizontal global, direct normal and horizontal diffuse irradiance.
struct Irradiance {
  double ghi_wm2 = 0.0;  ///< on a level plane, sun and sky
  double dni_wm2 = 0.0;  ///< straight from the sun, facing it
  double dhi_wm2 = 0.0;  ///< from the sky, on a level plane
};

enum class ExtraterrestrialForm { asce, spencer };
double extraterrestrial_wm2(double day_of_year, ExtraterrestrialForm form,
                            double constant_wm2 = solar_constant_wm2);

/// Kasten & Young, Applied Optics 28 (1989) 4735; none below the horizon.
std::optional<double> relative_air_mass(double apparent_zenith_deg);
double absolute_air_mass(double relative, double pressure_pa);
double pressure_at_altitude_pa(double altitude_m);  ///< Pa of the US standard atmosphere

// ---- Clear sky --------------------------------------------------------------------------------

double haurwitz_ghi_wm2(double apparent_zenith_deg);  ///< J. Meteorol. 2 (1945) 154
struct IneichenInput {
  double apparent_zenith_deg = 0.0;  ///< with refraction
  double absolute_air_mass = 1.0;    ///< at the pressure of the place
  double linke_turbidity = 3.0;
  double altitude_m = 0.0;
  double extraterrestrial_wm2 = solar_constant_wm2;
  bool enhancement = false;  ///< the term for bright haze
};
Irradiance ineichen(const IneichenInput& in);  ///< Ineichen & Perez, Solar Energy 73 (2002) 151

enum class ClearSkyModel { haurwitz, ineichen };
/// Either model at one instant; Haurwitz is split by Erbs.
Irradiance clear_sky(ClearSkyModel model, double zenith_deg, double apparent_zenith_deg,
                     double altitude_m, double pressure_pa, double linke_turbidity,
                     double extraterrestrial_wm2);

// ---- Splitting --------------------------------------------------------------------------------

struct Split {
  double dni_wm2 = 0.0;
  double dhi_wm2 = 0.0;
  double clearness = 0.0;  ///< of the whole atmosphere, 0 to 1
};
/// Erbs, Klein & Duffie, Solar Energy 28 (1982) 293; true zenith, no beam beyond 87°.
Split erbs(double ghi_wm2, double zenith_deg, double extraterrestrial_wm2);

// ---- Plane of array ---------------------------------------------------------------------------

enum class SkyModel { isotropic, hay_davies, reindl, klucher, perez };

struct Plane {
  double tilt_deg = 0.0;       ///< 0 flat, 90 upright
  double azimuth_deg = 180.0;  ///< the way it faces, from north clockwise
};

struct PlaneIrradiance {
  double beam_wm2 = 0.0;         ///< on the plane
  double sky_wm2 = 0.0;          ///< diffuse, from the sky
  double circumsolar_wm2 = 0.0;  ///< the part of sky_wm2 that comes from the sun's direction
  double ground_wm2 = 0.0;       ///< thrown back by the ground
  double incidence_cos = 0.0;    ///< of the beam, not clipped
  double total_wm2() const { return beam_wm2 + sky_wm2 + ground_wm2; }
};

/// Sun, irradiance and surroundings at one instant. `relative_air_mass` serves Perez only.
struct SkyInput {
  Irradiance sky;
  double zenith_deg = 0.0;
  double azimuth_deg = 180.0;  ///< of the sun, from north over east
  double extraterrestrial_wm2 = solar_constant_wm2;
  std::optional<double> relative_air_mass{};
  double albedo = 0.2;  ///< of the ground
};
PlaneIrradiance plane_irradiance(SkyModel model, const Plane& plane, const SkyInput& in);
double ground_diffuse_wm2(double tilt_deg, double ghi_wm2, double albedo);

/// The three parts of Perez's sky diffuse (isotropic, circumsolar, horizon band), before the sum is
/// floored at zero. Perez et al., Solar Energy 44 (1990) 271, "all sites composite 1990" table.
struct PerezParts {
  double isotropic_wm2 = 0.0, circumsolar_wm2 = 0.0, horizon_wm2 = 0.0;
};
PerezParts perez_parts(const Plane& plane, const SkyInput& in);

// ---- Horizon and shade ------------------------------------------------------------------------

/// Skyline height by azimuth, piecewise linear and closed around the compass.
class Horizon {
 public:
  Horizon() = default;
  /// `azimuth_deg` rising within [0, 360), `height_deg` of the same length, at least one point.
  Horizon(std::span<const double> azimuth_deg, std::span<const double> height_deg);
  bool empty() const { return count_ == 0; }
  double height_deg(double azimuth_deg) const;
  /// Share of the isotropic sky dome a tilted plane still sees: 1 without a skyline.
  double sky_view(const Plane& plane) const;

 private:
  static constexpr std::size_t bins_ = 360;
  std::array<float, bins_ + 1> height_{};
  std::size_t count_ = 0;
};

}  // namespace nightbus
