#include "steer/drive_train.hpp"

#include <algorithm>
#include <numbers>

#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr double deg_per_turn = 360;

int linkage_index(const Model& model, const std::string& name) {
  for (std::size_t i = 0; i < model.linkages.size(); ++i)
    if (model.linkages[i].name == name) return static_cast<int>(i);
  return -1;
}

/// Linkages whose drives move something that is steered: used top linkages with a drive, and the ones they follow.
std::vector<int> driven_linkages(const Model& model) {
  std::vector<bool> wanted(model.linkages.size(), false);
  for (const Corner& corner : model.corners) {
    const Linkage* linkage = &model.linkages[static_cast<std::size_t>(corner.linkage)];
    if (linkage->plane != Plane::top) continue;
    // The reader sees to it that followers end somewhere.
    while (linkage && linkage->drive) {
      const auto i = static_cast<std::size_t>(linkage - model.linkages.data());
      if (wanted[i]) break;
      wanted[i] = true;
      const int leader = linkage_index(model, linkage->drive->follows);
      linkage = leader < 0 ? nullptr : &model.linkages[static_cast<std::size_t>(leader)];
    }
  }
  std::vector<int> found;
  for (std::size_t i = 0; i < wanted.size(); ++i)
    if (wanted[i]) found.push_back(static_cast<int>(i));
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

/// Cuts the ranges of one train down to what all its drives allow.
void agree(const Model& model, std::vector<TrainedDrive*>& train) {
  std::array<double, 2> head = {-1e300, 1e300};  // of the leader's value
  std::array<const TrainedDrive*, 2> by = {nullptr, nullptr};
  for (const TrainedDrive* drive : train)
    for (std::size_t e = 0; e < 2; ++e) {
      const double at = drive->range[e] / drive_unit(*drive) / drive->factor;
      const std::size_t side = (drive->factor > 0) == (e == 0) ? 0 : 1;
      // Ends that are one but for rounding are each drive's own.
      const double slack = 1e-9 * std::max(1.0, std::abs(at));
      if (side == 0 ? at > head[0] + slack : at < head[1] - slack) {
        head[side] = at;
        by[side] = drive;
      }
    }
  std::vector<std::array<double, 2>> ranges;
  std::vector<std::array<DriveEnd, 2>> ends;
  for (const TrainedDrive* drive : train) {
    std::array<double, 2> range = drive->range;
    std::array<DriveEnd, 2> end = drive->ends;
    for (std::size_t e = 0; e < 2; ++e) {
      const std::size_t side = (drive->factor > 0) == (e == 0) ? 0 : 1;
      const double at = head[side] * drive->factor * drive_unit(*drive);
      if (by[side] == drive || std::abs(at - range[e]) <= 1e-9 * std::max(1.0, std::abs(at))) continue;
      const std::size_t theirs = (by[side]->factor > 0) == (side == 0) ? 0 : 1;
      range[e] = at;
      end[e] = by[side]->ends[theirs];
      end[e].name = model.linkages[static_cast<std::size_t>(by[side]->linkage)].name + ": " + end[e].name;
    }
    ranges.push_back(range);
    ends.push_back(end);
  }
  for (std::size_t i = 0; i < train.size(); ++i) {
    train[i]->range = ranges[i];
    train[i]->ends = ends[i];
  }
}

}  // namespace

double drive_unit(const TrainedDrive& drive) { return drive.turns ? rad_per_deg : 1.0; }

DriveTrains find_drive_trains(const Model& model) {
  DriveTrains out;
  for (const int i : driven_linkages(model)) {
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(i)];
    AssembleResult assembled = assemble(linkage, model.module_mm);
    out.problems.insert(out.problems.end(), assembled.problems.begin(), assembled.problems.end());
    if (!assembled.assembly) continue;
    DrivePathOrProblem found = find_drive_path(*assembled.assembly, model.module_mm);
    if (found.problem) out.problems.push_back(*found.problem);
    if (!found.path) continue;
    TrainedDrive drive;
    drive.linkage = drive.leader = i;
    drive.turns = linkage.drive->pin.has_value();
    drive.assembly = std::move(*assembled.assembly);
    drive.way = std::move(*found.path);
    drive.range = {drive.way.least(), drive.way.greatest()};
    drive.ends = drive.way.ends;
    for (int steps = 0; steps < static_cast<int>(model.linkages.size()); ++steps) {
      const Drive& here = *model.linkages[static_cast<std::size_t>(drive.leader)].drive;
      if (here.follows.empty()) break;
      drive.factor *= here.ratio;
      drive.leader = linkage_index(model, here.follows);
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
    const auto of_head = own_per_turn(*model.linkages[static_cast<std::size_t>(head.linkage)].drive);
    for (TrainedDrive* drive : train)
      if (of_head) drive->per_turn = std::abs(drive->factor) * *of_head;
  }
  return out;
}

}  // namespace ridepitch
