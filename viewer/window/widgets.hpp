#pragma once
// Widgets that several panes use.

#include <string>
#include <string_view>
#include <vector>

#include <imgui.h>

#include "model/problem.hpp"

namespace ridepitch::view {

void heading(const char* text);
void wrapped_text(const std::string& text);
/// At the right edge of its cell.
void right_text(const std::string& text);
/// A text in lines that fit a width.
std::string folded(const std::string& text, float width);

void tooltip(std::string_view text);
/// What the glossary says of a word, while the pointer is on the item.
void tooltip_of(std::string_view word);

/// A list to choose one from. @returns its index; -1: nothing was chosen
int choice(const char* id, const std::string& shown, const std::vector<std::string>& entries);

/// Problems with their places and remedies under a heading, then buttons. @returns the button that was pressed, or ""
std::string_view told(const char* title, const std::vector<Problem>& problems,
                      const std::vector<const char*>& buttons = {});

/// Begins a floating window in the middle of the screen, with a button to close it. @param letters  its size in letters
bool begin_sheet(const char* title, bool& open, const ImVec2& letters);

/// A bar between two panes that can be dragged. @returns how far it was [px]
float splitter(const char* id, bool upright, float length);

}  // namespace ridepitch::view
