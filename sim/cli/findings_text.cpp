#include "cli/findings_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "words/listed.hpp"

namespace ridepitch {
std::vector<MergedFinding> merged_findings(const std::vector<Finding>& findings) {
  std::vector<MergedFinding> merged;
  for (const Finding& finding : findings) {
    const auto same = std::find_if(merged.begin(), merged.end(), [&](const MergedFinding& other) {
      return other.finding.level == finding.level && other.finding.code == finding.code &&
             other.finding.text == finding.text && other.finding.remedy == finding.remedy;
    });
    if (same == merged.end()) {
      merged.push_back({finding, {shown(finding.where)}});
    } else {
      same->where.push_back(shown(finding.where));
    }
  }
  std::stable_sort(merged.begin(), merged.end(), [](const MergedFinding& a, const MergedFinding& b) {
    return static_cast<int>(a.finding.level) > static_cast<int>(b.finding.level);
  });
  return merged;
}

std::string findings_text(const std::vector<MergedFinding>& findings, const std::vector<Problem>& notes,
                          const Ink& ink) {
  if (findings.empty() && notes.empty()) return "";
  const int indent = 11;  // past the level's name
  std::string text = ink.heading("Findings") + "\n";
  const auto add = [&](Level level, const std::string& code, const std::string& where, const std::string& what,
                       const std::string& remedy) {
    const std::string word = fmt::format("{:<7}", level_name(level));
    text += fmt::format("  {}  {}\n", ink.level(level, word),
                        wrapped(where.empty() ? code : fmt::format("{}: {}", code, where), indent));
    text += fmt::format("{:{}}{}\n", "", indent, wrapped(what, indent));
    if (!remedy.empty()) {
      const std::string lead = "try: ";
      text += fmt::format("{:{}}{}{}\n", "", indent, lead, wrapped(remedy, indent + width_of(lead)));
    }
  };
  for (const MergedFinding& each : findings) {
    add(each.finding.level, each.finding.code, joined(each.where, ", "), shown(each.finding.text), each.finding.remedy);
  }
  for (const Problem& note : notes) {
    add(Level::note, note.code, fmt::format("{}:{}", shown(note.file_name), note.place.line), note.text, note.hint);
  }
  return text;
}

std::string findings_count(const std::vector<MergedFinding>& findings, std::size_t notes) {
  std::vector<std::string> parts;
  for (const Level level : {Level::problem, Level::warning, Level::note}) {
    int count = level == Level::note ? static_cast<int>(notes) : 0;
    for (const MergedFinding& each : findings) count += each.finding.level == level ? 1 : 0;
    if (count > 0) parts.push_back(fmt::format("{} {}{}", count, level_name(level), count == 1 ? "" : "s"));
  }
  return listed(parts);
}

}  // namespace ridepitch
