#pragma once
// Pieces of JSON documents that several commands have. Their documents: json_text.hpp, swapped.hpp.

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cli/json_text.hpp"
#include "model/parts.hpp"

namespace ridepitch {

using Json = nlohmann::ordered_json;

/// A number, or null where there is none or it is not finite.
Json maybe(const std::optional<double>& value);

/// A text, or null where it is empty.
Json maybe(std::string_view text);

/// [ [ length, force ], ... ], or null.
Json law_json(const std::optional<ForceTable>& law);

/// What `solve` prints of a model.
Json solved_json(const Solved& solved);

/// [ { file, line, column, code, text, hint } ]
Json problems_json(const std::vector<Problem>& problems);

/// [ { level, code, where, text, remedy } ]
Json findings_json(const std::vector<Finding>& findings);

/// A whole document: { "format": 1, ... }. What is not UTF-8 in names is replaced.
std::string json_document(const Json& content);

}  // namespace ridepitch
