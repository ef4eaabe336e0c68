// What a frame of a drag costs: from the place of the hole under the hand to numbers, verdict, curves and picture.
// The limit that was set for it is 4 ms on one core, for the largest demo; drawing on the screen comes on top.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "model/read.hpp"
#include "picture/linkage_picture.hpp"
#include "picture/plot.hpp"
#include "state/by_hand.hpp"
#include "state/document.hpp"
#include "state/numbers.hpp"
#include "swap/compare.hpp"

namespace ridepitch::view {
namespace {

/// A chassis hole of a corner's linkage goes up and down by a quarter of a module, as under a hand. The frame is the
/// window's (app.cpp, canvas.cpp): solved, compared, the numbers, the diagrams and the drawing that is open.
void drag(benchmark::State& state, const std::string& path, int corner) {
  OpenedDocument opened = open_document(path);
  if (!opened.document || !opened.document->shown) return state.SkipWithError("the demo model has no solution");
  Document& document = *opened.document;
  const Model& base = document.base().model;
  const int linkage = base.corners[static_cast<std::size_t>(corner)].linkage;
  const bool from_above = base.linkages[static_cast<std::size_t>(linkage)].plane == Plane::top;
  const std::vector<Hole>& holes = base.linkages[static_cast<std::size_t>(linkage)].bodies[0].holes;
  const int hole = static_cast<int>(holes.size()) - 1;
  const Vec2 from = holes.back().p_B;
  const int wheel = std::max(0, wheel_with_curve(document.shown->solution, corner));
  bool aside = false;
  int stood = 0;
  for ([[maybe_unused]] auto _ : state) {
    aside = !aside;
    const Vec2 to = from + (aside ? 0.5 : 0.25) * base.module_mm * Vec2(0, 1);
    if (try_changes(document, {MoveHole{linkage, chassis, hole, to}}, Detail::dragging)) ++stood;
    const Solved& now = *document.shown;
    const Solved& before = *document.step().before;
    const Comparison comparison = compared(before, now);
    benchmark::DoNotOptimize(number_rows(&before, now, &comparison, corner));
    if (from_above)
      benchmark::DoNotOptimize(steering_plots(now, &before, corner));
    else
      benchmark::DoNotOptimize(travel_plots(now, &before, corner, wheel));
    LinkageLook look;
    look.selection.corner = corner;
    look.wheel = wheel;
    look.before = &before;
    benchmark::DoNotOptimize(linkage_picture(now, look));
  }
  state.counters["stood"] = static_cast<double>(stood) / static_cast<double>(state.iterations());
}

/// Every linkage of every demo model, at the first corner that has it.
void register_drags() {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(RIDEPITCH_SOURCE_DIR "/models"))
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  for (const std::filesystem::path& path : files) {
    const ReadModel read = read_model(path.string());
    if (!read.model) continue;  // a catalogue of parts
    std::vector<int> done;
    for (std::size_t c = 0; c < read.model->corners.size(); ++c) {
      const int linkage = read.model->corners[c].linkage;
      if (std::find(done.begin(), done.end(), linkage) != done.end()) continue;
      done.push_back(linkage);
      const std::string name =
          "drag/" + path.stem().string() + "/" + read.model->linkages[static_cast<std::size_t>(linkage)].name;
      benchmark::RegisterBenchmark(name.c_str(), [file = path.string(),
                                                  corner = static_cast<int>(c)](benchmark::State& state) {
        drag(state, file, corner);
      })->Unit(benchmark::kMillisecond);
    }
  }
}

}  // namespace
}  // namespace ridepitch::view

int main(int count, char** words) {
  benchmark::Initialize(&count, words);
  if (benchmark::ReportUnrecognizedArguments(count, words)) return 1;
  ridepitch::view::register_drags();
  benchmark::RunSpecifiedBenchmarks();
}
