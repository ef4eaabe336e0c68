#include "window/app.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "model/index.hpp"
#include "state/by_hand.hpp"
#include "swap/compare.hpp"
#include "swap/rework.hpp"

namespace ridepitch::view {

extern const char* const demo_text;

namespace {

std::string short_name(const std::string& path) { return path.substr(path.rfind('/') + 1); }

void forget_search(App& app) {
  app.search.reset();
  app.report = {};
  app.previewed = app.row_shown = -1;
}

void take(App& app, OpenedDocument opened, const std::string& path) {
  if (!opened.document) {
    app.failed_path = path;
    app.failed_problems = std::move(opened.problems);
    app.message = fmt::format("{} can't be opened", short_name(path));
    return;
  }
  forget_search(app);
  app.document = std::move(opened.document);
  app.failed_path.clear();
  app.failed_problems.clear();
  app.save_problems.clear();
  app.derived = {};
  app.drag = {};
  app.by_hand.reset();
  app.fit_wanted.fill(true);
  app.tab = Tab::linkage;
  select(app, {});
  app.message.clear();
}

/// @param gone  a part to do without: rework; empty: tune
void begin_search(App& app, const std::string& gone) {
  app.show_search = true;
  give_up(*app.document);
  forget_search(app);
  app.search_base = app.document->step().base;
  app.search = start_search(app.document->shown, gone, app.wake);
}

const char* news_words(DiskState state) {
  switch (state) {
    case DiskState::reloaded:
      return "The file changed on disk and was reloaded; undo goes back.";
    case DiskState::changed:
      return "The file changed on disk. It was not reloaded, because there are unsaved changes here.";
    case DiskState::broken:
      return "The file changed on disk and can't be read; the last good state stays.";
    case DiskState::gone:
      return "The file is no longer there. Saving writes it again.";
    case DiskState::same:
      break;
  }
  return "";
}

}  // namespace

void select(App& app, const Selection& selection) {
  const bool other_corner = selection.corner != app.selection.corner || app.derived.corner < 0;
  app.selection = selection;
  if (!app.document) return;
  if (selection.thing == Thing::wheel) app.wheel = selection.index;
  if (!other_corner) return;
  app.fit_wanted[0] = app.fit_wanted[3] = true;
  app.by_hand.reset();
  app.wheel = 0;
  if (app.document->shown) app.wheel = std::max(0, wheel_with_curve(app.document->shown->solution, selection.corner));
}

void open_tab(App& app, Tab tab) {
  app.tab = tab;
  if (tab != Tab::steering || !app.document) return;
  const Model model = tried_model(*app.document);
  const auto steers = [&](int c) { return linkage_of(model, {.corner = c}).plane == Plane::top; };
  if (steers(app.selection.corner)) return;
  for (int c = 0; c < count(model.corners); ++c)
    if (steers(c)) return select(app, {.corner = c});
}

void open_file(App& app, const std::string& path) {
  take(app, open_document(path), path);
  if (app.failed_path.empty()) remember(app.settings, path);
}

void open_demo(App& app) { take(app, open_text(demo_text, "demo"), "demo"); }

void want_open(App& app, const std::string& path) {
  app.path_to_open = path;
  if (app.document && unsaved(*app.document))
    app.question = Question::unsaved;
  else
    go_on(app);
}

void want_close(App& app) { want_open(app, ""); }

void go_on(App& app) {
  if (app.path_to_open.empty())
    app.want_close = true;
  else
    open_file(app, app.path_to_open);
}

bool watch_file(App& app) {
  if (app.drag.what != Drag::What::none) return false;
  if (!app.document) {
    // A file that could not be read may have been mended.
    if (app.failed_path.empty()) return false;
    OpenedDocument again = open_document(app.failed_path);
    if (!again.document) return false;
    take(app, std::move(again), app.failed_path);
    return true;
  }
  Document& document = *app.document;
  const DiskState was = document.disk, now = look_at_disk(document);
  if (now == was) return false;
  if (now == DiskState::reloaded) app.selection = still_valid(tried_model(document), app.selection);
  if (now != DiskState::same) app.message = news_words(now);
  return true;
}

void refresh(App& app) {
  if (app.search && (!app.document || app.search_base != app.document->step().base)) forget_search(app);
  if (!app.document || !app.document->shown) {
    app.derived = {};
    return;
  }
  const Solved& shown = *app.document->shown;
  Derived& d = app.derived;
  const SolvedPtr& before = app.document->step().before;
  if (app.selection.corner >= count(shown.model.corners)) app.selection = {};
  const bool other = d.now != app.document->shown || d.before != before;
  if (!other && d.corner == app.selection.corner && d.wheel == app.wheel) return;
  const Solved* was = before && before != app.document->shown ? before.get() : nullptr;
  if (other) {
    d.comparison.reset();
    if (was && was->model.bench == shown.model.bench) d.comparison = compared(*was, shown);
  }
  d.now = app.document->shown;
  d.before = before;
  d.corner = app.selection.corner;
  d.wheel = app.wheel;
  d.rows = number_rows(was, shown, d.comparison ? &*d.comparison : nullptr, d.corner);
  const bool from_above = linkage_of(shown.model, {.corner = d.corner}).plane == Plane::top;
  d.plots = from_above ? steering_plots(shown, was, d.corner) : travel_plots(shown, was, d.corner, d.wheel);
}

bool busy(const App& app) {
  const auto& places = app.drag.places;
  return places && places->tried < places->places.size();
}

const Solved* before_of(const App& app) {
  if (!app.document) return nullptr;
  const SolvedPtr& before = app.document->step().before;
  return before && before != app.document->shown && app.ghost ? before.get() : nullptr;
}

void save_now(App& app, bool over_changed) {
  if (!app.document) return;
  app.save_problems = save(*app.document, over_changed);
  if (app.save_problems.empty()) {
    app.message = fmt::format("Saved in {}.", short_name(app.document->base().path));
    return;
  }
  if (app.save_problems.front().code == "no-file") {
    app.save_problems.clear();
    app.question = Question::copy;
  } else {
    app.message = "Not saved: " + app.save_problems.front().text;
  }
}

void start_rework(App& app) {
  if (!app.document || !app.document->shown) return;
  const std::vector<std::string> parts = used_spring_parts(app.document->shown->model);
  if (std::find(parts.begin(), parts.end(), app.gone) == parts.end()) app.gone = parts.empty() ? "" : parts.front();
  if (!app.gone.empty()) return begin_search(app, app.gone);
  app.show_search = true;
  app.message = "No spring of this model is a catalogue part that could become unavailable.";
}

void start_tune(App& app) {
  if (app.document && app.document->shown) begin_search(app, "");
}

void show_row(App& app, int step) {
  if (!app.document || app.report.rows.empty()) return;
  app.show_search = true;
  app.row_shown = std::clamp(app.row_shown + step, 0, count(app.report.rows) - 1);
}

void take_row(App& app, int row) {
  if (!app.document || row < 0 || row >= count(app.report.rows)) return;
  make_changes(*app.document, at(app.report.rows, row).changes);
  app.previewed = app.row_shown = -1;
  if (!app.document->trying) app.message = app.document->step().words;
}

}  // namespace ridepitch::view
