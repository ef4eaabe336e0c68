#pragma once
// A spring in a few words.

#include <string>

#include "model/model.hpp"

namespace ridepitch {

/// "2 coil-65-firm"; of one written in place: "2 coils of 0.55 N/mm"; of one that turns: "1 torsion spring of
/// 12 N mm/deg".
std::string spring_words(const Spring& spring);

/// Whether two springs do the same: their laws and how many they are, whatever their parts are called.
bool same_springs(const Spring& a, const Spring& b);

}  // namespace ridepitch
