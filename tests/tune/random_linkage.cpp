#include "tune/random_linkage.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <fmt/format.h>

namespace ridepitch {
namespace {

struct At {
  double u = 0, v = 0;
};

double far(At a, At b) { return std::hypot(a.u - b.u, a.v - b.v); }

/// A body as drawn: its own grid turned by quarters, its origin at a place of the chassis.
struct Member {
  std::string name;
  At origin;
  int quarters = 0;
  std::vector<std::pair<std::string, At>> holes = {};  ///< on its own grid
  std::string hint = {};                               ///< the hole that gets a `near`

  At drawn(At own) const {
    At p = own;
    for (int i = 0; i < quarters; ++i) p = {-p.v, p.u};
    return {origin.u + p.u, origin.v + p.v};
  }
  At drawn(const std::string& hole) const {
    for (const auto& [name_of, own] : holes)
      if (name_of == hole) return drawn(own);
    return origin;
  }
};

struct Maker {
  std::mt19937& random;
  Member chassis{"chassis", {}};
  std::vector<Member> pieces = {};
  std::string joints = {};

  int whole(int low, int high) { return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1)); }
  double half(int low, int high) { return 0.5 * whole(2 * low, 2 * high); }
  bool heads() { return whole(0, 1) == 1; }

  std::string hole(Member& piece, At own) {
    piece.holes.emplace_back("h" + std::to_string(piece.holes.size()), own);
    return piece.holes.back().first;
  }
  /// A hole of the chassis at a place.
  std::string anchor(At place) { return "chassis." + hole(chassis, place); }

  void pin(const std::string& one, const std::string& other) {
    joints += fmt::format("[[linkage.l.pin]]\njoin = [\"{}\", \"{}\"]\n", one, other);
  }

  Member& add(At origin, int quarters) {
    pieces.push_back({"b" + std::to_string(pieces.size()), origin, quarters});
    hole(pieces.back(), {0, 0});
    return pieces.back();
  }

  /// A rod as long as the drawn pose asks, to the nearest half module; now and then its ends lie in two layers.
  void rod(const std::string& name, const std::string& from, const std::string& to, double apart) {
    const double across = whole(0, 2) == 0 ? 1 : 0;
    const double length = std::max(across + 1, std::round(2 * std::hypot(apart, across)) / 2);
    joints += fmt::format("[linkage.l.rod.{}]\nfrom = \"{}\"\nto = \"{}\"\nlength = {}\nacross = {}\n", name, from, to,
                          length, across);
  }

  void arm() {
    Member& piece = add({0, 0}, 0);
    const std::string far_hole = hole(piece, {double(whole(6, 9)), half(-1, 1)});
    piece.hint = far_hole;
    pin(anchor({0, 0}), piece.name + ".h0");
  }

  /// A carrier on an upright slide.
  void slide() {
    Member& piece = add({double(whole(4, 8)), 0}, 0);
    hole(piece, {half(-1, 1), half(1, 2)});
    piece.hint = "h0";
    joints +=
        fmt::format("[linkage.l.slide.way]\nhole = \"{}.h0\"\nthrough = \"{}\"\nalong = [{}, 1]\nstroke = [-3, 4]\n",
                    piece.name, anchor(piece.origin), 0.125 * whole(-2, 2));
  }

  /// A rocker on the chassis that a rod from the newest body works.
  void rocker() {
    Member& before = pieces.back();
    const std::string from = hole(before, {double(whole(3, 6)), 0});
    const At start = before.drawn(from);
    const std::string name = before.name + "." + from;
    const At pivot{std::round(start.u) + whole(-4, 0), std::round(start.v) + whole(4, 7)};
    Member& piece = add(pivot, whole(0, 3));
    const std::string push = hole(piece, {half(2, 4), half(-1, 1)});
    hole(piece, {half(-2, 1), half(2, 4) * (heads() ? 1 : -1)});
    piece.hint = push;
    pin(anchor(pivot), piece.name + ".h0");
    rod("rod" + piece.name, name, piece.name + "." + push, far(start, piece.drawn(push)));
  }

  /// A body pinned to the newest one, held by a rod or another arm from the chassis.
  void coupler() {
    Member& before = pieces.back();
    const std::string joint = before.name + "." + before.holes[1].first;
    Member& piece = add(before.drawn(before.holes[1].second), 0);
    const std::string held = hole(piece, {half(-1, 1), half(3, 5)});
    hole(piece, {half(1, 2), half(0, 1)});
    piece.hint = held;
    pin(joint, piece.name + ".h0");
    const At top = piece.drawn(held), root{half(0, 2), half(3, 5)};
    const std::string from = piece.name + "." + held;
    if (heads()) {
      rod("rod" + piece.name, from, anchor(root), far(top, root));
      return;
    }
    Member& other = add(root, 0);
    const std::string end = hole(other, {std::max(1.0, std::round(2 * far(top, root)) / 2), 0});
    pin(anchor(root), other.name + ".h0");
    pin(from, other.name + "." + end);
    std::swap(pieces[pieces.size() - 1], pieces[pieces.size() - 2]);  // what follows hangs on the coupler
  }

  /// A coil from a body to a seat of the chassis at a length that it can have.
  std::string coil(const std::string& name, const Member& piece, std::size_t of_hole) {
    const double free_mm = 8 * half(6, 9), solid_mm = 0.65 * free_mm;
    const At end = piece.drawn(piece.holes[of_hole].second);
    const double length = (0.75 + 0.02 * whole(0, 10)) * free_mm / 8, angle = whole(0, 359) * M_PI / 180;
    const std::string seat = anchor({std::round(2 * (end.u + length * std::cos(angle))) / 2,
                                     std::round(2 * (end.v + length * std::sin(angle))) / 2});
    return fmt::format(
        "[linkage.l.spring.{}]\nkind = \"coil\"\nfree_mm = {}\nsolid_mm = {}\nrate_n_per_mm = {}\npreload_n = {}\n"
        "from = \"{}.{}\"\nto = \"{}\"\ncount = {}\nacross = {}\n",
        name, free_mm, solid_mm, 0.1 * whole(3, 12), 0.5 * whole(0, 4), piece.name, piece.holes[of_hole].first, seat,
        whole(1, 2), heads() ? 0.5 : 0.0);
  }

  std::string body_text(const Member& piece) const {
    std::string holes;
    for (const auto& [name, at] : piece.holes)
      holes += fmt::format("{}{} = [{}, {}]", holes.empty() ? "" : ", ", name, at.u, at.v);
    std::string text = fmt::format("{} = {{ holes = {{ {} }}", piece.name, holes);
    if (!piece.hint.empty()) {
      const At at = piece.drawn(piece.hint);
      text += fmt::format(", near = {{ {} = [{}, {}] }}", piece.hint, at.u, at.v);
    }
    return text + " }\n";
  }
};

}  // namespace

std::string random_model_text(std::mt19937& random) {
  Maker make{random};
  const bool slides = make.whole(0, 4) == 0;
  if (slides)
    make.slide();
  else
    make.arm();
  std::string wheel = "b0.h1";
  if (!slides && make.heads()) {
    make.coupler();
    const Member& coupler = make.pieces.back();
    wheel = coupler.name + "." + coupler.holes[2].first;
  }
  const int rockers = make.whole(0, 2);
  for (int i = 0; i < rockers; ++i) make.rocker();
  std::string springs = make.coil("main", make.pieces.back(), make.pieces.back().holes.size() - 1);
  if (make.whole(0, 2) == 0) springs += make.coil("helper", make.pieces.front(), 1);

  const bool bench = make.heads();
  std::string text = "format = 1\nname = \"random\"\n";
  if (!bench)
    text += fmt::format("[[mass]]\nname = \"load\"\ngrams = {}\nat = [{}, 0, {}]\n", 100 * make.whole(8, 30),
                        make.half(-3, 3), make.whole(3, 8));
  text += "[linkage.l]\nplane = \"side\"\n[linkage.l.body]\n" + make.body_text(make.chassis);
  for (const Member& piece : make.pieces) text += make.body_text(piece);
  text += make.joints + springs +
          fmt::format("[linkage.l.wheel.hub]\nat = \"{}\"\npart = \"{}\"\n", wheel,
                      make.heads() ? "tyre-84-soft" : "tyre-69");
  if (bench)
    return text +
           fmt::format("[[corner]]\nname = \"c\"\nlinkage = \"l\"\nat = [0, 0, 4]\nload_n = {}\n", make.half(2, 9));
  for (const bool front : {true, false})
    text += fmt::format(
        "[[corner]]\nname = \"{0} left\"\nlinkage = \"l\"\nat = [{1}, 8, 4]\nflip = {2}\nunsprung_grams = 30\nmirror = "
        "true\n",
        front ? "front" : "rear", front ? 10 : -10, !front);
  return text;
}

}  // namespace ridepitch
