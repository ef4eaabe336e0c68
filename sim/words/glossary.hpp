#pragma once
// The words themselves, topic by topic. To be read through words.hpp.

#include <vector>

#include "words/words.hpp"

namespace ridepitch::glossary {

std::vector<Word> stance_words();
std::vector<Word> travel_words();
std::vector<Word> stiffness_words();
std::vector<Word> vehicle_words();
std::vector<Word> part_words();
std::vector<Word> linkage_words();
std::vector<Word> wheel_angle_words();
std::vector<Word> floor_words();
std::vector<Word> steering_words();
std::vector<Word> measuring_words();
std::vector<Word> change_words();
std::vector<Word> finding_words();
std::vector<Word> about_words();

}  // namespace ridepitch::glossary
