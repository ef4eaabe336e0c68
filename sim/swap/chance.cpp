#include "swap/chance.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"

namespace ridepitch {
namespace {

/// Of a wheel alone, as its frequency is told: on its tyre, if that has a rate.
double frequency_squared(const SampledWheel& wheel, const Tyre& tyre, int i) {
  double rate = at(wheel.wheel_rate_n_per_mm, i);
  if (tyre.rate_n_per_mm) rate = rate * *tyre.rate_n_per_mm / (rate + *tyre.rate_n_per_mm);
  return rate / at(wheel.load_n, i);
}

/// Whether a number of the second model is what it may be; one that the first does not have is not judged.
bool kept(std::string_view what, double before, double after, const Keep& keep) {
  if (std::isnan(before)) return true;
  const auto may_be = allowed(quantity(what), before, keep);
  return !may_be || (after >= may_be->least && after <= may_be->most.value_or(after));
}

/// A corner of both models.
struct Pair {
  int was = 0, is = 0;
};

const Tyre& tyre_of(const Model& model, int corner, int wheel) {
  return at(at(model.linkages, at(model.corners, corner).linkage).wheels, wheel).tyre;
}

bool wheel_kept(const Scattered& was, const Scattered& is, const Pair& corner, int w, int i, const Keep& keep) {
  const SampledWheel& before = at(at(was.sampled.corners, corner.was).wheels, w);
  const SampledWheel& after = at(at(is.sampled.corners, corner.is).wheels, w);
  const auto same = [&](std::string_view what, const Sample SampledWheel::*sample) {
    return kept(what, at(before.*sample, i), at(after.*sample, i), keep);
  };
  return same(name::wheel_rate, &SampledWheel::wheel_rate_n_per_mm) &&
         same(name::bump_travel, &SampledWheel::bump_travel_mm) &&
         kept(name::frequency, std::sqrt(frequency_squared(before, tyre_of(was.model, corner.was, w), i)),
              std::sqrt(frequency_squared(after, tyre_of(is.model, corner.is, w), i)), keep) &&
         kept(name::reserve, at(before.bump_load_n, i) / at(before.load_n, i),
              at(after.bump_load_n, i) / at(after.load_n, i), keep);
}

bool corner_kept(const Scattered& was, const Scattered& is, const Pair& corner, int i, const Keep& keep) {
  const SampledCorner &before = at(was.sampled.corners, corner.was), &after = at(is.sampled.corners, corner.is);
  if (!kept(name::ride_height, at(before.as_built_height_mm, i), at(after.as_built_height_mm, i), keep)) return false;
  for (int w = 0; w < std::min(count(before.wheels), count(after.wheels)); ++w)
    if (!wheel_kept(was, is, corner, w, i, keep)) return false;
  return true;
}

}  // namespace

std::optional<Chance> chance_of_keeping(const Scattered& was, const Scattered& is, const Keep& keep) {
  std::vector<Pair> corners;
  for (int c = 0; c < count(was.model.corners); ++c) {
    const auto same = std::find_if(is.model.corners.begin(), is.model.corners.end(),
                                   [&](const Corner& corner) { return corner.name == at(was.model.corners, c).name; });
    if (same == is.model.corners.end()) return std::nullopt;
    corners.push_back({c, static_cast<int>(same - is.model.corners.begin())});
  }
  const int vehicles = std::min(was.sampled.vehicles, is.sampled.vehicles);
  if (vehicles == 0) return std::nullopt;
  int keeping = 0;
  for (int i = 0; i < vehicles; ++i) {
    const auto same = [&](std::string_view what, const Sample SampledVehicles::*sample) {
      return kept(what, at(was.sampled.*sample, i), at(is.sampled.*sample, i), keep);
    };
    keeping += same(name::pitch, &SampledVehicles::pitch_deg) && same(name::roll, &SampledVehicles::roll_deg) &&
               std::all_of(corners.begin(), corners.end(),
                           [&](const Pair& corner) { return corner_kept(was, is, corner, i, keep); });
  }
  const double share = static_cast<double>(keeping) / vehicles;
  return Chance{share, std::sqrt(share * (1 - share) / vehicles), vehicles};
}

std::string chance_words(const Chance& chance) { return fmt::format("{:.0f} %", 100 * chance.share); }

}  // namespace ridepitch
