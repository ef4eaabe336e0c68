#include "interview/drawing.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "linkage/search.hpp"

namespace ridepitch {
namespace {

constexpr int widest = 92;   // columns, so that it fits a page with a margin
constexpr int highest = 26;  // rows
constexpr double most_rows_per_module = 1.3;
constexpr double aspect = 2;  // a character is so many times as high as wide

/// Characters on a grid, the lower left corner of which is a place of the drawing.
struct Canvas {
  Vec2 lower_left = Vec2::Zero();  ///< [mm]
  double rows_per_mm = 1;
  std::vector<std::string> rows;  ///< from the top

  void put(const Vec2& p, char sign) {
    const long column = std::lround((p.x() - lower_left.x()) * rows_per_mm * aspect);
    const long row = static_cast<long>(rows.size()) - 1 - std::lround((p.y() - lower_left.y()) * rows_per_mm);
    if (row < 0 || row >= static_cast<long>(rows.size())) return;
    std::string& line = rows[static_cast<std::size_t>(row)];
    if (column >= 0 && column < static_cast<long>(line.size())) line[static_cast<std::size_t>(column)] = sign;
  }

  void line(const Vec2& from, const Vec2& to, char sign) {
    const double steps_per_character = 2;
    const double length = (to - from).norm() * rows_per_mm * aspect;
    const int steps = 1 + static_cast<int>(length * steps_per_character);
    for (int i = 0; i <= steps; ++i) put(from + (to - from) * (static_cast<double>(i) / steps), sign);
  }
};

/// Everything that is drawn, where it is.
struct Picture {
  struct Stroke {
    Vec2 from, to;
    char sign;
  };
  std::vector<Stroke> tyres, coils, rods, bodies;
  std::vector<std::pair<Vec2, char>> holes;
  double ground_mm = 0;
};

/// A disc seen from the side; a tyre seen from the front, as wide as it is or as usual.
void add_tyre(Picture& picture, const Wheel& wheel, const Vec2& centre, Plane plane) {
  const double radius = wheel.tyre.diameter_mm / 2;
  std::vector<Vec2> outline;
  if (plane == Plane::front) {
    const double usual_share = 0.35;  // of the diameter
    const double half = (wheel.tyre.width_mm > 0 ? wheel.tyre.width_mm : usual_share * wheel.tyre.diameter_mm) / 2;
    for (const Vec2& corner : {Vec2(-half, -radius), Vec2(half, -radius), Vec2(half, radius), Vec2(-half, radius)}) {
      outline.push_back(centre + corner);
    }
  } else {
    const int corners = 48;
    for (int i = 0; i < corners; ++i) {
      const double angle = 2 * std::numbers::pi * i / corners;
      outline.push_back(centre + radius * Vec2(std::cos(angle), std::sin(angle)));
    }
  }
  for (std::size_t i = 0; i < outline.size(); ++i) {
    picture.tyres.push_back({outline[i], outline[(i + 1) % outline.size()], '.'});
  }
  picture.ground_mm = std::min(picture.ground_mm, centre.y() - radius);
}

/// A line from a body's first hole to each of the others: levers turn about it.
void add_bodies(Picture& picture, const Linkage& linkage, const Eigen::VectorXd& q) {
  for (std::size_t b = 0; b < linkage.bodies.size(); ++b) {
    const int body = static_cast<int>(b);
    for (std::size_t h = 0; h < linkage.bodies[b].holes.size(); ++h) {
      const Vec2 place = place_of(linkage, {body, static_cast<int>(h)}, q);
      picture.holes.emplace_back(place, 'o');
      if (body != chassis) picture.bodies.push_back({place_of(linkage, {body, 0}, q), place, '#'});
    }
  }
}

Picture picture_of(const Linkage& linkage, const Eigen::VectorXd& q, const std::vector<Letter>& letters) {
  Picture picture;
  for (const Wheel& wheel : linkage.wheels) add_tyre(picture, wheel, place_of(linkage, wheel.at, q), linkage.plane);
  for (const Spring& spring : linkage.springs) {
    picture.coils.push_back({place_of(linkage, spring.from, q), place_of(linkage, spring.to, q), '%'});
  }
  for (const Rod& rod : linkage.rods) {
    picture.rods.push_back({place_of(linkage, rod.from, q), place_of(linkage, rod.to, q), ':'});
  }
  add_bodies(picture, linkage, q);
  for (const Letter& letter : letters)
    if (const auto hole = find_hole(linkage, letter.hole))
      picture.holes.emplace_back(place_of(linkage, *hole, q), letter.letter);
  return picture;
}

/// A canvas that everything fits on.
Canvas canvas_for(const Picture& picture, double module_mm) {
  Vec2 low(0, picture.ground_mm), high = low;
  const auto take_in = [&](const Vec2& p) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  };
  for (const auto& hole : picture.holes) take_in(hole.first);
  for (const Picture::Stroke& stroke : picture.tyres) take_in(stroke.from);
  const Vec2 size = (high - low).cwiseMax(Vec2::Constant(module_mm));
  Canvas canvas;
  canvas.lower_left = low;
  canvas.rows_per_mm =
      std::min({most_rows_per_module / module_mm, (highest - 1) / size.y(), (widest - 1) / size.x() / aspect});
  const auto cells = [&](double length, double per_mm) {
    return 1 + static_cast<std::size_t>(std::lround(length * per_mm));
  };
  canvas.rows.assign(cells(size.y(), canvas.rows_per_mm),
                     std::string(cells(size.x(), canvas.rows_per_mm * aspect), ' '));
  return canvas;
}

}  // namespace

std::optional<HoleRef> find_hole(const Linkage& linkage, std::string_view name) {
  for (std::size_t b = 0; b < linkage.bodies.size(); ++b) {
    for (std::size_t h = 0; h < linkage.bodies[b].holes.size(); ++h) {
      const HoleRef ref{static_cast<int>(b), static_cast<int>(h)};
      if (hole_name(linkage, ref) == name) return ref;
    }
  }
  return std::nullopt;
}

std::vector<std::string> draw_linkage(const Linkage& linkage, const Eigen::VectorXd& q, double module_mm,
                                      const std::vector<Letter>& letters) {
  const Picture picture = picture_of(linkage, q, letters);
  Canvas canvas = canvas_for(picture, module_mm);
  for (const auto* strokes : {&picture.tyres, &picture.coils, &picture.rods, &picture.bodies}) {
    for (const Picture::Stroke& stroke : *strokes) canvas.line(stroke.from, stroke.to, stroke.sign);
  }
  for (const auto& [place, sign] : picture.holes) canvas.put(place, sign);
  std::vector<std::string> rows = std::move(canvas.rows);
  rows.emplace_back(rows.front().size(), '-');
  for (std::string& row : rows) row.erase(row.find_last_not_of(' ') + 1);
  return rows;
}

}  // namespace ridepitch
