// How long the sweep of a steering takes, beside a closed form of the same linkage.
//
// The closed form is what a program for this one linkage would do: for each place of the rack, two circles that meet at
// each knuckle's arm. It gives the two angles only; the sweep gives every body's place, for any linkage.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "steer/drive_sweep.hpp"
#include "steer/steering.hpp"

namespace ridepitch {
namespace {

const char* const demo = RIDEPITCH_SOURCE_DIR "/models/slate-carrier.toml";
constexpr int points = 2001;

struct Demo {
  Model model;
  Assembly assembly;
};

std::optional<Demo> read_demo() {
  ReadModel read = read_model(demo);
  if (!read.model) return std::nullopt;
  Demo out{std::move(*read.model), {}};
  const auto linkage = std::find_if(out.model.linkages.begin(), out.model.linkages.end(),
                                    [](const Linkage& each) { return each.plane == Plane::top; });
  if (linkage == out.model.linkages.end()) return std::nullopt;
  AssembleResult assembled = assemble(*linkage, out.model.module_mm);
  if (!assembled.assembly) return std::nullopt;
  out.assembly = std::move(*assembled.assembly);
  return out;
}

/// Both ends found, then 2,001 places of every body.
void BM_steer_sweep(benchmark::State& state) {
  auto read = read_demo();
  if (!read) return state.SkipWithError("the demo model is not read");
  for ([[maybe_unused]] auto _ : state) {
    DrivePathOrProblem found = find_drive_path(read->assembly, read->model.module_mm);
    if (!found.path) return state.SkipWithError("the drive has no way");
    DrivePath& path = *found.path;
    DriveWorkspace workspace;
    prepare(path, workspace);
    Eigen::VectorXd q;
    for (int i = 0; i < points; ++i) {
      place_drive(path, path.least() + i * (path.greatest() - path.least()) / (points - 1), workspace, q);
      benchmark::DoNotOptimize(q.data());
    }
  }
}
BENCHMARK(BM_steer_sweep)->Unit(benchmark::kMicrosecond);

/// The baseline: 2,001 pairs of angles in closed form. Sizes of the demo in mm.
void BM_steer_closed_form(benchmark::State& state) {
  const double king = 48, arm_x = 24, arm_y = 4, rod = 32, guide = 24, inner = 20, stroke = 12;
  std::vector<double> angles(2 * points);
  for ([[maybe_unused]] auto _ : state) {
    for (int i = 0; i < points; ++i) {
      const double drive = -stroke + 2 * stroke * i / (points - 1);
      for (const int side : {1, -1}) {
        const double x = guide, y = side * inner + drive - side * king;
        const double square = arm_x * arm_x + arm_y * arm_y, e2 = x * x + y * y, e = std::sqrt(e2);
        const double along = (square - rod * rod + e2) / (2 * e), across = std::sqrt(square - along * along);
        const double px = (along * x - side * across * y) / e, py = (along * y + side * across * x) / e;
        angles[static_cast<std::size_t>(2 * i + (side > 0 ? 0 : 1))] =
            std::atan2(py, px) - std::atan2(side * arm_y, arm_x);
      }
    }
    benchmark::DoNotOptimize(angles.data());
  }
}
BENCHMARK(BM_steer_closed_form)->Unit(benchmark::kMicrosecond);

/// All that `ridepitch steer` works out once the vehicle stands.
void BM_steer(benchmark::State& state) {
  const auto read = read_demo();
  if (!read) return state.SkipWithError("the demo model is not read");
  const SolveResult rest = solve(read->model, {.other_stances = false, .readings = false});
  if (!rest.solution) return state.SkipWithError("the demo model is not solved");
  for ([[maybe_unused]] auto _ : state) {
    SteerResult result = steer(read->model, *rest.solution);
    if (!result.steered) return state.SkipWithError("the demo model is not steered");
    benchmark::DoNotOptimize(result);
  }
}
BENCHMARK(BM_steer)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace ridepitch
