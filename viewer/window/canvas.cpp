#include "window/canvas.hpp"

#include <GLFW/glfw3.h>

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "state/steering_place.hpp"
#include "state/travel_place.hpp"
#include "window/commands.hpp"
#include "window/theme.hpp"
#include "words/words.hpp"

namespace ridepitch::view {
namespace {

constexpr double reach_px = 11;
constexpr int places_reach_modules = 4;
constexpr double places_budget_s = 0.0015;

/// The corner whose linkage a tab shows: the steering plan has the first `top` linkage unless one is selected.
int corner_of_tab(const App& app, Tab tab) {
  if (!app.document || !app.document->shown) return -1;
  const Model& model = app.document->shown->model;
  const int selected = still_valid(model, app.selection).corner;
  const auto is_top = [&](int c) { return at(model.linkages, at(model.corners, c).linkage).plane == Plane::top; };
  if (tab != Tab::steering || is_top(selected)) return selected;
  for (int c = 0; c < static_cast<int>(model.corners.size()); ++c)
    if (is_top(c)) return c;
  return -1;
}

LinkageLook look_of(const App& app, int corner) {
  LinkageLook look;
  look.selection = still_valid(app.document->shown->model, app.selection);
  const bool another = app.document->shown_of != app.document->step().base;
  if (another || corner != app.selection.corner) look.selection = {.corner = corner};
  look.wheel = app.wheel;
  look.travel_mm = app.travel_mm;
  look.drive = app.drive;
  look.before = before_of(app);
  look.names = app.show_words;
  if (app.drag.what == Drag::What::hole && app.drag.places) {
    look.places = &*app.drag.places;
    look.places_poses = app.drag.poses;
    if (!app.document->why_not.empty() && app.document->trying)
      if (const auto* moved = std::get_if<MoveHole>(&app.drag.tried))
        look.refused_C_mm = in_chassis(at(app.drag.poses, moved->body), moved->to_B_mm);
  }
  return look;
}

double step_mm(const Model& model) { return ImGui::GetIO().KeyShift ? model.module_mm / 2 : model.module_mm; }

void begin_drag(App& app, const Vec2& p_mm, bool again) {
  const Solved& solved = *app.document->shown;
  const LinkageLook look = look_of(app, corner_of_tab(app, app.tab));
  const View& view = at(app.views, static_cast<int>(app.tab));
  const Selection thing = thing_at(solved, look, p_mm, reach_px * app.scale / view.px_per_mm, again);
  select(app, thing);
  if (thing.thing == Thing::hole) {
    app.drag = {};
    app.drag.what = Drag::What::hole;
    app.drag.thing = thing;
    app.drag.poses = poses_shown(solved, look);
    app.drag.from = app.document->shown;
    app.drag.places = places_around(solved.model, linkage_index(solved.model, thing), thing.body, thing.index,
                                    places_reach_modules, step_mm(solved.model));
  } else if (thing.thing == Thing::wheel) {
    app.drag = {};
    app.drag.what = Drag::What::wheel;
    app.drag.thing = thing;
    const std::vector<Pose> poses = poses_shown(solved, look);
    const Linkage& linkage = linkage_of(solved.model, thing);
    const HoleRef hub = at(linkage.wheels, thing.index).at;
    const Vec2 centre = in_chassis(at(poses, hub.body), at(at(linkage.bodies, hub.body).holes, hub.hole).p_B);
    app.drag.grab_mm = p_mm - centre;
    app.drag.grab_B_mm = on_body(at(poses, hub.body), p_mm);
  } else if (thing.thing == Thing::none) {
    app.drag = {};
    app.drag.what = Drag::What::pan;
  }
}

void go_on_dragging(App& app, const Vec2& p_mm) {
  Document& document = *app.document;
  if (app.drag.what == Drag::What::pan) {
    View& view = at(app.views, static_cast<int>(app.tab));
    const ImVec2 delta = ImGui::GetIO().MouseDelta;
    view.middle_mm -= Vec2(delta.x, -delta.y) / view.px_per_mm;
    return;
  }
  if (app.drag.what == Drag::What::wheel) {
    if (const Steering* steering = steering_of(*document.shown, app.drag.thing.corner)) {
      const int body = at(linkage_of(document.shown->model, app.drag.thing).wheels, app.drag.thing.index).at.body;
      if (ImGui::IsMouseDragging(0))
        app.drive = steering->sweep[nearest_drive(*steering, body, app.drag.grab_B_mm, p_mm)].drive;
      return;
    }
    const Curve* curve = curve_of(document.shown->solution, app.drag.thing.corner, app.drag.thing.index);
    if (curve && ImGui::IsMouseDragging(0))
      app.travel_mm = curve->points[nearest_point(*curve, Vec2(p_mm - app.drag.grab_mm))].travel_mm;
    return;
  }
  if (app.drag.what != Drag::What::hole || !ImGui::IsMouseDragging(0)) return;
  const Selection& thing = app.drag.thing;
  const Model& model = document.base().model;
  const Vec2 on_grid = snapped(on_body(at(app.drag.poses, thing.body), p_mm), step_mm(model));
  app.drag.tried = MoveHole{linkage_index(model, thing), thing.body, thing.index, on_grid};
  try_changes(document, {app.drag.tried}, Detail::dragging);
}

void end_drag(App& app) {
  if (app.drag.what == Drag::What::hole && app.document->trying) {
    const bool goes = app.document->why_not.empty();
    const std::string why = goes ? "" : app.document->why_not.front().text;
    if (keep_tried(*app.document)) app.message = app.document->step().words;
    if (!goes) app.message = "It stays where it was: " + why;
  }
  app.drag = {};
}

/// The wheel of the mouse: over the selected rod or spring it changes that, elsewhere the scale.
void turn_wheel(App& app, const Vec2& p_mm, float steps, bool linkage) {
  View& view = at(app.views, static_cast<int>(app.tab));
  const int sign = steps > 0 ? 1 : -1;
  if (linkage && (app.selection.thing == Thing::rod || app.selection.thing == Thing::spring)) {
    const Solved& solved = *app.document->shown;
    const Selection under =
        thing_at(solved, look_of(app, corner_of_tab(app, app.tab)), p_mm, reach_px * app.scale / view.px_per_mm, false);
    if (under == app.selection) {
      const Model model = tried_model(*app.document);
      if (under.thing == Thing::rod)
        change(app, rod_lengthened(model, under, sign * (ImGui::GetIO().KeyShift ? 0.5 : 1.0)));
      else
        change(app, ImGui::GetIO().KeyCtrl ? spring_count(model, under, sign) : spring_exchanged(model, under, sign));
      return;
    }
  }
  zoom_at(view, vec(ImGui::GetIO().MousePos), std::pow(1.15, static_cast<double>(steps)));
}

void part_menu(App& app) {
  if (!ImGui::BeginPopup("thing")) return;
  const Model model = tried_model(*app.document);
  const Selection& s = app.selection;
  ImGui::TextUnformatted(selected_name(model, s).c_str());
  ImGui::Separator();
  if (s.thing == Thing::rod) {
    const Rod& rod = at(linkage_of(model, s).rods, s.index);
    const double now = rod.length_mm / model.module_mm;
    for (double by = -3; by <= 3; by += 0.5) {
      if (now + by < 0.5) continue;
      if (ImGui::MenuItem(fmt::format("{:g} modules", now + by).c_str(), nullptr, by == 0))
        change(app, rod_lengthened(model, s, by));
    }
  } else if (s.thing == Thing::spring) {
    const int linkage = linkage_index(model, s);
    const Spring& spring = at(linkage_of(model, s).springs, s.index);
    for (int n = 1; n <= 4; ++n)
      if (ImGui::MenuItem(fmt::format("{} side by side", n).c_str(), nullptr, n == spring.count))
        change(app, {SetSpring{linkage, s.index, spring.part, n}});
    ImGui::Separator();
    for (const std::string& part : parts_for(model, linkage, s.index))
      if (ImGui::MenuItem(part.c_str(), nullptr, part == spring.part))
        change(app, {SetSpring{linkage, s.index, part, spring.count}});
  } else if (s.thing == Thing::hole) {
    ImGui::TextUnformatted("drag it, or move it with the arrow keys (Shift: half a hole)");
  }
  ImGui::EndPopup();
}

void work_with_drawing(App& app, bool hovered, bool active) {
  const bool linkage = (app.tab == Tab::linkage || app.tab == Tab::steering) && corner_of_tab(app, app.tab) >= 0 &&
                       app.document->shown_of == app.document->step().base;
  View& view = at(app.views, static_cast<int>(app.tab));
  const Vec2 pointer = vec(ImGui::GetIO().MousePos);
  const Vec2 p_mm = to_mm(view, pointer);
  if (ImGui::IsItemActivated()) {
    if (linkage && ImGui::IsMouseDown(0)) {
      begin_drag(app, p_mm, ImGui::GetIO().KeyCtrl);
    } else {
      app.drag = {};
      app.drag.what = Drag::What::pan;
    }
  }
  if (active) go_on_dragging(app, p_mm);
  if (!active && app.drag.what != Drag::What::none) end_drag(app);
  if (hovered && ImGui::GetIO().MouseWheel != 0) turn_wheel(app, p_mm, ImGui::GetIO().MouseWheel, linkage);
  if (hovered && linkage && ImGui::IsMouseReleased(1)) {
    select(app, thing_at(*app.document->shown, look_of(app, corner_of_tab(app, app.tab)), p_mm,
                         reach_px * app.scale / view.px_per_mm, false));
    if (app.selection.thing != Thing::none) ImGui::OpenPopup("thing");
  }
  part_menu(app);
}

}  // namespace

Picture picture_of(const App& app, Tab tab) {
  if (!app.document || !app.document->shown) return {};
  const Solved& solved = *app.document->shown;
  if (tab == Tab::side || tab == Tab::front) {
    std::optional<ModelAtRest> before;
    if (const Solved* then = before_of(app)) before.emplace(ModelAtRest{then->model, then->solution});
    return vehicle_picture({solved.model, solved.solution}, tab == Tab::side ? Seen::from_side : Seen::from_front,
                           before);
  }
  const int corner = corner_of_tab(app, tab);
  if (corner < 0) return {};
  return linkage_picture(solved, look_of(app, corner));
}

void draw_canvas(App& app) {
  const ImVec2 low = ImGui::GetCursorScreenPos(), room = ImGui::GetContentRegionAvail();
  const ImVec2 size(std::max(room.x, 40.f), std::max(room.y, 40.f));
  View& view = at(app.views, static_cast<int>(app.tab));
  const Vec2 new_size = vec(size);
  if ((new_size - view.size_px).norm() > 0.5) at(app.fit_wanted, static_cast<int>(app.tab)) = true;
  view.corner_px = vec(low);
  view.size_px = new_size;
  app.picture_low = low;
  app.picture_high = ImVec2(low.x + size.x, low.y + size.y);

  ImDrawList& list = *ImGui::GetWindowDrawList();
  if (app.drag.places && app.drag.from) try_places(app.drag.from->model, *app.drag.places, places_budget_s);
  const Picture picture = picture_of(app, app.tab);
  if (at(app.fit_wanted, static_cast<int>(app.tab)) && !picture.shapes.empty() && app.drag.what == Drag::What::none) {
    fit(view, bounds_of(picture.shapes), 24 * app.scale, caption_height(picture, view, app.scale));
    at(app.fit_wanted, static_cast<int>(app.tab)) = false;
  }
  draw_picture(picture, view, app.settings.dark, app.scale, list);
  const ImU32 quiet = ink_for(Role::quiet_text, app.settings.dark).fill;
  if (picture.shapes.empty()) {
    const char* why = !app.document || !app.document->shown ? "Nothing stands yet: see what is wrong, beside."
                      : app.tab == Tab::steering            ? "The model has no linkage in the top plane."
                                                 : "On the bench each linkage is solved alone: there is no vehicle.";
    list.AddText(ImVec2(low.x + 20 * app.scale, low.y + 20 * app.scale), quiet, why);
  }
  ImGui::InvisibleButton("drawing", size, ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonMiddle);
  const bool hovered = ImGui::IsItemHovered(), active = ImGui::IsItemActive();
  if (app.document && app.document->shown) work_with_drawing(app, hovered, active);
}

void draw_curves(App& app) {
  if (!app.document || !app.document->shown) return;
  const std::vector<Plot>& plots = app.derived.plots;
  if (plots.empty()) {
    ImGui::TextDisabled("This corner has no curves: its wheels do not rise one by one, or it has no drive.");
    return;
  }
  const Solution& solution = app.document->shown->solution;
  const Steering* steering = steering_of(*app.document->shown, app.selection.corner);
  const auto range = steering ? drive_reach(*app.document->shown, app.selection.corner)
                              : reach(solution, app.selection.corner, app.wheel);
  std::optional<double>& cursor = steering ? app.drive : app.travel_mm;
  const ImVec2 low = ImGui::GetCursorScreenPos();
  ImVec2 room = ImGui::GetContentRegionAvail();
  room.y -= ImGui::GetTextLineHeightWithSpacing();
  const float gap = 6 * app.scale,
              width = (room.x - gap * static_cast<float>(plots.size() - 1)) / static_cast<float>(plots.size());
  const ImVec2 size(std::max(width, 60.f), std::max(room.y, 60.f));
  ImDrawList& list = *ImGui::GetWindowDrawList();
  for (std::size_t i = 0; i < plots.size(); ++i) {
    const ImVec2 here(low.x + static_cast<float>(i) * (size.x + gap), low.y);
    // Of a steering the last diagram is over travel, which nothing moves here.
    const bool moves = !steering || plots[i].x_words != "travel";
    const PlotFrame frame = draw_plot(plots[i], moves ? range : x_reach(plots[i]), moves ? cursor : std::nullopt, here,
                                      size, app.settings.dark, app.scale, list);
    ImGui::SetCursorScreenPos(here);
    ImGui::InvisibleButton(fmt::format("plot {}", i).c_str(), size);
    const double x = plot_x(frame, ImGui::GetIO().MousePos.x);
    if (ImGui::IsItemActive() && range && moves) {
      const double to = std::clamp(x, range->low, range->high);
      if (steering) {
        cursor = steering->sweep[nearest_drive(*steering, to)].drive;
      } else {
        const Curve* curve = curve_of(solution, app.selection.corner, app.wheel);
        cursor = curve->points[nearest_point(*curve, to)].travel_mm;
      }
    }
    if (ImGui::IsItemHovered()) {
      if (ImGui::IsMouseDoubleClicked(0)) cursor.reset();
      if (ImGui::GetIO().MousePos.y < frame.low.y && find_word(plots[i].words)) {
        const std::string tip(meaning_of(plots[i].words));
        ImGui::SetTooltip("%s: %s", std::string(plots[i].words).c_str(), tip.c_str());
      }
    }
  }
  ImGui::SetCursorScreenPos(ImVec2(low.x, low.y + size.y));
  const char* marks = "hatched: out of reach; thin: before";
  if (steering) {
    const char* of_bump = plots.back().x_words == "travel" ? ", bump steer over travel [mm]" : "";
    ImGui::TextDisabled("over the drive [%s]%s; %s", steering->crank ? "deg" : "mm", of_bump, marks);
  } else {
    const Linkage& linkage = linkage_of(app.document->shown->model, {.corner = app.derived.corner});
    ImGui::TextDisabled("wheel %s, travel above full droop [mm]; dot: at rest; %s",
                        at(linkage.wheels, app.derived.wheel).name.c_str(), marks);
  }
}

}  // namespace ridepitch::view
