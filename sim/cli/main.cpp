#include "cli/run.hpp"

int main(int argc, char** argv) { return ridepitch::run(argc, argv); }
