#pragma once
// A vehicle as a builder wrote it down: format 1 of docs/model-format.md, read into plain structs.
//
// Everything here is in mm, N, kg and rad; modules, degrees and grams stay behind in the file.
// Order is the order of the text. A name's `place` is where the file says it, for messages.

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "model/geometry.hpp"
#include "model/parts.hpp"
#include "model/problem.hpp"

namespace ridepitch {

inline constexpr double gravity_m_per_s2 = 9.80665;  ///< standard gravity, exact (CGPM 1901)

// ---------------------------------------------------------------------------------- linkages

/// A linkage's plane, and with it which two vehicle axes its [u, v] are.
enum class Plane {
  side,   ///< u = x, v = z
  front,  ///< u = y, v = z
  top,    ///< u = x, v = y
};

struct Hole {
  std::string name;
  Vec2 p_B = Vec2::Zero();  ///< on its body's own grid [mm]
  Place place;              ///< of its coordinates
};

/// Where a hole roughly sits when the linkage is assembled; it only chooses between assemblies.
struct Near {
  int hole = 0;             ///< index into the body's holes
  Vec2 p_C = Vec2::Zero();  ///< in the chassis grid [mm]
  Place place;
};

/// A catalogue part where it lies on its body's grid: turned over (its first axis mirrored), then turned, then shifted.
struct PlacedPart {
  std::string part;
  Vec2 at_mm = Vec2::Zero();  ///< where its [0, 0] lies
  double turn_rad = 0;        ///< from u to v
  bool over = false;
  Place place = {};
};

struct Body {
  std::string name;
  std::vector<Hole> holes;
  std::vector<Near> near;         ///< none for the chassis
  std::string part;               ///< the one part that it is made of, laid where its holes meet most; may be empty
  std::vector<PlacedPart> built;  ///< or the parts that it is made of, in file order
  std::optional<int> layer;       ///< slice across the plane; none: not checked for contact
  std::vector<std::vector<int>> shape;  ///< chains of hole indices that its beams run through; empty: all, in order
  Place place;
};

/// The body every linkage has, fixed to the vehicle: index 0 of Linkage::bodies.
inline constexpr int chassis = 0;

struct HoleRef {
  int body = 0;  ///< index into Linkage::bodies
  int hole = 0;  ///< index into Body::holes

  friend bool operator==(const HoleRef&, const HoleRef&) = default;
};

/// Joins two holes or more, of different bodies, so that they turn about one point.
struct Pin {
  std::string name;            ///< its first hole's name, "chassis.arm", where the file gives none
  std::vector<HoleRef> holes;  ///< two or more
  Place place;
};

/// Holds two holes at a fixed distance. `across_mm`: how far its ends lie apart across the plane.
struct Rod {
  std::string name;
  HoleRef from, to;
  double length_mm = 0;  ///< hole centre to hole centre, true length; > across_mm
  double across_mm = 0;
  std::optional<std::array<double, 2>> height_mm;  ///< vehicle z of its ends at rest; tie rods of a top linkage
  std::string part;
  std::optional<int> layer;
  std::optional<double> swing_rad;  ///< greatest angle of a ball end to the plane it stands in
  Place place, length_place;
};

struct Spring {
  std::string name;
  SpringData data;
  HoleRef from, to;  ///< unused by a spring that turns
  int count = 1;     ///< equal springs side by side
  double across_mm = 0;
  std::string part;  ///< empty where its keys are written in place
  std::optional<int> layer;
  Place place;
};

/// Whether it acts between two bodies' angles, not along a line: its lengths are angles, its forces moments.
inline bool turns(const Spring& spring) { return turned_bodies(spring.data).has_value(); }

/// Whether a part can be put in its place.
inline bool takes(const Spring& spring, const Part& part) { return !turns(spring) && line_spring(part).has_value(); }

/// Whether a part is a spring of the same kind.
inline bool same_kind(const Spring& spring, const Part& part) {
  const auto data = narrowed<SpringData>(part.data);
  return data && data->index() == spring.data.index();
}

/// Whether a spring's part is long enough for how far apart its ends lie across the plane.
inline bool reaches_across(const Part& part, const Spring& spring) {
  const auto data = narrowed<SpringData>(part.data);
  return !data || longest_mm(*data).value_or(spring.across_mm + 1) > spring.across_mm;
}

/// Sets what a spring is from a part. @pre takes(spring, part)
inline void set_part(Spring& spring, const Part& part) {
  spring.part = part.name;
  spring.data = *narrowed<SpringData>(part.data);
}

/// A strap or bump stop: the true distance of two holes stays within [min, max].
struct Limit {
  std::string name;
  HoleRef from, to;
  std::optional<double> min_mm, max_mm;
  double across_mm = 0;
  Place place;
};

/// Guides a hole along a line of the chassis.
struct Slide {
  std::string name;
  HoleRef hole;                ///< of a moving body
  HoleRef through;             ///< of the chassis; position 0 is where the two meet
  Vec2 along = Vec2::UnitX();  ///< unit direction in the chassis grid
  std::optional<std::array<double, 2>> stroke_mm;
  bool turns = false;  ///< false: the body keeps `angle_rad` to the chassis grid
  double angle_rad = 0;
  Place place;
};

/// What the hand or a motor moves: a slide, or a body about a pin of the chassis.
struct Drive {
  std::optional<int> slide;                        ///< index into Linkage::slides
  std::optional<int> pin;                          ///< index into Linkage::pins; the other body turns
  std::optional<std::array<double, 2>> range_rad;  ///< of a pin drive
  std::optional<int> pinion_teeth;
  double tooth_module_mm = 1.0;  ///< ISO 54
  double gear_ratio = 1.0;       ///< turns of the (first) hand wheel for one of the pinion or crank
  std::string follows;           ///< name of the linkage whose drive leads; empty: none
  double ratio = 1.0;            ///< own movement for one of the leader's (mm or degrees, as in the file)
  Place place;
};

/// Turns a hand wheel's movement into the pinion's or crank's.
struct Hand {
  std::string name;
  std::vector<std::array<int, 2>> gears;       ///< teeth, driving then driven, from the hand to the pinion or crank
  std::vector<std::array<double, 2>> pulleys;  ///< diameters, likewise
  Place place;
};

/// Turns of a hand wheel for one of the pinion or crank: driven over driving, gear by gear.
double ratio_of(const Hand& hand);

/// A driven wheel's shaft: a universal joint at either end.
struct Shaft {
  Vec3 from_mm = Vec3::Zero();  ///< its inner joint, vehicle axes of the corner's side as written
  double swing_rad = 0;         ///< greatest angle of either joint
  double slide_mm = 0;          ///< how far its length may change
  Place place;
};

struct Wheel {
  std::string name;
  HoleRef at;
  std::string part;
  Tyre tyre;
  double out_mm = 0;  ///< from the linkage's plane to the middle of the tyre, outward; of side linkages
  std::optional<Shaft> shaft;
  std::optional<Vec2> ahead;  ///< rolling direction in the grid of its body; required in a top linkage
  std::string same_as;        ///< "CORNER/WHEEL"; empty: none
  std::optional<std::array<double, 2>> king_rad;  ///< caster, inclination
  Place place;
};

struct Linkage {
  std::string name;
  Plane plane = Plane::side;
  std::vector<Body> bodies;  ///< the chassis first, the others in file order
  std::vector<Pin> pins;
  std::vector<Rod> rods;
  std::vector<Spring> springs;
  std::vector<Limit> limits;
  std::vector<Slide> slides;
  std::optional<Drive> drive;
  std::vector<Hand> hands;  ///< in place of the drive's gear_ratio
  std::vector<Wheel> wheels;
  Place place;
};

/// "arm.push" of a hole reference.
std::string hole_name(const Linkage& linkage, HoleRef ref);

// ----------------------------------------------------------------------------------- vehicle

struct Mass {
  std::string name;
  double kg = 0;
  Vec3 at_mm = Vec3::Zero();    ///< centre, vehicle axes
  std::optional<Vec3> size_mm;  ///< uniform box; a point if absent
  Place place;
};

/// A wheel of a corner, by index.
struct WheelRef {
  int corner = 0;
  int wheel = 0;

  friend bool operator==(const WheelRef&, const WheelRef&) = default;
};

/// What a kitchen scale reads under these wheels, the others on blocks as high.
struct Weighed {
  std::vector<WheelRef> wheels;
  double kg = 0;
  Place place;
  double within_kg = 0.005;  ///< how far the reading may be off
};

struct Sprung {
  std::optional<double> cg_height_mm;  ///< vehicle z; 0 if absent
  std::optional<Vec3> size_mm;         ///< the box whose inertia the body gets
  Place place;
};

struct Clearance {
  std::string name;
  Vec3 at_mm = Vec3::Zero();
  Place place;
};

struct Measured {
  int corner = 0;
  double ride_height_mm = 0;
  Place place;
  double within_mm = 1;  ///< how far the ruler may be off
};

/// A body of a corner's linkage, by index.
struct BodyRef {
  int corner = 0;
  int body = 0;
};

/// Anti-roll bar: couples the turning of two bodies of two corners.
struct Bar {
  std::string name;
  std::array<BodyRef, 2> ends;
  double rate_n_mm_per_rad = 0;  ///< on (angle of the second end - that of the first), each in its own linkage's grid
  double free_rad = 0;
  Place place;
};

struct BillLine {
  std::string part;
  int count = 1;
  std::string where;
  Place place;
};

struct Keepout {
  std::string name;
  Vec3 at_mm = Vec3::Zero();
  Vec3 size_mm = Vec3::Zero();
  Place place;
};

/// A length of the model, and the same of what it is a model of.
struct OriginalLength {
  std::string name;
  double model_mm = 0, original_mm = 0;
  Place place;
};

/// A number that has a usual value where the file gives none.
struct Assumable {
  double value = 0;
  bool given = false;
};

struct Friction {
  Assumable pin_mu{0.2}, pin_radius_mm{2.4};  ///< usual values: common practice, no source
  std::optional<double> tyre_mu;
};

/// How far built parts scatter about what the model says: standard deviations, and the play of a joint.
/// Usual values: common practice, no source.
struct PartSpread {
  Assumable coil_rate_percent{6}, coil_length_mm{0.4};  ///< from part to part, independent
  Assumable batch_percent{4};                           ///< shared by all springs of one part
  Assumable mass_percent{3};                            ///< of each mass of the budget
  Assumable pin_play_mm{0.05};                          ///< how far a joint's pin shifts to the loaded side
  Assumable tyre_rate_percent{15};
  bool given = false;  ///< the file has the table
};

/// A linkage put somewhere on the vehicle.
struct Corner {
  std::string name;
  int linkage = 0;
  Vec3 at_mm = Vec3::Zero();     ///< the chassis grid's origin, vehicle axes
  bool flip = false;             ///< mirrors the plane's first axis
  double unsprung_kg = 0;        ///< besides tyres, shared equally by its wheels
  std::optional<double> load_n;  ///< bench mode, on each wheel
  bool mirrored = false;         ///< made by the `mirror` of the corner before it
  Place place;
};

// ----------------------------------------------------------------- what the builder wants

struct Tune;  // model/tune.hpp

struct Model {
  std::vector<std::string> files;           ///< the model file first, then its catalogues and prices, as named
  std::shared_ptr<const std::string> text;  ///< what the model file said when it was read
  std::string name;
  double module_mm = 8.0;
  std::vector<Mass> masses;
  std::vector<Weighed> weighed;
  std::optional<Sprung> sprung;
  std::vector<Clearance> clearances;
  std::vector<Measured> measured;
  std::vector<Bar> bars;
  std::vector<BillLine> bill;
  std::vector<Keepout> keepouts;
  std::optional<double> full_size_wheel_mm;
  std::vector<OriginalLength> original_lengths;
  double build_width = 7;  ///< most slices across the plane of a linkage [modules]
  Friction friction;
  PartSpread spread;
  std::vector<Linkage> linkages;
  std::vector<Corner> corners;  ///< mirrored ones right after their originals
  Catalogue catalogue;          ///< built-in parts, replaced by the file's catalogues in order
  std::map<std::string, Price, std::less<>> prices;
  bool has_prices = false;
  std::shared_ptr<const Tune> tune;  ///< null where the file has no [tune]

  /// Every corner that is not of a top linkage has a load: each linkage is solved alone.
  bool bench = false;
};

/// "rear left/hub" of a wheel.
std::string wheel_name(const Model& model, WheelRef ref);

}  // namespace ridepitch
