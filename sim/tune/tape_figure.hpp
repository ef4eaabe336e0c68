#pragma once
// Figures of the aims in what a kernel hands over: where they are there, and how they are read off.

#include <optional>

#include "ride/figure.hpp"
#include "tune/batch.hpp"
#include "tune/write_tape.hpp"

namespace ridepitch {

struct TapeFigure;

/// What of the travel a kernel has to look for.
enum TapeWants : unsigned { wants_travel = 1, wants_toggle = 2, wants_coil = 4, wants_bump_load = 8 };

/// A quantity that the kernels have.
struct TapeReader {
  std::string_view name;
  /// Of every lane; null: of what was chosen, not of how it stands.
  void (*read)(const Tape& tape, const TapeFigure& figure, const Rows& results, double* values) = nullptr;
  unsigned wants = 0;             ///< TapeWants
  bool depends_on_place = false;  ///< on where on the vehicle the corner or point is
};

/// Where a figure is in a kernel's result, found once.
struct TapeFigure {
  const TapeReader* reader = nullptr;
  int station = 0, linkage = 0;
  int spring = -1;
  double at_mm[3] = {0, 0, 0};
  int same_as = -1;  ///< an earlier figure that reads the same, the other side's of an axle; -1: none
};

const std::vector<TapeReader>& tape_readers();

/// @returns none where the kernels do not have it
std::optional<TapeFigure> find_figure(const Model& model, const WrittenTape& tape, const Figure& figure);

/// Left and right wheel of an axle are one station; heights of points to its left and right are alike where nothing rolls.
bool reads_the_same(const TapeFigure& a, const TapeFigure& b, bool rolls);

/// @param sine  2: there is none. @returns not a number then
double margin_deg(double sine);

}  // namespace ridepitch
