#include "window/canvas.hpp"

#include <GLFW/glfw3.h>

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/text_file.hpp"
#include "picture/linkage_shapes.hpp"
#include "ride/pose.hpp"
#include "state/by_hand.hpp"
#include "window/commands.hpp"
#include "window/theme.hpp"
#include "window/widgets.hpp"
#include "words/words.hpp"

namespace ridepitch::view {
namespace {

constexpr double reach_px = 11;
constexpr int places_reach_modules = 4;
constexpr double places_budget_s = 0.0015;  // of a frame
constexpr double zoom_step = 1.15;

/// The corner whose linkage a tab shows: the steering plan has the first `top` linkage unless one is selected.
int corner_of_tab(const App& app, Tab tab) {
  if (!app.document || !app.document->shown) return -1;
  const Model& model = app.document->shown->model;
  const int selected = still_valid(model, app.selection).corner;
  const auto is_top = [&](int c) { return linkage_of(model, {.corner = c}).plane == Plane::top; };
  if (tab != Tab::steering || is_top(selected)) return selected;
  for (int c = 0; c < count(model.corners); ++c)
    if (is_top(c)) return c;
  return -1;
}

LinkageLook look_of(const App& app, int corner) {
  const Document& document = *app.document;
  LinkageLook look = hand_look(app);
  look.selection = still_valid(document.shown->model, app.selection);
  const bool another = document.shown_of != document.step().base;
  if (another || corner != app.selection.corner) look.selection = {.corner = corner};
  look.before = before_of(app);
  look.names = app.show_words;
  if (app.drag.what == Drag::What::hole && app.drag.places) {
    look.places = &*app.drag.places;
    look.places_poses = app.drag.poses;
    if (!document.why_not.empty() && document.trying)
      look.refused_C_mm = in_chassis(at(app.drag.poses, app.drag.tried.body), app.drag.tried.to_B_mm);
  }
  return look;
}

double step_mm(const Model& model) { return ImGui::GetIO().KeyShift ? model.module_mm / 2 : model.module_mm; }

/// @param again  of several things in one place, the next
Selection thing_under(const App& app, const Vec2& p_mm, bool again = false) {
  const double reach_mm = reach_px * app.scale / view_of(app).px_per_mm;
  return thing_at(*app.document->shown, look_of(app, corner_of_tab(app, app.tab)), p_mm, reach_mm, again);
}

void begin_drag(App& app, const Vec2& p_mm) {
  const Solved& solved = *app.document->shown;
  const LinkageLook look = look_of(app, corner_of_tab(app, app.tab));
  const Selection thing = thing_under(app, p_mm, ImGui::GetIO().KeyCtrl);
  select(app, thing);
  app.drag = {};
  app.drag.thing = thing;
  if (thing.thing == Thing::hole) {
    app.drag.what = Drag::What::hole;
    app.drag.poses = poses_shown(solved, look);
    app.drag.from = app.document->shown;
    app.drag.places = places_around(solved.model, linkage_index(solved.model, thing), thing.body, thing.index,
                                    places_reach_modules, step_mm(solved.model));
  } else if (thing.thing == Thing::wheel) {
    app.drag.what = Drag::What::wheel;
    const std::vector<Pose> poses = poses_shown(solved, look);
    const Linkage& linkage = linkage_of(solved.model, thing);
    const HoleRef hub = at(linkage.wheels, thing.index).at;
    app.drag.grab_mm = p_mm - hole_point(linkage, poses, hub);
    app.drag.grab_B_mm = on_body(at(poses, hub.body), p_mm);
  } else if (thing.thing == Thing::none) {
    app.drag.what = Drag::What::pan;
  }
}

void drag_wheel(App& app, const Vec2& p_mm) {
  const Solved& shown = *app.document->shown;
  const Selection& thing = app.drag.thing;
  if (const Steering* steering = steering_of(shown, thing.corner)) {
    const int body = at(linkage_of(shown.model, thing).wheels, thing.index).at.body;
    app.by_hand = steering->sweep[nearest_drive(*steering, body, app.drag.grab_B_mm, p_mm)].drive;
  } else if (const Curve* curve = curve_of(shown.solution, thing.corner, thing.index)) {
    app.by_hand = curve->points[nearest_point(*curve, Vec2(p_mm - app.drag.grab_mm))].travel_mm;
  }
}

void go_on_dragging(App& app, const Vec2& p_mm) {
  if (app.drag.what == Drag::What::pan) {
    const ImVec2 delta = ImGui::GetIO().MouseDelta;
    view_of(app).middle_mm -= Vec2(delta.x, -delta.y) / view_of(app).px_per_mm;
  }
  if (!ImGui::IsMouseDragging(0)) return;
  if (app.drag.what == Drag::What::wheel) drag_wheel(app, p_mm);
  if (app.drag.what != Drag::What::hole) return;
  const Selection& thing = app.drag.thing;
  const Model& model = app.document->base().model;
  const int linkage = linkage_index(model, thing);
  const Vec2 hole = snapped(model, linkage, thing.body, on_body(at(app.drag.poses, thing.body), p_mm), step_mm(model));
  app.drag.tried = {linkage, thing.body, thing.index, hole};
  try_changes(*app.document, {app.drag.tried}, Detail::dragging);
}

void end_drag(App& app) {
  if (app.drag.what == Drag::What::hole && app.document->trying) {
    const std::vector<Problem> why_not = app.document->why_not;
    if (keep_tried(*app.document)) app.message = app.document->step().words;
    if (!why_not.empty()) app.message = "It stays where it was: " + why_not.front().text;
  }
  app.drag = {};
}

/// The wheel of the mouse: over the selected rod or spring it changes that, elsewhere it zooms.
void turn_wheel(App& app, const Vec2& p_mm, float steps, bool linkage) {
  const Selection& thing = app.selection;
  const ImGuiIO& io = ImGui::GetIO();
  const bool resizes = linkage && (thing.thing == Thing::rod || thing.thing == Thing::spring);
  if (!resizes || thing_under(app, p_mm) != thing)
    return zoom_at(view_of(app), vec(io.MousePos), std::pow(zoom_step, static_cast<double>(steps)));
  const Model model = tried_model(*app.document);
  const int sign = steps > 0 ? 1 : -1;
  change(app, thing.thing == Thing::rod ? rod_lengthened(model, thing, sign * (io.KeyShift ? 0.5 : 1.0))
              : io.KeyCtrl              ? spring_count(model, thing, sign)
                                        : spring_exchanged(model, thing, sign));
}

void part_menu(App& app) {
  if (!ImGui::BeginPopup("thing")) return;
  const Model model = tried_model(*app.document);
  const Selection& s = app.selection;
  ImGui::TextUnformatted(printable(selected_name(model, s)).c_str());
  ImGui::Separator();
  if (s.thing == Thing::rod) {
    const double now = at(linkage_of(model, s).rods, s.index).length_mm / model.module_mm;
    for (double by = -3; by <= 3; by += 0.5)
      if (now + by >= 0.5 && ImGui::MenuItem(fmt::format("{:g} modules", now + by).c_str(), nullptr, by == 0))
        change(app, rod_lengthened(model, s, by));
  } else if (s.thing == Thing::spring) {
    const int linkage = linkage_index(model, s);
    const Spring& spring = at(at(model.linkages, linkage).springs, s.index);
    for (int n = 1; n <= 4; ++n)
      if (ImGui::MenuItem(fmt::format("{} side by side", n).c_str(), nullptr, n == spring.count))
        change(app, {SetSpring{linkage, s.index, spring.part, n}});
    ImGui::Separator();
    for (const std::string& part : parts_for(model, linkage, s.index))
      if (ImGui::MenuItem(printable(part).c_str(), nullptr, part == spring.part))
        change(app, {SetSpring{linkage, s.index, part, spring.count}});
  } else if (s.thing == Thing::hole) {
    ImGui::TextUnformatted("drag it, or move it with the arrow keys (Shift: half a hole)");
  }
  ImGui::EndPopup();
}

void work_with_drawing(App& app, bool hovered, bool active) {
  const bool linkage = (app.tab == Tab::linkage || app.tab == Tab::steering) && corner_of_tab(app, app.tab) >= 0 &&
                       app.document->shown_of == app.document->step().base;
  const ImGuiIO& io = ImGui::GetIO();
  const Vec2 p_mm = to_mm(view_of(app), vec(io.MousePos));
  if (ImGui::IsItemActivated()) {
    app.drag = {};
    app.drag.what = Drag::What::pan;
    if (linkage && ImGui::IsMouseDown(0)) begin_drag(app, p_mm);
  }
  if (active) go_on_dragging(app, p_mm);
  if (!active && app.drag.what != Drag::What::none) end_drag(app);
  if (hovered && io.MouseWheel != 0) turn_wheel(app, p_mm, io.MouseWheel, linkage);
  if (hovered && linkage && ImGui::IsMouseReleased(1)) {
    select(app, thing_under(app, p_mm));
    if (app.selection.thing != Thing::none) ImGui::OpenPopup("thing");
  }
  part_menu(app);
}

const char* nothing_to_draw(const App& app) {
  if (!app.document || !app.document->shown) return "There is no solution yet: see what is wrong, beside.";
  return app.tab == Tab::steering ? "The model has no linkage in the top plane."
                                  : "On the bench each linkage is solved alone: there is no vehicle.";
}

/// A place for the pointer in a diagram. @returns the x under the pointer while it drags there
std::optional<double> dragged_x(const Plot& plot, const PlotFrame& frame, std::size_t index, const ImVec2& at,
                                const ImVec2& size, std::optional<double>& cursor) {
  ImGui::SetCursorScreenPos(at);
  ImGui::InvisibleButton(fmt::format("plot {}", index).c_str(), size);
  if (ImGui::IsItemHovered() && ImGui::IsMouseDoubleClicked(0)) cursor.reset();
  if (ImGui::GetIO().MousePos.y < frame.low.y && find_word(plot.words))
    tooltip(fmt::format("{}: {}", plot.words, meaning_of(plot.words)));
  // The second press of a double click does not drag.
  if (!ImGui::IsItemActive() || ImGui::GetIO().MouseClickedLastCount[0] > 1) return std::nullopt;
  return plot_x(frame, ImGui::GetIO().MousePos.x);
}

}  // namespace

LinkageLook hand_look(const App& app) {
  LinkageLook look;
  look.selection = app.selection;
  look.wheel = app.wheel;
  look.travel_mm = look.drive = app.by_hand;
  return look;
}

Picture picture_of(const App& app, Tab tab) {
  if (!app.document || !app.document->shown) return {};
  const Solved& solved = *app.document->shown;
  if (tab == Tab::side || tab == Tab::front) {
    std::optional<ModelAtRest> before;
    if (const Solved* then = before_of(app)) before.emplace(ModelAtRest{then->model, then->solution});
    const VehicleView view = tab == Tab::side ? VehicleView::from_side : VehicleView::from_front;
    return vehicle_picture({solved.model, solved.solution}, view, before);
  }
  const int corner = corner_of_tab(app, tab);
  return corner < 0 ? Picture{} : linkage_picture(solved, look_of(app, corner));
}

void draw_canvas(App& app) {
  const ImVec2 low = ImGui::GetCursorScreenPos(), left = ImGui::GetContentRegionAvail();
  const ImVec2 size(std::max(left.x, 40.f), std::max(left.y, 40.f));
  View& view = view_of(app);
  bool& fit_wanted = at(app.fit_wanted, static_cast<int>(app.tab));
  if ((vec(size) - view.size_px).norm() > 0.5) fit_wanted = true;
  view.corner_px = vec(low);
  view.size_px = vec(size);
  app.picture_low = low;
  app.picture_high = ImVec2(low.x + size.x, low.y + size.y);

  if (app.drag.places && app.drag.from) try_places(app.drag.from->model, *app.drag.places, places_budget_s);
  const Picture picture = picture_of(app, app.tab);
  if (fit_wanted && !picture.shapes.empty() && app.drag.what == Drag::What::none) {
    fit(view, bounds_of(picture.shapes), 24 * app.scale, caption_height(picture, view, app.scale));
    fit_wanted = false;
  }
  ImDrawList& list = *ImGui::GetWindowDrawList();
  draw_picture(picture, view, app.settings.dark, app.scale, list);
  if (picture.shapes.empty())
    list.AddText(ImVec2(low.x + 20 * app.scale, low.y + 20 * app.scale),
                 ink_for(Role::quiet_text, app.settings.dark).fill, nothing_to_draw(app));
  ImGui::InvisibleButton("drawing", size, ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonMiddle);
  const bool hovered = ImGui::IsItemHovered(), active = ImGui::IsItemActive();
  if (app.document && app.document->shown) work_with_drawing(app, hovered, active);
}

void draw_curves(App& app) {
  if (!app.document || !app.document->shown) return;
  const std::vector<Plot>& plots = app.derived.plots;
  if (plots.empty())
    return ImGui::TextDisabled("This corner has no curves: its wheels do not rise one by one, or it has no drive.");
  const Solved& shown = *app.document->shown;
  const Steering* steering = steering_of(shown, app.selection.corner);
  const std::vector<double> values = hand_values(shown, app.selection.corner, app.wheel);
  if (values.empty()) return;
  const Range range{values.front(), values.back()};
  const ImVec2 low = ImGui::GetCursorScreenPos(), left = ImGui::GetContentRegionAvail();
  const float n = static_cast<float>(plots.size()), gap = 6 * app.scale;
  const ImVec2 size(std::max((left.x - gap * (n - 1)) / n, 60.f),
                    std::max(left.y - ImGui::GetTextLineHeightWithSpacing(), 60.f));
  for (std::size_t i = 0; i < plots.size(); ++i) {
    const ImVec2 here(low.x + static_cast<float>(i) * (size.x + gap), low.y);
    // Of a steering the last diagram is over travel, which nothing moves here.
    const bool moves = !steering || plots[i].x_words != "travel";
    const PlotFrame frame = draw_plot(plots[i], moves ? range : x_reach(plots[i]), moves ? app.by_hand : std::nullopt,
                                      here, size, app.settings.dark, app.scale, *ImGui::GetWindowDrawList());
    const auto x = dragged_x(plots[i], frame, i, here, size, app.by_hand);
    if (x && moves) app.by_hand = values[nearest_value(values, std::clamp(*x, range.low, range.high))];
  }
  ImGui::SetCursorScreenPos(ImVec2(low.x, low.y + size.y));
  const char* marks = "hatched: out of reach; thin: before";
  if (steering) {
    const char* of_bump = plots.back().x_words == "travel" ? ", bump steer over travel [mm]" : "";
    ImGui::TextDisabled("over the drive [%s]%s; %s", steering->crank ? "deg" : "mm", of_bump, marks);
  } else {
    const Linkage& linkage = linkage_of(shown.model, {.corner = app.derived.corner});
    ImGui::TextDisabled("wheel %s, travel above full droop [mm]; dot: at rest; %s",
                        printable(at(linkage.wheels, app.derived.wheel).name).c_str(), marks);
  }
}

}  // namespace ridepitch::view
