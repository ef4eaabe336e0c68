#pragma once
// Pieces of JSON documents that several commands have. Their documents: json_text.hpp, swapped.hpp.

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cli/json_text.hpp"
#include "model/parts.hpp"

namespace ridepitch {

struct Chance;  // swap/chance.hpp

using Json = nlohmann::ordered_json;

/// A number, or null where there is none or it is not finite.
Json maybe(const std::optional<double>& value);

/// A text, or null where it is empty.
Json maybe(std::string_view text);

/// What there is as `one` has it, or null.
template <class Value, class One>
Json maybe(const std::optional<Value>& value, One one) {
  return value ? Json(one(*value)) : Json(nullptr);
}

/// A list, each member of it as `one` has it.
template <class List, class One>
Json list_json(const List& list, One one) {
  Json out = Json::array();
  for (const auto& each : list) out.push_back(one(each));
  return out;
}

/// [ length, force ], of a law a list of them, or null.
Json law_json(const std::optional<ForceTable>& law);

/// { share, within, vehicles }
Json chance_json(const Chance& chance);

/// What `solve` prints of a model.
Json solved_json(const Solved& solved);

/// [ { file, line, column, code, text, hint } ]
Json problems_json(const std::vector<Problem>& problems);

/// [ { level, code, where, text, remedy } ]
Json findings_json(const std::vector<Finding>& findings);

/// A whole document: { "format": 1, ... }. What is not UTF-8 in names is replaced.
std::string json_document(const Json& content);

/// The document of one model, or { "format": 1, "models": [ ... ] } of several.
template <class Result, class One>
std::string document_of(const std::vector<Result>& all, One one) {
  return json_document(all.size() == 1 ? one(all.front()) : Json::object({{"models", list_json(all, one)}}));
}

}  // namespace ridepitch
