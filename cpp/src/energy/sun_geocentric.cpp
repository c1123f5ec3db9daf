// Where the sun stands seen from the centre of the earth (NREL/TP-560-34302, sections 3.1 to 3.10).
//
//   JME   Julian ephemeris millennium = (JD + ΔT/86400 - 2451545) / 365250
//   L,B,R heliocentric longitude, latitude and distance: Σ over rows A cos(B + C·JME), then a
//         polynomial in JME over the series, divided by 1e8
//   Δψ,Δε nutation: Σ (a + b·JCE) sin(Σ Xj·Yj), Σ (c + d·JCE) cos(Σ Xj·Yj)
//   λ     = L + 180° + Δψ + Δτ, with the aberration Δτ = -20.4898″/R
//   α     = atan2(sin λ cos ε - tan β sin ε, cos λ),  β = -B
//   δ     = asin(sin β cos ε + cos β sin ε sin λ)
//   ν     = mean sidereal time + Δψ cos ε

#include "energy/sun_internal.hpp"
#include "energy/sun_terms.hpp"

namespace nightbus::sun_detail {
namespace {

template <std::size_t N>
double series(const std::array<PeriodicTerm, N>& terms, double jme) {
  double sum = 0.0;
  for (const PeriodicTerm& term : terms) sum += term.a * std::cos(term.b + term.c * jme);
  return sum;
}

double helio_longitude_deg(double jme) {
  const double l =
      series(longitude_0, jme) +
      jme * (series(longitude_1, jme) +
             jme * (series(longitude_2, jme) +
                    jme * (series(longitude_3, jme) +
                           jme * (series(longitude_4, jme) + jme * series(longitude_5, jme)))));
  return wrap_360(l / 1e8 * deg);
}

double helio_latitude_deg(double jme) {
  return (series(latitude_0, jme) + jme * series(latitude_1, jme)) / 1e8 * deg;
}

double helio_distance_au(double jme) {
  return (series(radius_0, jme) +
          jme * (series(radius_1, jme) +
                 jme * (series(radius_2, jme) +
                        jme * (series(radius_3, jme) + jme * series(radius_4, jme))))) /
         1e8;
}

struct Nutation {
  double longitude_deg, obliquity_deg;
};

Nutation nutation(double jce) {
  const std::array<double, 5> x{
      297.85036 + jce * (445267.111480 + jce * (-0.0019142 + jce / 189474.0)),
      357.52772 + jce * (35999.050340 + jce * (-0.0001603 - jce / 300000.0)),
      134.96298 + jce * (477198.867398 + jce * (0.0086972 + jce / 56250.0)),
      93.27191 + jce * (483202.017538 + jce * (-0.0036825 + jce / 327270.0)),
      125.04452 + jce * (-1934.136261 + jce * (0.0020708 + jce / 450000.0))};
  double psi = 0.0;
  double epsilon = 0.0;
  for (const NutationTerm& term : nutation_terms) {
    double angle = 0.0;
    for (std::size_t k = 0; k < x.size(); ++k) angle += term.y[k] * x[k];
    angle = std::fmod(angle, 360.0) * rad;
    psi += (term.a + term.b * jce) * std::sin(angle);
    epsilon += (term.c + term.d * jce) * std::cos(angle);
  }
  return {psi / 36000000.0, epsilon / 36000000.0};
}

double mean_obliquity_deg(double jme) {
  constexpr std::array<double, 11> coefficients{
      84381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45};
  const double u = jme / 10.0;
  double sum = 0.0;
  for (std::size_t k = coefficients.size(); k-- > 0;) sum = sum * u + coefficients[k];
  return sum / 3600.0;
}

}  // namespace

double mean_longitude_deg(double jme) {
  return 280.4664567 + jme * (360007.6982779 +
                              jme * (0.03032028 + jme * (1.0 / 49931.0 + jme * (-1.0 / 15300.0 -
                                                                                jme / 2000000.0))));
}

Geocentric geocentric(double time_s, double delta_t) {
  Geocentric g{};
  g.jd = julian_day(time_s);
  g.jde = g.jd + delta_t / 86400.0;
  const double jce = (g.jde - 2451545.0) / 36525.0;
  g.jme = jce / 10.0;
  g.longitude_deg = helio_longitude_deg(g.jme);
  g.latitude_deg = helio_latitude_deg(g.jme);
  g.distance_au = helio_distance_au(g.jme);
  const Nutation n = nutation(jce);
  g.nutation_longitude_deg = n.longitude_deg;
  g.nutation_obliquity_deg = n.obliquity_deg;
  g.obliquity_deg = mean_obliquity_deg(g.jme) + n.obliquity_deg;
  g.aberration_deg = -20.4898 / (3600.0 * g.distance_au);
  g.apparent_longitude_deg = wrap_360(g.longitude_deg + 180.0) + n.longitude_deg + g.aberration_deg;
  g.sidereal_deg =
      wrap_360(mean_sidereal_deg(g.jd)) + n.longitude_deg * std::cos(g.obliquity_deg * rad);
  const double lambda = g.apparent_longitude_deg * rad;
  const double epsilon = g.obliquity_deg * rad;
  const double beta = -g.latitude_deg * rad;
  g.right_ascension_deg =
      wrap_360(std::atan2(std::sin(lambda) * std::cos(epsilon) - std::tan(beta) * std::sin(epsilon),
                          std::cos(lambda)) *
               deg);
  g.declination_deg = std::asin(std::sin(beta) * std::cos(epsilon) +
                                std::cos(beta) * std::sin(epsilon) * std::sin(lambda)) *
                      deg;
  return g;
}

ObserverRadius observer_radius(double latitude_deg, double altitude_m) {
  const double phi = latitude_deg * rad;
  const double u = std::atan(0.99664719 * std::tan(phi));
  const double height = altitude_m / 6378140.0;
  return {std::cos(u) + height * std::cos(phi), 0.99664719 * std::sin(u) + height * std::sin(phi)};
}

double equation_of_time_min(double mean_longitude, double right_ascension, double equinox_deg) {
  return 4.0 * wrap_180(mean_longitude - 0.0057183 - right_ascension + equinox_deg);
}

}  // namespace nightbus::sun_detail
