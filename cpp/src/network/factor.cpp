#include "network/factor.hpp"

#include <algorithm>
#include <cmath>

namespace nightbus::network_detail {

namespace {

std::uint32_t find_in_column(const std::uint32_t* starts, const std::uint32_t* rows,
                             std::uint32_t column, std::uint32_t row) {
  const auto* first = rows + starts[column];
  const auto* last = rows + starts[column + 1];
  return static_cast<std::uint32_t>(std::lower_bound(first, last, row) - rows);
}

}  // namespace

Factor::Factor(const Elimination& elimination, bool symmetric)
    : count_(static_cast<std::uint32_t>(elimination.order.size())),
      order_(elimination.order),
      position_(elimination.position),
      start_store_(elimination.starts),
      row_store_(elimination.rows),
      symmetric_(symmetric) {
  if (start_store_.empty()) start_store_.assign(1, 0);
  starts_ = start_store_.data();
  rows_ = row_store_.data();
  for (std::uint32_t k = 0; k < count_; ++k)
    for (std::uint32_t p = starts_[k]; p < starts_[k + 1]; ++p)
      for (std::uint32_t q = starts_[k]; q < p; ++q)
        targets_.push_back(find_in_column(starts_, rows_, rows_[q], rows_[p]));
  values_.assign(count_ + 2 * row_store_.size() + 1, 0.0);
  before_.assign(count_, 0.0);
  work_.assign(count_, 0.0);
}

std::uint32_t Factor::entry(std::uint32_t row, std::uint32_t column) const {
  const auto unread = static_cast<std::uint32_t>(values_.size() - 1);
  if (row >= count_ || column >= count_) return unread;
  const std::uint32_t i = position_[row];
  const std::uint32_t j = position_[column];
  if (i == j) return i;
  const auto off = static_cast<std::uint32_t>(row_store_.size());
  if (i > j) return count_ + find_in_column(starts_, rows_, j, i);
  return count_ + off + find_in_column(starts_, rows_, i, j);
}

void Factor::clear() {
  std::fill(values_.begin(), values_.end(), 0.0);
}

bool Factor::factorise() {
  double* diagonal = values_.data();
  double* lower = diagonal + count_;
  double* upper = lower + row_store_.size();
  std::copy_n(diagonal, count_, before_.data());
  const std::uint32_t* target = targets_.data();
  std::uint32_t negative = 0;
  for (std::uint32_t k = 0; k < count_; ++k) {
    double pivot = diagonal[k];
    // A part that only a leak ties down: what is left of its last diagonal is rounding. Any small
    // positive value serves, since nothing flows there.
    if (std::abs(pivot) < 1e-14 * before_[k]) pivot = diagonal[k] = 1e-14 * before_[k];
    if (pivot == 0.0 || !std::isfinite(pivot)) {
      positive_ = false;
      return false;
    }
    if (pivot < 0.0) ++negative;
    const double inverse = 1.0 / pivot;
    for (std::uint32_t p = starts_[k]; p < starts_[k + 1]; ++p) {
      const double l = lower[p] *= inverse;
      diagonal[rows_[p]] -= l * upper[p];
      for (std::uint32_t q = starts_[k]; q < p; ++q) {
        const std::uint32_t t = *target++;
        lower[t] -= l * upper[q];
        upper[t] -= lower[q] * upper[p];
      }
    }
  }
  positive_ = symmetric_ ? negative == 0 : negative % 2 == 0;
  return true;
}

void Factor::solve(std::span<double> b) {
  const double* diagonal = values_.data();
  const double* lower = diagonal + count_;
  const double* upper = lower + row_store_.size();
  double* y = work_.data();
  for (std::uint32_t k = 0; k < count_; ++k) y[k] = b[order_[k]];
  for (std::uint32_t k = 0; k < count_; ++k)
    for (std::uint32_t p = starts_[k]; p < starts_[k + 1]; ++p) y[rows_[p]] -= lower[p] * y[k];
  for (std::uint32_t k = count_; k-- > 0;) {
    double sum = y[k];
    for (std::uint32_t p = starts_[k]; p < starts_[k + 1]; ++p) sum -= upper[p] * y[rows_[p]];
    y[k] = sum / diagonal[k];
    b[order_[k]] = y[k];
  }
}

void Factor::solve_transposed(std::span<double> b) {
  const double* diagonal = values_.data();
  const double* lower = diagonal + count_;
  const double* upper = lower + row_store_.size();
  double* y = work_.data();
  for (std::uint32_t k = 0; k < count_; ++k) y[k] = b[order_[k]];
  for (std::uint32_t k = 0; k < count_; ++k) {
    y[k] /= diagonal[k];
    for (std::uint32_t p = starts_[k]; p < starts_[k + 1]; ++p) y[rows_[p]] -= upper[p] * y[k];
  }
  for (std::uint32_t k = count_; k-- > 0;) {
    for (std::uint32_t p = starts_[k]; p < starts_[k + 1]; ++p) y[k] -= lower[p] * y[rows_[p]];
    b[order_[k]] = y[k];
  }
}

}  // namespace nightbus::network_detail
