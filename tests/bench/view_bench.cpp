// What a frame of a drag costs: from the place of the hole under the hand to numbers, verdict, curves and picture.
// The limit that was set for it is 4 ms on one core, for the largest demo; drawing on the screen comes on top.

#include <benchmark/benchmark.h>

#include <string>

#include "picture/linkage_picture.hpp"
#include "picture/plot.hpp"
#include "state/document.hpp"
#include "state/numbers.hpp"
#include "swap/compare.hpp"

namespace ridepitch::view {
namespace {

/// A hole of the first linkage's chassis goes to and fro by half a module, as under a hand.
void BM_drag(benchmark::State& state, const char* model) {
  OpenedDocument opened = open_document(std::string(RIDEPITCH_SOURCE_DIR "/models/") + model + ".toml");
  if (!opened.document) return state.SkipWithError("the demo model is not read");
  Document& document = *opened.document;
  const Model& base = document.base().model;
  const int linkage = base.corners[0].linkage;
  const std::vector<Hole>& holes = base.linkages[static_cast<std::size_t>(linkage)].bodies[0].holes;
  const int hole = static_cast<int>(holes.size()) - 1;
  const Vec2 from = holes.back().p_B;
  bool aside = false;
  int stood = 0;
  for ([[maybe_unused]] auto _ : state) {
    aside = !aside;
    const Vec2 to = from + (aside ? 0.5 : 0.25) * base.module_mm * Vec2(0, 1);
    if (try_changes(document, {MoveHole{linkage, chassis, hole, to}}, Detail::dragging)) ++stood;
    const Solved& now = *document.shown;
    const Solved& before = *document.step().before;
    const Comparison comparison = compare(before.model, before.solution, now.model, now.solution);
    benchmark::DoNotOptimize(number_rows(&before, now, &comparison, 0));
    benchmark::DoNotOptimize(travel_plots(now, &before, 0, 0));
    LinkageLook look;
    look.before = &before;
    benchmark::DoNotOptimize(linkage_picture(now, look));
  }
  state.counters["stood"] = static_cast<double>(stood) / static_cast<double>(state.iterations());
}
BENCHMARK_CAPTURE(BM_drag, quarry_hauler, "quarry-hauler")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(BM_drag, ore_hauler, "ore-hauler")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(BM_drag, scout_car, "scout-car")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(BM_drag, sand_loader, "sand-loader")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(BM_drag, timber_forwarder, "timber-forwarder")->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(BM_drag, log_skidder_banded, "log-skidder-banded")->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace ridepitch::view
