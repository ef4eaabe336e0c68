// Words of the findings, one for each row of docs/findings.md: a test holds the two together.

#include "words/glossary.hpp"

namespace ridepitch::glossary {

std::vector<Word> finding_words() {
  return {
      // clang-format off
      {"bottomed", "", "its springs carry less than stands on it",
       "A problem: the wheel rests on its bump stop or on a spring that is pressed solid. Try: a stiffer spring, one "
       "more beside it, or a lever that squeezes it more for the same wheel movement.",
       {}, {"state", "solid length", "reserve"}},
      {"frequency-ratio", "", "one end bobs much faster than the other: the vehicle nods long after a bump",
       "A warning: the front's ride frequency over the rear's is under 0.8 or over 1.25. Each end is the mean of the "
       "wheels ahead of, or behind, the sprung centre of gravity. Try: softer springs at the fast end or stiffer ones "
       "at the slow end.",
       {}, {"frequency", "modes"}},
      {"grounded", "", "that point would lie in the ground: the vehicle rests on it",
       "A problem: the height of a clearance point is under 0. Try: stiffer springs, larger wheels, or corners placed "
       "lower on the vehicle.",
       {}, {"clearance"}},
      {"indeterminate", "",
       "the loads shown are the most even that balance; real ones depend on how exactly everything fits",
       "A note: more stops or fixed wheels carry the vehicle than statics can tell apart, as with a table on four "
       "legs. Try: a scale under the wheels, or let all but three of them spring.",
       {}, {"scale reads", "state"}},
      {"inertia-guess", "", "pitch and roll frequencies leave out that mass's own inertia, or there are no modes",
       "A note: a mass of over 5 % of the sprung mass has no `size`, or the vehicle is weighed and `[sprung]` has no "
       "`size`. Try: give it a `size`.",
       {}, {"modes"}},
      {"left-right-load", "", "it leans, or pulls to one side",
       "A warning: the loads of a left wheel and its right one are over 15 % of the greater apart. Try: move weight "
       "to the lighter side, or make both sides alike.",
       {}, {"scale reads", "roll"}},
      {"lifted", "", "it carries nothing",
       "A warning: it hangs in the air at rest. Try: move weight towards it, or soften the wheels that hold it up.",
       {}, {"state", "lifts first"}},
      {"low-bump", "", "it soon hits its stop",
       "A warning: bump is under 35 % of the wheel's travel. Try: a stiffer spring, one more beside it, or a spring "
       "end moved so that it starts more squeezed.",
       {}, {"bump", "travel"}},
      {"low-coil-margin", "",
       "somewhere in the travel a coil stands nearly square to the path of its end and hardly gets squeezed",
       "A warning: the coil margin is under 20 degrees. Try: move the coil's seat so that it points along that path.",
       {}, {"coil margin"}},
      {"low-droop", "", "it soon hangs in the air over a dip",
       "A warning: droop is under 25 % of the wheel's travel. Try: a softer spring, one spring less, or a spring end "
       "moved so that it starts less squeezed.",
       {}, {"droop", "sag"}},
      {"low-reserve", "", "a bump or a load soon uses up what its springs can carry",
       "A warning where the reserve is under 2, a problem where it is under 1. Try: a stiffer spring, one more beside "
       "it, or a lever that squeezes it more for the same wheel movement.",
       {}, {"reserve", "bump load"}},
      {"low-toggle-margin", "",
       "somewhere in the travel a rod stands nearly square to the path of its end: it jams or snaps over",
       "A warning: the toggle margin is under 20 degrees. Try: change the rod's length or move its holes.",
       {}, {"toggle margin", "dead point"}},
      {"measured-differs", "", "what stands on the table is not quite what the file says",
       "A warning: a `[[measured]]` height and the computed one lie farther apart than its `within_mm`, 1 mm unless "
       "it says so. Try: rock it and measure again; then go through what `solve` lists under \"Why your ruler "
       "differs\", the likeliest first.",
       {}, {"your ruler", "it would take"}},
      {"no-travel", "", "stops or solid springs hold it at both ends",
       "A problem: from full droop to full bump is 0 mm. Try: move the stop, or take a longer spring.",
       {}, {"travel"}},
      {"other-stance", "", "pressed far enough it does not come back",
       "A warning: let go from full bump, or from nose or tail held down, it stays somewhere else. Try: stiffer "
       "springs, or a stop that keeps it from getting there.",
       {"other stances"}, {"rest"}},
      {"parts-touch", "", "they hit each other, or do not go together at all",
       "A problem: two parts on one `layer` overlap somewhere in the travel, or at rest. Try: put one of them on "
       "another layer, or move its holes.",
       {}, {"layer"}},
      {"pin-load", "", "it binds, wears and walks out",
       "A warning: a pin puts over 15 N on one body. Try: hold the pin in two walls, or use a longer lever.",
       {}, {"force", "pin"}},
      {"readings-disagree", "", "no body puts these loads on these springs: a reading is wrong, or something else than the file says",
       "A warning: a scale reading and the computed load of its wheels lie farther apart than errors of reading and "
       "measuring explain. Try: weigh again with all wheels at one height; then look for a twisted frame, a wheel "
       "that jams, springs that are not alike.",
       {}, {"weighed", "uncertainty"}},
      {"redundant", "", "it moves only as long as its parts fit each other exactly",
       "A note: the linkage moves although the count of its joints says that it should not, or less freely. Parallel "
       "links are like that. Try: use equal holes and equal rods there.",
       {}, {"freedom"}},
      {"snap-through", "", "pressed past that point, it gives way",
       "A problem: the load at the wheel has its greatest value before full bump and falls after it; or the vehicle "
       "gave way and fell on while its weight came on. Try: move the lever's holes so that the spring is squeezed "
       "faster as the wheel rises, or stop the wheel before it.",
       {"snapped", "gave way"}, {"dead point", "bump load"}},
      {"topped", "", "what stands on it does not move its spring: it rides hard, and hangs in the air over any dip",
       "A warning: the wheel rests on its droop stop, a strap or a coil at its free length. Try: a softer spring, one "
       "spring less, or a spring end moved so that it starts less squeezed.",
       {}, {"state", "preload"}},
      {"tyres-touch", "", "they rub",
       "A problem: two tyres of one side overlap somewhere in their travel, and are not beside each other by their "
       "widths. Try: smaller tyres, or their axles farther apart.",
       {}, {"travel"}},
      {"weighed-together", "", "each is taken to carry as much, so the reading says little of how far forward the weight lies",
       "A note: one `[[weighed]]` names wheels of corners that stand one behind the other. Try: weigh front and rear "
       "wheels apart.",
       {}, {"weighed"}},
      {"wheel-rate-not-positive", "", "pressed a little, it does not push back",
       "A problem: the wheel rate at rest is 0 or less. Try: move the lever's holes so that the spring is squeezed "
       "faster as the wheel rises.",
       {}, {"wheel rate", "motion ratio"}},
      // clang-format on
  };
}

}  // namespace ridepitch::glossary
