#pragma once
// From candidates to the figures that are asked of them: by the batch kernels where the closed form covers the
// vehicle, by the general solver for the rest.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "tune/aims.hpp"
#include "tune/batch.hpp"
#include "tune/space.hpp"
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

/// Everything that evaluating needs, made once for a search; candidates only read it.
struct Evaluator {
  const Space* space = nullptr;
  const Aims* aims = nullptr;
  std::optional<WrittenTape> tape;  ///< none: the general solver does everything
  std::string why_no_tape;
  std::vector<TapeFigure> figures;                              ///< [figures of the aims]
  std::vector<int> distinct;                                    ///< figures that no earlier one reads the same as
  Aims judged;                                                  ///< the aims, asking for those only
  std::vector<std::vector<std::vector<TapeSetting>>> settings;  ///< [variables][options]
  BatchKernel kernel;
};

/// @param as_it_stands  the model of the space, solved
Evaluator make_evaluator(const Space& space, const Aims& aims, const Solution& as_it_stands);

enum class Fate : std::uint8_t {
  valued,
  not_together,
  hopeless,  ///< how it stands is not known, but a need of its travel or margins is not met however it stands
  unsure,    ///< the general solver must tell
};

/// Candidates taken in by a kernel, side by side; one for each thread.
struct Batch {
  explicit Batch(const Evaluator& evaluator);

  const Evaluator& evaluator;
  std::vector<double> parameters;
  std::vector<std::vector<int>>
      options;  ///< [lanes][variables] what each lane's parameters were last set to; -1: as it stands
  std::vector<TapeResult> results;  ///< [lanes]
  int filled = 0;
};

/// Puts a candidate into the next lane. @param options  [variables]
void add(Batch& batch, const std::vector<int>& options);

/// The first look that gives all figures that are asked for.
TapeLook first_look(const Evaluator& evaluator);

/// Solves the lanes that are filled; results stay until the next `run`.
void run(Batch& batch, TapeLook look);

/// Of one lane: its figures; of those that read the same the first, `fill_in` does the others.
/// @param values  [figures of the aims], written where the fate is `valued`
/// @param need  the one that makes it hopeless
Fate read_lane(const Batch& batch, int lane, double* values, int& need);

void fill_in(const Evaluator& evaluator, double* values);

/// One candidate by the general solver. @returns whether it has a solution
bool solve_candidate(const Evaluator& evaluator, std::uint64_t candidate, double* values);

}  // namespace ridepitch
