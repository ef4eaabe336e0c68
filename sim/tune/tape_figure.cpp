#include "tune/tape_figure.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "model/index.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

const TapeWheel& wheel_of(const TapeFigure& figure) { return any_lane.wheel[figure.station]; }

/// The values of every lane. @param value  of a lane
template <class Value>
void each(const Rows& results, double* values, const Value& value) {
  const int lanes = results.lanes();
  for (int i = 0; i < lanes; ++i) values[i] = value(i);
}

void copy(const Rows& results, const double& field, double* values) {
  std::copy_n(results[row_of(field)], results.lanes(), values);
}

template <double TapeWheel::*field>
void of_wheel(const Tape&, const TapeFigure& figure, const Rows& results, double* values) {
  copy(results, wheel_of(figure).*field, values);
}

void spring_force(const Tape&, const TapeFigure& figure, const Rows& results, double* values) {
  copy(results, wheel_of(figure).spring_force_n[figure.spring], values);
}

template <double TapeResult::*sine>
void angle(const Tape&, const TapeFigure&, const Rows& results, double* values) {
  each(results, values, [s = results[row_of(any_lane.*sine)]](int i) { return std::asin(s[i]) * deg_per_rad; });
}

template <double TapeEnds::*sine>
void margin(const Tape&, const TapeFigure& figure, const Rows& results, double* values) {
  each(results, values, [s = results[row_of(any_lane.ends[figure.linkage].*sine)]](int i) { return margin_deg(s[i]); });
}

void height(const Tape&, const TapeFigure& figure, const Rows& results, double* values) {
  const auto row = [&](const double& field) { return results[row_of(field)]; };
  each(results, values,
       [p = figure.at_mm, height = row(any_lane.height_mm), sp = row(any_lane.sin_pitch), cp = row(any_lane.cos_pitch),
        sr = row(any_lane.sin_roll), cr = row(any_lane.cos_roll)](int i) {
         return height[i] - sp[i] * p[0] + cp[i] * (sr[i] * p[1] + cr[i] * p[2]);
       });
}

void ride_height(const Tape& tape, const TapeFigure& figure, const Rows& results, double* values) {
  if (tape.stand != tape_bench) return height(tape, figure, results, values);
  each(results, values,
       [s = tape.station[figure.station], load = results[row_of(wheel_of(figure).ground_load_n)],
        v = results[row_of(wheel_of(figure).centre_v_mm)]](int i) {
         return s.radius_mm - s.inverse_tyre_rate * load[i] - v[i];
       });
}

void reserve(const Tape&, const TapeFigure& figure, const Rows& results, double* values) {
  each(results, values,
       [most = results[row_of(wheel_of(figure).bump_load_n)], load = results[row_of(wheel_of(figure).load_n)]](int i) {
         const double ratio = most[i] / load[i];
         return load[i] > 0 ? ratio : nothing;
       });
}

void motion_ratio(const Tape&, const TapeFigure& figure, const Rows& results, double* values) {
  if (figure.spring >= 0) return copy(results, wheel_of(figure).spring_motion_ratio[figure.spring], values);
  constexpr double not_moved = 1e-9;  // a wheel that moves its spring by less has no ratio
  each(results, values, [ratio = results[row_of(wheel_of(figure).motion_ratio)]](int i) {
    return std::abs(ratio[i]) > not_moved ? ratio[i] : nothing;
  });
}

void frequency(const Tape&, const TapeFigure& figure, const Rows& results, double* values) {
  each(results, values, [rate_by_load = results[row_of(wheel_of(figure).rate_by_load_per_mm)]](int i) {
    constexpr double per_s2 = 1000 * gravity_m_per_s2;  // mm/s^2
    return std::sqrt(per_s2 * rate_by_load[i]) * (0.5 / std::numbers::pi);
  });
}

}  // namespace

const std::vector<TapeReader>& tape_readers() {
  static const std::vector<TapeReader> readers = {
      {name::price},
      {name::holes_changed},
      {name::clearance, height, 0, true},
      {name::pitch, angle<&TapeResult::sin_pitch>},
      {name::roll, angle<&TapeResult::sin_roll>},
      {name::sag, of_wheel<&TapeWheel::sag_mm>, wants_travel},
      {name::droop_travel, of_wheel<&TapeWheel::sag_mm>, wants_travel},
      {name::bump_travel, of_wheel<&TapeWheel::bump_travel_mm>, wants_travel},
      {name::reserve, reserve, wants_bump_load},
      {name::bump_load, of_wheel<&TapeWheel::bump_load_n>, wants_bump_load},
      {name::wheel_rate, of_wheel<&TapeWheel::wheel_rate_n_per_mm>},
      {name::frequency, frequency},
      {name::spring_force, spring_force},
      {name::toggle_margin, margin<&TapeEnds::toggle_sin>, wants_toggle},
      {name::coil_margin, margin<&TapeEnds::coil_sin>, wants_coil},
      {name::ride_height, ride_height, 0, true},
      {name::motion_ratio, motion_ratio},
  };
  return readers;
}

std::optional<TapeFigure> find_figure(const Model& model, const WrittenTape& tape, const Figure& figure) {
  TapeFigure out;
  out.reader = named(tape_readers(), figure.what->name);
  if (!out.reader) return std::nullopt;
  const auto put = [&](const Vec3& p) { std::copy(p.data(), p.data() + 3, out.at_mm); };
  if (figure.corner >= 0) {
    out.station = at(tape.station, figure.corner);
    if (out.station < 0) return std::nullopt;
    out.linkage = tape.tape.station[out.station].linkage;
    put(at(model.corners, figure.corner).at_mm);
  }
  if (figure.point >= 0) put(at(model.clearances, figure.point).at_mm);
  out.spring = figure.spring;
  return out;
}

bool reads_the_same(const TapeFigure& a, const TapeFigure& b, bool rolls) {
  const bool alike = a.at_mm[0] == b.at_mm[0] && a.at_mm[2] == b.at_mm[2] && (!rolls || a.at_mm[1] == b.at_mm[1]);
  return a.reader->read == b.reader->read && a.station == b.station && a.linkage == b.linkage && a.spring == b.spring &&
         (a.reader->read || a.reader == b.reader) && (!b.reader->depends_on_place || alike);
}

double margin_deg(double sine) { return sine > 1.5 ? nothing : std::asin(std::min(sine, 1.0)) * deg_per_rad; }

}  // namespace ridepitch
