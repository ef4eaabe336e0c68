#pragma once
// How far the play of its pins lets a model's numbers wander.

#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/figure.hpp"
#include "ride/solution.hpp"
#include "tune/in_parallel.hpp"

namespace ridepitch {

/// A number and how far it may be off, either way.
struct Spread {
  Figure figure;  ///< ride height or motion ratio
  std::string where;
  double now = 0;
  double likely = 0;  ///< root of the sum of squares
  double worst = 0;   ///< sum: every pin off in its worst direction at once
};

struct PlayResult {
  bool complete = true;  ///< false: it was stopped, and the spreads are of nothing
  std::vector<Spread> spreads;
  int joints = 0;                      ///< of the whole model
  std::vector<std::string> not_known;  ///< joints at which the model has no stance a hair's breadth away
};

/// What pins with play do to ride heights and motion ratios, to first order, the joints of all corners taken together.
///
///     likely = play sqrt(sum |g_j|^2)      worst = play sum |g_j|
///
/// g_j is what the number changes by for each mm that joint j is off: a pin's second hole (and each further one) off the
/// first, either end of a rod or spring off its hole. A part under load lies in its holes the way it is pressed, so a
/// joint is off along its own force; a pin without force, any way. Slides, limits and the wheels' own bearings are left
/// without play.
/// Source: the usual law of error propagation (root of the sum of squares for independent errors).
///
/// @param play_mm  how far the centres of two holes on one pin can stand apart; >= 0
PlayResult pin_play(const Model& model, const Solution& solved, double play_mm, const OnDone& on_done = {},
                    const ShallEnd& shall_end = {});

}  // namespace ridepitch
