// How fast the search looks at candidates, beside the same algorithm in scalar code in the same run.
//
// items_per_second is candidates a second on one core; `solves` the position solves that one of them takes. Before it is
// timed, a space's random and best candidates are solved again by the general solver: a difference fails the benchmark.

#include <benchmark/benchmark.h>

#include <fmt/format.h>

#include <cmath>
#include <fstream>
#include <random>
#include <sstream>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "scalar_layouts.hpp"
#include "swap/rework.hpp"
#include "tune/layout_test.hpp"
#include "tune/search.hpp"

namespace ridepitch {

namespace kernel_scalar {
extern const TapeKernel kernel;
}
namespace kernel_scalar_curve {
extern const TapeKernel kernel;
}

namespace {

const char* const demo = RIDEPITCH_SOURCE_DIR "/models/quarry-hauler.toml";

std::string demo_text() {
  std::ifstream file(demo);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

/// One corner of the demo by itself, under the load of a front wheel.
std::string corner_text() {
  const std::string whole = demo_text();
  const std::size_t linkage = whole.find("[linkage.arm]"), corners = whole.find("[[corner]]");
  return "format = 1\nname = \"one corner\"\nparts = [\"parts.toml\"]\n" + whole.substr(linkage, corners - linkage) +
         "[[corner]]\nname = \"front left\"\nlinkage = \"arm\"\nat = [10, 8, 4]\nload_n = 6.6\n";
}

/// A model with a [tune]: rocker, seat, coil hole and pushrod about where they are.
Model tuned_model(const std::string& model, const std::string& asked) {
  std::stringstream text;
  text << model.substr(0, model.find("[tune]")) << R"(
[tune]
[[tune.vary]]
linkage = "arm"
hole = "chassis.rocker"
u = [1, 3]
v = [5, 7]
step = 0.5
[[tune.vary]]
linkage = "arm"
hole = "chassis.seat"
u = [-5, -3]
v = [8, 10]
step = 0.5
[[tune.vary]]
linkage = "arm"
hole = "rocker.coil"
u = [-0.5, 0.5]
v = [2.5, 3.5]
step = 0.5
[[tune.vary]]
linkage = "arm"
rod = "pushrod"
length = [5.5, 6, 6.5]
)" << asked;
  ReadModel read = read_model_text(text.str(), demo);
  if (!read.model) throw std::runtime_error(read.problems.front().text);
  return std::move(*read.model);
}

struct Prepared {
  Model model;
  Solution solution;
  Space space;
  Aims aims;
  Evaluator evaluator;
  mutable std::optional<std::string> differs;  ///< looked at once

  Prepared(const std::string& text, const std::string& asked) : model(tuned_model(text, asked)) {
    solution = *solve(model).solution;
    space = make_space(model, *model.tune);
    aims = *make_aims(model, *model.tune, space.corners, model, solution).aims;
    evaluator = make_evaluator(space, aims, solution);
  }
};

const char* const rest_of_a_corner = R"(
[[tune.want]]
quantity = "motion_ratio"
[[tune.want]]
quantity = "wheel_rate_n_per_mm"
)";

const char* const all_that_is_wanted = R"(
[[tune.want]]
quantity = "ride_height_mm"
[[tune.want]]
quantity = "pitch_deg"
tolerance = 0.5
[[tune.want]]
quantity = "wheel_rate_n_per_mm"
tolerance = 0.02
[[tune.want]]
quantity = "frequency_hz"
[[tune.need]]
quantity = "bump_travel_mm"
least = 8
[[tune.need]]
quantity = "reserve"
least = 1.5
)";

const Prepared& corner() {
  static const Prepared prepared(corner_text(), rest_of_a_corner);
  return prepared;
}
const Prepared& vehicle() {
  static const Prepared prepared(demo_text(), all_that_is_wanted);
  return prepared;
}

/// A candidate's readings by the general solver, against those of the kernel. @returns what differs; empty: nothing
std::string difference(const Prepared& p, std::uint64_t candidate) {
  Batch batch(p.evaluator);
  std::vector<int> options;
  options_of(p.space, candidate, options);
  std::vector<double> quick(p.aims.figures.size()), exact(p.aims.figures.size());
  int need = -1;
  add(batch, options);
  run(batch, tape_along_travel);
  const Fate fate = fate_of(batch, 0, need);
  if (fate == Fate::unsure || fate == Fate::hopeless) return "";
  quick = read_lane(batch, 0);
  const bool solved = solve_candidate(p.evaluator, candidate, exact.data());
  if (solved != (fate == Fate::valued)) return "one solver has a solution, the other none";
  // Where a wheel stands on the end of its travel, that is known to 1e-9 mm; what is steep there then is not to 1e-9.
  bool on_a_stop = false;
  for (std::size_t i = 0; solved && i < quick.size(); ++i)
    on_a_stop |= (p.aims.figures[i].what->name == "bump_travel_mm" && exact[i] < 1e-6) ||
                 (p.aims.figures[i].what->name == "frequency_hz" && std::isnan(exact[i])) ||
                 (p.aims.figures[i].what->name == "wheel_rate_n_per_mm" && std::abs(exact[i]) > 10);
  const double tolerance = on_a_stop ? 1e-6 : 1e-9;
  for (std::size_t i = 0; solved && i < quick.size(); ++i)
    if (std::isnan(quick[i]) != std::isnan(exact[i]) ||
        std::abs(quick[i] - exact[i]) > tolerance * std::max(1.0, std::abs(exact[i])))
      return fmt::format("candidate {}: {} is {} by the kernel, {} by the general solver", candidate,
                         figure_name(p.model, p.aims.figures[i]), quick[i], exact[i]);
  return "";
}

/// 1,000 random candidates and the best 100.
std::string differences(const Prepared& p) {
  std::mt19937_64 random(1);
  for (int i = 0; i < 1000; ++i)
    if (auto what = difference(p, random() % p.space.size); !what.empty()) return what;
  SearchOptions options;
  options.top = 100;
  options.threads = 1;
  for (const Found& found : search(p.evaluator, options).found)
    if (auto what = difference(p, found.candidate); !what.empty()) return what;
  return "";
}

std::vector<BatchKernel> kernels() {
  std::vector<BatchKernel> all = batch_kernels();
  all.insert(all.begin(),
             {{"scalar, 33-point curve", 1, kernel_scalar_curve::kernel}, {"scalar", 1, kernel_scalar::kernel}});
  return all;
}

/// Candidates solved and judged, one after another, by one kernel.
void look_at(benchmark::State& state, const Prepared& p) {
  const auto index = static_cast<std::size_t>(state.range(0));
  if (index >= kernels().size()) return state.SkipWithError("this processor cannot run that kernel");
  Evaluator evaluator = p.evaluator;
  evaluator.kernel = kernels()[index];
  state.SetLabel(evaluator.kernel.name);
  if (!p.differs) p.differs = differences(p);
  if (!p.differs->empty()) return state.SkipWithError(p.differs->c_str());
  Batch batch(evaluator);
  std::vector<int> options;
  options_of(p.space, 0, options);
  std::vector<Judgement> judged(static_cast<std::size_t>(evaluator.kernel.lanes));
  std::int64_t done = 0, solves = 0;
  for ([[maybe_unused]] auto _ : state) {
    for (int i = 0; i < evaluator.kernel.lanes; ++i) {
      add(batch, options);
      go_on(p.space, options);
    }
    run(batch, tape_along_travel);
    judge(evaluator.judged, batch.values.begin(), evaluator.kernel.lanes, judged.data());
    benchmark::DoNotOptimize(judged.data());
    for (int i = 0; i < evaluator.kernel.lanes; ++i) {
      int need = -1;
      benchmark::DoNotOptimize(fate_of(batch, i, need));
    }
    done += evaluator.kernel.lanes;
    solves += batch.position_solves * evaluator.kernel.lanes;
  }
  state.SetItemsProcessed(done);
  state.counters["solves"] = static_cast<double>(solves) / static_cast<double>(done);
}

void BM_corner_at_rest(benchmark::State& state) { look_at(state, corner()); }
BENCHMARK(BM_corner_at_rest)->DenseRange(0, 4);

void BM_everything_in_the_vehicle(benchmark::State& state) { look_at(state, vehicle()); }
BENCHMARK(BM_everything_in_the_vehicle)->DenseRange(0, 4);

// ------------------------------------------------------------------------------------ layouts of the tug

/// The gravel tug and what `rework` searches of it.
struct TugSpace {
  Model model;
  Solution solution;
  Space space;
  Aims aims;
  std::optional<LinkageLayouts> layouts;
};

const TugSpace& tug_space() {
  static const TugSpace* const ready = [] {
    auto* const t = new TugSpace;  // its parts point to one another
    t->model = *read_model(RIDEPITCH_SOURCE_DIR "/tests/models/gravel-tug.toml").model;
    t->solution = *solve(t->model).solution;
    const Tune tune = rework_tune(t->model, t->solution, {"coil-75-firm"}, Keep{});
    t->space = make_space(t->model, tune);
    t->aims = *make_aims(t->model, tune, t->space.corners, t->model, t->solution).aims;
    std::string why_not;
    WantedStance stance = *wanted_stance(t->space, t->aims, t->solution, why_not);
    t->layouts = make_linkage_layouts(t->space, 0, t->solution, why_not);
    set_stance(*t->layouts, stance);
    set_loads(stance, t->model, t->solution, *contact_ranges(t->space, {&*t->layouts}, stance, t->solution));
    set_stance(*t->layouts, stance);
    return t;
  }();
  return *ready;
}

/// The same space for the scalar code.
scalar::Tug scalar_tug() {
  const TugSpace& tug = tug_space();
  scalar::Tug out;
  out.push = 5 * tug.model.module_mm;
  const LinkageLayouts& layouts = *tug.layouts;
  for (const Variable& variable : tug.space.variables)
    for (const Change& option : variable.options) {
      if (const auto* move = std::get_if<MoveHole>(&option)) {
        auto& holes = variable.thing == "chassis.rocker" ? out.pivots
                      : variable.thing == "chassis.seat" ? out.seats
                      : variable.thing == "rocker.push"  ? out.push_holes
                                                         : out.coil_holes;
        holes.push_back({move->to_B_mm.x(), move->to_B_mm.y()});
      } else if (const auto* rod = std::get_if<SetLength>(&option)) {
        out.rods.push_back(rod->length_mm);
      }
    }
  const VariedSpring& spring = layouts.springs.back();
  for (std::size_t i = 0; i < spring.traits.size(); ++i) {
    const ForceLaw& law = spring.traits[i].law;
    out.coils.push_back(
        {static_cast<double>(spring.counts[i]), law.rate_n_per_mm, law.preload_n, law.free_mm, law.solid_mm});
  }
  for (std::size_t x = 0; x < 2; ++x) {
    const LaidCorner& corner = layouts.corners.at(x);
    const WheelInStance& wheel = corner.wheels[0];
    const double load = (wheel.load_n[0] + wheel.load_n[1]) / 2;
    out.axles[x] = {{corner.inputs[1][0], corner.inputs[0][0], corner.inputs[2][0], corner.inputs[3][0]},
                    wheel.within_mm,
                    load,
                    (wheel.load_n[1] - wheel.load_n[0]) / 2,
                    wheel.rate_n_per_mm[0],
                    wheel.rate_n_per_mm[1]};
  }
  return out;
}

/// items_per_second: layouts tested one by one, a second and core; the scalar code first, its own rate beside.
void BM_layouts_of_the_tug(benchmark::State& state) {
  std::uint64_t tested = 0, left = 0;
  if (state.range(0) == 0) {
    const scalar::Tug tug = scalar_tug();
    state.SetLabel("scalar");
    for ([[maybe_unused]] auto _ : state) tested += scalar::look_at_all(tug, left);
  } else {
    const auto index = static_cast<std::size_t>(state.range(0) - 1);
    if (index >= load_testers().size()) return state.SkipWithError("this processor cannot run that test");
    LinkageLayouts layouts = *tug_space().layouts;
    layouts.test = load_testers()[index].run;
    state.SetLabel(load_testers()[index].name);
    const std::vector<SkeletonRun> runs = skeleton_runs(layouts, 0, 6);
    for ([[maybe_unused]] auto _ : state) {
      LayoutWork work(layouts);
      LayoutsLeft out;
      for (const SkeletonRun& run : runs) look_at(work, run, 0, 6, out);
      tested += out.tested;
      for (const auto& each : out.by_changes) left += each.size();
    }
  }
  state.SetItemsProcessed(static_cast<std::int64_t>(tested));
  state.counters["left"] = static_cast<double>(left) / static_cast<double>(state.iterations());
}
BENCHMARK(BM_layouts_of_the_tug)->DenseRange(0, 2)->Unit(benchmark::kMillisecond);

void BM_search_by_threads(benchmark::State& state) {
  SearchOptions options;
  options.threads = static_cast<int>(state.range(0));
  std::uint64_t looked_at = 0;
  for ([[maybe_unused]] auto _ : state) looked_at += search(vehicle().evaluator, options).counts.looked_at;
  state.SetItemsProcessed(static_cast<std::int64_t>(looked_at));
}
BENCHMARK(BM_search_by_threads)->Arg(1)->Arg(2)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace ridepitch
