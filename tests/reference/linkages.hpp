#pragma once
// Linkages of the textbooks, written down in mm, and a way to turn their cranks: what the reference tests share.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "linkage/assemble.hpp"
#include "linkage/closure.hpp"

namespace ridepitch {

inline constexpr double rad_per_deg = 0.017453292519943295;

/// (r cos, r sin) of an angle in degrees.
Vec2 polar(double r, double angle_deg);

/// An angle brought into [-180, 180].
double wrapped_deg(double angle_deg);

/// Where a circle of radius r1 about p1 meets one of radius r2 about p2, on the left (+1) or right (-1) of p1 -> p2.
/// @pre they meet
Vec2 meet(const Vec2& p1, double r1, const Vec2& p2, double r2, int side);

// --------------------------------------------------------------------------- writing one down

using Places = std::vector<std::pair<std::string, Vec2>>;

/// Adds a body with its holes [mm, own grid] and hints [mm, chassis grid]; the first one added is the chassis.
void add_body(Linkage& linkage, const std::string& name, const Places& holes, const Places& near = {});

/// The hole called "body.hole".
HoleRef hole(const Linkage& linkage, std::string_view name);

/// Pins holes together, "body.hole" each.
void add_pin(Linkage& linkage, const std::vector<std::string>& holes);

/// Guides a hole along a direction of the chassis, its body not turning.
void add_slide(Linkage& linkage, const std::string& guided, const std::string& through, const Vec2& along);

/// A wheel without mass at a hole.
void add_wheel(Linkage& linkage, const std::string& at);

/// A straight-line coil without preload.
void add_coil(Linkage& linkage, const std::string& name, const std::string& from, const std::string& to,
              const Coil& coil);

// ------------------------------------------------------------------------------- known ones

/// Bodies crank (O, A), coupler (A, B), rocker (O, B) between chassis.O2 = (0, 0) and chassis.O4 at `ground_mm`.
/// Angles of the bodies are those of O2A, AB and O4B.
/// @param turned_deg  direction from O2 to O4; hints are turned with it
struct FourBar {
  double crank_mm = 40, coupler_mm = 120, rocker_mm = 80, ground_mm = 100;
};
Linkage four_bar(const FourBar& bar, const Vec2& near_A, const Vec2& near_B, double turned_deg = 0);

/// Four-bar of the textbook (40, 120, 80, 100 mm), its crank at an angle, in the closure called open.
Linkage textbook_four_bar(double crank_deg = 40);

/// Adds to a four-bar, in series: a second arm on the rocker, 50 mm at 20 degrees, a coupler of 110 mm and an output
/// of 70 mm about (220, 0).
void add_second_four_bar(Linkage& linkage, double output_deg);

/// Adds to a four-bar, at its coupler point P (60 mm at 30 degrees), link PQ of 90 mm and link O6Q of 70 mm about
/// (150, 90).
void add_stephenson_links(Linkage& linkage, const Vec2& near_Q);

/// Bodies crank (O, A), rod (B, A) and slider (B) on the line y = offset, hints for one crank angle.
Linkage slider_crank(double crank_mm, double rod_mm, double offset_mm, double crank_deg, bool other_side = false,
                     double turned_deg = 0);

/// Peaucellier-Lipkin cell: O = (0, 0), long bars 50, rhombus 30, crank 20 about (20, 0) at an angle psi.
Linkage peaucellier(double psi_deg);

/// The eight-link walking leg, hints for its crank at 0.
Linkage walking_leg();

/// Andrews' squeezing mechanism in mm and N/mm, hints from roughly guessed angles of the start.
/// Angles of its bodies: crank beta, link beta + theta, plate gamma, EG phi + delta, GA delta, EH Omega + epsilon,
/// HA epsilon.
Linkage andrews_squeezer();

// ------------------------------------------------------------------------------ moving them

/// Assembles, and fails the test that calls it where that does not work.
Assembly assembled(const Linkage& linkage);

/// A linkage one of whose bodies stands at a told angle. Everything else follows by continuity.
struct Cranked {
  Mechanism mechanism;
  Eigen::VectorXd q;
  Closure workspace;
  int body = 0;  ///< the moving body that is turned
};

/// Takes hold of a body where it is. @param linkage  must outlive the result
Cranked take_crank(const Linkage& linkage, std::string_view body);

/// Turns the body to an angle, in steps of at most half a degree. @returns false, and stays, where it cannot follow
bool turn_to(Cranked& cranked, double angle_deg);

/// Whole motion for one radian of the crank: dq/d(angle).
Eigen::VectorXd motion_of(Cranked& cranked);

/// Index of a body among the moving ones.
int moving_body(const Linkage& linkage, std::string_view body);

double angle_deg(const Cranked& cranked, std::string_view body);
Vec2 place(const Mechanism& mechanism, const Eigen::VectorXd& q, std::string_view hole_name);
Vec2 place(const Cranked& cranked, std::string_view hole_name);

/// d(place)/d(parameter) of a hole for a motion dq.
Vec2 velocity(const Cranked& cranked, std::string_view hole_name, const Eigen::VectorXd& dq);

}  // namespace ridepitch
