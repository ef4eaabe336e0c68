#include "cli/split_words.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <iterator>

namespace ridepitch {
namespace {

constexpr int no_limit = CLI::detail::expected_max_vector_size;

/// A flag, or an option with one value, at most one, or one each time that it is given.
CLI::Option* declare(CLI::App& app, const Option& option) {
  if (std::holds_alternative<bool*>(option.to)) return app.add_flag(option.name);
  CLI::Option* declared = app.add_option(option.name)->type_name(option.value);
  if (std::holds_alternative<std::vector<std::string>*>(option.to))
    return declared->expected(no_limit)->allow_extra_args(false);
  return option.value[0] == '[' ? declared->expected(0, 1) : declared;
}

}  // namespace

SplitWords split_words(const std::vector<Option>& options, const std::vector<std::string>& words) {
  CLI::App app;
  app.set_help_flag();
  app.allow_extras();  // so that a wrong option is ours to explain
  const CLI::Option* others = app.add_option("WORDS")->expected(no_limit);
  std::vector<const CLI::Option*> declared;
  for (const Option& option : options) declared.push_back(declare(app, option));
  SplitWords out;
  const auto dashes = std::find(words.begin(), words.end(), "--");  // after it nothing is an option
  for (const Option& option : options)
    if (std::holds_alternative<bool*>(option.to) && std::any_of(words.begin(), dashes, [&](const std::string& word) {
          return word.starts_with(std::string(option.name) + "=");
        })) {
      out.wrong = std::string(option.name) + " takes no value";
      return out;
    }
  std::vector<std::string> backwards(std::make_reverse_iterator(dashes), words.rend());  // as CLI11 wants them
  try {
    app.parse(backwards);
  } catch (const CLI::ParseError& error) {
    const std::string what = error.what();  // "--curves: 1 required FILE.csv missing"
    out.wrong = what.substr(0, what.find(':')) + " takes one value";
    return out;
  }
  for (std::size_t i = 0; i < options.size(); ++i)
    if (declared[i]->count() > 0) out.values[options[i].name] = declared[i]->results();
  out.others = others->results();
  if (dashes != words.end()) out.others.insert(out.others.end(), dashes + 1, words.end());
  out.unknown = app.remaining();
  return out;
}

}  // namespace ridepitch
