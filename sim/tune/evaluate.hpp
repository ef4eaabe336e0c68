#pragma once
// From candidates to the figures that are asked of them: by the batch kernels where the closed form covers the
// vehicle, by the general solver for the rest.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "steer/steering.hpp"
#include "tune/aims.hpp"
#include "tune/batch.hpp"
#include "tune/space.hpp"
#include "tune/tape_figure.hpp"
#include "tune/write_tape.hpp"

namespace ridepitch {

/// Everything that evaluating needs, made once for a search; candidates only read it.
struct Evaluator {
  const Space* space = nullptr;
  const Aims* aims = nullptr;
  const Solution* as_it_stands = nullptr;  ///< the model of the space, solved
  std::optional<WrittenTape> tape;         ///< none: the general solver does everything
  std::string why_no_tape;
  std::vector<TapeFigure> figures;                          ///< [figures of the aims]
  std::vector<int> distinct;                                ///< figures that no earlier one reads the same as
  Aims judged;                                              ///< the aims, asking for those only
  std::vector<std::vector<std::vector<TapeSetting>>> sets;  ///< [variables][options] what they set
  BatchKernel kernel;
  std::vector<Finding> findings;  ///< of the model as it stands
};

/// @param as_it_stands  the model of the space, solved; must outlive it
Evaluator make_evaluator(const Space& space, const Aims& aims, const Solution& as_it_stands);

/// A quantity of the choice itself. @param options  [variables]
double value_of_choice(const Space& space, const Quantity& quantity, const std::vector<int>& options);

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
  Rows parameters;  ///< tape_parameters of every linkage
  std::vector<std::vector<int>>
      options;  ///< [lanes][variables] what each lane's parameters were last set to; -1: as it stands
  Rows results;
  Rows values;  ///< [figures of the aims], of those that no earlier one reads the same as; of lanes that are solved
  int filled = 0;
  int position_solves = 0;  ///< that the last run took
};

/// Puts a candidate into the next lane. @param options  [variables]
void add(Batch& batch, const std::vector<int>& options);

/// Solves the lanes that are filled and reads their figures; both stay until the next `run`.
void run(Batch& batch, TapeLook look);

/// What became of one lane. @param need  the one that makes it hopeless
Fate fate_of(const Batch& batch, int lane, int& need);

/// All figures of a lane that is valued. @returns [figures of the aims]
std::vector<double> read_lane(const Batch& batch, int lane);

/// Problems and warnings of one model that another does not have at the same place; the code tells them apart.
std::vector<Finding> new_findings(const std::vector<Finding>& before, const std::vector<Finding>& after);

/// A candidate solved in full, its steering and all that is found against it included.
struct SolvedCandidate {
  Model model;
  Solution solution;  ///< its findings are all that there are
  SteerResult steering;
};

/// @returns none where it has no solution
std::optional<SolvedCandidate> solve_in_full(const Evaluator& evaluator, std::uint64_t candidate);

/// All figures of the aims. @param options  [variables]
std::vector<double> values_of(const Evaluator& evaluator, const SolvedCandidate& candidate,
                              const std::vector<int>& options);

/// One candidate by the general solver. @returns whether it has a solution
bool solve_candidate(const Evaluator& evaluator, std::uint64_t candidate, double* values);

}  // namespace ridepitch
