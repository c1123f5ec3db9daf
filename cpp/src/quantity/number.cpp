#include "quantity/number.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>

#include "quantity/text.hpp"

namespace nightbus::quantity_detail {

std::optional<Decimal> scan_decimal(std::string_view text, std::size_t from) {
  Decimal number;
  std::size_t at = from;
  if (at < text.size() && (text[at] == '-' || text[at] == '+')) {
    number.negative = text[at++] == '-';
    while (at < text.size() && text[at] == ' ') ++at;
  }
  std::size_t count = 0;
  bool point = false;
  for (; at < text.size() && (is_digit(text[at]) || (text[at] == '.' && !point)); ++at) {
    if (text[at] == '.') {
      if (at + 1 < text.size() && text[at + 1] == '.') break;  // "8..30 V"
      point = true;
    } else {
      ++count;
    }
    number.digits.push_back(text[at]);
  }
  if (count == 0) return std::nullopt;
  if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
    std::size_t end = at + 1;
    bool down = false;
    if (end < text.size() && (text[end] == '-' || text[end] == '+')) down = text[end++] == '-';
    if (end < text.size() && is_digit(text[end])) {
      for (; end < text.size() && is_digit(text[end]); ++end) {
        number.exponent = std::min(number.exponent * 10 + (text[end] - '0'), 100000L);
      }
      if (down) number.exponent = -number.exponent;
      at = end;
    }
  }
  number.length = at - from;
  return number;
}

namespace {

/// Power of ten of the first digit that is not zero: "250" -> 2, "0.03" -> -2.
long leading_exponent(std::string_view digits) {
  const auto point = std::min(digits.find('.'), digits.size());
  const auto first = digits.find_first_not_of("0.");
  if (first == std::string_view::npos) return -1'000'000;
  const auto distance = static_cast<long>(point) - static_cast<long>(first);
  return distance > 0 ? distance - 1 : distance;
}

}  // namespace

double value_of(const Decimal& number, int ten) {
  const auto text = fmt::format("{}e{}", number.digits, number.exponent + ten);
  double value = 0.0;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
  if (result.ec == std::errc::result_out_of_range) {
    const bool huge = leading_exponent(number.digits) + number.exponent + ten > 0;
    value = huge ? std::numeric_limits<double>::infinity() : 0.0;
  }
  return number.negative ? -value : value;
}

namespace {

/// digits d.ddd · 10^exponent as plain or scientific text.
std::string place_point(std::string digits, long exponent) {
  while (digits.size() > 1 && digits.back() == '0') digits.pop_back();
  if (exponent < -5 || exponent > 14) {
    std::string out(1, digits[0]);
    if (digits.size() > 1) out += "." + digits.substr(1);
    return fmt::format("{}e{}", out, exponent);
  }
  if (exponent < 0)
    return "0." + std::string(static_cast<std::size_t>(-exponent - 1), '0') + digits;
  const auto whole = static_cast<std::size_t>(exponent) + 1;
  if (digits.size() <= whole) return digits + std::string(whole - digits.size(), '0');
  return digits.substr(0, whole) + "." + digits.substr(whole);
}

std::string from_scientific(std::string_view text, int ten) {
  std::string sign;
  if (text.front() == '-') {
    sign = "-";
    text.remove_prefix(1);
  }
  const auto e = text.find('e');
  std::string digits;
  for (char c : text.substr(0, e)) {
    if (c != '.') digits.push_back(c);
  }
  long exponent = 0;
  auto tail = text.substr(e + 1);
  if (tail.front() == '+') tail.remove_prefix(1);
  std::from_chars(tail.data(), tail.data() + tail.size(), exponent);
  if (digits.find_first_not_of('0') == std::string::npos) return "0";
  return sign + place_point(digits, exponent - ten);
}

}  // namespace

std::string print_decimal(double value, int ten) {
  if (!std::isfinite(value)) return std::isnan(value) ? "nan" : value > 0 ? "inf" : "-inf";
  std::array<char, 64> buffer;
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                 std::chars_format::scientific);
  return from_scientific({buffer.data(), static_cast<std::size_t>(end.ptr - buffer.data())}, ten);
}

std::string round_decimal(double value, int digits) {
  return from_scientific(fmt::format("{:.{}e}", value, std::max(digits, 1) - 1), 0);
}

double rounded_value(double value, int digits) {
  const auto decimal = scan_decimal(round_decimal(value, digits), 0);
  return decimal ? value_of(*decimal, 0) : value;
}

}  // namespace nightbus::quantity_detail
