#pragma once
// A picture as plain data, in mm of its plane; what it looks like in colour is the drawing's to say.

#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "model/geometry.hpp"

namespace ridepitch {

/// What a shape stands for: the drawing gives each its colour and, where that means something, its form.
enum class Role {
  grid,
  ground_line,
  chassis_part,
  body,
  far_body,  ///< of the vehicle's other side
  hole,
  pin,
  rod,
  coil,
  band,
  solid,  ///< a spring that is pressed solid, or a stop that is met
  wheel,
  limit,
  slide,
  ghost,  ///< as it was before
  path,   ///< of a wheel's centre
  mass,
  centre_of_gravity,
  keepout,
  selected,
  place_fits,
  place_fits_not,
  text,
  quiet_text,
};

/// A convex polygon with its edge.
struct Area {
  std::vector<Vec2> points;
  Role role = Role::body;
  bool filled = true;  ///< false: only its edge
};

struct Line {
  std::vector<Vec2> points;
  Role role = Role::rod;
  double width_px = 1.5;
  bool dashed = false;
};

struct Disc {
  Vec2 centre = Vec2::Zero();
  double radius_mm = 0;
  Role role = Role::hole;
  bool filled = true;
  double edge_px = 1.5;
};

/// A small mark whose size does not follow the view: a cross, a diamond, a ring.
struct Mark {
  enum class Form { ring, cross, diamond, quartered };
  Vec2 at = Vec2::Zero();
  Form form = Form::ring;
  double size_px = 6;
  Role role = Role::selected;
};

struct Label {
  Vec2 at = Vec2::Zero();
  std::string text;
  Role role = Role::text;
  Vec2 shift_px = Vec2(8, -8);  ///< right, down
};

using Shape = std::variant<Area, Line, Disc, Mark, Label>;

/// On top of those that are there. Made in place: g++ 12 at -O3 takes what it moves into a variant for uninitialised.
template <class Kind>
void add(std::vector<Shape>& shapes, Kind shape) {
  shapes.emplace_back(std::in_place_type<Kind>, std::move(shape));
}

inline void append(std::vector<Shape>& shapes, const std::vector<Shape>& more) {
  shapes.insert(shapes.end(), more.begin(), more.end());
}

struct Picture {
  std::vector<Shape> shapes;  ///< the first lies lowest
  std::string caption;        ///< what it shows and how it lies
};

/// Sides along the axes. In mm of a plane, v up, or on a screen or paper, y down.
struct Box {
  Vec2 low = Vec2::Zero(), high = Vec2::Zero();
};

/// Whether they are nearer to one another than a gap.
bool overlap(const Box& a, const Box& b, double gap = 0);
bool within(const Box& inner, const Box& outer);
Box grown(const Box& box, double by);
/// Around both.
Box united(const Box& a, const Box& b);
/// The box's point nearest to another.
Vec2 nearest_in(const Box& box, const Vec2& p);

/// The box around everything but marks and labels; of nothing: around 0.
Box bounds_of(const std::vector<Shape>& shapes);

/// The outline of a beam with round ends between two points, which is convex. A disc where they coincide.
std::vector<Vec2> beam_outline(const Vec2& a, const Vec2& b, double radius_mm);

/// A coil seen from the side: a zigzag with its ends on the axis. The number of turns does not depend on the length, so that
/// it closes up as it is compressed.
std::vector<Vec2> coil_line(const Vec2& from, const Vec2& to, double diameter_mm, int turns);

}  // namespace ridepitch
