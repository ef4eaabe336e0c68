#pragma once
// A model made ready to be let down: its linkages put together and hung at full droop, its masses summed.

#include <optional>
#include <vector>

#include "linkage/assemble.hpp"
#include "model/model.hpp"
#include "model/problem.hpp"
#include "ride/droop.hpp"
#include "ride/system.hpp"

namespace ridepitch {

/// The sprung mass as one rigid body.
struct SprungMass {
  double kg = 0;
  Vec3 cg_mm = Vec3::Zero();
  /// [kg mm^2] about the centre of gravity, vehicle axes; none where nothing says it
  std::optional<Eigen::Matrix3d> inertia_kg_mm2;
};

/// Sum of the mass budget: boxes with their own inertia, points without.
SprungMass sum_masses(const Model& model);

struct Vehicle {
  std::vector<Assembly> assemblies;  ///< one for each linkage of the model
  std::vector<Droop> droops;         ///< one for each linkage; of a top linkage: as assembled
  std::vector<int> member_of;        ///< [corners] index into system.members; -1: a top linkage, which carries nothing
  std::vector<int> corner_of;        ///< [members]
  std::vector<int> linkage_of;       ///< [members]
  SprungMass sprung;
  System system;  ///< on the ground, or held level in bench mode
  State hanging;  ///< every linkage at full droop, level, the lowest wheel touching
};

struct VehicleOrProblems {
  std::optional<Vehicle> vehicle;
  std::vector<Problem> problems;
};

/// Puts all linkages together, hangs them at droop and builds the elastic system of the vehicle.
/// @param model  must outlive the result
VehicleOrProblems build_vehicle(const Model& model);

/// Puts a (new) sprung mass into the system.
void set_sprung_mass(const SprungMass& sprung, Vehicle& vehicle);

/// Every linkage at its droop, level; the body as low as its lowest wheel allows.
State hang(const Vehicle& vehicle);

/// "front left/hub" of a member's wheel.
std::string wheel_name(const Model& model, const Vehicle& vehicle, std::size_t member, std::size_t wheel);

/// Radius of a wheel's tyre less what it has sunk under a contact force.
double loaded_radius_mm(const Tread& tread, double ground_load_n);

}  // namespace ridepitch
