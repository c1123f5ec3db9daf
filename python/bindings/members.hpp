#pragma once
/// The members of a plain struct as a tuple of references, counted and taken apart by the compiler:
/// what is made of all members cannot forget one that is added later.

#include <cstddef>
#include <tuple>
#include <type_traits>

namespace nightbus::python {
namespace members_detail {

/// Becomes whatever a member wants; never run.
struct Anything {
  template <class T>
  operator T() const noexcept;  // NOLINT(google-explicit-constructor)
};

template <class T, class... Given>
constexpr std::size_t count_from() {
  if constexpr (requires { T{Given{}..., Anything{}}; }) {
    return count_from<T, Given..., Anything>();
  } else {
    return sizeof...(Given);
  }
}

}  // namespace members_detail

/// A base with members of its own counts as one of them.
template <class T>
inline constexpr std::size_t member_count = members_detail::count_from<T>();

#define NB_NAMES_1 m1
#define NB_NAMES_2 NB_NAMES_1, m2
#define NB_NAMES_3 NB_NAMES_2, m3
#define NB_NAMES_4 NB_NAMES_3, m4
#define NB_NAMES_5 NB_NAMES_4, m5
#define NB_NAMES_6 NB_NAMES_5, m6
#define NB_NAMES_7 NB_NAMES_6, m7
#define NB_NAMES_8 NB_NAMES_7, m8
#define NB_NAMES_9 NB_NAMES_8, m9
#define NB_NAMES_10 NB_NAMES_9, m10
#define NB_NAMES_11 NB_NAMES_10, m11
#define NB_NAMES_12 NB_NAMES_11, m12
#define NB_NAMES_13 NB_NAMES_12, m13
#define NB_NAMES_14 NB_NAMES_13, m14
#define NB_NAMES_15 NB_NAMES_14, m15
#define NB_NAMES_16 NB_NAMES_15, m16
#define NB_NAMES_17 NB_NAMES_16, m17
#define NB_NAMES_18 NB_NAMES_17, m18
#define NB_NAMES_19 NB_NAMES_18, m19
#define NB_NAMES_20 NB_NAMES_19, m20
#define NB_NAMES_21 NB_NAMES_20, m21
#define NB_NAMES_22 NB_NAMES_21, m22
#define NB_NAMES_23 NB_NAMES_22, m23
#define NB_NAMES_24 NB_NAMES_23, m24
#define NB_NAMES_25 NB_NAMES_24, m25
#define NB_NAMES_26 NB_NAMES_25, m26
#define NB_NAMES_27 NB_NAMES_26, m27
#define NB_NAMES_28 NB_NAMES_27, m28
#define NB_NAMES_29 NB_NAMES_28, m29
#define NB_NAMES_30 NB_NAMES_29, m30
#define NB_NAMES_31 NB_NAMES_30, m31
#define NB_NAMES_32 NB_NAMES_31, m32
#define NB_NAMES_33 NB_NAMES_32, m33
#define NB_NAMES_34 NB_NAMES_33, m34
#define NB_NAMES_35 NB_NAMES_34, m35
#define NB_NAMES_36 NB_NAMES_35, m36
#define NB_NAMES_37 NB_NAMES_36, m37
#define NB_NAMES_38 NB_NAMES_37, m38
#define NB_NAMES_39 NB_NAMES_38, m39
#define NB_NAMES_40 NB_NAMES_39, m40
#define NB_NAMES_41 NB_NAMES_40, m41
#define NB_NAMES_42 NB_NAMES_41, m42
#define NB_NAMES_43 NB_NAMES_42, m43
#define NB_NAMES_44 NB_NAMES_43, m44
#define NB_NAMES_45 NB_NAMES_44, m45
#define NB_NAMES_46 NB_NAMES_45, m46
#define NB_NAMES_47 NB_NAMES_46, m47
#define NB_NAMES_48 NB_NAMES_47, m48
#define NB_TAKE_APART(count)                \
  if constexpr (member_count<T> == count) { \
    auto& [NB_NAMES_##count] = value;       \
    return std::tie(NB_NAMES_##count);      \
  }                                         \
  static_assert(true)

/// `value` may be const; then so are the references.
template <class Value, class T = std::remove_const_t<Value>>
constexpr auto members_of(Value& value) {
  static_assert(std::is_aggregate_v<T>, "neither a plain struct nor a type that is known");
  static_assert(member_count<T> > 0 && member_count<T> <= 48);
  NB_TAKE_APART(1);
  NB_TAKE_APART(2);
  NB_TAKE_APART(3);
  NB_TAKE_APART(4);
  NB_TAKE_APART(5);
  NB_TAKE_APART(6);
  NB_TAKE_APART(7);
  NB_TAKE_APART(8);
  NB_TAKE_APART(9);
  NB_TAKE_APART(10);
  NB_TAKE_APART(11);
  NB_TAKE_APART(12);
  NB_TAKE_APART(13);
  NB_TAKE_APART(14);
  NB_TAKE_APART(15);
  NB_TAKE_APART(16);
  NB_TAKE_APART(17);
  NB_TAKE_APART(18);
  NB_TAKE_APART(19);
  NB_TAKE_APART(20);
  NB_TAKE_APART(21);
  NB_TAKE_APART(22);
  NB_TAKE_APART(23);
  NB_TAKE_APART(24);
  NB_TAKE_APART(25);
  NB_TAKE_APART(26);
  NB_TAKE_APART(27);
  NB_TAKE_APART(28);
  NB_TAKE_APART(29);
  NB_TAKE_APART(30);
  NB_TAKE_APART(31);
  NB_TAKE_APART(32);
  NB_TAKE_APART(33);
  NB_TAKE_APART(34);
  NB_TAKE_APART(35);
  NB_TAKE_APART(36);
  NB_TAKE_APART(37);
  NB_TAKE_APART(38);
  NB_TAKE_APART(39);
  NB_TAKE_APART(40);
  NB_TAKE_APART(41);
  NB_TAKE_APART(42);
  NB_TAKE_APART(43);
  NB_TAKE_APART(44);
  NB_TAKE_APART(45);
  NB_TAKE_APART(46);
  NB_TAKE_APART(47);
  NB_TAKE_APART(48);
}

#undef NB_TAKE_APART

}  // namespace nightbus::python
