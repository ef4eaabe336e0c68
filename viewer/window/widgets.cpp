#include "window/widgets.hpp"

#include <fmt/format.h>

#include "model/text_file.hpp"
#include "words/words.hpp"

namespace ridepitch::view {

void heading(const char* text) {
  ImGui::Spacing();
  ImGui::TextDisabled("%s", text);
  ImGui::Separator();
}

void wrapped_text(const std::string& text) {
  ImGui::PushTextWrapPos(0);
  ImGui::TextUnformatted(text.c_str());
  ImGui::PopTextWrapPos();
}

void right_text(const std::string& text) {
  const float left = ImGui::GetContentRegionAvail().x - ImGui::CalcTextSize(text.c_str()).x;
  if (left > 0) ImGui::SetCursorPosX(ImGui::GetCursorPosX() + left);
  ImGui::TextUnformatted(text.c_str());
}

std::string folded(const std::string& text, float width) {
  std::string out;
  const ImFont& font = *ImGui::GetFont();
  const char *here = text.data(), *end = here + text.size();
  while (here < end) {
    const char* next = font.CalcWordWrapPositionA(ImGui::GetFontSize() / font.FontSize, here, end, width);
    if (next == here) ++next;
    if (!out.empty()) out += "\n";
    out.append(here, next);
    here = next;
    while (here < end && *here == ' ') ++here;
  }
  return out;
}

void tooltip(std::string_view text) {
  if (!text.empty() && ImGui::IsItemHovered(ImGuiHoveredFlags_AllowWhenDisabled))
    ImGui::SetTooltip("%s", std::string(text).c_str());
}

void tooltip_of(std::string_view word) {
  if (!ImGui::IsItemHovered() || !find_word(word)) return;
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(ImGui::GetFontSize() * 28);
  ImGui::TextUnformatted(std::string(meaning_of(word)).c_str());
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
}

int choice(const char* id, const std::string& shown, const std::vector<std::string>& entries) {
  int chosen = -1;
  if (!ImGui::BeginCombo(id, shown.c_str())) return chosen;
  for (std::size_t i = 0; i < entries.size(); ++i)
    if (ImGui::Selectable(entries[i].c_str(), entries[i] == shown)) chosen = static_cast<int>(i);
  ImGui::EndCombo();
  return chosen;
}

std::string_view told(const char* title, const std::vector<Problem>& problems,
                      const std::vector<const char*>& buttons) {
  heading(title);
  for (const Problem& problem : problems) {
    std::string place = problem.file_name;
    for (const int number : {problem.place.line, problem.place.column})
      if (number > 0) place += fmt::format(":{}", number);
    if (!place.empty()) wrapped_text(printable(place));
    wrapped_text("\u2717 " + printable(problem.text));
    if (!problem.line_text.empty()) ImGui::TextDisabled("  %s", printable(problem.line_text).c_str());
    if (!problem.hint.empty()) wrapped_text("   fix: " + printable(problem.hint));
    ImGui::Spacing();
  }
  std::string_view pressed;
  ImGui::PushID(title);
  for (std::size_t i = 0; i < buttons.size(); ++i) {
    if (i > 0) ImGui::SameLine();
    if (ImGui::SmallButton(buttons[i])) pressed = buttons[i];
  }
  ImGui::PopID();
  return pressed;
}

bool begin_sheet(const char* title, bool& open, const ImVec2& letters) {
  const ImGuiViewport& port = *ImGui::GetMainViewport();
  const ImVec2 middle(port.WorkPos.x + port.WorkSize.x / 2, port.WorkPos.y + port.WorkSize.y / 2);
  ImGui::SetNextWindowSize(ImVec2(letters.x * ImGui::GetFontSize(), letters.y * ImGui::GetFontSize()),
                           ImGuiCond_Appearing);
  ImGui::SetNextWindowPos(middle, ImGuiCond_Appearing, ImVec2(0.5f, 0.5f));
  return ImGui::Begin(title, &open, ImGuiWindowFlags_NoCollapse);
}

float splitter(const char* id, bool upright, float length) {
  const float thick = 5;
  ImGui::InvisibleButton(id, upright ? ImVec2(thick, length) : ImVec2(length, thick));
  if (ImGui::IsItemHovered() || ImGui::IsItemActive())
    ImGui::SetMouseCursor(upright ? ImGuiMouseCursor_ResizeEW : ImGuiMouseCursor_ResizeNS);
  if (!ImGui::IsItemActive()) return 0;
  return upright ? ImGui::GetIO().MouseDelta.x : ImGui::GetIO().MouseDelta.y;
}

}  // namespace ridepitch::view
