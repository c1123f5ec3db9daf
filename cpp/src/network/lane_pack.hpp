// A pack of scenarios, one in each lane. Included by a kernel file inside its own namespace after
// it has set NIGHTBUS_LANE_BYTES (bytes of one vector register, 0 for plain doubles) and
// NIGHTBUS_LANE_REGISTERS (registers in a pack, to hide latency).
//
// Only operations that every machine rounds alike are used: no fused multiply-add, no approximate
// reciprocal. A lane therefore computes bit for bit what a plain double would.

#define NIGHTBUS_INLINE inline __attribute__((always_inline))

#if NIGHTBUS_LANE_BYTES == 0

constexpr int lanes = 1;
using Mask = bool;
using Pack = double;
inline Pack broadcast(double v) {
  return v;
}
inline Mask both(Mask a, Mask b) {
  return a && b;
}
inline Mask either(Mask a, Mask b) {
  return a || b;
}
inline Mask but_not(Mask a, Mask b) {
  return a && !b;
}
inline Mask all_set() {
  return true;
}
inline bool any(Mask m) {
  return m;
}
inline Mask less(Pack a, Pack b) {
  return a < b;
}
inline Mask less_equal(Pack a, Pack b) {
  return a <= b;
}
inline Pack select(Mask m, Pack a, Pack b) {
  return m ? a : b;
}
inline Pack largest(Pack a, Pack b) {
  return a < b ? b : a;
}
inline Pack smallest(Pack a, Pack b) {
  return b < a ? b : a;
}
inline Pack magnitude(Pack a) {
  return __builtin_fabs(a);
}
inline Pack square_root(Pack a) {
  return __builtin_sqrt(a);
}
inline double lane(const Pack& a, int) {
  return a;
}
inline bool lane_set(const Mask& m, int) {
  return m;
}
inline Pack gather(const double* from, std::ptrdiff_t, std::uint32_t) {
  return *from;
}
inline void scatter(const Pack& a, double* to, std::ptrdiff_t, std::uint32_t) {
  *to = a;
}
inline void store(const Pack& a, double* to) {
  *to = a;
}

#else

constexpr int width = NIGHTBUS_LANE_BYTES / 8;
constexpr int registers = NIGHTBUS_LANE_REGISTERS;
constexpr int lanes = width * registers;
// The form in which the compilers' manuals attach vector attributes.
// NOLINTBEGIN(modernize-use-using)
typedef double Vector __attribute__((vector_size(NIGHTBUS_LANE_BYTES)));
typedef long long Bits __attribute__((vector_size(NIGHTBUS_LANE_BYTES)));
typedef double LooseVector __attribute__((vector_size(NIGHTBUS_LANE_BYTES), aligned(8), may_alias));
// NOLINTEND(modernize-use-using)

struct alignas(NIGHTBUS_LANE_BYTES) Pack {
  Vector v[registers];
};
struct Mask {
  Bits m[registers];
};

#define NIGHTBUS_EACH for (int r = 0; r < registers; ++r)

NIGHTBUS_INLINE Pack broadcast(double x) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = x - Vector{};
  return p;
}
NIGHTBUS_INLINE Pack operator+(const Pack& a, const Pack& b) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = a.v[r] + b.v[r];
  return p;
}
NIGHTBUS_INLINE Pack operator-(const Pack& a, const Pack& b) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = a.v[r] - b.v[r];
  return p;
}
NIGHTBUS_INLINE Pack operator*(const Pack& a, const Pack& b) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = a.v[r] * b.v[r];
  return p;
}
NIGHTBUS_INLINE Pack operator/(const Pack& a, const Pack& b) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = a.v[r] / b.v[r];
  return p;
}
NIGHTBUS_INLINE Pack operator-(const Pack& a) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = -a.v[r];
  return p;
}
NIGHTBUS_INLINE Pack& operator+=(Pack& a, const Pack& b) {
  return a = a + b;
}
NIGHTBUS_INLINE Pack& operator-=(Pack& a, const Pack& b) {
  return a = a - b;
}
NIGHTBUS_INLINE Mask less(const Pack& a, const Pack& b) {
  Mask m;
  NIGHTBUS_EACH m.m[r] = a.v[r] < b.v[r];
  return m;
}
NIGHTBUS_INLINE Mask less_equal(const Pack& a, const Pack& b) {
  Mask m;
  NIGHTBUS_EACH m.m[r] = a.v[r] <= b.v[r];
  return m;
}
NIGHTBUS_INLINE Mask both(const Mask& a, const Mask& b) {
  Mask m;
  NIGHTBUS_EACH m.m[r] = a.m[r] & b.m[r];
  return m;
}
NIGHTBUS_INLINE Mask either(const Mask& a, const Mask& b) {
  Mask m;
  NIGHTBUS_EACH m.m[r] = a.m[r] | b.m[r];
  return m;
}
NIGHTBUS_INLINE Mask but_not(const Mask& a, const Mask& b) {
  Mask m;
  NIGHTBUS_EACH m.m[r] = a.m[r] & ~b.m[r];
  return m;
}
NIGHTBUS_INLINE Mask all_set() {
  Mask m;
  NIGHTBUS_EACH m.m[r] = ~Bits{};
  return m;
}
NIGHTBUS_INLINE Pack select(const Mask& m, const Pack& a, const Pack& b) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = m.m[r] ? a.v[r] : b.v[r];
  return p;
}
NIGHTBUS_INLINE Pack largest(const Pack& a, const Pack& b) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = a.v[r] < b.v[r] ? b.v[r] : a.v[r];
  return p;
}
NIGHTBUS_INLINE Pack smallest(const Pack& a, const Pack& b) {
  Pack p;
  NIGHTBUS_EACH p.v[r] = b.v[r] < a.v[r] ? b.v[r] : a.v[r];
  return p;
}
NIGHTBUS_INLINE Pack magnitude(const Pack& a) {
  Pack p;
  NIGHTBUS_EACH p.v[r] =
      reinterpret_cast<Vector>(reinterpret_cast<Bits>(a.v[r]) & 0x7fffffffffffffffLL);
  return p;
}
NIGHTBUS_INLINE Pack square_root(const Pack& a) {
  Pack p;
  NIGHTBUS_EACH for (int k = 0; k < width; ++k) p.v[r][k] = __builtin_sqrt(a.v[r][k]);
  return p;
}
NIGHTBUS_INLINE double lane(const Pack& a, int k) {
  return a.v[k / width][k % width];
}
NIGHTBUS_INLINE bool lane_set(const Mask& m, int k) {
  return m.m[k / width][k % width] != 0;
}
NIGHTBUS_INLINE bool any(const Mask& m) {
  Bits b = m.m[0];
  for (int r = 1; r < registers; ++r) b |= m.m[r];
  long long folded = 0;
  for (int k = 0; k < width; ++k) folded |= b[k];
  return folded != 0;
}
// Lanes beyond `count` repeat the last valid one.
NIGHTBUS_INLINE Pack gather(const double* from, std::ptrdiff_t stride, std::uint32_t count) {
  Pack p;
  if (stride == 1 && count == lanes) {
    NIGHTBUS_EACH p.v[r] = *reinterpret_cast<const LooseVector*>(from + r * width);
    return p;
  }
  for (int k = 0; k < lanes; ++k) {
    const int at = k < static_cast<int>(count) ? k : static_cast<int>(count) - 1;
    p.v[k / width][k % width] = from[at * stride];
  }
  return p;
}
NIGHTBUS_INLINE void store(const Pack& a, double* to) {
  NIGHTBUS_EACH* reinterpret_cast<LooseVector*>(to + r * width) = a.v[r];
}
NIGHTBUS_INLINE void scatter(const Pack& a, double* to, std::ptrdiff_t stride,
                             std::uint32_t count) {
  if (stride == 1 && count == lanes) {
    store(a, to);
    return;
  }
  for (int k = 0; k < static_cast<int>(count); ++k) to[k * stride] = lane(a, k);
}

#endif
