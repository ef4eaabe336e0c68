#include "interview/answers.hpp"

#include <charconv>

namespace ridepitch {

std::string word_of(const Answers& answers, std::string_view key) {
  const auto found = answers.find(key);
  return found == answers.end() || found->second == left_out ? "" : found->second;
}

std::vector<double> numbers_of(const Answers& answers, std::string_view key) {
  const std::string text = word_of(answers, key);
  std::vector<double> numbers;
  const char* at = text.data();
  const char* const end = at + text.size();
  while (at < end) {
    double number = 0;
    const auto [next, error] = std::from_chars(at, end, number);
    if (error != std::errc()) break;
    numbers.push_back(number);
    at = next < end ? next + 1 : next;
  }
  return numbers;
}

std::optional<double> number_of(const Answers& answers, std::string_view key) {
  const std::vector<double> numbers = numbers_of(answers, key);
  return numbers.empty() ? std::nullopt : std::optional(numbers.front());
}

Vec2 holes_of(const Answers& answers, std::string_view key) {
  const std::vector<double> numbers = numbers_of(answers, key);
  return {numbers.empty() ? 0 : numbers[0], numbers.size() < 2 ? 0 : numbers[1]};
}

}  // namespace ridepitch
