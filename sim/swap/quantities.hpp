#pragma once
// What can be read off a solved model, in one table: whatever compares models goes through it.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// All that was worked out of one model. What another room works out (steering, say) becomes another member here, and
/// its quantities more rows of the table.
struct Results {
  const Model& model;
  const Solution& solution;
};

/// What a quantity belongs to.
enum class Scope { vehicle, corner, wheel };

struct Quantity {
  std::string_view name;   ///< as [tune] and JSON write it: "wheel_rate_n_per_mm"
  std::string_view words;  ///< "wheel rate"
  std::string_view unit;   ///< as printed: "N/mm"; may be empty
  double shown = 1;        ///< the printed value for a value of 1: a scale reads grams, the program has newtons
  int decimals = 1;        ///< as printed
  Scope scope = Scope::wheel;

  /// The value; none where it does not exist. Corner and wheel are not looked at where the scope is wider.
  std::optional<double> (*value)(const Results& results, std::size_t corner, std::size_t wheel) = nullptr;
};

/// All of them, in the order in which they are told.
const std::vector<Quantity>& quantities();

/// By name; it must be one of them.
const Quantity& quantity(std::string_view name);

/// A place in a model that quantities belong to.
struct Spot {
  Scope scope = Scope::vehicle;
  std::size_t corner = 0, wheel = 0;
  std::string where;  ///< "" for the vehicle, "rear left", "rear left/hub"
};

/// The vehicle (unless the model is on the bench), then every corner that stands on the ground with its wheels.
std::vector<Spot> spots_of(const Model& model);

}  // namespace ridepitch
