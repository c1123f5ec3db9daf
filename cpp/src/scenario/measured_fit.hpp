#pragma once
// Weighted least squares over readings whitened by their covariance.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace nightbus::measured_detail {

/// Row-major lower factor of a covariance, C = L Lᵀ.
class Whitening {
 public:
  Whitening(std::vector<double> covariance, std::size_t size);
  std::vector<double> white(std::span<const double> column) const;  ///< L⁻¹ column

 private:
  std::vector<double> lower_;
  std::size_t size_;
};

double dot(std::span<const double> a, std::span<const double> b);

/// One or two columns against a residual, all whitened.
struct Step {
  double theta[2] = {0.0, 0.0};
  double sigma[2] = {0.0, 0.0};
  double drop = 0.0;  ///< of the chi-square, at the linear optimum
};
/// Nothing when a column is not seen at all, or two cannot be told apart.
std::optional<Step> fit(std::span<const double> residual,
                        std::span<const std::vector<double>> columns);

}  // namespace nightbus::measured_detail
