#pragma once
// Everything the window holds besides the document: what is looked at, what a hand is doing, what is open.

#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "picture/linkage_picture.hpp"
#include "picture/plot.hpp"
#include "picture/vehicle_picture.hpp"
#include "picture/view.hpp"
#include "state/document.hpp"
#include "state/numbers.hpp"
#include "state/places.hpp"
#include "state/search_run.hpp"
#include "state/selection.hpp"
#include "state/settings.hpp"
#include "window/draw.hpp"
#include "window/input.hpp"

namespace ridepitch::view {

enum class Tab { linkage, side, front, steering };
inline constexpr std::array<const char*, 4> tab_names = {"Linkage", "Vehicle, side", "Vehicle, front", "Steering plan"};

/// What the pointer drags in the drawing.
struct Drag {
  enum class What { none, hole, wheel, pan };
  What what = What::none;
  Selection thing;          ///< hole or wheel
  std::vector<Pose> poses;  ///< of the bodies when it began: the grid that it snaps to
  std::optional<HolePlaces> places;
  MoveHole tried;                 ///< the last move of the hole
  SolvedPtr from;                 ///< what was shown when it began
  Vec2 grab_mm = Vec2::Zero();    ///< where a wheel was gripped, from its centre
  Vec2 grab_B_mm = Vec2::Zero();  ///< the same on the grid of the body that carries it
};

/// What the window asks for before it goes on.
enum class Question { none, open, copy, picture, sheet, unsaved, replace };

/// What the panes show, derived from the document and updated when that changes.
struct Derived {
  SolvedPtr now, before;
  int corner = -1, wheel = -1;
  std::optional<Comparison> comparison;
  std::vector<NumberRow> rows;
  std::vector<Plot> plots;
};

struct App {
  std::optional<Document> document;
  std::string failed_path;               ///< a file that can't be read, while nothing else is open
  std::vector<Problem> failed_problems;  ///< why

  Selection selection;
  int wheel = 0;
  std::optional<double> by_hand;  ///< travel of the wheel [mm], or the drive [mm or degrees]; none: at rest, 0
  Tab tab = Tab::linkage;
  std::array<View, tab_names.size()> views;
  std::array<bool, tab_names.size()> fit_wanted = {true, true, true, true};
  bool ghost = true;
  Drag drag;
  Derived derived;

  Settings settings;
  bool show_keys = false, show_about = false, show_words = true;
  Question question = Question::none;
  Question replacing = Question::none;  ///< what is to be written over an older file, once that is settled
  std::string path_text;                ///< the answer to a question for a file
  std::string path_to_open;             ///< once unsaved work is settled; empty: the window closes
  std::string message;                  ///< the last thing told
  std::vector<Problem> save_problems;

  bool show_search = false;
  int row_shown = -1;  ///< of the search, chosen by key; -1: none
  int previewed = -1;  ///< of the search, shown as if it was taken; -1: none
  std::unique_ptr<SearchRun> search;
  SearchReport report;
  std::shared_ptr<const Base> search_base;  ///< what the search's changes are against
  std::string gone;                         ///< a part that is no longer available
  std::function<void()> wake;

  bool want_close = false, font_stale = false;
  std::string picture_wanted;        ///< the drawing is to be written there after this frame
  ImVec2 picture_low, picture_high;  ///< where the drawing lies
  float scale = 1;                   ///< of the screen
};

/// The view of the open tab.
inline View& view_of(App& app) { return app.views[static_cast<std::size_t>(app.tab)]; }
inline const View& view_of(const App& app) { return app.views[static_cast<std::size_t>(app.tab)]; }

/// Opens a file, whatever is open now. Problems are kept to be shown; the last good state stays.
void open_file(App& app, const std::string& path);
void open_demo(App& app);

/// Opens, or asks first where something is unsaved.
void want_open(App& app, const std::string& path);
void want_close(App& app);
/// Opens or closes as it was wanted, whatever is unsaved.
void go_on(App& app);

/// Watches the file on disk. @returns whether there is news
bool watch_file(App& app);

/// Makes `derived` fit the document.
void refresh(App& app);

/// Whether there are still places to try.
bool busy(const App& app);

/// The state that is shown as a ghost; null where there is none or it is the same.
const Solved* before_of(const App& app);

void save_now(App& app, bool over_changed);
void start_rework(App& app);
void start_tune(App& app);
/// Shows the next row of the search's results (step 1) or the previous one (-1), as if it was taken.
void show_row(App& app, int step);
/// Makes the row that is shown a step.
void take_row(App& app, int row);

void select(App& app, const Selection& selection);

/// Opens a drawing; the steering plan selects a corner that steers.
void open_tab(App& app, Tab tab);

}  // namespace ridepitch::view
