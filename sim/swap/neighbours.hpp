#pragma once
// The next things that a builder could take from the box.

#include <string>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

/// The catalogue springs next to a catalogue spring: of its length the next weaker and the next stronger, and of the
/// next shorter and the next longer length the one most like it in strength. Strength is the push of a coil when it
/// goes solid, and the pull of a band at twice its length. What the price list calls gone is passed over.
///
/// @returns names; none for a spring that is written in place
std::vector<std::string> neighbouring_springs(const Model& model, const Spring& spring);

/// The next shorter and the next longer length of a rod [mm]: of the catalogue where its part is a catalogue part of
/// that length, else a step less and more. None is as short as the rod's `across`.
std::vector<double> neighbouring_lengths_mm(const Model& model, const Rod& rod, double step_mm);

}  // namespace ridepitch
