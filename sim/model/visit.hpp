#pragma once
// Asking a std::variant so that a forgotten alternative does not compile.

#include <optional>
#include <type_traits>
#include <variant>

namespace ridepitch {

/// One function object of several: std::visit(Overloaded{[](const A&) {...}, [](const B&) {...}}, a_or_b).
template <class... Functions>
struct Overloaded : Functions... {
  using Functions::operator()...;
};
template <class... Functions>
Overloaded(Functions...) -> Overloaded<Functions...>;

template <class Kind, class Variant>
inline constexpr bool is_kind_of = false;
template <class Kind, class... Kinds>
inline constexpr bool is_kind_of<Kind, std::variant<Kinds...>> = (std::is_same_v<Kind, Kinds> || ...);

/// What a variant holds, as a variant of other alternatives; none where it holds none of those.
template <class To, class... Kinds>
std::optional<To> narrowed(const std::variant<Kinds...>& from) {
  return std::visit(
      [](const auto& kind) -> std::optional<To> {
        if constexpr (is_kind_of<std::decay_t<decltype(kind)>, To>)
          return To(kind);
        else
          return std::nullopt;
      },
      from);
}

}  // namespace ridepitch
