#pragma once
// A number with its first and second derivatives: forward automatic differentiation.
//
// Every term of the oracle touches at most three bodies' worth of variables (the vehicle's height,
// pitch and roll, and two bodies of a linkage), so nine slots suffice. Chain rule to second order:
//
//     f(a)   : f' a_i                    f' a_ij + f'' a_i a_j
//     a b    : a_i b + a b_i             a_ij b + a_i b_j + a_j b_i + a b_ij

#include <array>
#include <cmath>

namespace ridepitch::oracle {

struct Jet {
  static constexpr int slots = 9;

  double value = 0;
  std::array<double, slots> slope{};
  std::array<double, slots*(slots + 1) / 2> bend{};  ///< lower triangle, row by row

  Jet() = default;
  Jet(double v) : value(v) {}  // NOLINT: a constant is a Jet without derivatives

  static constexpr int pair(int i, int j) { return i >= j ? i * (i + 1) / 2 + j : j * (j + 1) / 2 + i; }
};

/// f(a), from f and its first two derivatives at a.
inline Jet chain(const Jet& a, double f, double f1, double f2) {
  Jet r;
  r.value = f;
  for (int i = 0, k = 0; i < Jet::slots; ++i) {
    r.slope[i] = f1 * a.slope[i];
    for (int j = 0; j <= i; ++j, ++k) r.bend[k] = f1 * a.bend[k] + f2 * a.slope[i] * a.slope[j];
  }
  return r;
}

inline Jet operator+(const Jet& a, const Jet& b) {
  Jet r = a;
  r.value += b.value;
  for (int i = 0; i < Jet::slots; ++i) r.slope[i] += b.slope[i];
  for (std::size_t k = 0; k < r.bend.size(); ++k) r.bend[k] += b.bend[k];
  return r;
}

inline Jet operator-(const Jet& a) { return chain(a, -a.value, -1, 0); }
inline Jet operator-(const Jet& a, const Jet& b) { return a + (-b); }

inline Jet operator*(const Jet& a, const Jet& b) {
  Jet r;
  r.value = a.value * b.value;
  for (int i = 0, k = 0; i < Jet::slots; ++i) {
    r.slope[i] = a.slope[i] * b.value + a.value * b.slope[i];
    for (int j = 0; j <= i; ++j, ++k) {
      r.bend[k] = a.bend[k] * b.value + a.value * b.bend[k] + a.slope[i] * b.slope[j] + a.slope[j] * b.slope[i];
    }
  }
  return r;
}

inline Jet operator*(double c, const Jet& a) { return chain(a, c * a.value, c, 0); }

inline Jet sqrt(const Jet& a) {
  const double s = std::sqrt(a.value);
  return chain(a, s, 0.5 / s, -0.25 / (s * a.value));
}
inline Jet sin(const Jet& a) { return chain(a, std::sin(a.value), std::cos(a.value), -std::sin(a.value)); }
inline Jet cos(const Jet& a) { return chain(a, std::cos(a.value), -std::sin(a.value), -std::cos(a.value)); }

}  // namespace ridepitch::oracle
