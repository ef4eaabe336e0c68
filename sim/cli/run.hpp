#pragma once
// The whole program, from the words of the command line to the exit status.

namespace ridepitch {

int run(int argc, char** argv);

}  // namespace ridepitch
