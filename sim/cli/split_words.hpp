#pragma once
// The words of a command line, parted by its options. CLI11 does the work; its header is seen by split_words.cpp only.

#include <map>
#include <string>
#include <vector>

#include "cli/command.hpp"

namespace ridepitch {

struct SplitWords {
  std::map<std::string, std::vector<std::string>> values;  ///< of the options that are given, as they are written
  std::vector<std::string> others;                         ///< what belongs to no option
  std::vector<std::string> unknown;                        ///< options that there are not
  std::string wrong;                                       ///< "--curves takes one value"; empty: nothing is
};

/// @param words  those after the command's name
SplitWords split_words(const std::vector<Option>& options, const std::vector<std::string>& words);

}  // namespace ridepitch
