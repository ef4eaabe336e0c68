// Home-made words for which the field has its own occur nowhere: not in code, comments, messages or pages. What they mean
// stands in each rule. The batch kernel keeps its words until it is rewritten.

#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <regex>
#include <string>
#include <vector>

#include "rigs/files.hpp"

namespace ridepitch {
namespace {

namespace fs = std::filesystem;

constexpr auto plain = std::regex::ECMAScript | std::regex::optimize;

enum class Where { everywhere, in_prose, in_code, in_code_of_solvers };

struct Rule {
  std::string instead;  ///< what the field says
  std::string needle;   ///< small letters, in every text that the rule hits
  std::regex word;
  Where where = Where::everywhere;
  std::regex after_these{"$.^"};   ///< a hit is honest where the text before it ends so
  std::regex before_these{"$.^"};  ///< or the text after it begins so
};

// "way" is a manner, a method or a sense of direction in these; elsewhere it is home-made for a path.
const std::regex manner_before(
    R"((\b(give|gives|given|gave|giving|half|long|some|same|other|another|wrong|right|either|each|every|both|opposite|one|two|three|many|several|no|only|which|that|this|what|any|best|worst|natural|usual|second|first|more)|\b(in|on|all|by|out of|under|in the way of)\s+(the|a|its|their|his)(\s+own)?|\bis a|\bhas a|\bno|\bby)\s+$|\b(one|two)-$)",
    plain | std::regex::icase);
const std::regex manner_after(
    R"(^\s+((to\s+(?!(the|a|its)\b)[a-z]+)|it|you|they|he|we|i|out|in\s+(which|that)|round|of\s+[a-z]+ing|such|how|each|a\s+(builder|file|linkage|model|vehicle)|[a-z]+s\s+(are|is))\b)",
    plain | std::regex::icase);

const std::vector<Rule>& rules() {
  static const std::vector<Rule> all = {
      {"path, travel or stroke", "way", std::regex(R"("ways?"|\bways?\b)", plain | std::regex::icase), Where::in_prose,
       manner_before, manner_after},
      {"path, travel or stroke", "way",
       std::regex(R"(\b(?!both_ways|one_way)(\w+_)?ways?(_\w+)?\b|\b\w*[a-z]Way\b|\b\w*Way[A-Z]\w*)", plain),
       Where::in_code},
      {"becomes collinear", "straight",
       std::regex(
           R"(\b(go|goes|went|gone|going)\s+straight\b(?!\s+(to|on|ahead|up|down|over|into|through|from)\b(?!\s+it\b)))",
           plain)},
      {"perpendicular to", "square", std::regex(R"(\bsquare(ly)?\s+(to|with)\b)", plain | std::regex::icase)},
      {"potential well", "hollow", std::regex(R"(\bhollows?\b(?!\s+under\s+a\s+wheel))", plain | std::regex::icase)},
      {"snaps through to", "f",
       std::regex(R"(\b(falls?|fell|fallen|falling)\s+on\b(?!\s+(a|one|the\s+same)\s))", plain)},
      {"active stop", "carrying", std::regex(R"(\bcarrying\s+stops?\b)", plain | std::regex::icase)},
      {"lock clearance", "room",
       std::regex(R"(\broom[\s_]+at[\s_]+(full[\s_]+)?lock|RoomAtLock)", plain | std::regex::icase)},
      {"kingpin track", "king", std::regex(R"(\bking[\s_-]+track)", plain | std::regex::icase)},
      {"number of results (default 10)", "so many",
       std::regex(R"(\bso\s+many\s+(results|threads|places))", plain | std::regex::icase)},
      {"(default 10)", "if not given", std::regex(R"(\bif\s+not\s+given\b)", plain)},
      {"resists", "mind", std::regex(R"(\b(spring|springs|nothing)\s+minds?\b)", plain)},
      {"are not recomputed", "as if it moved", std::regex(R"(not\s+worked\s+out\s+as\s+if\s+it\s+moved)", plain)},
      {"body pose", "lie", std::regex(R"(\bLie\b)", plain), Where::in_code},
      {"position state", "seen", std::regex(R"(\bSeen\b)", plain), Where::in_code},
      {"worker pool", "crew", std::regex(R"(\bcrew\b|\bCrew\b)", plain)},
      {"wheel at rest", "ridden", std::regex(R"(\bRidden\b)", plain), Where::in_code},
      {"constraint", "demand", std::regex(R"(\bDemands?\b)", plain), Where::in_code},
      {"screener", "looker", std::regex(R"(\bLookers?\b|\blookers?\b)", plain)},
      {"workspace", "room",
       std::regex(R"(\bworking\s+room\b|\b(sizes?|leaves?)\s+the\s+room\b)", plain | std::regex::icase)},
      {"workspace", "room",
       std::regex(R"(\b(?!make_room)(\w+_)?rooms?(_\w+)?\b|\b\w*[a-z]Room\b|\bRoom\b|\bRoom[A-Z]\w*)", plain),
       Where::in_code_of_solvers},
  };
  return all;
}

std::string small(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

/// A source with its comments and literals blanked out.
std::string code_only(const std::string& text) {
  std::string code = text;
  const auto blank = [&](std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < std::min(to, code.size()); ++i)
      if (code[i] != '\n') code[i] = ' ';
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    std::size_t end = i;
    if (text.compare(i, 2, "//") == 0) {
      end = std::min(text.find('\n', i), text.size());
    } else if (text.compare(i, 2, "R\"") == 0) {
      const std::string close = ")" + text.substr(i + 2, text.find('(', i) - i - 2) + "\"";
      end = std::min(text.find(close, i), text.size() - close.size()) + close.size();
    } else if (text[i] == '"' || (text[i] == '\'' && i > 0 && !std::isalnum(static_cast<unsigned char>(text[i - 1])))) {
      for (end = i + 1; end < text.size() && text[end] != text[i]; ++end)
        if (text[end] == '\\') ++end;
      ++end;
    } else {
      continue;
    }
    blank(i, end);
    i = end - 1;
  }
  return code;
}

/// A source's prose runs on over its lines: marks of comments at the beginning of a line, and where a literal goes on in the
/// next line, become spaces.
std::string prose(std::string text) {
  static const std::regex mark(R"(\n[ \t]*///?<?)", plain);
  for (std::sregex_iterator it(text.begin(), text.end(), mark), end; it != end; ++it) {
    const auto at = static_cast<std::size_t>(it->position());
    std::fill_n(text.begin() + static_cast<std::ptrdiff_t>(at) + 1, it->length() - 1, ' ');
  }
  for (std::size_t at = 0; (at = text.find("\"\n", at)) != std::string::npos; ++at) {
    const std::size_t next = text.find_first_not_of(" \t\n", at + 1);
    if (next == std::string::npos || text[next] != '"') continue;
    text[at] = text[next] = ' ';
  }
  return text;
}

/// What prose has and code has not, blanked out.
std::string without(std::string text, const std::string& code) {
  for (std::size_t i = 0; i < code.size(); ++i)
    if (code[i] != '\n' && code[i] != ' ') text[i] = ' ';
  return text;
}

struct Hit {
  int line;
  std::string word, instead;
};

std::vector<Hit> hits_in(const std::string& text, bool is_code, bool is_solver) {
  const std::string running = is_code ? prose(text) : text, code = is_code ? code_only(text) : "", low = small(running);
  const std::string told = without(running, code);
  std::vector<Hit> hits;
  for (const Rule& rule : rules()) {
    if (low.find(rule.needle) == std::string::npos) continue;
    if (rule.where == Where::in_code_of_solvers && !is_solver) continue;
    const std::string& searched = rule.where == Where::everywhere ? running
                                  : rule.where == Where::in_prose ? told
                                                                  : code;
    for (std::sregex_iterator it(searched.begin(), searched.end(), rule.word), end; it != end; ++it) {
      const auto at = static_cast<std::size_t>(it->position()), after = at + static_cast<std::size_t>(it->length());
      if (searched[at] == '"') continue;  // a key of JSON, a name of a column
      const std::size_t from = at < 40 ? 0 : at - 40;
      const std::string left = searched.substr(from, at - from), right = searched.substr(after, 40);
      if (std::regex_search(left, rule.after_these) || std::regex_search(right, rule.before_these)) continue;
      const auto line = 1 + std::count(searched.begin(), searched.begin() + static_cast<std::ptrdiff_t>(at), '\n');
      hits.push_back({static_cast<int>(line), it->str(), rule.instead});
    }
  }
  std::ranges::stable_sort(hits, {}, &Hit::line);
  return hits;
}

bool is_of_the_kernel(const std::string& path) {
  return path.find("sim/tune/kernel") != std::string::npos || path.find("sim/tune/batch") != std::string::npos;
}

/// Sources and pages, by their place in the repository.
std::vector<std::string> all_texts() {
  std::vector<std::string> paths = {"README.md"};
  for (const char* folder : {"sim", "viewer", "docs"})
    for (const auto& entry : fs::recursive_directory_iterator(source_path(folder))) {
      const std::string path = fs::relative(entry.path(), RIDEPITCH_SOURCE_DIR).string();
      const std::string ending = entry.path().extension().string();
      if ((ending == ".hpp" || ending == ".cpp" || ending == ".md") && !is_of_the_kernel(path)) paths.push_back(path);
    }
  std::ranges::sort(paths);
  return paths;
}

std::vector<std::string> words_of(const std::vector<Hit>& hits) {
  std::vector<std::string> words;
  for (const Hit& hit : hits) words.push_back(hit.word);
  return words;
}

TEST(ForbiddenWords, AreFoundInProseOverTheEndsOfLines) {
  EXPECT_EQ(words_of(hits_in("// A coil stands square\n// to it, on the wheel's\n// way. It falls on.\n", true, true)),
            (std::vector<std::string>{"square\n   to", "way", "falls on"}));
  EXPECT_EQ(hits_in("one\ntwo\nthe way of a wheel\n", false, false).at(0).line, 3);
}

TEST(ForbiddenWords, AreNotFoundInHonestUses) {
  for (const char* text :
       {"It gives way.", "in a way", "a long way off", "the other way round", "both ways", "the way it is built",
        "two ways to one answer", "a hatchway, halfway up", "goes straight to rest", "a square of 8 mm",
        "room for a spring", "Lies between.", "as seen from above", "on demand"})
    EXPECT_EQ(words_of(hits_in(text, false, false)), std::vector<std::string>{}) << text;
}

TEST(ForbiddenWords, OfCodeAreFoundInCodeOnly) {
  EXPECT_EQ(
      words_of(hits_in("struct Seen {};  // Seen from above, room for it\nauto s = \"room\"; DriveWay w; Work room;\n",
                       true, true)),
      (std::vector<std::string>{"Seen", "DriveWay", "room"}));
}

TEST(Texts, HaveNoWordForWhichTheFieldHasItsOwn) {
  int hits = 0;
  for (const std::string& path : all_texts()) {
    const bool is_code = !path.ends_with(".md");
    const bool is_solver = is_code && path.find("/picture") == std::string::npos &&
                           path.find("/sheet") == std::string::npos && path.find("viewer/") == std::string::npos;
    const std::string text = text_of(source_path(path));
    const std::vector<std::string> lines = lines_of(text);
    for (const Hit& hit : hits_in(text, is_code, is_solver)) {
      ++hits;
      ADD_FAILURE_AT(path.c_str(), hit.line) << "'" << hit.word << "', say: " << hit.instead << "\n"
                                             << lines.at(static_cast<std::size_t>(hit.line) - 1);
    }
  }
  EXPECT_EQ(hits, 0);
}

}  // namespace
}  // namespace ridepitch
