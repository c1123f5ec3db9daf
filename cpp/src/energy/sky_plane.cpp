// Splitting and transposition. v = (1 + cos β)/2 is the part of the sky a plane of tilt β sees,
// A = DNI/E0 the anisotropy index, Rb = cos θ / cos z the beam's geometric factor.
//
//   isotropic   DHI v
//   Hay–Davies  DHI (A Rb + (1 - A) v)
//   Reindl      DHI (A Rb + (1 - A) v (1 + √(DNI cos z / GHI) sin³(β/2)))
//   Klucher     DHI v (1 + F sin³(β/2)) (1 + F cos²θ sin³z),  F = 1 - (DHI/GHI)²
//   Perez       DHI ((1 - F1) v + F1 max(cos θ, 0)/max(cos z, cos 85°) + F2 sin β)
//
// Low sun: cos z is floored in Rb (0.01745, the sun one degree up), kt is capped, and no beam is
// trusted beyond z = 87°.

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "energy/sky_internal.hpp"

namespace nightbus {

namespace {

constexpr double rad = std::numbers::pi / 180.0;

struct PerezRow {
  double from, f11, f12, f13, f21, f22, f23;
};
// Perez et al., Solar Energy 44 (1990) 271, table 6, "all sites composite 1990".
constexpr std::array<PerezRow, 8> perez_rows{{
    {1.000, -0.008, 0.588, -0.062, -0.060, 0.072, -0.022},
    {1.065, 0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
    {1.230, 0.330, 0.487, -0.221, 0.055, -0.064, -0.026},
    {1.500, 0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
    {1.950, 0.873, -0.392, -0.362, 0.226, -0.462, 0.001},
    {2.800, 1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
    {4.500, 1.060, -1.600, -0.359, 0.264, -1.127, 0.131},
    {6.200, 0.678, -0.327, -0.250, 0.156, -1.377, 0.251},
}};

double incidence_cos(const Plane& plane, double zenith_deg, double azimuth_deg) {
  const double c = std::cos(plane.tilt_deg * rad) * std::cos(zenith_deg * rad) +
                   std::sin(plane.tilt_deg * rad) * std::sin(zenith_deg * rad) *
                       std::cos((azimuth_deg - plane.azimuth_deg) * rad);
  return std::clamp(c, -1.0, 1.0);
}

}  // namespace

Split erbs(double ghi_wm2, double zenith_deg, double extraterrestrial_wm2) {
  if (!(ghi_wm2 > 0.0)) return {};
  const double cos_z = std::cos(zenith_deg * rad);
  const double kt = std::clamp(ghi_wm2 / (extraterrestrial_wm2 * std::max(cos_z, 0.065)), 0.0, 1.0);
  double fraction = 0.165;
  if (kt <= 0.22) {
    fraction = 1.0 - 0.09 * kt;
  } else if (kt <= 0.80) {
    fraction = 0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)));
  }
  if (zenith_deg > 87.0) return {0.0, ghi_wm2, kt};
  const double dhi = fraction * ghi_wm2;
  return {(ghi_wm2 - dhi) / cos_z, dhi, kt};
}

double ground_diffuse_wm2(double tilt_deg, double ghi_wm2, double albedo) {
  return ghi_wm2 * albedo * (1.0 - std::cos(tilt_deg * rad)) * 0.5;
}

namespace {

PerezParts perez_of(const sky_detail::PlaneGeometry& g, const SkyInput& in) {
  PerezParts parts;
  const double dhi = in.sky.dhi_wm2;
  if (!(dhi > 0.0) || !in.relative_air_mass) return parts;
  const double z = std::acos(std::clamp(g.cos_zenith, -1.0, 1.0));
  const double kappa = 1.041 * z * z * z;
  const double epsilon = ((dhi + in.sky.dni_wm2) / dhi + kappa) / (1.0 + kappa);
  const double delta = dhi * *in.relative_air_mass / in.extraterrestrial_wm2;
  std::size_t bin = 0;
  while (bin + 1 < perez_rows.size() && epsilon >= perez_rows[bin + 1].from) ++bin;
  const PerezRow& row = perez_rows[bin];
  const double f1 = std::max(row.f11 + row.f12 * delta + row.f13 * z, 0.0);
  const double f2 = row.f21 + row.f22 * delta + row.f23 * z;
  const double a = std::max(g.cos_incidence, 0.0);
  const double b = std::max(g.cos_zenith, std::cos(85.0 * rad));
  parts.isotropic_wm2 = dhi * 0.5 * (1.0 - f1) * (1.0 + g.cos_tilt);
  parts.circumsolar_wm2 = dhi * f1 * a / b;
  parts.horizon_wm2 = dhi * f2 * g.sin_tilt;
  return parts;
}

sky_detail::PlaneGeometry geometry_of(const Plane& plane, const SkyInput& in) {
  return {std::cos(plane.tilt_deg * rad), std::sin(plane.tilt_deg * rad),
          incidence_cos(plane, in.zenith_deg, in.azimuth_deg), std::cos(in.zenith_deg * rad)};
}

}  // namespace

PerezParts perez_parts(const Plane& plane, const SkyInput& in) {
  return perez_of(geometry_of(plane, in), in);
}

PlaneIrradiance plane_irradiance(SkyModel model, const Plane& plane, const SkyInput& in) {
  return sky_detail::transpose(model, geometry_of(plane, in), in);
}

PlaneIrradiance sky_detail::transpose(SkyModel model, const PlaneGeometry& g, const SkyInput& in) {
  const Irradiance& sky = in.sky;
  const double view = 0.5 * (1.0 + g.cos_tilt);
  PlaneIrradiance out;
  out.incidence_cos = g.cos_incidence;
  const double cos_i = std::max(g.cos_incidence, 0.0);
  out.beam_wm2 = sky.dni_wm2 * cos_i;
  out.ground_wm2 = sky.ghi_wm2 * in.albedo * (1.0 - g.cos_tilt) * 0.5;

  const double a = sky.dni_wm2 / in.extraterrestrial_wm2;
  const double rb = cos_i / std::max(g.cos_zenith, 0.01745);
  const auto sin_half_tilt_cubed = [&] { return std::pow(0.5 * (1.0 - g.cos_tilt), 1.5); };
  switch (model) {
    case SkyModel::isotropic:
      out.sky_wm2 = sky.dhi_wm2 * view;
      break;
    case SkyModel::hay_davies:
      out.circumsolar_wm2 = sky.dhi_wm2 * a * rb;
      out.sky_wm2 = out.circumsolar_wm2 + sky.dhi_wm2 * (1.0 - a) * view;
      break;
    case SkyModel::reindl: {
      const double beam_share =
          sky.ghi_wm2 > 0.0 ? std::max(sky.dni_wm2 * g.cos_zenith, 0.0) / sky.ghi_wm2 : 0.0;
      const double rise = 1.0 + std::sqrt(beam_share) * sin_half_tilt_cubed();
      out.circumsolar_wm2 = sky.dhi_wm2 * a * rb;
      out.sky_wm2 = out.circumsolar_wm2 + sky.dhi_wm2 * (1.0 - a) * view * rise;
      break;
    }
    case SkyModel::klucher: {
      const double ratio = sky.ghi_wm2 > 0.0 ? sky.dhi_wm2 / sky.ghi_wm2 : 1.0;
      const double f = 1.0 - ratio * ratio;
      const double sin_z_cubed = std::pow(std::max(1.0 - g.cos_zenith * g.cos_zenith, 0.0), 1.5);
      out.sky_wm2 = sky.dhi_wm2 * view * (1.0 + f * sin_half_tilt_cubed()) *
                    (1.0 + f * cos_i * cos_i * sin_z_cubed);
      break;
    }
    case SkyModel::perez: {
      const PerezParts p = perez_of(g, in);
      out.circumsolar_wm2 = p.circumsolar_wm2;
      out.sky_wm2 = p.isotropic_wm2 + p.circumsolar_wm2 + p.horizon_wm2;
      break;
    }
  }
  out.sky_wm2 = std::max(out.sky_wm2, 0.0);
  out.circumsolar_wm2 = std::clamp(out.circumsolar_wm2, 0.0, out.sky_wm2);
  return out;
}

}  // namespace nightbus
