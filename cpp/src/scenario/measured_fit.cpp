#include "scenario/measured_fit.hpp"

#include <algorithm>
#include <cmath>

#include "nightbus/scenario_measured.hpp"

namespace nightbus {

double chi_square_beyond(double value, std::size_t freedom) {
  if (freedom == 0 || value <= 0.0) {
    return 1.0;
  }
  // Q(k/2, x/2) by its finite sum: whole k/2 from e^-y, odd k from erfc(sqrt y), and
  // Q(a + 1) = Q(a) + y^a e^-y / gamma(a + 1).
  const double y = 0.5 * value;
  const bool odd = freedom % 2 == 1;
  double sum = odd ? std::erfc(std::sqrt(y)) : std::exp(-y);
  double a = odd ? 0.5 : 1.0;
  for (; a < 0.5 * static_cast<double>(freedom); a += 1.0) {
    sum += std::exp(a * std::log(y) - y - std::lgamma(a + 1.0));
  }
  return std::min(1.0, sum);
}

namespace measured_detail {

namespace {

// Squares below this share of their whole are rounding: columns nearer to parallel than that have
// no separate answers.
constexpr double parallel = 1e-6;
constexpr double unseen_column = 1e-6;  // in standard deviations for a whole unit of the knob

}  // namespace

Whitening::Whitening(std::vector<double> covariance, std::size_t size)
    : lower_(std::move(covariance)), size_(size) {
  for (std::size_t i = 0; i < size_; ++i) {
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = lower_[i * size_ + j];
      for (std::size_t k = 0; k < j; ++k) {
        sum -= lower_[i * size_ + k] * lower_[j * size_ + k];
      }
      lower_[i * size_ + j] = i == j ? std::sqrt(sum) : sum / lower_[j * size_ + j];
    }
  }
}

std::vector<double> Whitening::white(std::span<const double> column) const {
  std::vector<double> result(size_);
  for (std::size_t i = 0; i < size_; ++i) {
    double sum = column[i];
    for (std::size_t k = 0; k < i; ++k) {
      sum -= lower_[i * size_ + k] * result[k];
    }
    result[i] = sum / lower_[i * size_ + i];
  }
  return result;
}

double dot(std::span<const double> a, std::span<const double> b) {
  double sum = 0.0;
  for (std::size_t k = 0; k < a.size(); ++k) {
    sum += a[k] * b[k];
  }
  return sum;
}

std::optional<Step> fit(std::span<const double> residual,
                        std::span<const std::vector<double>> columns) {
  Step step;
  const double a = dot(columns[0], columns[0]);
  const double r = dot(columns[0], residual);
  if (a < unseen_column * unseen_column) {
    return std::nullopt;
  }
  if (columns.size() == 1) {
    step.theta[0] = r / a;
    step.sigma[0] = 1.0 / std::sqrt(a);
    step.drop = r * r / a;
    return step;
  }
  const double b = dot(columns[0], columns[1]);
  const double c = dot(columns[1], columns[1]);
  const double s = dot(columns[1], residual);
  const double determinant = a * c - b * b;
  if (c < unseen_column * unseen_column || determinant < parallel * a * c) {
    return std::nullopt;
  }
  step.theta[0] = (c * r - b * s) / determinant;
  step.theta[1] = (a * s - b * r) / determinant;
  step.sigma[0] = std::sqrt(c / determinant);
  step.sigma[1] = std::sqrt(a / determinant);
  step.drop = step.theta[0] * r + step.theta[1] * s;
  return step;
}

}  // namespace measured_detail

}  // namespace nightbus
