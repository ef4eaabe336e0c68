#include "tune/candidates.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <gtest/gtest.h>

namespace ridepitch {
namespace {

/// Coils of the catalogue that follow Hooke's law and are about as long as another.
std::vector<std::string> coils_like(const Model& model, const Coil& other, double longer_mm) {
  std::vector<std::string> names;
  for (const auto& [name, part] : model.catalogue) {
    const auto* coil = std::get_if<Coil>(&part.data);
    if (coil && !coil->law && std::abs(coil->free_mm - other.free_mm) <= longer_mm) names.push_back(name);
  }
  return names;
}

struct Drawing {
  const Moves& moves;
  std::mt19937& random;

  /// From 0 to `most`.
  int upto(std::size_t most) { return static_cast<int>(random() % (most + 1)); }
  bool moves_this() { return std::uniform_real_distribution<>(0, 1)(random) < moves.share; }
  double step() { return moves.on_grid ? upto(2) - 1 : std::uniform_real_distribution<>(-1, 1)(random); }
};

}  // namespace

SolveResult solve_as_search(const Model& model) { return solve(model, {.other_stances = false}); }

Changes draw_changes(const Model& model, const Moves& moves, std::mt19937& random) {
  Drawing draw{moves, random};
  const double reach_mm = moves.reach_modules * model.module_mm;
  Changes changes;
  for (std::size_t l = 0; l < model.linkages.size(); ++l) {
    const Linkage& linkage = model.linkages[l];
    if (linkage.plane == Plane::top) continue;
    const int own = static_cast<int>(l);
    for (std::size_t b = 0; b < linkage.bodies.size(); ++b)
      for (std::size_t h = 0; h < linkage.bodies[b].holes.size(); ++h) {
        if (!draw.moves_this()) continue;
        const double du = draw.step(), dv = draw.step();
        changes.push_back(MoveHole{own, static_cast<int>(b), static_cast<int>(h),
                                   linkage.bodies[b].holes[h].p_B + reach_mm * Vec2(du, dv)});
      }
    for (std::size_t r = 0; r < linkage.rods.size(); ++r)
      if (draw.moves_this())
        changes.push_back(SetLength{own, static_cast<int>(r), linkage.rods[r].length_mm + reach_mm * draw.step()});
    for (std::size_t s = 0; s < linkage.springs.size(); ++s) {
      const auto* coil = std::get_if<Coil>(&linkage.springs[s].data);
      const auto coils = coil ? coils_like(model, *coil, moves.longer_mm) : std::vector<std::string>{};
      if (coils.empty() || !draw.moves_this()) continue;
      const std::string part = coils[static_cast<std::size_t>(draw.upto(coils.size() - 1))];
      changes.push_back(SetSpring{own, static_cast<int>(s), part, 1 + draw.upto(2)});
    }
  }
  return changes;
}

Taped taped(Model model) {
  Taped out{std::move(model), {}, {}};
  const SolveResult as_it_stands = solve_as_search(out.model);
  if (!as_it_stands.solution) {
    out.why_not = "it has no solution";
    return out;
  }
  out.tape = write_tape(out.model, *as_it_stands.solution, out.why_not);
  if (out.tape) out.tape->tape.want_toggle = out.tape->tape.want_coil = out.tape->tape.want_bump_load = true;
  return out;
}

std::vector<TapeResult> answers(const BatchKernel& kernel, const Taped& taped, const std::vector<Changes>& candidates,
                                const std::vector<int>& order, int first, TapeLook look) {
  const Tape& tape = taped.tape->tape;
  const int lanes = kernel.lanes;
  const auto index = [&](int linkage, int parameter, int lane) {
    return static_cast<std::size_t>((linkage * tape_parameters + parameter) * lanes + lane);
  };
  std::vector<TapeResult> out(candidates.size());
  Rows results(tape_rows, lanes);
  std::vector<double> parameters;
  for (std::size_t done = 0; done < order.size(); first = 0) {
    parameters.assign(index(tape.linkages, 0, 0), 0.0);
    for (int l = 0; l < tape.linkages; ++l)
      for (int k = 0; k < tape_parameters; ++k)
        std::fill_n(parameters.data() + index(l, k, 0), lanes, tape.linkage[l].parameter[k]);
    const std::size_t from = done;
    for (int lane = first; lane < lanes && done < order.size(); ++lane, ++done)
      for (const Change& change : candidates[static_cast<std::size_t>(order[done])]) {
        const auto made = settings(*taped.tape, taped.model, change);
        if (!made) {
          ADD_FAILURE() << "the tape can't follow " << changed_thing(taped.model, change);
          return {};
        }
        for (const TapeSetting& s : *made) parameters[index(0, s.row, lane)] = s.value;
      }
    kernel.run(tape, look, parameters.data(), results.begin());
    for (std::size_t i = from; i < done; ++i)
      out[static_cast<std::size_t>(order[i])] = result_of(results, static_cast<int>(i - from) + first);
  }
  return out;
}

std::vector<TapeResult> answers(const BatchKernel& kernel, const Taped& taped, const std::vector<Changes>& candidates,
                                TapeLook look) {
  std::vector<int> order(candidates.size());
  std::iota(order.begin(), order.end(), 0);
  return answers(kernel, taped, candidates, order, 0, look);
}

}  // namespace ridepitch
