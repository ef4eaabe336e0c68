#pragma once
// Figures of the aims in what a kernel hands over: where they are there, and how they are read off.

#include <optional>

#include "tune/batch.hpp"
#include "tune/quantity.hpp"
#include "tune/write_tape.hpp"

namespace ridepitch {

/// Where a figure is in a kernel's result, found once.
struct TapeFigure {
  enum class From {
    choice_price,
    choice_changed,
    ride_height,
    bench_height,
    clearance,
    pitch,
    roll,
    sag,
    bump_travel,
    load_ratio,
    bump_load,
    motion_ratio,
    spring_ratio,
    wheel_rate,
    frequency,
    spring_force,
    toggle,
    coil
  };
  From from = From::sag;
  int station = 0, linkage = 0, spring = 0;
  double at_mm[3] = {0, 0, 0};
  int same_as = -1;  ///< an earlier figure that reads the same, the other side's of an axle; -1: none
};

/// @returns none where the kernels do not have it
std::optional<TapeFigure> find_figure(const Model& model, const WrittenTape& tape, const Figure& figure);

/// Left and right wheel of an axle are one station; heights of points to its left and right are alike where nothing rolls.
bool reads_the_same(const TapeFigure& a, const TapeFigure& b, bool rolls);

/// Of every lane; what it says of lanes that are not solved means nothing. @param figure  one of how the candidate stands, not of
/// what was chosen @param values  [lanes]
void read_figure(const Tape& tape, const TapeFigure& figure, const Rows& results, double* values);

/// @param sine  2: there is none. @returns not a number then
double margin_deg(double sine);

}  // namespace ridepitch
