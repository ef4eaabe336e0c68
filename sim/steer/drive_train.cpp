#include "steer/drive_train.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <set>

#include "model/index.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr double deg_per_turn = 360;

/// Linkages whose drives move something that is steered: used top linkages with a drive, and the ones they follow.
std::set<int> driven_linkages(const Model& model) {
  std::set<int> found;
  for (const Corner& corner : model.corners) {
    if (at(model.linkages, corner.linkage).plane != Plane::top) continue;
    // The reader sees to it that followers end somewhere.
    for (int i = corner.linkage; i >= 0;) {
      const auto& drive = at(model.linkages, i).drive;
      if (!drive || !found.insert(i).second) break;
      i = index_of(model.linkages, drive->follows);
    }
  }
  return found;
}

/// What a turn of its own hand wheel moves, by its pinion; a crank is turned by the hand wheel itself, through the gear.
std::optional<double> own_per_turn(const Drive& drive) {
  // A rack moves by the pinion's pitch circle for one turn: pi m z, m its module (ISO 54).
  if (drive.slide && drive.pinion_teeth)
    return std::numbers::pi * drive.tooth_module_mm * *drive.pinion_teeth / drive.gear_ratio;
  if (drive.pin) return deg_per_turn / drive.gear_ratio;
  return std::nullopt;
}

/// Which end of a drive its leader's least value (0) or greatest (1) leads to.
std::size_t end_at(const TrainedDrive& drive, std::size_t side) { return drive.factor > 0 ? side : 1 - side; }

/// Cuts the ranges of one train down to what all its drives allow.
void agree(const Model& model, const std::vector<TrainedDrive*>& train) {
  constexpr double infinite = std::numeric_limits<double>::infinity();
  // Ends that are one but for rounding are each drive's own.
  const auto slack = [](double at) { return 1e-9 * std::max(1.0, std::abs(at)); };
  for (const std::size_t side : {0u, 1u}) {
    const double inward = side == 0 ? 1 : -1;
    double head = -inward * infinite;  // what all allow of the leader's value
    const TrainedDrive* by = nullptr;
    for (const TrainedDrive* drive : train) {
      const double reached = drive->range[end_at(*drive, side)] / drive_unit(*drive) / drive->factor;
      if (!(inward * (reached - head) > slack(reached))) continue;
      head = reached;
      by = drive;
    }
    DriveEnd end = by->ends[end_at(*by, side)];
    end.name = at(model.linkages, by->linkage).name + ": " + end.name;
    for (TrainedDrive* drive : train) {
      double& own = drive->range[end_at(*drive, side)];
      const double reached = head * drive->factor * drive_unit(*drive);
      if (drive == by || std::abs(reached - own) <= slack(reached)) continue;
      own = reached;
      drive->ends[end_at(*drive, side)] = end;
    }
  }
}

}  // namespace

double drive_unit(const TrainedDrive& drive) { return drive.turns ? rad_per_deg : 1.0; }

DriveTrains find_drive_trains(const Model& model) {
  DriveTrains out;
  for (const int i : driven_linkages(model)) {
    const Linkage& linkage = at(model.linkages, i);
    AssembleResult assembled = assemble(linkage, model.module_mm);
    out.problems.insert(out.problems.end(), assembled.problems.begin(), assembled.problems.end());
    if (!assembled.assembly) continue;
    DrivePathOrProblem found = find_drive_path(*assembled.assembly, model.module_mm, model.catalogue);
    if (found.problem) out.problems.push_back(*found.problem);
    if (!found.path) continue;
    TrainedDrive drive;
    drive.linkage = drive.leader = i;
    drive.turns = linkage.drive->pin.has_value();
    drive.assembly = std::move(*assembled.assembly);
    drive.path = std::move(*found.path);
    drive.range = {drive.path.least(), drive.path.greatest()};
    drive.ends = drive.path.ends;
    for (int steps = 0; steps < static_cast<int>(model.linkages.size()); ++steps) {
      const Drive& here = *at(model.linkages, drive.leader).drive;
      if (here.follows.empty()) break;
      drive.factor *= here.ratio;
      drive.leader = index_of(model.linkages, here.follows);
    }
    out.drives.push_back(std::move(drive));
  }
  if (!out.problems.empty()) return out;
  for (const TrainedDrive& head : out.drives) {
    if (head.leader != head.linkage) continue;
    std::vector<TrainedDrive*> train;
    for (TrainedDrive& drive : out.drives)
      if (drive.leader == head.linkage) train.push_back(&drive);
    if (train.size() > 1) agree(model, train);
    const auto of_head = own_per_turn(*at(model.linkages, head.linkage).drive);
    for (TrainedDrive* drive : train)
      if (of_head) drive->per_turn = std::abs(drive->factor) * *of_head;
  }
  return out;
}

}  // namespace ridepitch
