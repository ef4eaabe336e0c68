#pragma once
// What a search saw and found, in sentences: for the command line and the window.

#include <string>

#include "tune/search.hpp"

namespace ridepitch {

/// "2 changes", "1 change"
std::string changes_counted(int changes);

/// "all 141,876 layouts with up to 3 changes were looked at: 14 hold"
std::string depth_words(const SearchResult& result);

/// "14 were solved in full, to see what is against them: 2 ruled out (parts-touch 2)"; empty: none was.
std::string checked_words(const SearchResult& result);

/// "rear left/hub bump travel 0.6 mm short"; several are listed. Empty: nothing is missed.
std::string misses_words(const Model& model, const Aims& aims, const Found& found);

/// "new warning: low-droop (rear left/hub)"; empty where nothing is new.
std::string new_findings_words(const std::vector<Finding>& findings);

}  // namespace ridepitch
