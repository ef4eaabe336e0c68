#include "tune/search.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <bit>
#include <chrono>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string_view>
#include <unordered_set>
#include <utility>

#include "linkage/dense.hpp"
#include "model/index.hpp"
#include "tune/close_look.hpp"
#include "tune/in_parallel.hpp"
#include "tune/layout_test.hpp"

namespace ridepitch {
namespace {

constexpr std::uint64_t block = 512;            // candidates that a thread takes at a time
constexpr std::size_t most_of_family = 64;      // best ones that are kept of each
constexpr std::size_t most_checked = 24;        // of those, solved in full
constexpr std::size_t most_families = 6;        // that are tried for each that is asked for
constexpr std::uint64_t most_unsure = 4000000;  // that are kept for the general solver
constexpr std::size_t most_seen = 3000000;      // that a thread's descents remember
constexpr std::size_t starts = 64;              // of the descents, from the sample
constexpr double hopeless_after_s = 2;          // work that will not be half done in the time ends then
constexpr double report_s = 0.25;               // from one report of progress to the next
constexpr double infinite = std::numeric_limits<double>::infinity();

double now_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

/// The greatest number where there are more.
std::uint64_t whole(double n) {
  constexpr double most = 1.8e19;
  return n < most ? static_cast<std::uint64_t>(n) : std::numeric_limits<std::uint64_t>::max();
}

/// A candidate that passes, as it is ranked; the numbers come in the order that is preferred.
struct Ranked {
  bool misses = false;  // something that is wanted
  std::array<double, 4> by = {0, 0, 0, 0};
  std::uint64_t candidate = 0;

  friend auto operator<=>(const Ranked&, const Ranked&) = default;
};

/// Candidates that change the same things.
struct Family {
  std::uint64_t passing = 0, hold = 0;
  std::vector<Ranked> best;  ///< those that hold first
};

/// By the things that are changed, a bit each.
using Families = std::map<std::uint64_t, Family>;

/// What became of the candidates that one thread looked at.
struct Screened {
  SearchCounts counts;
  Families families;
  std::vector<std::uint64_t> unsure;
  int fewest_changes = std::numeric_limits<int>::max();  // of those that hold
};

void shrink(Family& family) {
  std::sort(family.best.begin(), family.best.end());
  family.best.erase(std::unique(family.best.begin(), family.best.end()), family.best.end());
  if (family.best.size() > most_of_family) family.best.resize(most_of_family);
}

void merge(Screened& into, Screened&& from) {
  for (const auto count : {&SearchCounts::looked_at, &SearchCounts::skipped, &SearchCounts::assembled,
                           &SearchCounts::passing, &SearchCounts::hold, &SearchCounts::by_general_solver,
                           &SearchCounts::left, &SearchCounts::without_value, &SearchCounts::tested})
    into.counts.*count += from.counts.*count;
  for (std::size_t i = 0; i < from.counts.ruled_out.size(); ++i) into.counts.ruled_out[i] += from.counts.ruled_out[i];
  for (auto& [things, family] : from.families) {
    Family& own = into.families[things];
    own.passing += family.passing;
    own.hold += family.hold;
    own.best.insert(own.best.end(), family.best.begin(), family.best.end());
    shrink(own);
  }
  into.unsure.insert(into.unsure.end(), from.unsure.begin(), from.unsure.end());
  into.fewest_changes = std::min(into.fewest_changes, from.fewest_changes);
}

Screened nothing_screened(const Evaluator& e) {
  Screened out;
  out.counts.ruled_out.resize(e.aims->needs.size());
  return out;
}

std::uint64_t things_changed(const Space& space, const std::vector<int>& options) {
  std::uint64_t things = 0;
  for (std::size_t i = 0; i < options.size(); ++i)
    if (options[i] != space.variables[i].as_it_stands) things |= std::uint64_t{1} << (i % 64);
  return things;
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
  Prefer prefer = Prefer::changes;
  std::vector<int> choice_needs = {};  // of what is chosen alone: price, number of changes
  std::vector<LookQueue> looks = {};   // one more closely than the one before
  std::function<void(const LookQueue& from, int lane)> told = {};
  std::vector<int> options = {};  // of the candidate at hand
};

Screener make_screener(const Evaluator& e, Screened& into, Prefer prefer) {
  Screener out{.e = e, .screened = into, .prefer = prefer};
  for (int n = 0; n < count(e.aims->needs); ++n)
    if (at(e.aims->figures, at(e.aims->needs, n).figures[0]).what->of == Scope::chosen) out.choice_needs.push_back(n);
  for (int look = tape_along_travel; look <= tape_everywhere; ++look) {
    LookQueue& queue = out.looks.emplace_back(LookQueue{TapeLook(look), Batch(e)});
    queue.judged.resize(static_cast<std::size_t>(e.kernel.lanes));
  }
  return out;
}

/// How many different springs were chosen in place of those that may not stay: a builder likes to have one kind.
int kinds_chosen(const Space& space, const std::vector<int>& options) {
  std::vector<std::string_view> kinds;
  for (std::size_t i = 0; i < options.size(); ++i) {
    const Variable& variable = space.variables[i];
    if (!variable.is_spring || variable.as_it_stands >= 0) continue;
    const std::string_view part = std::get<SetSpring>(at(variable.options, options[i])).part;
    if (std::find(kinds.begin(), kinds.end(), part) == kinds.end()) kinds.push_back(part);
  }
  return count(kinds);
}

/// Counts a candidate that is put together, and ranks it where it passes.
void take_judged(Screener& screener, const std::vector<int>& options, std::uint64_t candidate,
                 const Judgement& judged) {
  Screened& screened = screener.screened;
  const Space& space = *screener.e.space;
  ++screened.counts.assembled;
  if (judged.fails_need >= 0)
    ++at(screened.counts.ruled_out, judged.fails_need);
  else if (!judged.passes())
    ++screened.counts.without_value;
  if (!judged.passes()) return;
  ++screened.counts.passing;
  const int changes = holes_changed(space, options);
  if (judged.holds()) {
    ++screened.counts.hold;
    screened.fewest_changes = std::min(screened.fewest_changes, changes);
  }
  const double price = price_of(space, options), cost = std::isnan(price) ? infinite : price;
  const double changed = changes, kinds = kinds_chosen(space, options);
  Ranked ranked{!judged.holds(), {judged.score, changed, kinds, cost}, candidate};
  if (judged.holds() && screener.prefer == Prefer::changes) ranked.by = {changed, kinds, judged.score, cost};
  if (judged.holds() && screener.prefer == Prefer::cost) ranked.by = {cost, changed, kinds, judged.score};
  Family& family = screened.families[things_changed(space, options)];
  ++family.passing;
  family.hold += judged.holds() ? 1 : 0;
  family.best.push_back(ranked);
  if (family.best.size() >= 2 * most_of_family) shrink(family);
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
  take_judged(screener, at(from.batch.options, lane), at(from.lanes, lane), at(from.judged, lane));
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
  double until_s = infinite;
  int threads = options.threads > 0 ? options.threads : most_threads();
  double begun_s = now_s();
  double told_s = begun_s;
  SearchProgress progress = {};
  std::atomic<std::uint64_t> next{0}, done{0};
  std::atomic<bool> over{false}, halted{false};
};

bool stopped(const WorkerPool& pool) { return pool.over || pool.halted; }

/// Runs `work` on every thread. Reports meanwhile, and sets `over` when the time is.
/// @param work  called with a number below the threads
void run_all(WorkerPool& pool, const std::function<void(int)>& work, std::uint64_t of) {
  pool.next = 0;
  pool.done = 0;
  const double from_s = now_s();
  const auto watch = [&] {
    const double here_s = now_s();
    if (here_s > pool.until_s) pool.over = true;
    // What would not be done by far in the time is not begun for nothing.
    const double share = of > 0 ? static_cast<double>(pool.done) / static_cast<double>(of) : 1;
    if (here_s - from_s > hopeless_after_s && share * (pool.until_s - from_s) < 0.5 * (here_s - from_s))
      pool.over = true;
    if (pool.options.stop && pool.options.stop()) pool.halted = true;
    if (!pool.options.progress || here_s - pool.told_s < report_s) return;
    pool.told_s = here_s;
    pool.progress.done = pool.done;
    pool.progress.of = of;
    const double rate = static_cast<double>(pool.progress.done) / (here_s - from_s);
    pool.progress.seconds_left = of > pool.progress.done && rate > 0
                                     ? static_cast<double>(of - pool.progress.done) / rate
                                     : std::max(0.0, std::min(pool.until_s, here_s + 1e6) - here_s);
    pool.options.progress(pool.progress);
  };
  run_workers(pool.threads, work, watch);
}

/// The same with a screener for each thread; merges what they find.
Screened screen_all(WorkerPool& pool, const std::function<void(Screener&)>& work, std::uint64_t of) {
  std::vector<Screened> parts(static_cast<std::size_t>(pool.threads), nothing_screened(pool.e));
  run_all(
      pool,
      [&](int i) {
        Screener screener = make_screener(pool.e, at(parts, i), pool.options.prefer);
        work(screener);
      },
      of);
  Screened all = nothing_screened(pool.e);
  for (Screened& part : parts) merge(all, std::move(part));
  return all;
}

/// What the kernels left, by the general solver; in order, until the time is over.
Screened solve_the_rest(WorkerPool& pool, std::vector<std::uint64_t> unsure) {
  std::sort(unsure.begin(), unsure.end());
  unsure.erase(std::unique(unsure.begin(), unsure.end()), unsure.end());
  const Evaluator& e = pool.e;
  const auto work = [&](Screener& screener) {
    std::vector<double> values(e.aims->figures.size());
    while (!stopped(pool)) {
      const std::uint64_t i = pool.next.fetch_add(1);
      if (i >= unsure.size()) break;
      ++pool.done;
      ++screener.screened.counts.by_general_solver;
      if (!solve_candidate(e, unsure[i], values.data())) continue;
      options_of(*e.space, unsure[i], screener.options);
      take_judged(screener, screener.options, unsure[i], judge(*e.aims, values.data()));
    }
  };
  Screened all = screen_all(pool, work, unsure.size());
  all.counts.left += unsure.size() - std::min<std::uint64_t>(unsure.size(), all.counts.by_general_solver);
  return all;
}

/// Looks at candidates by their numbers; what the kernels leave is in `unsure`.
Screened screen_list(WorkerPool& pool, const std::vector<std::uint64_t>& candidates) {
  Screened all = screen_all(
      pool,
      [&](Screener& screener) {
        while (!stopped(pool)) {
          const std::uint64_t from = pool.next.fetch_add(block);
          if (from >= candidates.size()) break;
          const std::uint64_t to = std::min<std::uint64_t>(candidates.size(), from + block);
          for (std::uint64_t i = from; i < to; ++i) screen_number(screener, candidates[i]);
          flush(screener);
          pool.done += to - from;
        }
      },
      candidates.size());
  return all;
}

// ------------------------------------------------------------------------------------ linkage by linkage

/// A wheel whose rise tells how the vehicle stands.
struct TellingWheel {
  int linkage = -1, index = 0;             // of the plan, and of rises_of; -1: it stays as it is
  std::array<double, 2> rise_mm = {0, 0};  // then
};

/// Every linkage that varies, made ready to be searched by itself.
struct Plan {
  std::vector<LinkageLayouts> linkages;
  // How the vehicle stands follows from some wheels' rises: sums of them, and their bounds.
  std::vector<TellingWheel> telling;
  std::vector<BoundedSum> stance;
};

/// Finds wheels whose rises tell height, pitch and roll, and writes what is wanted of those as sums of the rises.
void find_telling_wheels(Plan& plan, const WantedStance& stance, const std::vector<TellingWheel>& wheels,
                         const std::vector<Vec3>& height_by) {
  const std::size_t unknowns = stance.upright ? 2 : 3;
  Eigen::MatrixXd by(unknowns, unknowns);
  for (std::size_t i = 0; i < wheels.size() && plan.telling.size() < unknowns; ++i) {
    const auto k = static_cast<Eigen::Index>(plan.telling.size());
    by.col(k) = height_by[i]
                    .head(static_cast<Eigen::Index>(unknowns))
                    .cwiseQuotient(Vec3(1, 100, 100).head(static_cast<Eigen::Index>(unknowns)));
    if (matrix_rank(by.leftCols(k + 1), 1e-3) == k + 1) plan.telling.push_back(wheels[i]);
  }
  if (plan.telling.size() < unknowns) return plan.telling.clear();
  for (const BoundedSum& sum : stance.bounds) {
    // The body is lower by what a wheel is higher on it.
    const Eigen::VectorXd share = sum.share.head(static_cast<Eigen::Index>(unknowns))
                                      .cwiseQuotient(Vec3(1, 100, 100).head(static_cast<Eigen::Index>(unknowns)));
    plan.stance.push_back({-least_squares(by, share), sum.low, sum.high});
  }
}

std::optional<Plan> make_plan(const Evaluator& e, std::string& why_not) {
  const Space& space = *e.space;
  auto stance = wanted_stance(space, *e.aims, *e.as_it_stands, why_not);
  if (!stance) return std::nullopt;
  std::vector<bool> varied(space.model->linkages.size(), false);
  for (const Variable& variable : space.variables) {
    const int linkage = changed_linkage(variable.options.front());
    if (linkage < 0) {
      why_not = "'" + variable.thing + "' is of no linkage";
      return std::nullopt;
    }
    at(varied, linkage) = true;
  }
  std::vector<std::optional<LinkageLayouts>> all(varied.size());
  std::vector<const LinkageLayouts*> known(varied.size(), nullptr);
  for (int l = 0; l < count(all); ++l) {
    std::string reason = "a linkage that varies carries no wheel";
    at(all, l) = make_linkage_layouts(space, l, *e.as_it_stands, reason);
    if (at(all, l)) {
      set_stance(*at(all, l), *stance);
      at(known, l) = &*at(all, l);
    } else if (varied[static_cast<std::size_t>(l)]) {
      why_not = reason;
      return std::nullopt;
    }
  }
  const auto contacts = contact_ranges(space, known, *stance, *e.as_it_stands);
  if (!contacts) {
    why_not = "there are too many arms to know what each wheel carries";
    return std::nullopt;
  }
  const auto rides = [&](int linkage) {
    for (int c = 0; c < count(space.model->corners); ++c)
      for (const WheelResult& wheel : at(e.as_it_stands->corners, c).wheels)
        if (at(space.model->corners, c).linkage == linkage && wheel.state != WheelState::riding) return false;
    return true;
  };
  for (int l = 0; l < count(all); ++l)
    if (at(all, l) && !at(varied, l) && rides(l)) narrow_loads(*at(all, l), *stance);
  set_loads(*stance, *space.model, *e.as_it_stands, *contacts);
  Plan plan;
  std::vector<TellingWheel> wheels;
  std::vector<Vec3> height_by;
  std::vector<int> as_it_stands;
  for (const Variable& variable : space.variables) as_it_stands.push_back(std::max(0, variable.as_it_stands));
  for (std::size_t l = 0; l < all.size(); ++l) {
    if (!all[l]) continue;
    set_stance(*all[l], *stance);
    std::vector<std::array<double, 2>> rises;
    if (!varied[l]) {
      if (!rides(static_cast<int>(l))) continue;
      Skeleton skeleton = all[l]->skeleton;
      const auto cases = rises_of(*all[l], skeleton, as_it_stands);
      if (cases.size() != 1) continue;
      rises = cases.front();
    }
    int index = 0;
    for (const LaidCorner& corner : all[l]->corners)
      for (const WheelInStance& wheel : corner.wheels) {
        wheels.push_back(
            {varied[l] ? count(plan.linkages) : -1, index, varied[l] ? std::array<double, 2>{} : at(rises, index)});
        height_by.push_back(wheel.height_by);
        ++index;
      }
    if (varied[l]) plan.linkages.push_back(std::move(*all[l]));
  }
  find_telling_wheels(plan, *stance, wheels, height_by);
  if (plan.linkages.empty()) {
    why_not = "nothing varies";
    return std::nullopt;
  }
  return plan;
}

/// Whether a candidate may hold, looked at more closely than all at once could be: each wheel's rise narrowed to where it
/// carries what it can, and the stance that follows.
/// @param skeletons  to work in, one for each linkage of the plan
bool may_hold(const Plan& plan, std::vector<Skeleton>& skeletons, const std::vector<int>& options) {
  std::vector<std::vector<std::vector<std::array<double, 2>>>> cases;
  for (std::size_t l = 0; l < plan.linkages.size(); ++l) {
    cases.push_back(rises_of(plan.linkages[l], skeletons[l], options));
    if (cases.back().empty()) return false;
    // Which off it lies is the general solver's to say.
    if (cases.back().size() > 1) return true;
  }
  // Of second order, as where the stance was bounded; tyres that give are in the bounds of the rises.
  constexpr double more = 0.05, at_least_mm = 0.05;
  return std::all_of(plan.stance.begin(), plan.stance.end(), [&](const BoundedSum& sum) {
    double low = 0, high = 0, off = 0;
    for (std::size_t k = 0; k < plan.telling.size(); ++k) {
      const TellingWheel& wheel = plan.telling[k];
      const std::array<double, 2> rise =
          wheel.linkage < 0 ? wheel.rise_mm : at(at(cases, wheel.linkage).front(), wheel.index);
      const double share = sum.share[static_cast<Eigen::Index>(k)];
      low += std::min(share * rise[0], share * rise[1]);
      high += std::max(share * rise[0], share * rise[1]);
      off += std::abs(share) * (at_least_mm + more * std::max(std::abs(rise[0]), std::abs(rise[1])));
    }
    return high + off >= sum.low && low - off <= sum.high;
  });
}

/// Those of a list that may hold.
std::vector<std::uint64_t> that_may_hold(WorkerPool& pool, const Plan& plan,
                                         const std::vector<std::uint64_t>& candidates) {
  std::vector<std::vector<std::uint64_t>> parts(static_cast<std::size_t>(pool.threads));
  run_all(
      pool,
      [&](int i) {
        std::vector<Skeleton> skeletons;
        for (const LinkageLayouts& layouts : plan.linkages) skeletons.push_back(layouts.skeleton);
        std::vector<int> options;
        while (!stopped(pool)) {
          const std::uint64_t from = pool.next.fetch_add(block);
          if (from >= candidates.size()) break;
          const std::uint64_t to = std::min<std::uint64_t>(candidates.size(), from + block);
          for (std::uint64_t k = from; k < to; ++k) {
            options_of(*pool.e.space, candidates[k], options);
            if (may_hold(plan, skeletons, options)) at(parts, i).push_back(candidates[k]);
          }
          pool.done += to - from;
        }
      },
      candidates.size());
  std::vector<std::uint64_t> out;
  for (const auto& part : parts) out.insert(out.end(), part.begin(), part.end());
  return out;
}

/// What is left of one linkage, each once and in order.
LayoutsLeft layouts_left(WorkerPool& pool, const LinkageLayouts& layouts, int least_changes, int most_changes,
                         std::uint64_t of) {
  const std::vector<SkeletonRun> runs = skeleton_runs(layouts, least_changes, most_changes);
  std::vector<LayoutsLeft> parts(static_cast<std::size_t>(pool.threads));
  run_all(
      pool,
      [&](int i) {
        LayoutWork work(layouts);
        while (!stopped(pool)) {
          const std::uint64_t k = pool.next.fetch_add(1);
          if (k >= runs.size()) break;
          look_at(work, runs[k], least_changes, most_changes, at(parts, i));
          pool.done = whole(static_cast<double>(of) * static_cast<double>(k + 1) / static_cast<double>(runs.size()));
        }
      },
      of);
  LayoutsLeft all;
  all.by_changes.resize(static_cast<std::size_t>(most_changes) + 1);
  for (const LayoutsLeft& part : parts) {
    all.tested += part.tested;
    for (std::size_t d = 0; d < part.by_changes.size(); ++d)
      all.by_changes[d].insert(all.by_changes[d].end(), part.by_changes[d].begin(), part.by_changes[d].end());
  }
  for (std::vector<std::uint64_t>& each : all.by_changes) {
    std::sort(each.begin(), each.end());
    each.erase(std::unique(each.begin(), each.end()), each.end());
  }
  return all;
}

/// Of every linkage what is left of each number of changes so far.
using LeftOfEach = std::vector<std::vector<std::vector<std::uint64_t>>>;

/// Screens all combinations of what is left with so many changes in all, some at a time.
Screened join(WorkerPool& pool, const Plan& plan, const LeftOfEach& left, int changes) {
  constexpr std::size_t at_a_time = 1u << 20;
  Screened all = nothing_screened(pool.e);
  std::vector<std::uint64_t> waiting;
  const auto look = [&] {
    merge(all, screen_list(pool, waiting));
    waiting.clear();
    if (all.unsure.empty() || stopped(pool)) return;
    const std::vector<std::uint64_t> doubtful = that_may_hold(pool, plan, std::exchange(all.unsure, {}));
    if (!stopped(pool)) merge(all, solve_the_rest(pool, doubtful));
  };
  const auto combine = [&](const auto& self, std::size_t linkage, int rest, std::uint64_t number) -> void {
    if (linkage == left.size()) {
      if (rest != 0) return;
      waiting.push_back(number);
      if (waiting.size() == at_a_time) look();
      return;
    }
    for (int d = 0; d <= rest && d < count(left[linkage]); ++d)
      for (const std::uint64_t own : at(left[linkage], d)) {
        if (stopped(pool)) return;
        self(self, linkage + 1, rest - d, number + own);
      }
  };
  combine(combine, 0, changes, 0);
  look();
  return all;
}

/// A depth is done: what was found there counts.
void take_depth(WorkerPool& pool, Screened& all, Screened&& here, int changes, double candidates,
                SearchResult& result) {
  const std::uint64_t looked_at = whole(candidates);
  here.counts.skipped += looked_at - std::min(looked_at, here.counts.looked_at);
  here.counts.looked_at = looked_at;
  result.depths.push_back({changes, looked_at, here.counts.hold});
  merge(all, std::move(here));
  pool.progress.hold = all.counts.hold;
  pool.progress.fewest_changes = all.fewest_changes;
}

/// One depth after another; few and many changes of a small space are looked at in one go each.
void look_by_linkage(WorkerPool& pool, const Plan& plan, Screened& all, SearchResult& result) {
  constexpr double in_one_go = 4e9;  // layouts that take some seconds
  const std::vector<double> candidates = layouts_by_changes(*pool.e.space);
  const int deepest = std::min(count(candidates) - 1, pool.options.most_changes);
  LeftOfEach left(plan.linkages.size());
  int looked_to = -1;
  for (int d = 0; d <= deepest && !stopped(pool); ++d) {
    if (at(candidates, d) == 0) continue;
    pool.progress.changes = d;
    if (d > looked_to) {
      constexpr int few = 2;
      double ahead = 0;
      for (int k = d; k <= deepest; ++k) ahead += at(candidates, k);
      const int to = d <= few && deepest > few ? few : ahead <= in_one_go ? deepest : d;
      for (std::size_t l = 0; l < left.size(); ++l) {
        LayoutsLeft more = layouts_left(pool, plan.linkages[l], looked_to + 1, to, whole(at(candidates, d)));
        if (stopped(pool)) return;
        all.counts.tested += more.tested;
        left[l].resize(static_cast<std::size_t>(to) + 1);
        for (int k = looked_to + 1; k <= to; ++k) at(left[l], k) = std::move(at(more.by_changes, k));
      }
      looked_to = to;
    }
    Screened here = join(pool, plan, left, d);
    if (stopped(pool) || here.counts.left > 0) return;
    take_depth(pool, all, std::move(here), d, at(candidates, d), result);
  }
}

// ------------------------------------------------------------------------------------ where nothing settles the stance

/// All candidates that change these things, and no others.
std::uint64_t candidates_of(const Space& space, std::uint64_t things) {
  std::uint64_t n = 1;
  for (std::size_t i = 0; i < space.variables.size(); ++i) {
    const Variable& variable = space.variables[i];
    const bool has_own = variable.as_it_stands >= 0, is_changed = ((things >> i) & 1u) != 0;
    if (!is_changed && !has_own) return 0;
    if (is_changed) n *= variable.options.size() - (has_own ? 1 : 0);
  }
  return n;
}

void set_options(const Space& space, std::uint64_t things, std::uint64_t number, std::vector<int>& options) {
  options.resize(space.variables.size());
  for (std::size_t i = space.variables.size(); i-- > 0;) {
    const Variable& variable = space.variables[i];
    options[i] = variable.as_it_stands;
    if (((things >> i) & 1u) == 0) continue;
    const std::uint64_t others = variable.options.size() - (variable.as_it_stands >= 0 ? 1 : 0);
    options[i] = static_cast<int>(number % others);
    if (variable.as_it_stands >= 0 && options[i] >= variable.as_it_stands) ++options[i];
    number /= others;
  }
}

/// Every candidate with so many changes, by the kernels.
Screened look_at_depth(WorkerPool& pool, int changes, std::uint64_t of) {
  const Space& space = *pool.e.space;
  std::vector<SkeletonRun> runs;
  for (std::uint64_t things = 0; things < std::uint64_t{1} << space.variables.size(); ++things) {
    if (std::popcount(things) != changes) continue;
    const std::uint64_t n = candidates_of(space, things);
    for (std::uint64_t from = 0; from < n; from += block) runs.push_back({things, from, std::min(n, from + block)});
  }
  Screened all = screen_all(
      pool,
      [&](Screener& screener) {
        while (!stopped(pool)) {
          const std::uint64_t k = pool.next.fetch_add(1);
          if (k >= runs.size()) break;
          for (std::uint64_t i = runs[k].from; i < runs[k].to; ++i) {
            set_options(space, runs[k].changed, i, screener.options);
            screen(screener, candidate_of(space, screener.options));
          }
          flush(screener);
          pool.done += runs[k].to - runs[k].from;
        }
      },
      of);
  if (!all.unsure.empty() && !stopped(pool)) merge(all, solve_the_rest(pool, std::exchange(all.unsure, {})));
  return all;
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
Screened look_at_some(WorkerPool& pool) {
  const double end_s = pool.until_s;
  const std::uint64_t size = pool.e.space->size, seed = pool.options.seed;
  pool.progress.changes = -1;
  pool.until_s = now_s() + (end_s - now_s()) / 3;
  Screened sample = screen_all(
      pool,
      [&](Screener& screener) {
        while (!stopped(pool)) {
          const std::uint64_t from = pool.next.fetch_add(block);
          for (std::uint64_t i = from; i < from + block && !stopped(pool); ++i)
            screen_number(screener, scattered(seed + i) % size);
          flush(screener);
          pool.done += block;
        }
      },
      0);
  pool.over = false;
  pool.until_s = end_s;
  std::vector<Ranked> best;
  for (const auto& [things, family] : sample.families) best.insert(best.end(), family.best.begin(), family.best.end());
  std::sort(best.begin(), best.end());
  const std::size_t from_sample = std::min(best.size(), starts);
  const auto descend = [&](Screener& screener) {
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
  merge(sample, screen_all(pool, descend, 0));
  return sample;
}

/// Candidates of a depth that take a second, from a look at some.
double rate_of(WorkerPool& pool) {
  constexpr std::uint64_t tried = 3000, tried_by_solver = 8;
  constexpr double general_solver_s = 2e-3;  // of one candidate, about
  const Evaluator& e = pool.e;
  const double from_s = now_s();
  if (!e.tape) {
    std::vector<double> values(e.aims->figures.size());
    for (std::uint64_t i = 0; i < tried_by_solver; ++i) solve_candidate(e, scattered(i) % e.space->size, values.data());
    return static_cast<double>(tried_by_solver) / (now_s() - from_s) * pool.threads;
  }
  Screened screened = nothing_screened(e);
  Screener screener = make_screener(e, screened, pool.options.prefer);
  for (std::uint64_t i = 0; i < tried; ++i) screen_number(screener, scattered(i) % e.space->size);
  flush(screener);
  const double by_solver_s = general_solver_s * static_cast<double>(screened.unsure.size());
  return tried / (now_s() - from_s + by_solver_s) * pool.threads;
}

/// Depths as long as they fit into half of the time, then a sample if that is wanted.
void look_at_everything(WorkerPool& pool, bool sample, Screened& all, SearchResult& result) {
  const std::vector<double> candidates = layouts_by_changes(*pool.e.space);
  const int deepest = std::min(count(candidates) - 1, pool.options.most_changes);
  double before = 0, whole_space = 0;
  for (const double n : candidates) whole_space += n;
  constexpr double small = 3000;  // candidates that need no clock
  const double rate = whole_space <= small && pool.e.tape ? infinite : rate_of(pool);
  const bool fits = whole_space / rate <= pool.until_s - now_s();
  const double share = fits ? 1.2 : 0.5;  // of the time
  for (int d = 0; d <= deepest && !stopped(pool); ++d) {
    if (at(candidates, d) == 0) continue;
    before += at(candidates, d);
    if (before / rate > share * (pool.until_s - pool.begun_s)) break;
    pool.progress.changes = d;
    Screened here = look_at_depth(pool, d, whole(at(candidates, d)));
    if (stopped(pool) || here.counts.left > 0) return;
    take_depth(pool, all, std::move(here), d, at(candidates, d), result);
  }
  if (!sample || stopped(pool) || deepest < count(candidates) - 1 || whole(before) >= whole(whole_space)) return;
  Screened some = look_at_some(pool);
  // What the sample leaves may take a little longer.
  pool.until_s = now_s() + 0.2 * (now_s() - pool.begun_s) + 1;
  pool.over = false;
  if (!some.unsure.empty() && !pool.halted) merge(some, solve_the_rest(pool, std::exchange(some.unsure, {})));
  merge(all, std::move(some));
}

// ------------------------------------------------------------------------------------ what is told

/// What of the aims a candidate lacks.
std::vector<Miss> misses_of(const Aims& aims, const std::vector<double>& values) {
  constexpr double rounding = 1e-9;
  std::vector<Miss> out;
  for (int k = 0; k < count(aims.wants); ++k) {
    const Aim& want = at(aims.wants, k);
    Miss miss{.want = k};
    for (std::size_t i = 0; i < want.figures.size(); ++i) {
      const double off = at(values, want.figures[i]) - want.target[i], beyond = std::abs(off) - want.tolerance;
      if (!(beyond > std::abs(miss.by) + rounding * want.tolerance)) continue;
      miss.by = std::copysign(beyond, off);
      miss.figure = want.figures[i];
    }
    if (miss.by != 0) out.push_back(miss);
  }
  for (int k = 0; k < count(aims.needs); ++k) {
    const Constraint& need = at(aims.needs, k);
    Miss miss{.need = k};
    for (const int figure : need.figures) {
      const double value = at(values, figure), under = need.least ? value - *need.least : 0,
                   over = need.most ? value - *need.most : 0;
      for (const double by : {std::min(under, 0.0), std::max(over, 0.0)}) {
        if (!(std::abs(by) > std::abs(miss.by))) continue;
        miss.by = by;
        miss.figure = figure;
      }
    }
    if (miss.by != 0) out.push_back(miss);
  }
  return out;
}

/// What the full solution makes of a ranked candidate.
struct Checked {
  std::optional<Found> found;  ///< none: it does not hold after all
  bool accepted = true;
};

/// @param aims  that its score and misses are told by
Checked check(const Evaluator& e, const Aims& aims, const SearchOptions& options, const Ranked& ranked) {
  Checked out;
  Found found;
  found.candidate = ranked.candidate;
  found.changes = changes_of(*e.space, ranked.candidate);
  std::vector<int> chosen;
  options_of(*e.space, ranked.candidate, chosen);
  found.changed = holes_changed(*e.space, chosen);
  found.price = e.space->model->has_prices ? price_of(*e.space, chosen) : std::numeric_limits<double>::quiet_NaN();
  const auto candidate = solve_in_full(e, ranked.candidate);
  if (!candidate) return out;
  found.values = values_of(e, *candidate, chosen);
  const Judgement judged = judge(*e.aims, found.values.data());
  if (!judged.passes() || (!ranked.misses && !judged.holds())) return out;
  found.score = judge(aims, found.values.data()).score;
  found.misses = misses_of(aims, found.values);
  found.new_findings = new_findings(e.findings, candidate->solution.findings);
  out.accepted = ranked.misses || !options.accept || options.accept(*candidate);  // a miss is told as one
  out.found = std::move(found);
  return out;
}

/// A family, and how far the one that stands for it has been looked for.
struct Choice {
  const Family* family = nullptr;
  std::size_t looked_at = 0;
  std::optional<Found> clean = {}, warned = {};  ///< without and with a new warning
  Ranked clean_rank = {}, warned_rank = {};

  bool is_settled() const {
    if (clean || looked_at == family->best.size() || looked_at == most_checked) return true;
    return family->hold > 0 ? family->best[looked_at].misses : warned.has_value();
  }
};

/// Solves the next one of every family that is not settled, all at once.
void check_next(WorkerPool& pool, const Aims& aims, std::vector<Choice*> choices, SearchResult& result) {
  std::vector<Checked> checked(choices.size());
  const double until_s = std::exchange(pool.until_s, infinite);  // what was found is told, however long that takes
  run_all(
      pool,
      [&](int) {
        for (std::uint64_t i = pool.next.fetch_add(1); i < choices.size(); i = pool.next.fetch_add(1))
          checked[i] = check(pool.e, aims, pool.options, choices[i]->family->best[choices[i]->looked_at]);
      },
      choices.size());
  pool.until_s = until_s;
  for (std::size_t i = 0; i < choices.size(); ++i) {
    Choice& choice = *choices[i];
    ++choice.looked_at;
    if (!checked[i].found) continue;
    const Ranked& rank = choice.family->best[choice.looked_at - 1];
    Found& found = *checked[i].found;
    found.group = found.misses.empty() ? choice.family->hold : choice.family->passing;
    ++result.checked;
    if (!checked[i].accepted) {
      ++result.not_accepted;
    } else if (const Finding* problem = new_problem(found.new_findings)) {
      ++result.not_built[problem->code];
    } else if (found.new_findings.empty()) {
      choice.clean = std::move(found);
      choice.clean_rank = rank;
    } else if (!choice.warned) {
      choice.warned = std::move(found);
      choice.warned_rank = rank;
    }
  }
}

/// The best of each family, in the order of the families' best; those that bring a problem are passed over, and counted.
std::vector<Found> best_of_families(WorkerPool& pool, const Aims& aims, const Screened& all, SearchResult& result) {
  std::vector<const Family*> families;
  // Misses are told only where nothing holds.
  for (const auto& [things, family] : all.families)
    if (family.hold > 0 || all.counts.hold == 0) families.push_back(&family);
  std::sort(families.begin(), families.end(),
            [](const Family* a, const Family* b) { return a->best.front() < b->best.front(); });
  const auto top = static_cast<std::size_t>(pool.options.top);
  std::vector<Choice> choices;
  std::size_t next = 0, clean = 0;
  for (bool more = true; more;) {
    while (next < families.size() && next < most_families * top) {
      if (clean + static_cast<std::size_t>(
                      std::count_if(choices.begin(), choices.end(), [](const Choice& c) { return !c.is_settled(); })) >=
          top)
        break;
      choices.push_back({.family = families[next++]});
    }
    std::vector<Choice*> open;
    for (Choice& choice : choices)
      if (!choice.is_settled()) open.push_back(&choice);
    more = !open.empty();
    if (more) check_next(pool, aims, std::move(open), result);
    clean = static_cast<std::size_t>(
        std::count_if(choices.begin(), choices.end(), [](const Choice& c) { return c.clean.has_value(); }));
    if (clean >= top) break;
    if (all.counts.hold == 0 &&
        static_cast<std::size_t>(
            std::count_if(choices.begin(), choices.end(), [](const Choice& c) { return c.clean || c.warned; })) >= top)
      break;
  }
  std::vector<std::pair<Ranked, Found>> clean_ones, warned_ones;
  for (Choice& choice : choices) {
    if (choice.clean)
      clean_ones.emplace_back(choice.clean_rank, std::move(*choice.clean));
    else if (choice.warned)
      warned_ones.emplace_back(choice.warned_rank, std::move(*choice.warned));
  }
  std::vector<Found> out;
  for (auto* ones : {&clean_ones, &warned_ones}) {
    std::sort(ones->begin(), ones->end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (auto& each : *ones) out.push_back(std::move(each.second));
  }
  if (out.size() > top) out.resize(top);
  for (Found& found : out)
    found.unbeaten = std::none_of(out.begin(), out.end(), [&](const Found& other) {
      const auto cost = [](const Found& f) { return std::isnan(f.price) ? infinite : f.price; };
      return other.score <= found.score && other.changed <= found.changed && cost(other) <= cost(found) &&
             (other.score < found.score || other.changed < found.changed || cost(other) < cost(found));
    });
  return out;
}

/// One search within the evaluator's aims.
/// @param aims  that the result is told by
void look(WorkerPool& pool, const Aims& aims, SearchResult& result) {
  Screened all = nothing_screened(pool.e);
  const auto plan = make_plan(pool.e, result.why_sampled);
  if (plan)
    look_by_linkage(pool, *plan, all, result);
  else
    look_at_everything(pool, true, all, result);
  merge(all, nothing_screened(pool.e));
  result.counts = all.counts;
  result.found = best_of_families(pool, aims, all, result);
}

/// Parts touch, do not stack, or lack a hole.
bool keeps_from_building(const Finding& finding) {
  return finding.code == "parts-touch" || finding.code == "tyres-touch" || finding.code == "does-not-stack" ||
         finding.code == "no-such-hole";
}

}  // namespace

const Finding* new_problem(const std::vector<Finding>& new_findings) {
  const Finding* problem = nullptr;
  for (const Finding& finding : new_findings) {
    if (finding.level != Level::problem) continue;
    if (keeps_from_building(finding)) return &finding;
    if (!problem) problem = &finding;
  }
  return problem;
}

bool saw_all(const SearchResult& result) { return result.exhaustive && result.complete; }

int complete_changes(const SearchResult& result) { return result.depths.empty() ? -1 : result.depths.back().changes; }

SearchResult search(const Evaluator& e, const SearchOptions& options) {
  SearchResult out;
  out.candidates = e.space->size;
  out.counts.ruled_out.resize(e.aims->needs.size());
  if (e.space->size == 0) {
    out.exhaustive = true;
    return out;
  }
  const double begun_s = now_s();
  WorkerPool pool{.e = e, .options = options, .until_s = begun_s + options.limit_s};
  look(pool, *e.aims, out);
  const std::vector<double> candidates = layouts_by_changes(*e.space);
  int deepest = 0;
  for (int d = 0; d < count(candidates); ++d)
    if (at(candidates, d) > 0) deepest = d;
  out.exhaustive = complete_changes(out) == deepest;
  out.as_deep_as_asked = complete_changes(out) >= std::min(deepest, options.most_changes);
  out.stopped = pool.halted;
  out.complete = !pool.halted && out.counts.left == 0;
  // Where the linkages were searched one by one, what misses by much was discarded unseen.
  constexpr std::uint64_t small = 50000;
  if (out.counts.hold == 0 && out.why_sampled.empty() && !out.stopped && e.tape && e.space->size <= small) {
    Screened all = nothing_screened(e);
    SearchResult whole_space;
    look_at_everything(pool, false, all, whole_space);
    out.found = best_of_families(pool, *e.aims, all, out);
    out.counts.ruled_out = all.counts.ruled_out;
    out.counts.assembled = all.counts.assembled;
    out.counts.passing = all.counts.passing;
  }
  for (const double times : {3.0, 6.0}) {
    if (!out.found.empty() || out.counts.hold > 0 || !out.why_sampled.empty() || out.stopped) break;
    const Aims wider = widened(*e.aims, times);
    Evaluator wide = e;
    wide.aims = &wider;
    wide.judged = widened(e.judged, times);
    SearchOptions as_near = options;
    as_near.prefer = Prefer::closeness;
    as_near.accept = {};
    WorkerPool again{.e = wide, .options = as_near, .until_s = begun_s + options.limit_s};
    SearchResult nearest;
    look(again, *e.aims, nearest);
    out.found = std::move(nearest.found);
    out.widened = times;
    out.stopped = again.halted;
  }
  out.seconds = now_s() - begun_s;
  out.per_second = static_cast<double>(out.counts.looked_at) / out.seconds;
  return out;
}

}  // namespace ridepitch
