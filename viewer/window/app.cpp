#include "window/app.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "state/travel_place.hpp"
#include "swap/compare.hpp"
#include "swap/rework.hpp"

namespace ridepitch::view {

extern const char* const demo_text;

namespace {

std::string short_name(const std::string& path) {
  const auto slash = path.rfind('/');
  return slash == std::string::npos ? path : path.substr(slash + 1);
}

void take(App& app, OpenedDocument opened, const std::string& path) {
  if (!opened.document) {
    app.failed_path = path;
    app.failed_problems = std::move(opened.problems);
    app.message = fmt::format("{} can't be opened", short_name(path));
    return;
  }
  app.search.reset();
  app.report = {};
  app.document = std::move(opened.document);
  app.failed_path.clear();
  app.failed_problems.clear();
  app.save_problems.clear();
  app.derived = {};
  app.drag = {};
  app.travel_mm.reset();
  app.drive.reset();
  app.fit_wanted.fill(true);
  app.tab = Tab::linkage;
  select(app, {});
  app.message.clear();
}

}  // namespace

void select(App& app, const Selection& selection) {
  const bool other_corner = selection.corner != app.selection.corner || app.derived.corner < 0;
  app.selection = selection;
  if (!app.document) return;
  if (selection.thing == Thing::wheel) app.wheel = selection.index;
  if (!other_corner) return;
  app.fit_wanted[0] = app.fit_wanted[3] = true;
  app.travel_mm.reset();
  app.drive.reset();
  app.wheel = 0;
  if (app.document->shown) app.wheel = std::max(0, wheel_with_curve(app.document->shown->solution, selection.corner));
}

void open_tab(App& app, Tab tab) {
  app.tab = tab;
  if (tab != Tab::steering || !app.document) return;
  const Model model = tried_model(*app.document);
  const auto steers = [&](int c) { return linkage_of(model, {.corner = c}).plane == Plane::top; };
  if (steers(app.selection.corner)) return;
  for (int c = 0; c < static_cast<int>(model.corners.size()); ++c)
    if (steers(c)) return select(app, {.corner = c});
}

void open_file(App& app, const std::string& path) {
  take(app, open_document(path), path);
  if (app.failed_path.empty()) remember(app.settings, path);
}

void open_demo(App& app) { take(app, open_text(demo_text, "demo"), "demo"); }

void want_open(App& app, const std::string& path) {
  if (app.document && unsaved(*app.document)) {
    app.pending = {Pending::What::open, path};
  } else {
    open_file(app, path);
  }
}

void want_close(App& app) {
  if (app.document && unsaved(*app.document)) {
    app.pending = {Pending::What::close, ""};
  } else {
    app.want_close = true;
  }
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
  const bool was_changed = document.changed_on_disk, was_gone = document.gone_from_disk;
  const bool was_broken = !document.file_problems.empty();
  switch (look_at_disk(document)) {
    case DiskNews::reloaded:
      app.message = "The file was changed on disk and read again; undo goes back.";
      app.selection = still_valid(tried_model(document), app.selection);
      return true;
    case DiskNews::changed:
      if (!was_changed)
        app.message = "The file was changed on disk. What you changed here is unsaved, so it was not read again.";
      return !was_changed;
    case DiskNews::broken:
      if (!was_broken) app.message = "The file was changed on disk and can't be read; the last good state stays.";
      return !was_broken;
    case DiskNews::gone:
      if (!was_gone) app.message = "The file is no longer there. Saving writes it anew.";
      return !was_gone;
    case DiskNews::same:
      return was_changed || was_gone;
  }
  return false;
}

void refresh(App& app) {
  if (app.search && (!app.document || app.search_base != app.document->step().base)) {
    app.search.reset();
    app.report = {};
    app.previewed = app.row_shown = -1;
  }
  if (!app.document || !app.document->shown) {
    app.derived = {};
    return;
  }
  const Document& document = *app.document;
  Derived& d = app.derived;
  const SolvedPtr& before = document.step().before;
  if (d.now == document.shown && d.before == before && d.corner == app.selection.corner && d.wheel == app.wheel) return;
  if (d.now != document.shown || d.before != before) {
    d.comparison.reset();
    if (before && before != document.shown && before->model.bench == document.shown->model.bench)
      d.comparison = compare(before->model, before->solution, document.shown->model, document.shown->solution);
  }
  if (app.selection.corner >= static_cast<int>(document.shown->model.corners.size())) app.selection = {};
  d.now = document.shown;
  d.before = before;
  d.corner = app.selection.corner;
  d.wheel = app.wheel;
  const Solved* was = before && before != document.shown ? before.get() : nullptr;
  d.rows = number_rows(was, *document.shown, d.comparison ? &*d.comparison : nullptr, d.corner);
  const bool from_above = linkage_of(document.shown->model, {.corner = d.corner}).plane == Plane::top;
  d.plots = from_above ? steering_plots(*document.shown, was, d.corner)
                       : travel_plots(*document.shown, was, d.corner, d.wheel);
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
    app.ask_copy = true;
  } else {
    app.message = "Not saved: " + app.save_problems.front().text;
  }
}

void start_rework(App& app) {
  if (!app.document || !app.document->shown) return;
  const std::vector<std::string> parts = used_spring_parts(app.document->shown->model);
  if (std::find(parts.begin(), parts.end(), app.gone) == parts.end()) app.gone = parts.empty() ? "" : parts.front();
  app.show_search = true;
  if (app.gone.empty()) {
    app.message = "The model's springs are written in place: none of them is a part that could be gone.";
    return;
  }
  give_up(*app.document);
  app.search.reset();
  app.report = {};
  app.previewed = app.row_shown = -1;
  app.search_base = app.document->step().base;
  app.search = start_search(app.document->shown, {app.gone}, app.wake);
}

void start_tune(App& app) {
  if (!app.document || !app.document->shown) return;
  app.show_search = true;
  give_up(*app.document);
  app.search.reset();
  app.report = {};
  app.previewed = app.row_shown = -1;
  app.search_base = app.document->step().base;
  app.search = start_search(app.document->shown, {}, app.wake);
}

void show_row(App& app, int step) {
  const int rows = static_cast<int>(app.report.rows.size());
  if (!app.document || rows == 0) return;
  app.show_search = true;
  app.row_shown = std::clamp(app.row_shown + step, 0, rows - 1);
}

void take_row(App& app, int row) {
  if (!app.document || row < 0 || row >= static_cast<int>(app.report.rows.size())) return;
  make_changes(*app.document, app.report.rows[static_cast<std::size_t>(row)].changes);
  app.previewed = app.row_shown = -1;
  if (!app.document->trying) app.message = app.document->step().words;
}

}  // namespace ridepitch::view
