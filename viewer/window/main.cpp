// ridepitch-view: arguments in, a window out.

#include <CLI/CLI.hpp>
#include <csignal>

#include "window/window.hpp"

int main(int count, char** words) {
  std::signal(SIGXFSZ, SIG_IGN);  // a file larger than the shell allows is an error to be told
  ridepitch::view::RunOptions options;
  CLI::App program{"Shows a model's linkages on their holes, to scale, and lets you change them by hand."};
  program.set_version_flag("--version", RIDEPITCH_VERSION);
  program.add_option("MODEL", options.model, "the model file; without one a demo is opened");
  program.add_option("--corner", options.corner, "the corner shown first");
  program.add_option("--travel", options.travel_mm, "travel of its wheel above full droop [mm]");
  program.add_option("--drawing", options.drawing, "linkage, side, front or steering")
      ->check(CLI::IsMember({"linkage", "side", "front", "steering"}));
  program.add_flag("--dark", options.dark, "light on dark");
  program.add_option("--shot", options.shot, "writes the window as a PNG without showing it");
  program.add_option("--width", options.width, "of the window [px]")->check(CLI::Range(320, 8192));
  program.add_option("--height", options.height, "of the window [px]")->check(CLI::Range(240, 8192));
  program.add_option("--script", options.script, "plays a recorded session, then closes (for tests)");
  try {
    program.parse(count, words);
  } catch (const CLI::ParseError& error) {
    return program.exit(error) == 0 ? 0 : 2;
  }
  return ridepitch::view::run_window(options);
}
