// Words of the workbench: measuring parts, and changing a model.

#include "words/glossary.hpp"

namespace ridepitch::glossary {

std::vector<Word> measuring_words() {
  return {
      // clang-format off
      {"uncertainty", "", "how far a number may be off because readings are never exact",
       "A kitchen scale is good to some grams, a ruler to half a millimetre. A result can't be better than the "
       "readings it comes from.",
       {"accuracy", "errors"}, {"standard error", "weighed"}},
      {"standard error", "", "how far off a fitted value usually is, by the scatter of its readings",
       "Two times out of three the true value lies within one of it, nineteen times out of twenty within two. More "
       "readings, spread over the whole stroke, make it smaller.",
       {"plus minus", "confidence", "give or take"}, {"residual", "uncertainty"}},
      {"residual", "", "how far a reading lies from the fitted line",
       "They should scatter evenly to both sides. A run of them on one side says that a straight line is the wrong "
       "law: use a force table.",
       {"residuals", "scatter"}, {"standard error", "force table"}},
      {"friction", "N", "rubbing in a spring, in its pins and in the tyres, which resists any motion",
       "Computed heights, loads and rates are without it. In the real model it lets the suspension stop anywhere in a band "
       "around where it would stand without it: `solve` tells that band.",
       {"friction n", "rubbing"}, {"friction band", "rest"}},
      {"friction band", "mm", "the heights between which friction can hold the model where it is",
       "Press it down and let go slowly: the lower end. Lift it and let go slowly: the upper end. The figures of "
       "`solve` lie in its middle. On a spring it is seen as the difference between loading and unloading.",
       {"hysteresis", "band of friction"}, {"friction", "loading"}},
      {"loading", "", "readings taken while the weight grows; unloading while it is taken off again",
       "Friction makes the first read more and the second less than the spring itself; the middle is the spring, half "
       "the difference the friction.",
       {"unloading"}, {"friction band", "friction"}},
      {"scale read", "g", "what the kitchen scale read",
       "Under the wheels named, or for a spring at that length. Beside it stands the value of the model or of the fitted "
       "spring.",
       {}, {"scale reads", "computed", "fitted", "off"}},
      {"computed", "", "the same thing as the model gives it",
       "The computed load of a wheel is its force on the ground when the vehicle is at rest.",
       {}, {"off", "rest"}},
      {"fitted", "", "the same thing with the fitted values, friction included",
       "They are those with which the line, the table of forces or the vehicle comes nearest to all readings together.",
       {}, {"residual", "off"}},
      {"off", "", "the reading less the computed or fitted value",
       "Small values to both sides are chance. Large ones, or all to one side, mean that something is not as the model or "
       "the straight line has it.",
       {}, {"uncertainty", "residual"}},
      {"extra", "g", "the weight that was put on the model for that reading",
       "At the place that the table of readings gives, or at the centre of gravity of what the springs carry.",
       {"extra weight"}, {"scale read"}},
      {"as in the file", "", "the same with the spring as the model's file has it",
       "Beside it stands the value with the fitted spring.",
       {}, {"fitted"}},
      {"it would take", "", "by how much that one thing would have to be off to explain the measured heights best",
       "Each line is a cause by itself, everything else as the file says. What would have to be off by over four standard "
       "deviations of such a thing (`[spread]`; a weighed mass: what the scale may be off) is not told.",
       {"likely cause", "causes", "why your ruler differs"}, {"likelihood", "leaves", "your ruler", "measured-differs"}},
      {"likelihood", "%", "how likely it is to be this one, of all that were looked at",
       "It weighs how well a cause explains the heights against how far it would have to be off, both by their usual "
       "scatter. What is left over is the chance that it is none of these.",
       {"likelihood of a cause"}, {"it would take", "leaves"}},
      {"leaves", "mm", "how far off the worst of the heights would still be",
       "A cause that leaves much explains little.",
       {}, {"it would take", "likelihood", "off"}},
      // clang-format on
  };
}

std::vector<Word> change_words() {
  return {
      // clang-format off
      {"expect on ruler", "mm", "what your ruler read, and what the change adds to it",
       "Where the model says what the ruler read (`[[measured]]`): that reading, and the difference of the computed heights. "
       "What is off in the model and is not changed stays out of it.",
       {}, {"your ruler", "ride height"}},
      {"verdict", "", "whether what was asked for holds, in a sentence; the exit status says the same to a script",
       "With a comparison: whether the model still stands and feels the same within the tolerances. 0 is yes, 1 is no.",
       {"stands the same"}, {"tolerance", "exit status"}},
      {"tolerance", "", "how far a value may be off and still count as the same",
       "Printed with every verdict, so that you can see what it means.",
       {"within", "keep"}, {"verdict"}},
      {"difference", "", "the value after the change less the value before it",
       "Shown beside its tolerance.",
       {"before", "after", "before and after"}, {"tolerance", "verdict"}},
      {"gone", "", "of a part: it can't be bought any more",
       "A price list marks it so, or you name it on the command line; then the program looks for what can stand in "
       "for it.",
       {"gone part"}, {"stock", "price"}},
      {"want", "", "what a search aims for: a quantity, a value and a tolerance",
       "It scores its miss over its tolerance, squared, times its weight. In the file `[[tune.want]]`.",
       {"wants", "tune want"}, {"need", "score"}},
      {"need", "", "what must hold for a result to count at all: a quantity with a least or a most",
       "In the file `[[tune.need]]`.",
       {"needs", "tune need"}, {"want", "candidate"}},
      {"vary", "", "what a search may change: holes, rod lengths, springs",
       "In the file `[[tune.vary]]`, with the holes or lengths that exist.",
       {"varied", "tune vary"}, {"candidate"}},
      {"candidate", "", "one combination of holes, rods and springs that a search looks at",
       "Some can't be put together, some break a need; what is left is ranked by score.",
       {"candidates", "assembled", "passing"}, {"score", "need", "vary"}},
      {"score", "", "how far a candidate misses what is wanted: 0 is perfect, 1 is one tolerance off",
       "The sum over all wants of miss over tolerance, squared, times weight.",
       {}, {"want", "tolerance"}},
      {"holes changed", "", "how many holes, rods and springs differ from the model as it is",
       "The fewer they are, the sooner the model is rebuilt.",
       {"changes"}, {"candidate"}},
      {"nudge", "", "one step of one hole, rod or spring, to see what it does",
       "The table of nudges, sorted by effect, shows where a change is worth trying.",
       {"sensitivity", "step"}, {"play"}},
      {"play", "mm", "how loose pins sit in their holes",
       "How far a pin's middle shifts to the loaded side of its hole: a twentieth of a millimetre is usual (common practice, no "
       "source). Under load all of it goes one way, so that the model stands lower; long chains of links add it up.",
       {"pin play", "slop"}, {"nudge", "uncertainty"}},
      // clang-format on
  };
}

}  // namespace ridepitch::glossary
