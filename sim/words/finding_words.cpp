// Words of the findings, one for each row of docs/findings.md: a test holds the two together.

#include "words/glossary.hpp"

namespace ridepitch::glossary {

std::vector<Word> finding_words() {
  return {
      // clang-format off
      {"at-dead-point", "", "rate, ratio, frequency and slopes do not exist there; under load it is an error",
       "A warning: a wheel without load rests where its linkage can't raise it: it rises by under a thousandth of what "
       "moves. Try: move its spring's seat, or stop its arm before the dead point.",
       {}, {"state", "wheel rate"}},
      {"bottomed", "", "its springs can't carry its load",
       "A problem: the wheel rests on its bump stop or on a spring that is pressed solid. Try: a stiffer spring, one "
       "more beside it, or a lever that squeezes it more for the same wheel movement.",
       {}, {"state", "solid length", "reserve"}},
      {"clearance-not-sure", "", "a gap may be less than told, by as much as it says",
       "A note: the search for the least gaps of steered tyres stopped at its limit. Try: fewer keepouts within reach of "
       "the tyres, or look at the places that are told by hand.",
       {}, {"lock clearance"}},
      {"error-at-small-angles", "", "the error is worst near straight ahead, where the steering is used most",
       "A warning: the Ackermann error is over 0.5 degrees somewhere in the inner half of the lock, and greater there than "
       "anywhere beyond. Try: choose arms and rod for the small angles, and let full lock be off.",
       {}, {"Ackermann error", "lock"}},
      {"frequency-ratio", "", "one end bobs much faster than the other: the vehicle nods long after a bump",
       "A warning: the front's ride frequency over the rear's is under 0.8 or over 1.25. Each end is the mean of the "
       "wheels ahead of, or behind, the sprung centre of gravity. Try: softer springs at the fast end or stiffer ones "
       "at the slow end.",
       {}, {"frequency", "modes"}},
      {"grounded", "", "that point would lie in the ground: the vehicle rests on it",
       "A problem: the height of a clearance point is under 0. Try: stiffer springs, larger wheels, or corners placed "
       "lower on the vehicle.",
       {}, {"clearance"}},
      {"grounds-before-bump", "", "the rest of that travel can't be used: the belly hits first, and no spring softens that",
       "A warning: a clearance point comes to the ground before the wheels of one axle are at full bump. A note where only all "
       "axles pressed up together bring it down. The wheels rise by one share of the bump that each has left, and the body lies on all "
       "contacts. Try: build the point higher, take larger tyres, place the corners lower, or let a limit stop those wheels earlier.",
       {"grounding"}, {"clearance", "bump"}},
      {"indeterminate", "",
       "the loads shown are the most even that balance; real ones depend on how exactly the parts fit",
       "A note: more stops or fixed wheels carry the vehicle than statics can resolve, as with a table on four "
       "legs. Try: a scale under the wheels, or let all but three of them spring.",
       {}, {"scale reads", "state"}},
      {"inertia-guess", "", "pitch and roll frequencies leave out that mass's own inertia, or there are no modes",
       "A note: a mass of over 5 % of the sprung mass has no `size`, or the vehicle is weighed and `[sprung]` has no "
       "`size`. Try: give it a `size`.",
       {}, {"modes"}},
      {"joint-binds", "", "it jams the travel or the steering before any stop does, or pops out",
       "A warning: over travel and lock a ball end or a universal joint of a shaft swings farther than its `swing_deg`, or a "
       "shaft changes its length by more than its `slide_mm`. Try: a longer rod or shaft, its ends nearer to one height, less "
       "travel or lock, or joints that swing farther.",
       {}, {"ball end", "shaft"}},
      {"left-right-load", "", "it leans, or pulls to one side",
       "A warning: the loads of a left wheel and its right one differ by over 15 % of the greater. Try: move weight "
       "to the lighter side, or make both sides alike.",
       {}, {"scale reads", "roll"}},
      {"lifted", "", "it carries nothing",
       "A warning: it hangs in the air at rest. Try: move weight towards it, or soften the wheels that hold it up.",
       {}, {"state", "lifts first"}},
      {"lock-by-contact", "", "they hit each other at each full turn of the hand wheel, and wear",
       "A warning: two parts on one layer meet and end the steering's range. Try: let a stop end the travel before they "
       "meet, put one of them on another layer, or move its holes.",
       {}, {"lock"}},
      {"low-bump", "", "it soon hits its stop",
       "A warning: bump is under 35 % of the wheel's travel. Try: a stiffer spring, one more beside it, or a spring "
       "end moved so that it starts more squeezed.",
       {}, {"bump", "travel"}},
      {"low-coil-margin", "",
       "somewhere in the travel a coil is nearly perpendicular to the path of its end and is hardly squeezed",
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
       "somewhere in the travel a rod is nearly perpendicular to the path of its end: it jams or snaps over",
       "A warning: the toggle margin is under 20 degrees. Try: change the rod's length or move its holes.",
       {}, {"toggle margin", "dead point"}},
      {"measured-differs", "", "the model on the table is not quite what the file says",
       "A warning: a `[[measured]]` height and the computed one differ by more than its `within_mm` (default "
       "1 mm). Try: rock it and measure again; then go through what `solve` lists under \"Why your ruler "
       "differs\", the likeliest first.",
       {}, {"your ruler", "it would take", "likelihood"}},
      {"no-such-hole", "", "the body can't be built so, or the joint can't turn",
       "A problem: a hole of a body is over 0.02 module from every hole of the parts that it is made of; or at a pin two "
       "bodies sit in cross holes, which tie both to one axle. Try: move it to the hole named, or take a part that has "
       "one there; put one of the two in a round hole.",
       {}, {"hole"}},
      {"no-travel", "", "stops or solid springs hold it at both ends",
       "A problem: from full droop to full bump is 0 mm. Try: move the stop, or take a longer spring.",
       {}, {"travel"}},
      {"off-ideal-angles", "", "in a bend the wheels roll about different points: the tyres scrub, and the circle grows",
       "A warning: somewhere in the steering's range the outer wheel is over 3 degrees off its ideal angle. Try: turn the "
       "steering arms more towards the middle of the unsteered axle where it turns too far, less where it turns too little.",
       {}, {"Ackermann error", "ideal angles"}},
      {"other-stance", "", "pressed far enough it does not come back",
       "A warning: released from full bump, or from nose or tail held down, it settles somewhere else. Try: stiffer "
       "springs, or a stop that keeps it from getting there.",
       {"other stances"}, {"rest"}},
      {"does-not-stack", "", "it can't be built",
       "A problem: within the width across that is allowed (`[build] width`, 7 modules unless the file says otherwise) parts, "
       "tyres and keep-outs leave no slice for each part. A warning where the search ended before it was sure. Try: a "
       "greater `out` of the wheel, holes that lead one part past the other, or more width.",
       {}, {"slices", "layer"}},
      {"near-dead-point", "", "there it steers with little force left, and jams or snaps over when worn",
       "A warning: at the end of the steering's range a rod is within 20 degrees of perpendicular to the path of its "
       "end. A problem where rod and steering arm lie in one line with the drive at 0. Try: a shorter stroke, longer "
       "steering arms, or a rod that meets its arm nearer to a right angle.",
       {}, {"dead point", "toggle margin", "lock"}},
      {"no-room", "", "it rubs, and stops the steering or the travel",
       "A problem: a steered tyre runs into a `[[keepout]]` or another tyre somewhere over lock and travel. Try: less "
       "lock, less travel, a smaller or narrower tyre, or more clearance beside it.",
       {}, {"lock clearance", "lock"}},
      {"not-turned", "", "the drive does not reach it",
       "A problem: a steered wheel turns by under 0.5 degrees over the whole range. Try: tie its body to the drive with a "
       "rod, off the pin that it turns about.",
       {}, {"steer angle"}},
      {"parts-touch", "", "they hit each other, or do not go together at all",
       "A problem: parts whose `layer` the file gives run into each other somewhere in the travel, or at rest; or into a "
       "tyre or a `[[keepout]]`; or an axle between two of them runs into a third. Try: put one of them on another layer, "
       "or move its holes.",
       {}, {"layer", "slices"}},
      {"pin-load", "", "it binds, wears and walks out",
       "A warning: a pin puts over 15 N on one body. Try: hold the pin in two walls, or use a longer lever.",
       {}, {"force", "pin"}},
      {"points-aside", "", "the tyres scrub even straight ahead",
       "A warning: with the drive at 0 a wheel points over 3 degrees to a side. Try: a tie rod of another length, or its "
       "hole moved; if it is over 90 degrees, reverse the sign of its `ahead`.",
       {}, {"toe"}},
      {"range-not-sure", "", "it may go farther than told",
       "A note: the search for what ends the range of the steering's drive stopped at its limit. Try: give its drive a "
       "stroke or a range.",
       {}, {"dead point", "lock"}},
      {"reading-doubtful", "", "a number is misread or mistyped, and everything computed from it is wrong",
       "A warning: a scale reading is less than its wheels and tyres weigh by themselves; or for each wheel about ten times "
       "less or more than elsewhere, as if a digit were lost or doubled. Try: look at the scale again.",
       {}, {"scale read", "readings-disagree"}},
      {"readings-disagree", "", "no body can put these loads on these springs: a reading or something in the file is wrong",
       "A warning: a scale reading and the computed load of its wheels differ by more than errors of reading and "
       "measuring explain. Try: weigh again with all wheels at one height; then look for a twisted frame, a wheel "
       "that jams, springs that are not alike.",
       {}, {"weighed", "uncertainty"}},
      {"redundant", "", "it moves only as long as its parts fit each other exactly",
       "A note: the linkage moves although the count of its joints says that it should not, or less freely. Parallel "
       "links are like that. Try: use equal holes and equal rods there.",
       {}, {"freedom"}},
      {"sticks", "", "where it stands says little: it does not find its height by itself",
       "A warning: pressed down and lifted it stops at heights farther apart than it sags. Try: fewer joints between wheel and "
       "spring, holes in which pins turn freely, or a softer spring that sags more.",
       {}, {"sticks between", "friction", "break-out"}},
      {"snap-through", "", "pressed past that point, it gives way",
       "A problem: the load at the wheel has its greatest value before full bump and falls after it; or the vehicle "
       "snapped through while its weight was put on. Try: move the lever's holes so that the spring is squeezed "
       "faster as the wheel rises, or stop the wheel before it.",
       {"snapped", "gave way"}, {"dead point", "bump load"}},
      {"steers-in-bump", "", "it darts about over bumps",
       "A warning: straight ahead a wheel turns by over 1 degree for each 10 mm that it rises from rest, or its toe changes by over 6 "
       "degrees somewhere in its travel. Try: move the inner end of its tie rod to where the slope is 0, most often "
       "up or down; if it is there already, a longer tie rod, a longer steering arm, or less travel.",
       {}, {"bump steer", "tie rod"}},
      {"stroke-not-followed", "", "the rods jam before the drive is at its end, and may snap over",
       "A problem: a dead point ends the steering's range, short of the stroke or where there is none. Try: a shorter stroke, "
       "longer steering arms, or a rod that meets its arm nearer to a right angle.",
       {}, {"dead point", "drive"}},
      {"tie-rod-binds", "", "it jams the travel, or breaks",
       "A problem: straight ahead or at a lock a tie rod does not reach over the whole travel of its wheel. Try: a longer "
       "tie rod, its inner end nearer to the height of the outer one, or a limit on the travel.",
       {}, {"tie rod", "bump steer"}},
      {"topped", "", "its load does not move its spring: it rides hard, and hangs in the air over any dip",
       "A warning: the wheel rests on its droop stop, a strap or a coil at its free length. Try: a softer spring, one "
       "spring less, or a spring end moved so that it starts less squeezed.",
       {}, {"state", "preload"}},
      {"turns-opposite", "", "the two wheels of an axle steer against each other",
       "A problem: at one position of the drive one turns to the left and the other to the right, both over 0.5 degrees. Try: turn "
       "the steering arm of one of them to the other side of its kingpin, or take its rod to the other end of the rack.",
       {}, {"steer angle", "tie rod"}},
      {"tyre-crushed", "", "the wheel's centre would be under the ground",
       "A problem: a tyre with a rate gives by more than its radius. Try: a stiffer or larger tyre, or less load on it.",
       {}, {"scale reads"}},
      {"tyres-touch", "", "they rub",
       "A problem: two tyres of one side overlap somewhere in their travel, and are not beside each other by their "
       "widths. Try: smaller tyres, or their axles farther apart.",
       {}, {"travel"}},
      {"unequal-lock", "", "it turns in a smaller circle to one side than to the other",
       "A warning: the inner wheel's locks to the left and to the right differ by over 10 % of the greater. Try: set the "
       "drive's 0 in the middle of its stroke, and take rods of one length on both sides.",
       {}, {"lock", "turn circle"}},
      {"weighed-together", "", "each is taken to carry the same, so the reading says little about how far forward the weight lies",
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
