#include "state/places.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "linkage/assemble.hpp"
#include "model/index.hpp"
#include "stack/made_of.hpp"

namespace ridepitch::view {

Vec2 snapped(const Vec2& p_mm, double step_mm) {
  return {step_mm * std::round(p_mm.x() / step_mm), step_mm * std::round(p_mm.y() / step_mm)};
}

Vec2 snapped(const Model& model, int linkage, int body, const Vec2& p_B_mm, double step_mm) {
  const auto holes = places_to_try(model, linkage, body);
  if (!holes) return snapped(p_B_mm, step_mm);
  return *std::min_element(holes->begin(), holes->end(), [&](const Vec2& a, const Vec2& b) {
    return (a - p_B_mm).squaredNorm() < (b - p_B_mm).squaredNorm();
  });
}

HolePlaces places_around(const Model& model, int linkage, int body, int hole, int reach_modules, double step_mm) {
  HolePlaces out{linkage, body, hole, {}, 0};
  const Vec2 here = at(at(at(model.linkages, linkage).bodies, body).holes, hole).p_B;
  if (const auto holes = places_to_try(model, linkage, body)) {
    const double reach_mm = (reach_modules + 1e-6) * model.module_mm;
    for (const Vec2& place : *holes)
      if ((place - here).lpNorm<Eigen::Infinity>() <= reach_mm) out.places.push_back({place, Fit::untried});
  } else {
    const Vec2 middle = snapped(here, step_mm);
    const int steps = static_cast<int>(std::lround(reach_modules * model.module_mm / step_mm));
    for (int v = -steps; v <= steps; ++v)
      for (int u = -steps; u <= steps; ++u) out.places.push_back({middle + step_mm * Vec2(u, v), Fit::untried});
  }
  std::stable_sort(out.places.begin(), out.places.end(), [&](const TriedPlace& a, const TriedPlace& b) {
    return (a.at_B_mm - here).squaredNorm() < (b.at_B_mm - here).squaredNorm();
  });
  return out;
}

bool try_places(const Model& model, HolePlaces& places, double seconds) {
  const auto start = std::chrono::steady_clock::now();
  Linkage linkage = at(model.linkages, places.linkage);
  Vec2& moved = at(at(linkage.bodies, places.body).holes, places.hole).p_B;
  while (places.tried < places.places.size()) {
    TriedPlace& place = places.places[places.tried];
    moved = place.at_B_mm;
    place.fit = assemble(linkage, model.module_mm).assembly ? Fit::fits : Fit::fits_not;
    ++places.tried;
    const std::chrono::duration<double> gone = std::chrono::steady_clock::now() - start;
    if (gone.count() >= seconds) break;
  }
  return places.tried < places.places.size();
}

}  // namespace ridepitch::view
