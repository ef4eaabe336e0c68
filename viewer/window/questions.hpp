#pragma once
// Windows over the window: the list of keys, about, questions that wait for an answer.

#include "window/app.hpp"

namespace ridepitch::view {

void draw_keys(App& app);
void draw_about(App& app);
/// Asks what app.question says, and does what is answered.
void draw_questions(App& app);

}  // namespace ridepitch::view
