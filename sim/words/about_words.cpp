// Words of the program itself: what it does not do, what to mind, how it counts.

#include "words/glossary.hpp"

namespace ridepitch::glossary {

std::vector<Word> about_words() {
  return {
      // clang-format off
      {"limits", "", "what the program does not do",
       "Keep these in mind before you trust a number:\n"
       "- Flex and friction are not in the figures: beams are rigid, pins turn freely. A stiff pin or a soft frame "
       "makes the real thing stand a little off.\n"
       "- Arms whose pivot axis is not perpendicular to one of the planes. A linkage lies in the side, front or top plane.\n"
       "- Coils that lie in another plane than their arm, beyond a constant offset (`across`).\n"
       "- What a driven wheel's torque does to its suspension.\n"
       "- Side forces in corners.\n"
       "- Whether these touch: a wheel and its own linkage in the front plane (a rim is open inside); springs that turn, "
       "limits and slides; parts of two linkages, so tie rods, knuckles and steered tyres against the suspension.",
       {"what it does not do", "flex", "not in these figures"}, {"friction", "across", "plane"}},
      {"cautions", "", "what to watch out for when you build and try such a model",
       "This is for hobby machines. It is not for vehicles that carry people. Keep your fingers clear of springs "
       "and levers: a loaded coil closes gaps quickly. Wear eye protection when you load springs. Keep small parts away "
       "from small children.",
       {"caution", "safety"}, {"limits"}},
      {"units", "", "the units of numbers: each heading names its own",
       "Lengths in mm, or in modules where holes are counted; forces in N, weights in grams; stiffness in N/mm and in "
       "grams per mm; angles in degrees. 1 N is the weight of 102 g. In keys of files and of the JSON output the unit "
       "stands at the end of the name: `sag_mm`.",
       {"unit", "newton", "n", "grams", "g", "mm"}, {"module", "signs"}},
      {"signs", "", "which direction counts as positive",
       "x is forward, y to the left, z up (ISO 8855). Pitch is positive nose down, roll right side down, steering to "
       "the left. A rod's force is positive when it is squeezed. Bump is positive travel.",
       {"sign", "axes", "vehicle axes"}, {"pitch", "roll", "units"}},
      {"finding", "", "something that the program noticed about the vehicle: a problem, a warning or a note",
       "A problem means that it does not work as it is, a warning that it lies outside of what builders usually find "
       "to work, a note that something is worth knowing. Each comes with its number, its limit and what to try. The "
       "limits are common practice, without a published source.",
       {"findings", "problem", "warning", "note", "try"}, {"limits"}},
      {"exit status", "", "the number that a command leaves behind for the shell",
       "0: done, and the verdict holds if one was asked for. 1: the verdict does not hold. 2: a text or the command "
       "line is at fault, or something can't be written. 3: the text is right, but has no solution: parts do not go "
       "together, or nothing supports the vehicle. 130: stopped with Ctrl-C while it was asking.",
       {"exit code", "status"}, {"verdict"}},
      // clang-format on
  };
}

}  // namespace ridepitch::glossary
