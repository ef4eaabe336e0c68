#include "difference.hpp"

#include <cmath>

namespace ridepitch::oracle {

double romberg(const Vector& differences) {
  std::vector<Vector> table{differences};
  double best = differences.back(), least = std::abs(differences.back() - differences[differences.size() - 2]);
  for (double factor = 4; table.back().size() > 1; factor *= 4) {
    const Vector& row = table.back();
    Vector next;
    for (std::size_t i = 1; i < row.size(); ++i) {
      next.push_back(row[i] + (row[i] - row[i - 1]) / (factor - 1));
      const double off = std::abs(next.back() - row[i]);
      if (off < least) {
        least = off;
        best = next.back();
      }
    }
    table.push_back(next);
  }
  return best;
}

}  // namespace ridepitch::oracle
