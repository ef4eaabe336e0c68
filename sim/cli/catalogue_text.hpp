#pragma once
// A catalogue as tables, one for each kind of part.

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "cli/page.hpp"
#include "model/parts.hpp"

namespace ridepitch {

/// Whether a word names a kind of part, in singular or plural: "coil", "tyres", "spring" (coils and bands).
bool is_part_kind(std::string_view word);

/// The names of all kinds, in singular.
std::vector<std::string> part_kind_names();

/// "coil, band, tyre ...", for messages.
std::string part_kinds_text();

/// What `parts --list` shows.
struct PartsList {
  std::string of;           ///< name of the model whose catalogue it is; empty: the built-in one
  std::vector<Part> parts;  ///< kind by kind, the small and weak ones first
  std::map<std::string, Price, std::less<>> prices;
  bool has_prices = false;
};

/// The parts of a kind (empty: of all kinds) in the order that they are listed in.
std::vector<Part> parts_of_kind(const Catalogue& catalogue, std::string_view kind);

/// What a coil pushes with when its coils touch, one piece [N].
double force_when_solid_n(const Coil& coil);

/// What a band pulls with at twice its free length, one piece [N].
double force_at_double_length_n(const Band& band);

std::string_view stock_name(Stock stock);

std::string parts_list_text(const PartsList& list, const TextStyle& style);

}  // namespace ridepitch
