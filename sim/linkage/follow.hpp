#pragma once
// Following a linkage, step by step, along one of its ties.
//
// Letters: s  what the path is measured by: the target of the followed tie, a held wheel's height or a drive [mm or rad];
// q(s)  the configuration;  dq/ds  the heading.
//
// A path ends where a watched gap closes (a stop, two parts that touch) or at a dead point: there the determinant of the
// ties is 0, and the linkage turns back along its own motion.

#include <functional>
#include <optional>
#include <vector>

#include "linkage/closure.hpp"

namespace ridepitch {

/// One configuration of a path.
struct PathPlace {
  Eigen::VectorXd q = {};
  double s = 0;
  bool has_heading = false;      ///< whether the next two belong to q
  Eigen::VectorXd heading = {};  ///< dq/ds
  double side = 0;               ///< sign of the determinant of the ties: changes past a dead point
};

/// Brings inner freedoms, which the followed tie leaves open, to rest. @returns false where they do not settle
/// @param active  becomes the stops that hold one of them, as indices into Mechanism::stops
using SettleInner = bool (*)(const Mechanism& mechanism, Eigen::VectorXd& q, std::vector<int>& active);

/// One that goes along a path and remembers where it was. Copies cost, moves do not; no step allocates.
struct Follower {
  Mechanism mechanism;  ///< the followed tie's target is here.s
  int tie = 0;          ///< the followed one
  SettleInner settle = nullptr;
  double most_bend = 0;  ///< of a step's length, that the path may leave the mean of its two headings; 0: any
  PathPlace here, past;
  bool has_past = false;    ///< `past` is the place before, on the same path
  std::vector<int> active;  ///< stops that hold an inner freedom here
  Closure closure;
  PathPlace trial;
  Eigen::VectorXd predicted;
};

/// A follower at a configuration that satisfies the ties. Nothing is settled there yet.
Follower follow(const Mechanism& mechanism, int tie, const Eigen::VectorXd& from);

/// Heading and side of where it is, if they are not known yet.
void find_heading(Follower& follower);

/// Moves on to s in one step. @returns false, and stays, where that would leave the path or there is no such place
bool advance(Follower& follower, double s);

/// Moves on to s in as many steps as it takes. @returns false, as near as it came, where it cannot get there
bool go_to(Follower& follower, double s);

/// Puts it on another place of the same path.
void put(Follower& follower, const PathPlace& place);

/// Something that ends a path where its gap closes: a stop, or a gap of the caller's own.
struct Watch {
  const Stop* stop = nullptr;
  std::function<double(const Eigen::VectorXd& q)> own_gap = {};
  bool armed = false;  ///< false while it is still closed from the start: then it ends nothing until it has opened
  bool nears = false;  ///< its gap shrank in the last step
  struct Gap {
    double value = 0;  ///< [mm or rad], open while >= 0
    double slope = 0;  ///< over s, in the direction of the path; of stops without inner freedoms
  };
  Gap now = {}, next = {};  ///< where the follower stands, and after the step in question
};

/// How far a path is followed and in which steps.
struct PathRules {
  int direction = +1;           ///< s grows (+1) or shrinks (-1)
  std::optional<double> limit;  ///< s at which it ends in any case
  double least_step_mm = 0;     ///< a refused step under it means a dead point
  bool by_motion = false;       ///< steps are measured by the coordinate that moves farthest, not by s
};

struct PathEnd {
  enum class Why { none, limit, gap, dead_point };
  Why why = Why::none;
  int watch = -1;  ///< whose gap closed
};

/// Follows a path to the first thing that ends it. Gaps end it exactly (1e-12 mm or rad); at a dead point the follower stands
/// one least step short of it.
/// @param visit  called at every place that is kept, the end at a gap or limit included, the start not
PathEnd follow_to_end(Follower& follower, std::vector<Watch>& watches, const PathRules& rules,
                      const std::function<void()>& visit = {});

/// Draws a follower that stands just short of a dead point onto it: where s turns back along the linkage's own motion.
/// @returns false, and stays, where s does not turn back (two paths cross)
bool go_to_dead_point(Follower& follower, int direction);

}  // namespace ridepitch
