// Names of a drawing lie beside one another, whatever they name.

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "model/read.hpp"
#include "picture/place_labels.hpp"
#include "picture/vehicle_picture.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

/// A letter of a usual font of 15 px is 9 px wide and its line 18 px high, at most on average.
Vec2 extent(const std::string& text) { return {9.0 * static_cast<double>(text.size()), 18}; }

LabelPane pane_of(const Vec2& size_px, double px_per_mm, const Vec2& middle_mm) {
  return {.place =
              [=](const Vec2& p) {
                const Vec2 d = (p - middle_mm) * px_per_mm;
                return Vec2(size_px / 2 + Vec2(d.x(), -d.y()));
              },
          .extent = extent,
          .unit = 1,
          .space = {Vec2::Zero(), size_px}};
}

bool overlap(const PlacedLabel& a, const PlacedLabel& b) {
  return a.low.x() < b.high.x() && b.low.x() < a.high.x() && a.low.y() < b.high.y() && b.low.y() < a.high.y();
}

void expect_apart(const std::vector<PlacedLabel>& labels) {
  for (std::size_t i = 0; i < labels.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      EXPECT_FALSE(overlap(labels[i], labels[j])) << labels[i].label->text << " lies on " << labels[j].label->text;
}

Picture labels_at(const std::vector<Vec2>& places, const std::string& text) {
  Picture picture;
  for (const Vec2& p : places) picture.shapes.emplace_back(Label{p, text, Role::text, Vec2(8, -8)});
  return picture;
}

TEST(PlaceLabels, alone_a_label_is_where_it_asks_to_be) {
  const Picture picture = labels_at({Vec2(0, 0)}, "belly");
  const auto placed = place_labels(picture, pane_of(Vec2(400, 300), 1, Vec2::Zero()));
  ASSERT_EQ(placed.size(), 1u);
  EXPECT_EQ(placed[0].low, Vec2(208, 142));  // the middle of the pane and the shift
  EXPECT_EQ(placed[0].high, Vec2(208 + 5 * 9, 142 + 18));
  EXPECT_FALSE(placed[0].led);
}

TEST(PlaceLabels, two_of_one_place_stand_one_above_the_other_a_gap_apart) {
  const Picture picture = labels_at({Vec2(0, 0), Vec2(0, 0)}, "a longer name");
  const auto placed = place_labels(picture, pane_of(Vec2(400, 300), 1, Vec2::Zero()));
  ASSERT_EQ(placed.size(), 2u);
  EXPECT_EQ(placed[0].low, Vec2(208, 142)) << "the first goes first";
  // A line's height and the gap away, up or down, is nearer than a name's width to the side.
  EXPECT_EQ(placed[1].low.x(), 208);
  EXPECT_NEAR(std::abs(placed[1].low.y() - 142), 18 + 3, 1e-9);
}

TEST(PlaceLabels, a_crowd_of_them_stays_apart_and_in_the_pane_and_lines_lead_to_those_far_off) {
  const Picture picture = labels_at(std::vector<Vec2>(30, Vec2(190, 140)), "crowded");
  const auto placed = place_labels(picture, pane_of(Vec2(400, 300), 1, Vec2::Zero()));
  ASSERT_EQ(placed.size(), 30u);
  expect_apart(placed);
  int led = 0;
  for (const PlacedLabel& each : placed) {
    EXPECT_GE(each.low.x(), 0);
    EXPECT_GE(each.low.y(), 0);
    EXPECT_LE(each.high.x(), 400);
    EXPECT_LE(each.high.y(), 300);
    if (!each.led) continue;
    ++led;
    EXPECT_EQ(each.lead_from, Vec2(200 + 190, 150 - 140));
    EXPECT_TRUE((each.lead_to.array() >= each.low.array()).all() && (each.lead_to.array() <= each.high.array()).all());
  }
  EXPECT_GT(led, 10);
}

TEST(PlaceLabels, more_of_them_than_the_pane_holds_still_stay_apart) {
  const Picture picture = labels_at(std::vector<Vec2>(20, Vec2(0, 0)), "far too many of them");
  const auto placed = place_labels(picture, pane_of(Vec2(200, 60), 1, Vec2::Zero()));
  EXPECT_EQ(placed.size(), 20u);
  expect_apart(placed);
}

TEST(PlaceLabels, keep_off_the_marks_of_other_things) {
  Picture picture = labels_at({Vec2(0, 0)}, "name");
  picture.shapes.emplace_back(Mark{Vec2(20, 0), Mark::Form::quartered, 11, Role::centre_of_gravity});
  const auto placed = place_labels(picture, pane_of(Vec2(400, 300), 1, Vec2::Zero()));
  const bool on_it =
      placed[0].low.x() < 231 && placed[0].high.x() > 209 && placed[0].low.y() < 161 && placed[0].high.y() > 139;
  EXPECT_FALSE(on_it);
}

TEST(PlaceLabels, what_lies_outside_the_pane_is_not_named) {
  const Picture picture = labels_at({Vec2(0, 0), Vec2(900, 0)}, "name");
  EXPECT_EQ(place_labels(picture, pane_of(Vec2(400, 300), 1, Vec2::Zero())).size(), 1u);
}

TEST(PlaceLabels, no_two_names_overlap_on_any_demo_vehicle_from_the_side_or_the_front) {
  int drawn = 0;
  for (const auto& entry : std::filesystem::directory_iterator(RIDEPITCH_SOURCE_DIR "/models")) {
    if (entry.path().extension() != ".toml") continue;
    const ReadModel read = read_model(entry.path().string());
    if (!read.model) continue;  // a catalogue
    const SolveResult result = solve(*read.model);
    ASSERT_TRUE(result.solution) << entry.path();
    for (const VehicleView view : {VehicleView::from_side, VehicleView::from_front}) {
      const Picture picture = vehicle_picture({*read.model, *result.solution}, view);
      if (picture.shapes.empty()) continue;  // on the bench
      const auto labels = std::count_if(picture.shapes.begin(), picture.shapes.end(),
                                        [](const Shape& shape) { return std::holds_alternative<Label>(shape); });
      const Box box = bounds_of(picture.shapes);
      for (const Vec2& size : {Vec2(640, 480), Vec2(320, 260), Vec2(1400, 900)}) {
        SCOPED_TRACE(entry.path().string());
        const Vec2 share = size.array() / ((box.high - box.low).array() + 20);
        const auto placed = place_labels(picture, pane_of(size, share.minCoeff(), (box.low + box.high) / 2));
        EXPECT_EQ(static_cast<long>(placed.size()), labels);
        expect_apart(placed);
        ++drawn;
      }
    }
  }
  EXPECT_GE(drawn, 60);  // 11 vehicles at the least
}

}  // namespace
}  // namespace ridepitch
