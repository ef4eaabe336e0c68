#pragma once
// Putting a linkage together: from the holes, pins and rods of a file to one configuration that satisfies them.

#include <optional>
#include <string>
#include <vector>

#include "linkage/mechanism.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// A linkage put together: the mechanism and a configuration within all its stops.
struct Assembly {
  Mechanism mechanism;
  Eigen::VectorXd q;                   ///< [3 n] mm, mm, rad
  int counted_freedoms = 0;            ///< Grübler-Kutzbach: 3 bodies - 2 pins - rods - slides
  std::vector<std::string> redundant;  ///< pins, rods and slides without which nothing would move more
  int starts = 0;                      ///< guesses or grid places that the search tried
};

struct AssembleResult {
  std::optional<Assembly> assembly;
  std::vector<Problem> problems;  ///< without file name and line text: the caller knows the files
};

/// Assembles a linkage as docs/model-format.md says, "A linkage": the assembly with the least root mean square
/// distance of all hinted holes, moved along itself until springs and limits fit.
///
/// Linkages of two-bar groups are laid down in closed form over a grid of their inputs. For others guesses come from the
/// hints and from a seeded, repeatable sequence, each drawn together by damped Gauss-Newton (Levenberg-Marquardt). Either
/// is then moved along the ties towards the hints (search.hpp).
/// Problems: parts that do not go together (no solution); two assemblies as near (text); springs or limits that
/// never fit, or are not found to (no solution); a wheel or drive without freedom, a body that nothing holds, over 12
/// freedoms or 40 moving bodies (text).
AssembleResult assemble(const Linkage& linkage, double module_mm);

}  // namespace ridepitch
