#include <algorithm>
#include <charconv>
#include <limits>

#include "source/toml_parser.hpp"

namespace nightbus::toml {

namespace {

/// Digits of `base` with single underscores between them.
bool all_digits(std::string_view text, int base) {
  bool digit_before = false;
  for (char c : text) {
    if (c == '_') {
      if (!digit_before) return false;
      digit_before = false;
      continue;
    }
    const bool hex = (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
    const bool digit = base == 16 ? is_digit(c) || hex : c >= '0' && c < '0' + base;
    if (!digit) return false;
    digit_before = true;
  }
  return digit_before;
}

std::string without_underscores(std::string_view text) {
  std::string out(text);
  out.erase(std::remove(out.begin(), out.end(), '_'), out.end());
  return out;
}

bool leads_with_zero(std::string_view digits) {
  return digits.size() > 1 && digits.front() == '0';
}

bool is_integer(std::string_view token, int& base, std::string_view& digits, bool& negative) {
  base = 10;
  digits = token;
  negative = false;
  if (token.size() > 2 && token[0] == '0' &&
      (token[1] == 'x' || token[1] == 'o' || token[1] == 'b')) {
    base = token[1] == 'x' ? 16 : token[1] == 'o' ? 8 : 2;
    digits = token.substr(2);
  } else if (!token.empty() && (token[0] == '+' || token[0] == '-')) {
    negative = token[0] == '-';
    digits = token.substr(1);
  }
  return all_digits(digits, base) && !(base == 10 && leads_with_zero(digits));
}

std::optional<Value> integer_of(std::string_view token) {
  int base = 10;
  std::string_view digits;
  bool negative = false;
  if (!is_integer(token, base, digits, negative)) return {};
  const auto plain = (negative ? "-" : "") + without_underscores(digits);
  Value value;
  value.kind = Value::Kind::integer;
  const auto result =
      std::from_chars(plain.data(), plain.data() + plain.size(), value.integer, base);
  if (result.ec != std::errc()) return {};
  value.real = static_cast<double>(value.integer);
  return value;
}

std::optional<Value> real_of(std::string_view token) {
  auto rest = token;
  const bool negative = rest.starts_with("-");
  if (negative || rest.starts_with("+")) rest.remove_prefix(1);
  Value value;
  value.kind = Value::Kind::real;
  if (rest == "inf" || rest == "nan") {
    value.real = rest == "inf" ? std::numeric_limits<double>::infinity()
                               : std::numeric_limits<double>::quiet_NaN();
    if (negative) value.real = -value.real;
    return value;
  }
  const auto e = std::min(rest.find_first_of("eE"), rest.size());
  const auto mantissa = rest.substr(0, e);
  const auto point = std::min(mantissa.find('.'), mantissa.size());
  if (!all_digits(mantissa.substr(0, point), 10) || leads_with_zero(mantissa.substr(0, point)))
    return {};
  if (point < mantissa.size() && !all_digits(mantissa.substr(point + 1), 10)) return {};
  if (point == mantissa.size() && e == rest.size()) return {};
  if (e < rest.size()) {
    auto exponent = rest.substr(e + 1);
    if (exponent.starts_with("+") || exponent.starts_with("-")) exponent.remove_prefix(1);
    if (!all_digits(exponent, 10)) return {};
  }
  auto plain = without_underscores(token);
  if (plain.front() == '+') plain.erase(0, 1);
  if (const auto sign = plain.find("e+"); sign != std::string::npos) plain.erase(sign + 1, 1);
  if (const auto sign = plain.find("E+"); sign != std::string::npos) plain.erase(sign + 1, 1);
  const auto result = std::from_chars(plain.data(), plain.data() + plain.size(), value.real);
  if (result.ec == std::errc::result_out_of_range) return {};
  return value;
}

/// True when `text` has the shape of `pattern`, in which 0 stands for any digit.
bool shaped(std::string_view text, std::string_view pattern) {
  return text.size() == pattern.size() &&
         std::equal(text.begin(), text.end(), pattern.begin(),
                    [](char c, char p) { return p == '0' ? is_digit(c) : c == p; });
}

int number_at(std::string_view text, std::size_t at, std::size_t length) {
  int number = 0;
  for (char c : text.substr(at, length)) number = number * 10 + (c - '0');
  return number;
}

bool is_time(std::string_view text) {
  if (text.size() < 8 || !shaped(text.substr(0, 8), "00:00:00")) return false;
  if (number_at(text, 0, 2) > 23 || number_at(text, 3, 2) > 59 || number_at(text, 6, 2) > 59)
    return false;
  const auto rest = text.substr(8);
  if (rest.empty()) return true;
  return rest.size() > 1 && rest.front() == '.' &&
         std::all_of(rest.begin() + 1, rest.end(), [](char c) { return is_digit(c); });
}

bool is_day(std::string_view text) {
  if (!shaped(text, "0000-00-00")) return false;
  const int year = number_at(text, 0, 4);
  const int month = number_at(text, 5, 2);
  const int day = number_at(text, 8, 2);
  const bool leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
  const bool short_month = month == 4 || month == 6 || month == 9 || month == 11;
  const int last = month == 2 ? (leap ? 29 : 28) : short_month ? 30 : 31;
  return month >= 1 && month <= 12 && day >= 1 && day <= last;
}

/// "+02:00"
bool is_offset(std::string_view text) {
  return (shaped(text, "+00:00") || shaped(text, "-00:00")) && number_at(text, 1, 2) <= 23 &&
         number_at(text, 4, 2) <= 59;
}

bool is_date(std::string_view text) {
  if (is_time(text)) return true;
  if (text.size() < 10 || !is_day(text.substr(0, 10))) return false;
  if (text.size() == 10) return true;
  if (text[10] != 'T' && text[10] != 't' && text[10] != ' ') return false;
  auto clock = text.substr(11);
  if (clock.ends_with("Z") || clock.ends_with("z")) {
    clock.remove_suffix(1);
  } else if (clock.size() > 6 && is_offset(clock.substr(clock.size() - 6))) {
    clock.remove_suffix(6);
  }
  return is_time(clock);
}

}  // namespace

bool too_large(std::string_view token) {
  int base = 10;
  std::string_view digits;
  bool negative = false;
  if (is_integer(token, base, digits, negative)) return !integer_of(token);
  const auto e = token.find_first_of("eE");
  return e != std::string_view::npos && !real_of(token) &&
         real_of(token.substr(0, e).find('.') == std::string_view::npos
                     ? std::string(token.substr(0, e)) + ".0"
                     : std::string(token.substr(0, e)));
}

std::optional<Value> scalar_of(std::string_view token) {
  Value value;
  if (token == "true" || token == "false") {
    value.kind = Value::Kind::flag;
    value.flag = token == "true";
    return value;
  }
  if (auto integer = integer_of(token)) return integer;
  if (auto real = real_of(token)) return real;
  if (!is_date(token)) return {};
  value.kind = Value::Kind::date;
  value.text = token;
  return value;
}

}  // namespace nightbus::toml
