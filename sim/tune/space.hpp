#pragma once
// What a search may choose from: one thing after another, each with its options, and every candidate a number.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/tune.hpp"

namespace ridepitch {

/// Whether the price list calls a part gone.
bool is_gone(const Model& model, const std::string& part);

/// Price of so many of a part: 0 without a price list or a part, not a number where the list does not have it.
double price_of_part(const Model& model, const std::string& part, int count);

/// One thing that may differ.
struct Variable {
  std::string thing;  ///< "chassis.rocker"
  std::vector<Change> options;
  int as_it_stands = -1;      ///< the option that changes nothing; -1: none of them does
  std::vector<double> price;  ///< of each option, over all corners; not a number where the list does not have it
  bool is_spring = false;
};

struct Space {
  const Model* model = nullptr;  ///< must outlive it
  std::vector<Variable> variables;
  std::uint64_t size = 1;    ///< number of candidates; the greatest number where there are more than that
  double fixed_price = 0;    ///< of everything that no variable concerns
  std::vector<int> corners;  ///< that a variable concerns
};

/// Of [tune]: everything that may vary. With `keep_parts`, springs and rods that are gone are left out.
Space make_space(const Model& model, const Tune& tune);

/// Of options made elsewhere; `as_it_stands`, prices, size and corners are filled in.
Space make_space(const Model& model, std::vector<Variable> variables);

/// Option of every variable in a candidate; the last variable runs fastest.
void options_of(const Space& space, std::uint64_t candidate, std::vector<int>& options);

/// To the next candidate; after the last one to the first.
void go_on(const Space& space, std::vector<int>& options);
std::uint64_t candidate_of(const Space& space, const std::vector<int>& options);

/// What a candidate changes: nothing for what is already so.
Changes changes_of(const Space& space, std::uint64_t candidate);

int holes_changed(const Space& space, const std::vector<int>& options);

/// Price of all that is built; not a number where the list does not have a part that was chosen.
double price_of(const Space& space, const std::vector<int>& options);

/// The one that differs in nothing, if it is among them.
std::optional<std::uint64_t> as_it_stands(const Space& space);

/// How many candidates have 0, 1, 2, ... changes; in a double, since there can be more than any whole number holds.
std::vector<double> layouts_by_changes(const Space& space);

}  // namespace ridepitch
