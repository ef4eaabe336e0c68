#pragma once
// The whole vehicle let down onto its wheels: least total energy over height, pitch, roll and every body.

#include <memory>
#include <optional>

#include "assembly.hpp"

namespace ridepitch::oracle {

/// A corner with its linkage, as terms of the vehicle's programme. Corners of top linkages are left out.
struct Part {
  int corner = 0;  ///< index into Model::corners
  const Rig* rig = nullptr;
  Layout layout;  ///< variables in the vehicle's programme
  int first_stop = 0;
  int stops = 0;
};

/// What the sprung masses amount to.
struct Body3 {
  double kg = 0;
  Vec3 cg_mm = Vec3::Zero();
  Eigen::Matrix3d inertia_kg_mm2 = Eigen::Matrix3d::Zero();  ///< about the cg, vehicle axes
};

struct Contact {
  int part = 0, wheel = 0;
  double unsprung_kg = 0;
  const Tyre* tyre = nullptr;
  Term height;              ///< of the wheel's centre above the ground [mm]
  std::optional<int> stop;  ///< of a rigid tyre: which stop of the programme
};

struct Stance {
  Programme programme;
  std::vector<Part> parts;
  std::vector<Contact> contacts;
  Body3 body;
  Point point;
  Vector ground_load_n;  ///< by contact
  bool indeterminate = false;
  std::vector<bool> open_force;  ///< by stop: not told even by balance with the ground loads given
};

/// Slots of the vehicle's attitude among the variables.
inline constexpr int height_variable = 0, pitch_variable = 1, roll_variable = 2;
inline constexpr double attitude_unit = 1.0 / 100;  ///< rad for one unit of pitch or roll

/// A vehicle point above the ground [mm], in terms of height, pitch and roll.
Term point_height(const Vec3& p_V);

/// A vehicle point turned level with the world, from the vehicle's origin, the height left out [mm].
Vec3 levelled(const Vec3& p_V, double pitch, double roll);

/// Vehicle axes of a place in a corner's chassis grid.
Vec3 on_vehicle(const Linkage& linkage, const Corner& corner, const Vec2& p_C);

Vec2 wheel_in_grid(const Stance& stance, const Contact& contact);                     ///< its centre, chassis grid
Vec3 wheel_centre(const Model& model, const Stance& stance, const Contact& contact);  ///< vehicle axes

/// @param rigs  one for each linkage of the model (unused for top linkages)
Stance stand(const Model& model, const std::vector<Rig>& rigs);

/// Fills the ground loads of a vehicle from its point.
void read_loads(Stance& stance);

/// One corner alone under its load, the chassis level.
Stance stand_on_bench(const Model& model, int corner, const Rig& rig);

}  // namespace ridepitch::oracle
