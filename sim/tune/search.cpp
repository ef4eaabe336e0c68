#include "tune/search.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <limits>
#include <map>
#include <mutex>
#include <thread>
#include <unordered_map>
#include <unordered_set>

#include "ride/solve.hpp"

namespace ridepitch {
namespace {

constexpr std::uint64_t block = 4096;           // candidates that a thread takes at a time
constexpr std::size_t most_kept = 20000;        // best candidates, for groups
constexpr std::uint64_t most_unsure = 4000000;  // that are kept for the general solver
constexpr std::size_t most_solved = 50000;      // of which the figures are kept
constexpr int starts = 64;                      // of the descents of a search that is not exhaustive

double now_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

/// What is kept of a candidate that passes.
struct Kept {
  double score = 0;
  int changed = 0;
  std::uint64_t candidate = 0;

  friend bool operator<(const Kept& a, const Kept& b) {
    if (a.score != b.score) return a.score < b.score;
    if (a.changed != b.changed) return a.changed < b.changed;
    return a.candidate < b.candidate;
  }
};

/// Figures of candidates that the general solver solved: each takes it a while.
using Solved = std::unordered_map<std::uint64_t, std::vector<double>>;

/// What one thread has gathered.
struct Gathered {
  SearchCounts counts;
  std::vector<Kept> kept;
  double worst_kept = std::numeric_limits<double>::infinity();
  std::map<std::pair<int, double>, Kept> best_of;  // for each number of changes and price
  std::vector<std::uint64_t> unsure;
  Solved solved;  // that pass, as many as there is room for
};

void shrink(Gathered& g) {
  if (g.kept.size() <= most_kept) return;
  std::nth_element(g.kept.begin(), g.kept.begin() + static_cast<std::ptrdiff_t>(most_kept), g.kept.end());
  g.worst_kept = g.kept[most_kept].score;
  g.kept.resize(most_kept);
}

void keep(Gathered& g, const Space& space, const std::vector<int>& options, std::uint64_t candidate, double score) {
  const Kept kept{score, holes_changed(space, options), candidate};
  const double price = price_of(space, options);
  const auto [place, is_new] =
      g.best_of.try_emplace({kept.changed, std::isnan(price) ? std::numeric_limits<double>::infinity() : price}, kept);
  if (!is_new && kept < place->second) place->second = kept;
  if (score > g.worst_kept) return;
  g.kept.push_back(kept);
  if (g.kept.size() >= 2 * most_kept) shrink(g);
}

void count_judged(Gathered& g, const Judgement& judged) {
  if (judged.fails_need >= 0)
    ++g.counts.ruled_out[static_cast<std::size_t>(judged.fails_need)];
  else if (!judged.passes())
    ++g.counts.without_value;
  else
    ++g.counts.passing;
}

/// The first need of what is chosen alone (price, number of changes) that a candidate fails; -1: none.
struct ChoiceScreen {
  std::vector<int> needs;  // indices into the aims' needs
  const Evaluator& e;

  explicit ChoiceScreen(const Evaluator& from) : e(from) {
    for (std::size_t i = 0; i < e.aims->needs.size(); ++i)
      if (e.aims->figures[static_cast<std::size_t>(e.aims->needs[i].figures[0])].what->of == Scope::chosen)
        needs.push_back(static_cast<int>(i));
  }
  int failed(const std::vector<int>& options) const {
    for (const int n : needs) {
      const Constraint& need = e.aims->needs[static_cast<std::size_t>(n)];
      const double value = value_of_choice(*e.space, *need.what, options);
      if (!(value >= need.least.value_or(value)) || !(value <= need.most.value_or(value))) return n;
    }
    return -1;
  }
};

/// Candidates that wait for one look of the kernel.
struct Waiting {
  TapeLook look;
  Batch batch;
  std::vector<std::uint64_t> lanes = {};
  std::vector<Judgement> judged = {};  // of the last run, by lane
};

/// Looks at candidates, at the doubtful ones again more closely; what it finds goes to `gathered` and, if asked, each
/// judgement to `told`.
struct Looker {
  const Evaluator& e;
  ChoiceScreen screen;
  std::vector<Waiting> looks;  // one more closely than the one before
  Gathered& gathered;
  std::function<void(std::uint64_t, const Judgement&)> told;

  Looker(const Evaluator& from, Gathered& into) : e(from), screen(from), gathered(into) {
    for (int look = first_look(e); look <= tape_everywhere; ++look) {
      looks.push_back({TapeLook(look), Batch(e)});
      looks.back().judged.resize(static_cast<std::size_t>(e.kernel.lanes));
    }
    gathered.counts.ruled_out.resize(e.aims->needs.size());
  }

  void look(std::uint64_t candidate, const std::vector<int>& chosen) {
    ++gathered.counts.looked_at;
    if (const int failed = screen.needs.empty() ? -1 : screen.failed(chosen); failed >= 0) {
      ++gathered.counts.skipped;
      ++gathered.counts.ruled_out[static_cast<std::size_t>(failed)];
      return;
    }
    if (!e.tape) {
      leave(candidate);
      return;
    }
    wait(0, candidate, chosen);
  }

  void wait(std::size_t look, std::uint64_t candidate, const std::vector<int>& chosen) {
    if (look == looks.size()) {
      leave(candidate);
      return;
    }
    add(looks[look].batch, chosen);
    looks[look].lanes.push_back(candidate);
    if (static_cast<int>(looks[look].lanes.size()) == e.kernel.lanes) run_look(look);
  }

  void leave(std::uint64_t candidate) {
    if (gathered.unsure.size() < most_unsure)
      gathered.unsure.push_back(candidate);
    else
      ++gathered.counts.left;
  }

  void flush() {
    for (std::size_t look = 0; look < looks.size(); ++look) run_look(look);
  }

  void run_look(std::size_t look) {
    Waiting& waiting = looks[look];
    if (waiting.lanes.empty()) return;
    run(waiting.batch, waiting.look);
    judge(e.judged, waiting.batch.values.begin(), e.kernel.lanes, waiting.judged.data());
    for (std::size_t i = 0; i < waiting.lanes.size(); ++i)
      if (!take(waiting, static_cast<int>(i))) wait(look + 1, waiting.lanes[i], waiting.batch.options[i]);
    waiting.lanes.clear();
  }

  /// @returns false where it is unsure what becomes of it
  bool take(const Waiting& from, int lane) {
    int need = -1;
    const Fate fate = fate_of(from.batch, lane, need);
    if (fate == Fate::unsure) return false;
    if (fate == Fate::hopeless) {
      ++gathered.counts.skipped;
      ++gathered.counts.ruled_out[static_cast<std::size_t>(need)];
    }
    if (fate != Fate::valued) return true;
    ++gathered.counts.assembled;
    const auto i = static_cast<std::size_t>(lane);
    const Judgement& here = from.judged[i];
    count_judged(gathered, here);
    if (told) told(from.lanes[i], here);
    if (!here.passes()) return true;
    keep(gathered, *e.space, from.batch.options[i], from.lanes[i], here.score);
    return true;
  }

  /// A run of candidates, one after another: those of one batch are alike then, and its lanes wait little for one another.
  void look_at_run(std::uint64_t from, std::uint64_t to) {
    std::vector<int> chosen;
    options_of(*e.space, from, chosen);
    for (std::uint64_t c = from; c < to; ++c) {
      look(c, chosen);
      go_on(*e.space, chosen);
    }
    flush();
  }
};

void merge(Gathered& into, Gathered&& from) {
  SearchCounts& a = into.counts;
  const SearchCounts& b = from.counts;
  a.looked_at += b.looked_at;
  a.skipped += b.skipped;
  a.assembled += b.assembled;
  a.passing += b.passing;
  a.by_general_solver += b.by_general_solver;
  a.left += b.left;
  a.without_value += b.without_value;
  a.ruled_out.resize(std::max(a.ruled_out.size(), b.ruled_out.size()));
  for (std::size_t i = 0; i < b.ruled_out.size(); ++i) a.ruled_out[i] += b.ruled_out[i];
  into.kept.insert(into.kept.end(), from.kept.begin(), from.kept.end());
  shrink(into);
  for (const auto& [key, kept] : from.best_of) {
    const auto [place, is_new] = into.best_of.try_emplace(key, kept);
    if (!is_new && kept < place->second) place->second = kept;
  }
  into.unsure.insert(into.unsure.end(), from.unsure.begin(), from.unsure.end());
  into.solved.merge(from.solved);
}

struct Crew {
  const SearchOptions& options;
  int threads;
  std::atomic<std::uint64_t> next{0}, done{0};
  std::atomic<bool> over{false}, halted{false};
  double begun = now_s();

  explicit Crew(const SearchOptions& from) : options(from) {
    threads =
        options.threads > 0 ? options.threads : std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
  }

  bool stopped() const { return over || halted; }

  /// Runs `work(gathered, thread)` on every thread and merges, in a fixed order, what they gathered. Reports meanwhile.
  template <class Work>
  Gathered run(Work work, std::uint64_t of, double until_s) {
    std::vector<Gathered> parts(static_cast<std::size_t>(threads));
    std::vector<std::thread> crew;
    crew.reserve(static_cast<std::size_t>(threads));
    std::atomic<int> working{threads};
    for (int i = 0; i < threads; ++i) {
      crew.emplace_back([&, i] {
        work(parts[static_cast<std::size_t>(i)], i);
        --working;
      });
    }
    const double from_s = now_s();
    double told_s = from_s;
    for (int pause = 0; working > 0; ++pause) {
      std::this_thread::sleep_for(std::chrono::milliseconds(pause < 40 ? 1 : 20));
      const double here_s = now_s();
      if (here_s > until_s) over = true;
      if (options.stop && options.stop()) halted = true;
      if (!options.progress || here_s - told_s < 0.25) continue;
      told_s = here_s;
      const std::uint64_t so_far = done;
      const double rate = static_cast<double>(so_far) / (here_s - from_s);
      options.progress(
          so_far, of,
          of > so_far && rate > 0 ? static_cast<double>(of - so_far) / rate : std::max(0.0, until_s - here_s));
    }
    for (std::thread& one : crew) one.join();
    Gathered all;
    for (Gathered& part : parts) merge(all, std::move(part));
    return all;
  }
};

constexpr double no_end = 1e300;

Gathered look_at_all(const Evaluator& e, Crew& crew) {
  const std::uint64_t size = e.space->size;
  crew.next = crew.done = 0;
  return crew.run(
      [&](Gathered& gathered, int) {
        Looker looker(e, gathered);
        while (!crew.stopped()) {
          const std::uint64_t from = crew.next.fetch_add(block);
          if (from >= size) break;
          const std::uint64_t to = std::min(size, from + block);
          looker.look_at_run(from, to);
          crew.done += to - from;
        }
      },
      size, no_end);
}

// A repeatable number for a place in a sequence (splitmix64, public domain, from memory).
std::uint64_t scattered(std::uint64_t x) {
  x += 0x9e3779b97f4a7c15u;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
  return x ^ (x >> 31);
}

/// Nearest to passing, then best.
double merit(const Judgement& judged) { return judged.passes() ? judged.score : 1e12 * (1 + judged.short_by); }

/// From a start always to the best neighbour: all that differ from it in one variable, then in two beside one another.
void descend_from(Looker& looker, std::uint64_t start, const Crew& crew, std::unordered_set<std::uint64_t>& seen) {
  const Space& space = *looker.e.space;
  double best = std::numeric_limits<double>::infinity();
  std::uint64_t at = start, best_at = start;
  looker.told = [&](std::uint64_t candidate, const Judgement& judged) {
    const double here = merit(judged);
    if (here < best || (here == best && candidate < best_at)) {
      best = here;
      best_at = candidate;
    }
  };
  std::vector<int> options;
  const auto look_once = [&] {
    const std::uint64_t candidate = candidate_of(space, options);
    if (seen.insert(candidate).second) looker.look(candidate, options);
  };
  for (bool moved = true; moved && !crew.stopped();) {
    for (const bool pairs : {false, true}) {
      options_of(space, at, options);
      look_once();
      for (std::size_t i = 0; i < options.size() && !crew.stopped(); ++i) {
        const int own = options[i];
        for (int k = 0; k < static_cast<int>(space.variables[i].options.size()); ++k) {
          options[i] = k;
          if (!pairs) look_once();
          for (std::size_t j = i + 1; pairs && j < options.size() && !crew.stopped(); ++j) {
            const int other = options[j];
            for (options[j] = 0; options[j] < static_cast<int>(space.variables[j].options.size()); ++options[j])
              look_once();
            options[j] = other;
          }
        }
        options[i] = own;
      }
      looker.flush();
      moved = best_at != at;
      at = best_at;
      if (moved) break;
    }
  }
  looker.told = nullptr;
}

// A third of the time a sample, the rest descents: from the best of the sample, then from anywhere.
Gathered look_at_some(const Evaluator& e, Crew& crew, double limit_s) {
  const double from_s = now_s(), until_sample_s = from_s + limit_s / 3;
  crew.next = crew.done = 0;
  crew.over = false;
  Gathered sample = crew.run(
      [&](Gathered& gathered, int) {
        Looker looker(e, gathered);
        std::vector<int> options;
        while (!crew.stopped()) {
          const std::uint64_t from = crew.next.fetch_add(block);
          for (std::uint64_t i = from; i < from + block && !crew.stopped(); ++i) {
            const std::uint64_t candidate = scattered(crew.options.seed + i) % e.space->size;
            options_of(*e.space, candidate, options);
            looker.look(candidate, options);
          }
          looker.flush();
          crew.done += block;
        }
      },
      0, until_sample_s);
  crew.over = false;
  std::vector<Kept> best = sample.kept;
  std::sort(best.begin(), best.end());
  crew.next = 0;
  Gathered descents = crew.run(
      [&](Gathered& gathered, int) {
        Looker looker(e, gathered);
        std::unordered_set<std::uint64_t> seen;
        while (!crew.stopped()) {
          const std::uint64_t turn = crew.next.fetch_add(1);
          const bool from_sample = turn < std::min<std::size_t>(best.size(), starts);
          const std::uint64_t anywhere = scattered(~crew.options.seed + turn) % e.space->size;
          descend_from(
              looker,
              from_sample
                  ? best[static_cast<std::size_t>(turn * best.size() / std::min<std::size_t>(best.size(), starts))]
                        .candidate
                  : anywhere,
              crew, seen);
          ++crew.done;
          if (seen.size() > 3000000) seen.clear();
        }
      },
      0, from_s + limit_s);
  merge(sample, std::move(descents));
  return sample;
}

/// What the kernels left, by the general solver; in order, until the time is over.
Gathered solve_the_rest(const Evaluator& e, Crew& crew, std::vector<std::uint64_t> unsure, double until_s) {
  std::sort(unsure.begin(), unsure.end());
  unsure.erase(std::unique(unsure.begin(), unsure.end()), unsure.end());
  crew.next = crew.done = 0;
  crew.over = false;
  Gathered all = crew.run(
      [&](Gathered& gathered, int) {
        gathered.counts.ruled_out.resize(e.aims->needs.size());
        std::vector<double> values(e.aims->figures.size());
        std::vector<int> options;
        while (!crew.stopped()) {
          const std::uint64_t i = crew.next.fetch_add(1);
          if (i >= unsure.size()) break;
          ++crew.done;
          ++gathered.counts.by_general_solver;
          if (!solve_candidate(e, unsure[i], values.data())) continue;
          ++gathered.counts.assembled;
          const Judgement judged = judge(*e.aims, values.data());
          count_judged(gathered, judged);
          if (!judged.passes()) continue;
          if (gathered.solved.size() < most_solved) gathered.solved.emplace(unsure[i], values);
          options_of(*e.space, unsure[i], options);
          keep(gathered, *e.space, options, unsure[i], judged.score);
        }
      },
      unsure.size(), until_s);
  all.counts.left += unsure.size() - std::min<std::uint64_t>(unsure.size(), all.counts.by_general_solver);
  return all;
}

/// Readings of what was kept, by whatever gave them: the kernel, else the general solver. None where there is no solution.
std::vector<std::vector<double>> values_of(const Evaluator& e, const std::vector<Kept>& kept, const Solved& solved) {
  std::vector<std::vector<double>> values(kept.size());
  std::vector<std::size_t> left;
  for (std::size_t i = 0; i < kept.size(); ++i) {
    const auto found = solved.find(kept[i].candidate);
    if (found != solved.end())
      values[i] = found->second;
    else
      left.push_back(i);
  }
  Batch batch(e);
  std::vector<int> options;
  const auto lanes = static_cast<std::size_t>(e.kernel.lanes);
  for (int look = first_look(e); e.tape && look <= tape_everywhere; ++look) {
    std::vector<std::size_t> unsure;
    for (std::size_t from = 0; from < left.size(); from += lanes) {
      const std::size_t count = std::min(lanes, left.size() - from);
      for (std::size_t i = from; i < from + count; ++i) {
        options_of(*e.space, kept[left[i]].candidate, options);
        add(batch, options);
      }
      run(batch, TapeLook(look));
      for (std::size_t lane = 0; lane < count; ++lane) {
        const std::size_t i = left[from + lane];
        int need = -1;
        if (fate_of(batch, static_cast<int>(lane), need) != Fate::valued) {
          unsure.push_back(i);
          continue;
        }
        values[i].resize(e.aims->figures.size());
        read_lane(batch, static_cast<int>(lane), values[i].data());
      }
    }
    left = std::move(unsure);
  }
  for (const std::size_t i : left) {
    values[i].resize(e.aims->figures.size());
    if (!solve_candidate(e, kept[i].candidate, values[i].data())) values[i].clear();
  }
  return values;
}

bool hardly_differ(const Aims& aims, const std::vector<double>& a, const std::vector<double>& b) {
  constexpr double share = 0.1;  // of every tolerance
  for (const Aim& want : aims.wants)
    for (const int k : want.figures)
      if (!(std::abs(a[static_cast<std::size_t>(k)] - b[static_cast<std::size_t>(k)]) < share * want.tolerance))
        return false;
  return true;
}

struct Group {
  Kept stands_for;  // fewest changes of them
  std::vector<double> first_values;
  std::uint64_t size = 1;
};

/// Groups in the order of their best; each candidate joins the first that it hardly differs from.
std::vector<Group> group(const Evaluator& e, std::vector<Kept> kept, const Solved& solved, std::size_t most) {
  constexpr std::size_t most_without_kernel = 2000;
  if (!e.tape && kept.size() > most_without_kernel) kept.resize(most_without_kernel);
  std::vector<Group> groups;
  const std::vector<std::vector<double>> all_values = values_of(e, kept, solved);
  for (std::size_t i = 0; i < kept.size(); ++i) {
    const std::vector<double>& values = all_values[i];
    if (values.empty()) continue;
    const auto joined = std::find_if(groups.begin(), groups.end(),
                                     [&](const Group& g) { return hardly_differ(*e.aims, g.first_values, values); });
    if (joined != groups.end()) {
      ++joined->size;
      if (kept[i].changed < joined->stands_for.changed) joined->stands_for = kept[i];
    } else if (groups.size() < most) {
      groups.push_back({kept[i], values, 1});
    }
  }
  return groups;
}

/// Those that no other is at least as good as in score, changes and price, and better in one.
std::vector<Kept> unbeaten(const std::map<std::pair<int, double>, Kept>& best_of) {
  std::vector<Kept> out;
  for (const auto& one : best_of) {
    const int own_changes = one.first.first;
    const double own_price = one.first.second, own_score = one.second.score;
    const bool beaten = std::any_of(best_of.begin(), best_of.end(), [&](const auto& other) {
      const auto& [their_changes, their_price] = other.first;
      const double their_score = other.second.score;
      return their_changes <= own_changes && their_price <= own_price && their_score <= own_score &&
             (their_changes < own_changes || their_price < own_price || their_score < own_score);
    });
    if (!beaten) out.push_back(one.second);
  }
  std::sort(out.begin(), out.end());
  return out;
}

/// As the general solver has it; none where it finds that the candidate does not pass after all.
std::optional<Found> found_of(const Evaluator& e, const Kept& kept, std::uint64_t size) {
  Found found;
  found.candidate = kept.candidate;
  found.changes = changes_of(*e.space, kept.candidate);
  found.changed = kept.changed;
  found.group = size;
  found.values.resize(e.aims->figures.size());
  std::vector<int> options;
  options_of(*e.space, kept.candidate, options);
  found.price = e.space->model->has_prices ? price_of(*e.space, options) : std::numeric_limits<double>::quiet_NaN();
  if (!solve_candidate(e, kept.candidate, found.values.data())) return std::nullopt;
  const Judgement judged = judge(*e.aims, found.values.data());
  if (!judged.passes()) return std::nullopt;
  found.score = judged.score;
  return found;
}

/// Seconds that a look at everything would take, from a look at some.
double estimated_s(const Evaluator& e, const Crew& crew) {
  constexpr std::uint64_t tried = 3000;
  if (e.tape && e.space->size <= tried) return 0;
  if (!e.tape) {
    std::vector<double> values(e.aims->figures.size());
    const double from_s = now_s();
    int solved = 0;
    for (; solved < 8 && now_s() - from_s < 0.2; ++solved)
      solve_candidate(e, scattered(static_cast<std::uint64_t>(solved)) % e.space->size, values.data());
    return (now_s() - from_s) / solved * static_cast<double>(e.space->size) / crew.threads;
  }
  Gathered gathered;
  Looker looker(e, gathered);
  std::vector<int> options;
  const double from_s = now_s();
  for (std::uint64_t i = 0; i < tried; ++i) {
    const std::uint64_t candidate = scattered(i) % e.space->size;
    options_of(*e.space, candidate, options);
    looker.look(candidate, options);
  }
  looker.flush();
  const double by_kernel_s = now_s() - from_s, by_solver_s = 2e-3 * static_cast<double>(gathered.unsure.size());
  return (by_kernel_s + by_solver_s) / tried * static_cast<double>(e.space->size) / crew.threads;
}

}  // namespace

SearchResult search(const Evaluator& e, const SearchOptions& options) {
  SearchResult out;
  out.candidates = e.space->size;
  out.counts.ruled_out.resize(e.aims->needs.size());
  if (e.space->size == 0) {
    out.exhaustive = true;
    return out;
  }
  Crew crew(options);
  out.exhaustive = estimated_s(e, crew) <= options.limit_s;
  Gathered all = out.exhaustive ? look_at_all(e, crew) : look_at_some(e, crew, options.limit_s * 0.8);
  std::vector<std::uint64_t> unsure = std::move(all.unsure);
  all.unsure.clear();
  if (!unsure.empty())
    merge(all, solve_the_rest(e, crew, std::move(unsure),
                              crew.begun + std::max(1.2 * options.limit_s, options.limit_s + 1)));
  all.counts.ruled_out.resize(e.aims->needs.size());
  out.counts = all.counts;
  out.stopped = crew.halted;
  out.complete = !crew.halted && all.counts.left == 0;
  if (out.exhaustive && all.counts.looked_at < e.space->size) out.complete = false;

  std::sort(all.kept.begin(), all.kept.end());
  all.kept.erase(std::unique(all.kept.begin(), all.kept.end(),
                             [](const Kept& a, const Kept& b) { return a.candidate == b.candidate; }),
                 all.kept.end());
  const std::vector<Kept> front = unbeaten(all.best_of);
  const auto is_unbeaten = [&](std::uint64_t c) {
    return std::any_of(front.begin(), front.end(), [&](const Kept& k) { return k.candidate == c; });
  };
  for (const Group& g : group(e, all.kept, all.solved, static_cast<std::size_t>(options.top)))
    if (auto found = found_of(e, g.stands_for, g.size)) out.found.push_back(std::move(*found));
  std::stable_sort(out.found.begin(), out.found.end(),
                   [](const Found& a, const Found& b) { return a.score < b.score; });
  constexpr std::size_t most_others = 5;
  std::size_t others = 0;
  for (const Kept& k : front) {
    const bool there =
        std::any_of(out.found.begin(), out.found.end(), [&](const Found& f) { return f.candidate == k.candidate; });
    if (there || others == most_others) continue;
    if (auto found = found_of(e, k, 1)) {
      out.found.push_back(std::move(*found));
      ++others;
    }
  }
  for (Found& f : out.found) f.unbeaten = is_unbeaten(f.candidate);
  out.seconds = now_s() - crew.begun;
  out.per_second = static_cast<double>(all.counts.looked_at) / out.seconds;
  return out;
}

}  // namespace ridepitch
