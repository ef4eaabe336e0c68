#include "tune/aims.hpp"

#include <cmath>
#include <cstring>
#include <limits>

namespace ridepitch {
namespace {

/// Numbers of two candidates.
typedef double Two __attribute__((vector_size(16)));

template <class Number>
constexpr int numbers_in = 1;
template <>
constexpr int numbers_in<Two> = 2;

/// A number of each of several candidates; Number is double or Two.
template <class Number, int count>
struct Each {
  static constexpr int candidates = count * numbers_in<Number>;
  Number of[count] = {};
};

/// @param short_by  grows to what is missing of the need, in shares of it
template <class Number, int count>
void add_shortfall(const Constraint& need, const double* values, Each<Number, count>& short_by) {
  constexpr double no_bound = std::numeric_limits<double>::infinity();
  const double least = need.least.value_or(-no_bound), most = need.most.value_or(no_bound),
               by_low = need.least ? 1 / (std::abs(least) + 1e-9) : 1,
               by_high = need.most ? 1 / (std::abs(most) + 1e-9) : 1;
  const Number without_value = Number{} + 10;
  Each<Number, count> value;
  std::memcpy(value.of, values, sizeof value.of);
  for (int i = 0; i < count; ++i) {
    const Number here = value.of[i], under = (least - here) * by_low, over = (here - most) * by_high;
    const Number outside = under > over ? under : over, lacks = here == here ? outside : without_value;
    short_by.of[i] = lacks > short_by.of[i] ? lacks : short_by.of[i];
  }
}

/// @param worst  grows to the miss, and stays where it is not a number: one that does not exist is not made good by another
template <class Number, int count>
void add_miss(double target, const double* values, Each<Number, count>& worst) {
  Each<Number, count> value;
  std::memcpy(value.of, values, sizeof value.of);
  for (int i = 0; i < count; ++i) {
    const Number off = value.of[i] - target, miss = off < 0 ? -off : off, so_far = worst.of[i];
    const Number farther = miss <= so_far ? so_far : miss;
    worst.of[i] = so_far == so_far ? farther : so_far;
  }
}

template <class Number, int count>
void judge_some(const Aims& aims, const double* values, int lanes, Judgement* out) {
  using These = Each<Number, count>;
  These score, greatest, short_by, fails;
  for (Number& none : fails.of) none = Number{} - 1;
  for (std::size_t n = 0; n < aims.needs.size(); ++n) {
    These here;
    for (const int k : aims.needs[n].figures) add_shortfall(aims.needs[n], values + k * lanes, here);
    const Number index = Number{} + static_cast<double>(n);
    for (int i = 0; i < count; ++i) {
      short_by.of[i] += here.of[i];
      const Number first = fails.of[i] < 0 ? index : fails.of[i];
      fails.of[i] = here.of[i] > 0 ? first : fails.of[i];
    }
  }
  for (const Aim& want : aims.wants) {
    These worst;
    for (std::size_t k = 0; k < want.figures.size(); ++k)
      add_miss(want.target[k], values + want.figures[k] * lanes, worst);
    const double by_tolerance = 1 / want.tolerance;
    for (int i = 0; i < count; ++i) {
      const Number share = worst.of[i] * by_tolerance;
      score.of[i] += want.weight * share * share;
      greatest.of[i] = share > greatest.of[i] ? share : greatest.of[i];
    }
  }
  double numbers[4][These::candidates];
  std::memcpy(numbers[0], score.of, sizeof score.of);
  std::memcpy(numbers[1], greatest.of, sizeof greatest.of);
  std::memcpy(numbers[2], fails.of, sizeof fails.of);
  std::memcpy(numbers[3], short_by.of, sizeof short_by.of);
  for (int i = 0; i < These::candidates; ++i)
    out[i] = {numbers[0][i], numbers[1][i], static_cast<int>(numbers[2][i]), numbers[3][i]};
}

}  // namespace

void judge(const Aims& aims, const double* values, int lanes, Judgement* out) {
  int i = 0;
  for (; i + 8 <= lanes; i += 8) judge_some<Two, 4>(aims, values + i, lanes, out + i);
  for (; i + 2 <= lanes; i += 2) judge_some<Two, 1>(aims, values + i, lanes, out + i);
  for (; i < lanes; ++i) judge_some<double, 1>(aims, values + i, lanes, out + i);
}

Judgement judge(const Aims& aims, const double* values) {
  Judgement out;
  judge(aims, values, 1, &out);
  return out;
}

}  // namespace ridepitch
