#include "tune/search.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cmath>
#include <limits>
#include <map>
#include <unordered_map>
#include <unordered_set>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "tune/in_parallel.hpp"
#include "words/number.hpp"

namespace ridepitch {
namespace {

constexpr std::uint64_t block = 4096;            // candidates that a thread takes at a time
constexpr std::size_t most_ranked = 20000;       // best candidates, for groups
constexpr std::size_t most_without_tape = 2000;  // of those, where the general solver must tell all their figures
constexpr std::uint64_t most_unsure = 4000000;   // that are kept for the general solver
constexpr std::size_t most_solved = 50000;       // of which the figures are kept
constexpr std::size_t most_seen = 3000000;       // that a thread's descents remember
constexpr std::size_t starts = 64;               // of the descents, from the sample
constexpr std::size_t most_others = 5;           // unbeaten ones that are told after the best
constexpr double report_s = 0.25;                // from one report of progress to the next
constexpr double no_end_s = 1e300;               // on any clock
constexpr double infinite = std::numeric_limits<double>::infinity();

double now_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

/// A candidate that passes, as it is ranked: by score, then by fewer changes, then by number.
struct Ranked {
  double score = 0;
  int changed = 0;
  std::uint64_t candidate = 0;

  friend auto operator<=>(const Ranked&, const Ranked&) = default;
};

/// The best for each number of changes and price.
using BestOf = std::map<std::pair<int, double>, Ranked>;

/// Figures of candidates that the general solver solved: each takes it a while.
using Solved = std::unordered_map<std::uint64_t, std::vector<double>>;

/// What became of the candidates that one thread looked at.
struct Screened {
  SearchCounts counts;
  std::vector<Ranked> ranked;
  double worst_ranked = infinite;
  BestOf best_of;
  std::vector<std::uint64_t> unsure;
  Solved solved;  // that pass, up to `most_solved`
};

void shrink(Screened& screened) {
  std::vector<Ranked>& ranked = screened.ranked;
  if (ranked.size() <= most_ranked) return;
  std::nth_element(ranked.begin(), ranked.begin() + static_cast<std::ptrdiff_t>(most_ranked), ranked.end());
  screened.worst_ranked = ranked[most_ranked].score;
  ranked.resize(most_ranked);
}

void keep_best(BestOf& best_of, const BestOf::key_type& key, const Ranked& candidate) {
  const auto [place, is_new] = best_of.try_emplace(key, candidate);
  if (!is_new && candidate < place->second) place->second = candidate;
}

void merge(Screened& into, Screened&& from) {
  for (const auto count :
       {&SearchCounts::looked_at, &SearchCounts::skipped, &SearchCounts::assembled, &SearchCounts::passing,
        &SearchCounts::by_general_solver, &SearchCounts::left, &SearchCounts::without_value})
    into.counts.*count += from.counts.*count;
  for (std::size_t i = 0; i < from.counts.ruled_out.size(); ++i) into.counts.ruled_out[i] += from.counts.ruled_out[i];
  into.ranked.insert(into.ranked.end(), from.ranked.begin(), from.ranked.end());
  shrink(into);
  for (const auto& [key, best] : from.best_of) keep_best(into.best_of, key, best);
  into.unsure.insert(into.unsure.end(), from.unsure.begin(), from.unsure.end());
  into.solved.merge(from.solved);
}

Screened nothing_screened(const Evaluator& e) {
  Screened out;
  out.counts.ruled_out.resize(e.aims->needs.size());
  return out;
}

/// Counts a candidate that is put together, and ranks it where it passes. @returns whether it does
bool take_judged(Screened& screened, const Space& space, const std::vector<int>& options, std::uint64_t candidate,
                 const Judgement& judged) {
  ++screened.counts.assembled;
  if (judged.fails_need >= 0)
    ++at(screened.counts.ruled_out, judged.fails_need);
  else if (!judged.passes())
    ++screened.counts.without_value;
  if (!judged.passes()) return false;
  ++screened.counts.passing;
  const Ranked ranked{judged.score, holes_changed(space, options), candidate};
  const double price = price_of(space, options);
  keep_best(screened.best_of, {ranked.changed, std::isnan(price) ? infinite : price}, ranked);
  if (judged.score > screened.worst_ranked) return true;
  screened.ranked.push_back(ranked);
  if (screened.ranked.size() >= 2 * most_ranked) shrink(screened);
  return true;
}

// ------------------------------------------------------------------------------------ by the kernel

/// Candidates that wait for one look of the kernel.
struct LookQueue {
  TapeLook look;
  Batch batch;
  std::vector<std::uint64_t> lanes = {};
  std::vector<Judgement> judged = {};  // of the last run, by lane
};

/// What a thread looks at candidates with, at the doubtful ones again more closely; what it finds goes to `screened` and, if
/// asked, each lane that has figures to `told`.
struct Screener {
  const Evaluator& e;
  Screened& screened;
  std::vector<int> choice_needs = {};  // of what is chosen alone: price, number of changes
  std::vector<LookQueue> looks = {};   // one more closely than the one before
  std::function<void(const LookQueue& from, int lane)> told = {};
  std::vector<int> options = {};  // of the candidate at hand
};

Screener make_screener(const Evaluator& e, Screened& into) {
  Screener out{.e = e, .screened = into};
  for (int n = 0; n < count(e.aims->needs); ++n)
    if (at(e.aims->figures, at(e.aims->needs, n).figures[0]).what->of == Scope::chosen) out.choice_needs.push_back(n);
  for (int look = first_look(e); look <= tape_everywhere; ++look) {
    LookQueue& queue = out.looks.emplace_back(LookQueue{TapeLook(look), Batch(e)});
    queue.judged.resize(static_cast<std::size_t>(e.kernel.lanes));
  }
  return out;
}

/// The first need of what is chosen alone that a candidate fails; -1: none.
int failed_choice(const Screener& screener) {
  for (const int n : screener.choice_needs) {
    const Constraint& need = at(screener.e.aims->needs, n);
    const double value = value_of_choice(*screener.e.space, *need.what, screener.options);
    if (!(value >= need.least.value_or(value)) || !(value <= need.most.value_or(value))) return n;
  }
  return -1;
}

/// Counts a candidate as ruled out by a need before it is known how it stands.
void skip(Screened& screened, int need) {
  ++screened.counts.skipped;
  ++at(screened.counts.ruled_out, need);
}

void leave_to_general_solver(Screened& screened, std::uint64_t candidate) {
  if (screened.unsure.size() < most_unsure)
    screened.unsure.push_back(candidate);
  else
    ++screened.counts.left;
}

void run_look(Screener& screener, std::size_t look);

void enqueue(Screener& screener, std::size_t look, std::uint64_t candidate, const std::vector<int>& options) {
  if (!screener.e.tape || look == screener.looks.size()) {
    leave_to_general_solver(screener.screened, candidate);
    return;
  }
  LookQueue& queue = screener.looks[look];
  add(queue.batch, options);
  queue.lanes.push_back(candidate);
  if (static_cast<int>(queue.lanes.size()) == screener.e.kernel.lanes) run_look(screener, look);
}

/// @returns false where it is unsure what becomes of the lane
bool take_lane(Screener& screener, const LookQueue& from, int lane) {
  int need = -1;
  const Fate fate = fate_of(from.batch, lane, need);
  if (fate == Fate::hopeless) skip(screener.screened, need);
  if (fate != Fate::valued) return fate != Fate::unsure;
  take_judged(screener.screened, *screener.e.space, at(from.batch.options, lane), at(from.lanes, lane),
              at(from.judged, lane));
  if (screener.told) screener.told(from, lane);
  return true;
}

void run_look(Screener& screener, std::size_t look) {
  LookQueue& queue = screener.looks[look];
  if (queue.lanes.empty()) return;
  const Evaluator& e = screener.e;
  run(queue.batch, queue.look);
  judge(e.judged, queue.batch.values.begin(), e.kernel.lanes, queue.judged.data());
  for (int lane = 0; lane < count(queue.lanes); ++lane)
    if (!take_lane(screener, queue, lane))
      enqueue(screener, look + 1, at(queue.lanes, lane), at(queue.batch.options, lane));
  queue.lanes.clear();
}

/// Looks at the candidate whose options the screener holds.
void screen(Screener& screener, std::uint64_t candidate) {
  ++screener.screened.counts.looked_at;
  if (const int failed = failed_choice(screener); failed >= 0)
    skip(screener.screened, failed);
  else
    enqueue(screener, 0, candidate, screener.options);
}

void screen_number(Screener& screener, std::uint64_t candidate) {
  options_of(*screener.e.space, candidate, screener.options);
  screen(screener, candidate);
}

/// Runs what still waits.
void flush(Screener& screener) {
  for (std::size_t look = 0; look < screener.looks.size(); ++look) run_look(screener, look);
}

// ------------------------------------------------------------------------------------ on all threads

struct WorkerPool {
  const Evaluator& e;
  const SearchOptions& options;
  int threads = options.threads > 0 ? options.threads : most_threads();
  double begun_s = now_s();
  std::atomic<std::uint64_t> next{0}, done{0};
  std::atomic<bool> over{false}, halted{false};
};

bool stopped(const WorkerPool& pool) { return pool.over || pool.halted; }

/// Runs `work` on every thread and merges, in a fixed order, what they found. Reports meanwhile.
/// @param of       candidates; 0: not known
/// @param until_s  on the clock of now_s()
Screened run_all(WorkerPool& pool, const std::function<void(Screened&)>& work, std::uint64_t of, double until_s) {
  pool.next = 0;
  pool.over = false;
  std::vector<Screened> parts(static_cast<std::size_t>(pool.threads), nothing_screened(pool.e));
  const double from_s = now_s();
  double told_s = from_s;
  const auto watch = [&] {
    const double here_s = now_s();
    if (here_s > until_s) pool.over = true;
    if (pool.options.stop && pool.options.stop()) pool.halted = true;
    if (!pool.options.progress || here_s - told_s < report_s) return;
    told_s = here_s;
    const std::uint64_t so_far = pool.done;
    const double rate = static_cast<double>(so_far) / (here_s - from_s);
    pool.options.progress(
        so_far, of,
        of > so_far && rate > 0 ? static_cast<double>(of - so_far) / rate : std::max(0.0, until_s - here_s));
  };
  run_workers(
      pool.threads, [&](int i) { work(at(parts, i)); }, watch);
  Screened all = nothing_screened(pool.e);
  for (Screened& part : parts) merge(all, std::move(part));
  return all;
}

Screened look_at_all(WorkerPool& pool) {
  const Space& space = *pool.e.space;
  const auto work = [&](Screened& screened) {
    Screener screener = make_screener(pool.e, screened);
    while (!stopped(pool)) {
      const std::uint64_t from = pool.next.fetch_add(block);
      if (from >= space.size) break;
      const std::uint64_t to = std::min(space.size, from + block);
      // One after another: those of one batch are alike then, and its lanes wait little for one another.
      options_of(space, from, screener.options);
      for (std::uint64_t c = from; c < to; ++c) {
        screen(screener, c);
        go_on(space, screener.options);
      }
      flush(screener);
      pool.done += to - from;
    }
  };
  return run_all(pool, work, space.size, no_end_s);
}

// A repeatable number for a place in a sequence (splitmix64, public domain, from memory).
std::uint64_t scattered(std::uint64_t x) {
  x += 0x9e3779b97f4a7c15u;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
  return x ^ (x >> 31);
}

/// A candidate and all that differ from it in one variable or, with `pairs`, in two.
void look_around(Screener& screener, const WorkerPool& pool, std::uint64_t at, bool pairs,
                 std::unordered_set<std::uint64_t>& seen) {
  const Space& space = *screener.e.space;
  std::vector<int>& options = screener.options;
  const auto count = [&](std::size_t i) { return static_cast<int>(space.variables[i].options.size()); };
  const auto look_once = [&] {
    const std::uint64_t candidate = candidate_of(space, options);
    if (seen.insert(candidate).second) screen(screener, candidate);
  };
  options_of(space, at, options);
  look_once();
  for (std::size_t i = 0; i < options.size() && !stopped(pool); ++i) {
    const int own = options[i];
    for (options[i] = 0; options[i] < count(i); ++options[i]) {
      if (!pairs) look_once();
      for (std::size_t j = i + 1; pairs && j < options.size() && !stopped(pool); ++j) {
        const int other = options[j];
        for (options[j] = 0; options[j] < count(j); ++options[j]) look_once();
        options[j] = other;
      }
    }
    options[i] = own;
  }
  flush(screener);
}

/// Nearest to passing, then best.
double merit(const Judgement& judged) {
  constexpr double worse_than_any_score = 1e12;
  return judged.passes() ? judged.score : worse_than_any_score * (1 + judged.short_by);
}

/// From a start always to the best neighbour: of those that differ in one variable, then in two.
void descend_from(Screener& screener, std::uint64_t start, const WorkerPool& pool,
                  std::unordered_set<std::uint64_t>& seen) {
  double best = infinite;
  std::uint64_t here = start, best_candidate = start;
  screener.told = [&](const LookQueue& from, int lane) {
    const std::uint64_t candidate = at(from.lanes, lane);
    const double merit_there = merit(at(from.judged, lane));
    if (merit_there > best || (merit_there == best && candidate >= best_candidate)) return;
    best = merit_there;
    best_candidate = candidate;
  };
  for (bool pairs = false; !stopped(pool);) {
    look_around(screener, pool, here, pairs, seen);
    if (best_candidate == here && pairs) break;
    pairs = best_candidate == here;
    here = best_candidate;
  }
  screener.told = nullptr;
}

// A third of the time a sample, the rest descents: from the best of the sample, then from anywhere.
Screened look_at_some(WorkerPool& pool, double limit_s) {
  const double from_s = now_s();
  const std::uint64_t size = pool.e.space->size, seed = pool.options.seed;
  const auto draw = [&](Screened& screened) {
    Screener screener = make_screener(pool.e, screened);
    while (!stopped(pool)) {
      const std::uint64_t from = pool.next.fetch_add(block);
      for (std::uint64_t i = from; i < from + block && !stopped(pool); ++i)
        screen_number(screener, scattered(seed + i) % size);
      flush(screener);
      pool.done += block;
    }
  };
  Screened sample = run_all(pool, draw, 0, from_s + limit_s / 3);
  std::vector<Ranked> best = sample.ranked;
  std::sort(best.begin(), best.end());
  const std::size_t from_sample = std::min(best.size(), starts);
  const auto descend = [&](Screened& screened) {
    Screener screener = make_screener(pool.e, screened);
    std::unordered_set<std::uint64_t> seen;
    while (!stopped(pool)) {
      const std::uint64_t turn = pool.next.fetch_add(1);
      const std::uint64_t start =
          turn < from_sample ? best[turn * best.size() / from_sample].candidate : scattered(~seed + turn) % size;
      descend_from(screener, start, pool, seen);
      ++pool.done;
      if (seen.size() > most_seen) seen.clear();
    }
  };
  merge(sample, run_all(pool, descend, 0, from_s + limit_s));
  return sample;
}

/// What the kernels left, by the general solver; in order, until the time is over.
Screened solve_the_rest(WorkerPool& pool, std::vector<std::uint64_t> unsure, double until_s) {
  std::sort(unsure.begin(), unsure.end());
  unsure.erase(std::unique(unsure.begin(), unsure.end()), unsure.end());
  const Evaluator& e = pool.e;
  const auto work = [&](Screened& screened) {
    std::vector<double> values(e.aims->figures.size());
    std::vector<int> options;
    while (!stopped(pool)) {
      const std::uint64_t i = pool.next.fetch_add(1);
      if (i >= unsure.size()) break;
      ++pool.done;
      ++screened.counts.by_general_solver;
      if (!solve_candidate(e, unsure[i], values.data())) continue;
      options_of(*e.space, unsure[i], options);
      if (take_judged(screened, *e.space, options, unsure[i], judge(*e.aims, values.data())) &&
          screened.solved.size() < most_solved)
        screened.solved.emplace(unsure[i], values);
    }
  };
  pool.done = 0;
  Screened all = run_all(pool, work, unsure.size(), until_s);
  all.counts.left += unsure.size() - std::min<std::uint64_t>(unsure.size(), all.counts.by_general_solver);
  return all;
}

// ------------------------------------------------------------------------------------ what is told

/// Adds figures of ranked candidates to those that are known, by whatever gives them: the kernel, else the general solver.
void add_figures(const Evaluator& e, const std::vector<Ranked>& ranked, Solved& solved) {
  Screened screened = nothing_screened(e);
  Screener screener = make_screener(e, screened);
  screener.told = [&](const LookQueue& from, int lane) {
    solved.emplace(at(from.lanes, lane), read_lane(from.batch, lane));
  };
  for (const Ranked& each : ranked)
    if (!solved.contains(each.candidate)) screen_number(screener, each.candidate);
  flush(screener);
  std::vector<double> values(e.aims->figures.size());
  for (const std::uint64_t candidate : screened.unsure)
    if (solve_candidate(e, candidate, values.data())) solved.emplace(candidate, values);
}

bool hardly_differ(const Aims& aims, const std::vector<double>& a, const std::vector<double>& b) {
  constexpr double share = 0.1;  // of every tolerance
  for (const Aim& want : aims.wants)
    for (const int k : want.figures)
      if (!(std::abs(at(a, k) - at(b, k)) < share * want.tolerance)) return false;
  return true;
}

struct Group {
  Ranked stands_for;  // fewest changes of them
  std::vector<double> first_values;
  std::uint64_t size = 1;
};

/// Groups in the order of their best; each candidate joins the first that it hardly differs from.
std::vector<Group> group(const Evaluator& e, std::vector<Ranked> ranked, Solved& solved, std::size_t most) {
  if (!e.tape) ranked.resize(std::min(ranked.size(), most_without_tape));
  add_figures(e, ranked, solved);
  std::vector<Group> groups;
  for (const Ranked& each : ranked) {
    const auto values = solved.find(each.candidate);
    if (values == solved.end()) continue;
    const auto joined = std::find_if(groups.begin(), groups.end(), [&](const Group& g) {
      return hardly_differ(*e.aims, g.first_values, values->second);
    });
    if (joined != groups.end()) {
      ++joined->size;
      if (each.changed < joined->stands_for.changed) joined->stands_for = each;
    } else if (groups.size() < most) {
      groups.push_back({each, values->second, 1});
    }
  }
  return groups;
}

/// Those that no other is at least as good as in score, changes and price, and better in one.
std::vector<Ranked> unbeaten(const BestOf& best_of) {
  std::vector<Ranked> out;
  for (const auto& [key, own] : best_of) {
    const bool beaten = std::any_of(best_of.begin(), best_of.end(), [&, &key = key, &own = own](const auto& other) {
      const bool as_good =
          other.first.first <= key.first && other.first.second <= key.second && other.second.score <= own.score;
      return as_good && (other.first != key || other.second.score < own.score);
    });
    if (!beaten) out.push_back(own);
  }
  std::sort(out.begin(), out.end());
  return out;
}

/// As the general solver has it; none where it finds that the candidate does not pass after all.
std::optional<Found> found_of(const Evaluator& e, const Ranked& ranked, std::uint64_t size) {
  Found found;
  found.candidate = ranked.candidate;
  found.changes = changes_of(*e.space, ranked.candidate);
  found.changed = ranked.changed;
  found.group = size;
  found.values.resize(e.aims->figures.size());
  std::vector<int> options;
  options_of(*e.space, ranked.candidate, options);
  found.price = e.space->model->has_prices ? price_of(*e.space, options) : std::numeric_limits<double>::quiet_NaN();
  if (!solve_candidate(e, ranked.candidate, found.values.data())) return std::nullopt;
  const Judgement judged = judge(*e.aims, found.values.data());
  if (!judged.passes()) return std::nullopt;
  found.score = judged.score;
  found.new_findings = new_findings_of(e, ranked.candidate);
  return found;
}

/// The best of the groups, then other unbeaten ones. What can't be built is left out, and counted.
std::vector<Found> best_found(const Evaluator& e, Screened& all, std::size_t top, SearchResult& result) {
  std::sort(all.ranked.begin(), all.ranked.end());
  all.ranked.erase(std::unique(all.ranked.begin(), all.ranked.end()), all.ranked.end());
  constexpr std::size_t farther = 4;  // times as many are looked through for one without a new problem
  const auto brings_none = [](const Found& found) { return !has_new_problem(found); };
  const auto buildable = [&](const Ranked& ranked, std::uint64_t size) {
    std::optional<Found> found = found_of(e, ranked, size);
    if (!found) return found;
    ++result.checked;
    if (const Finding* problem = cannot_be_built(*found)) {
      ++result.not_built[problem->code];
      found.reset();
    }
    return found;
  };
  std::vector<Found> out;
  const std::vector<Group> groups = group(e, all.ranked, all.solved, farther * top);
  for (std::size_t i = 0; i < groups.size(); ++i) {
    if (out.size() >= top && std::any_of(out.begin(), out.end(), brings_none)) break;
    auto found = buildable(groups[i].stands_for, groups[i].size);
    if (found && (out.size() < top || brings_none(*found))) out.push_back(std::move(*found));
  }
  std::stable_sort(out.begin(), out.end(), [](const Found& a, const Found& b) { return a.score < b.score; });
  std::size_t others = 0;
  for (const Ranked& each : unbeaten(all.best_of)) {
    const auto there =
        std::find_if(out.begin(), out.end(), [&](const Found& f) { return f.candidate == each.candidate; });
    if (there != out.end()) {
      there->unbeaten = true;
    } else if (others < most_others) {
      auto found = buildable(each, 1);
      if (!found) continue;
      found->unbeaten = true;
      out.push_back(std::move(*found));
      ++others;
    }
  }
  std::stable_partition(out.begin(), out.end(), brings_none);
  return out;
}

/// Seconds that a look at everything would take, from a look at some.
double estimated_s(const WorkerPool& pool) {
  constexpr std::uint64_t tried = 3000;
  constexpr double general_solver_s = 2e-3;  // of one candidate, about
  const Evaluator& e = pool.e;
  const double from_s = now_s(), size = static_cast<double>(e.space->size);
  if (!e.tape) {
    constexpr int most = 8;
    constexpr double enough_s = 0.2;
    std::vector<double> values(e.aims->figures.size());
    std::uint64_t solved = 0;
    for (; solved < most && now_s() - from_s < enough_s; ++solved)
      solve_candidate(e, scattered(solved) % e.space->size, values.data());
    return (now_s() - from_s) / static_cast<double>(solved) * size / pool.threads;
  }
  if (e.space->size <= tried) return 0;
  Screened screened = nothing_screened(e);
  Screener screener = make_screener(e, screened);
  for (std::uint64_t i = 0; i < tried; ++i) screen_number(screener, scattered(i) % e.space->size);
  flush(screener);
  const double by_solver_s = general_solver_s * static_cast<double>(screened.unsure.size());
  return (now_s() - from_s + by_solver_s) / tried * size / pool.threads;
}

}  // namespace

bool has_new_problem(const Found& found) {
  return std::any_of(found.new_findings.begin(), found.new_findings.end(),
                     [](const Finding& each) { return each.level == Level::problem; });
}

const Finding* cannot_be_built(const Found& found) {
  constexpr std::array codes = {"no-such-hole", "parts-touch", "does-not-stack", "tyres-touch"};
  const auto is_one = [&](const Finding& each) {
    return each.level == Level::problem && std::find(codes.begin(), codes.end(), each.code) != codes.end();
  };
  const auto first = std::find_if(found.new_findings.begin(), found.new_findings.end(), is_one);
  return first == found.new_findings.end() ? nullptr : &*first;
}

bool saw_all(const SearchResult& result) { return result.exhaustive && result.complete; }

std::string looked_at_words(const SearchResult& result) {
  const std::string looks = count_text(result.counts.looked_at), all = count_text(result.candidates);
  return result.exhaustive
             ? fmt::format("{} of {} candidates were looked at", looks, all)
             : fmt::format("only a sample of the {} candidates was looked at ({} looks, with repeats)", all, looks);
}

SearchResult search(const Evaluator& e, const SearchOptions& options) {
  SearchResult out;
  out.candidates = e.space->size;
  out.counts.ruled_out.resize(e.aims->needs.size());
  if (e.space->size == 0) {
    out.exhaustive = true;
    return out;
  }
  WorkerPool pool{.e = e, .options = options};
  out.exhaustive = estimated_s(pool) <= options.limit_s;
  constexpr double share_of_looks = 0.8, over_the_limit = 1.2;  // of the time
  Screened all = out.exhaustive ? look_at_all(pool) : look_at_some(pool, options.limit_s * share_of_looks);
  if (!all.unsure.empty()) {
    const double until_s = pool.begun_s + std::max(over_the_limit * options.limit_s, options.limit_s + 1);
    merge(all, solve_the_rest(pool, std::exchange(all.unsure, {}), until_s));
  }
  out.counts = all.counts;
  out.stopped = pool.halted;
  out.complete = !pool.halted && all.counts.left == 0 && !(out.exhaustive && all.counts.looked_at < e.space->size);
  out.found = best_found(e, all, static_cast<std::size_t>(options.top), out);
  out.seconds = now_s() - pool.begun_s;
  out.per_second = static_cast<double>(all.counts.looked_at) / out.seconds;
  return out;
}

}  // namespace ridepitch
