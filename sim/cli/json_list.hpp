#pragma once
// Lists of JSON documents.

#include <nlohmann/json.hpp>

#include "cli/json_pieces.hpp"

namespace ridepitch {

/// What `one` makes of each of a list.
Json list_json(const auto& list, const auto& one) {
  Json out = Json::array();
  for (const auto& each : list) out.push_back(one(each));
  return out;
}

}  // namespace ridepitch
