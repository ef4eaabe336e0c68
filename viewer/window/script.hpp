#pragma once
// A recorded session: lines of what a hand does, fed through GLFW's callbacks, and of what is to be told of the result.
//
//     open FILE               as if it was dropped on the window
//     move X Y                the pointer, in px of the window
//     hole BODY.HOLE [U V]    the pointer onto a hole as drawn, or some modules beside it in the plane
//     wheel NAME [U V]        the same for the centre of a wheel
//     at X Y                  the pointer to a place in the drawing, shares of its pane from the upper left
//     press, release          the left button; `press right`
//     hold, let               the shift key down, up
//     scroll STEPS            the wheel of the mouse
//     key ctrl+z              a key and its modifiers
//     type TEXT               letters
//     frames N                number of frames to draw
//     wait MS                 lets the window run
//     until search            until the search is over
//     shot FILE               the window as PNG
//     idle SECONDS            lets it run; prints the number of frames drawn and the share of a core used
//     say verdict | unsaved | message | selected | problems | travel | drive | rows | tried
//     say number WHERE | WORDS    a number of the pane, with all its digits
//     say hole BODY.HOLE          in modules
//     say where BODY.HOLE         where it is drawn, in px of the window, and px per mm
//     say panes                   the window's size, then the drawing's left, top, right and bottom, in px of the window

#include <string>
#include <vector>

#include "window/app.hpp"
#include "window/input.hpp"

namespace ridepitch::view {

struct Script {
  std::vector<std::string> lines;
  std::size_t next = 0;
  bool failed = false;  ///< a line was not understood, or what it names does not exist
};

/// What a line asks of the loop.
struct ScriptWish {
  int frames = 3;
  double wait_s = 0;
  bool until_search = false;
  double idle_s = 0;
  std::string shot;
};

/// Does the next line.
ScriptWish run_line(Script& script, App& app, GLFWwindow* window, const Callbacks& callbacks);

}  // namespace ridepitch::view
