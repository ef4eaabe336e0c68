#include "tune/tape_figure.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

std::optional<TapeFigure> find_figure(const Model& model, const WrittenTape& tape, const Figure& figure) {
  using From = TapeFigure::From;
  TapeFigure out;
  const auto put = [&](const Vec3& p) { std::copy(p.data(), p.data() + 3, out.at_mm); };
  if (figure.corner >= 0) {
    out.station = tape.station[at(figure.corner)];
    if (out.station < 0) return std::nullopt;
    out.linkage = tape.tape.station[out.station].linkage;
    put(model.corners[at(figure.corner)].at_mm);
  }
  if (figure.point >= 0) put(model.clearances[at(figure.point)].at_mm);
  out.spring = std::max(0, figure.spring);
  const std::pair<const char*, From> rows[] = {
      {"price", From::choice_price},
      {"holes_changed", From::choice_changed},
      {"clearance_mm", From::clearance},
      {"pitch_deg", From::pitch},
      {"roll_deg", From::roll},
      {"sag_mm", From::sag},
      {"droop_travel_mm", From::sag},
      {"bump_travel_mm", From::bump_travel},
      {"reserve", From::load_ratio},
      {"bump_load_n", From::bump_load},
      {"wheel_rate_n_per_mm", From::wheel_rate},
      {"frequency_hz", From::frequency},
      {"spring_force_n", From::spring_force},
      {"toggle_margin_deg", From::toggle},
      {"coil_margin_deg", From::coil},
      {"ride_height_mm", model.bench ? From::bench_height : From::ride_height},
      {"motion_ratio", figure.spring < 0 ? From::motion_ratio : From::spring_ratio}};
  for (const auto& [name, from] : rows) {
    if (figure.quantity != name) continue;
    out.from = from;
    return out;
  }
  return std::nullopt;
}

bool reads_the_same(const TapeFigure& a, const TapeFigure& b, bool rolls) {
  const bool has_a_place = b.from == TapeFigure::From::ride_height || b.from == TapeFigure::From::clearance;
  const bool alike = a.at_mm[0] == b.at_mm[0] && a.at_mm[2] == b.at_mm[2] && (!rolls || a.at_mm[1] == b.at_mm[1]);
  return a.from == b.from && a.station == b.station && a.linkage == b.linkage && a.spring == b.spring &&
         (!has_a_place || alike);
}

double margin_deg(double sine) { return sine > 1.5 ? nothing : std::asin(std::min(sine, 1.0)) * deg_per_rad; }

void read_figure(const Tape& tape, const TapeFigure& figure, const Rows& results, double* values) {
  using From = TapeFigure::From;
  const TapeWheel& wheel = any_lane.wheel[figure.station];
  const int lanes = results.lanes();
  const auto row = [&](const double& field) { return results[row_of(field)]; };
  const auto each = [&](const auto& value) {
    for (int i = 0; i < lanes; ++i) values[i] = value(i);
  };
  const auto angle = [&](const double& field) {
    each([sine = row(field)](int i) { return std::asin(sine[i]) * deg_per_rad; });
  };
  const auto margin = [&](const double& field) { each([sine = row(field)](int i) { return margin_deg(sine[i]); }); };
  const auto as_it_is = [&](const double& field) { std::copy_n(row(field), lanes, values); };
  switch (figure.from) {
    case From::choice_price:
    case From::choice_changed:
      break;
    case From::ride_height:
    case From::clearance:
      each([p = figure.at_mm, height = row(any_lane.height_mm), sp = row(any_lane.sin_pitch),
            cp = row(any_lane.cos_pitch), sr = row(any_lane.sin_roll), cr = row(any_lane.cos_roll)](int i) {
        return height[i] - sp[i] * p[0] + cp[i] * (sr[i] * p[1] + cr[i] * p[2]);
      });
      break;
    case From::bench_height:
      each([s = tape.station[figure.station], load = row(wheel.ground_load_n), v = row(wheel.centre_v_mm)](int i) {
        return s.radius_mm - s.inverse_tyre_rate * load[i] - v[i];
      });
      break;
    case From::pitch:
      angle(any_lane.sin_pitch);
      break;
    case From::roll:
      angle(any_lane.sin_roll);
      break;
    case From::sag:
      as_it_is(wheel.sag_mm);
      break;
    case From::bump_travel:
      as_it_is(wheel.bump_travel_mm);
      break;
    case From::load_ratio:
      each([most = row(wheel.bump_load_n), load = row(wheel.load_n)](int i) {
        const double ratio = most[i] / load[i];
        return load[i] > 0 ? ratio : nothing;
      });
      break;
    case From::bump_load:
      as_it_is(wheel.bump_load_n);
      break;
    case From::motion_ratio:
      each([ratio = row(wheel.motion_ratio)](int i) { return std::abs(ratio[i]) > 1e-9 ? ratio[i] : nothing; });
      break;
    case From::spring_ratio:
      as_it_is(wheel.spring_motion_ratio[figure.spring]);
      break;
    case From::wheel_rate:
      as_it_is(wheel.wheel_rate_n_per_mm);
      break;
    case From::frequency:
      each([rate_by_load = row(wheel.rate_by_load_per_mm)](int i) {
        constexpr double per_s2 = 1000 * gravity_m_per_s2;  // mm/s^2
        return std::sqrt(per_s2 * rate_by_load[i]) * (0.5 / std::numbers::pi);
      });
      break;
    case From::spring_force:
      as_it_is(wheel.spring_force_n[figure.spring]);
      break;
    case From::toggle:
      margin(any_lane.ends[figure.linkage].toggle_sin);
      break;
    case From::coil:
      margin(any_lane.ends[figure.linkage].coil_sin);
      break;
  }
}

}  // namespace ridepitch
