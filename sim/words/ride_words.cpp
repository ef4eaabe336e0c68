// Words of what `solve` says first: how a vehicle stands, how far its wheels move, how stiff it is.

#include "words/glossary.hpp"

namespace ridepitch::glossary {

std::vector<Word> stance_words() {
  return {
      // clang-format off
      {"rest", "", "how the vehicle stands by itself on level ground, with nothing pushing it",
       "All springs and all loads are in balance. The program finds it the way you would: it holds the vehicle up "
       "with its wheels hanging, sets it down and lets its weight come on little by little. Friction is left out, so "
       "a real model, pressed down or lifted and let go, stops a little below or above this.",
       {"at rest", "stance"}, {"sag", "friction", "other-stance"}},
      {"ride height", "mm", "from the ground up to the point that the corner's `at` names",
       "That point is the origin of the corner's hole grid, in most models the pin that the arm turns on: hold a "
       "ruler beside it and read. It is the quickest check of a model against the real thing. Softer springs, a "
       "heavier load or a spring end moved so that it starts less squeezed lower it.",
       {"height at the ruler"}, {"your ruler", "sag", "clearance"}},
      {"your ruler", "mm", "what the model says was measured there",
       "A `[[measured]]` line of the model file holds what your ruler said; it is printed beside the height that was "
       "worked out. A millimetre of difference is what pins and a ruler allow. If it is more, look at the weights "
       "first, then at the springs' rates, then at a hole that was counted wrong.",
       {"measured", "ruler"}, {"ride height", "weighed"}},
      {"scale reads", "g", "a kitchen scale under this wheel, the others on blocks as high as the scale",
       "What the ground carries there, the wheel's own weight included. All wheels together read the weight of the "
       "whole model. Keep the others exactly as high as the scale's plate: on a stiffly sprung model two millimetres "
       "shift a lot of weight.",
       {"scale reading", "ground load", "all wheels"}, {"load", "weighed"}},
      {"load given", "g", "what the linkage carries there, without the wheel's own weight",
       "In bench mode each linkage is tried alone under a load that the file names (`load_g` or `load_n`), and "
       "nothing is weighed.",
       {"load g", "load n"}, {"bench mode", "load"}},
      {"can be pressed", "mm", "how far the wheel still rises until it meets its stop",
       "Press the model down over that wheel, the linkage's other wheels held where they are, until something stops "
       "it: a coil gone solid, a strap, a bump stop. The same as bump.",
       {"pressed"}, {"bump", "by a weight of"}},
      {"as built", "mm", "the ride height with the play of all joints taken up by the load",
       "Under load each pin lies on the loaded side of its hole, so that a built model stands a little lower than the "
       "computed one. Twist and bending of the beams are not in it: usually another 1 to 2 mm (common practice).",
       {"as built height", "as built height mm"}, {"play", "ride height", "sticks between"}},
      {"likely", "", "what eight of ten built models come to, parts scattering as [spread] says",
       "One in ten lies lower and one in ten higher: drawn springs, masses and tyres, play included.",
       {"expected", "likely rate", "spread", "drawn"}, {"as built", "sticks between"}},
      {"sticks between", "mm", "the heights at which friction can hold the model, with play",
       "Press it down and let it come up slowly: the lower one. Lift it and set it down slowly: the upper one. In between it "
       "stays wherever it is left.",
       {"height once pressed", "height once lifted", "pressed height", "lifted height"},
       {"friction", "break-out", "as built"}},
      {"break-out", "g", "the weight over the wheel that just overcomes friction",
       "Less than this and the suspension does not move at all.",
       {"break out", "break out g"}, {"friction", "sink under 100 g", "sticks between"}},
      {"sink under 100 g", "mm", "how far the body comes down over the wheel when 100 g are put there",
       "At the point plumb over the wheel, the whole vehicle tilting. Without friction: if break-out is more than 100 g, a "
       "built model does not move.",
       {"sink", "sink 100g mm"}, {"break-out", "wheel rate", "by a weight of"}},
      {"set-down height", "mm", "dropped from this height on all its wheels, the wheel just uses up its travel",
       "The springs from full droop to full bump, and friction on the way, take up what falls. Source: work and energy. "
       "Nothing is told where the travel ends at a dead point or the body lies on the ground first.",
       {"set down height", "drop height"}, {"bump", "reserve", "friction"}},
      {"by a weight of", "g", "what has to be put over the wheel to press it to its stop",
       "Weight over one wheel tilts the whole vehicle, and the other wheels take their share of it: this is what it takes "
       "for the vehicle as it stands, at the height of its centre of gravity.",
       {"weight", "weight to bump", "weight to bump g", "weight to bump why"}, {"can be pressed", "bump load", "reserve"}},
      // clang-format on
  };
}

std::vector<Word> travel_words() {
  return {
      // clang-format off
      {"state", "", "riding on its springs, lifted off the ground, topped or bottomed (on a stop), fixed",
       "A riding wheel works its spring. A topped one is held by its droop stop and does not move the spring at all; "
       "a bottomed one has used up its travel. A lifted one hangs in the air. A fixed one sits on the chassis and has "
       "no spring.",
       {"riding", "fixed", "fixed wheel"}, {"lifted", "topped", "bottomed"}},
      {"sag", "mm", "how far it stands above full droop: it can drop as far as that again",
       "Lift the model until the wheel hangs free, then set it down: how far it has come up is the sag. A third of "
       "the travel is usual. With too little, the wheel hangs in the air over every dip; with too much, little is "
       "left for bumps.",
       {"static sag"}, {"droop", "travel", "low-droop"}},
      {"droop", "mm", "how far the wheel still drops from rest to where it hangs free",
       "Downward travel. Full droop is where the wheel hangs when the model is lifted: a coil is at its free length, "
       "or a strap holds it. At rest, droop and sag are the same number.",
       {"full droop", "droop travel"}, {"sag", "bump", "droop ends at"}},
      {"bump", "mm", "how far it still rises from rest to full bump",
       "Upward travel: what is left for a stone under that wheel. Full bump is the first stop that it meets as "
       "it rises, the linkage's other wheels held where they rest.",
       {"full bump", "bump travel"}, {"can be pressed", "bump ends at", "low-bump"}},
      {"travel", "mm", "from full droop to full bump",
       "How far the wheel moves in all, straight up in the vehicle's own axes. Every place in it counts from full "
       "droop, so that at rest the travel used is the sag.",
       {"full travel", "bump total"}, {"sag", "bump", "droop"}},
      {"margins", "deg", "how far the links stay, over the whole travel, from where they jam",
       "There are two: the toggle margin of the rods and the coil margin of the coils. Under some 20 degrees (common "
       "practice) a linkage feels notchy, wears its pins and snaps over when something bends.",
       {"margin"}, {"toggle margin", "coil margin", "dead point"}},
      {"toggle margin", "deg", "how far, at worst, a rod is from perpendicular to the path of its end",
       "A rod that points along the path of its end pushes well: 90 degrees. One that is perpendicular to it can't "
       "push at all: 0 degrees, and the linkage jams or snaps over. Shown is the worst place between full droop and "
       "full bump. Rods with an end on the chassis are left out, since their other end always moves perpendicular to them.",
       {"toggle"}, {"margins", "dead point", "low-toggle-margin"}},
      {"coil margin", "deg", "how far, at worst, a coil is from perpendicular to the path of its moving end",
       "Where a coil is perpendicular to that path, the wheel moves and the coil is hardly squeezed. Shown is the worst "
       "place between full droop and full bump.",
       {}, {"margins", "motion ratio", "low-coil-margin"}},
      {"droop ends at", "", "what stops it in droop: a coil at its free length, a strap",
       "The name of the part and of its end: `main free` is the coil called main at its free length, `strap max` a "
       "limit pulled taut. A captive coil at its free length clacks when the model is lifted; a strap a little "
       "shorter takes that away.",
       {"droop end"}, {"droop", "free length", "limit"}},
      {"bump ends at", "", "what stops it in bump: a coil gone solid, a stop, collinear links",
       "The name of the part and of its end: `main solid` is the coil called main with its coils touching. `dead "
       "point` names the links that become collinear there: the wheel can't go further, or the linkage snaps over.",
       {"bump end"}, {"bump", "solid length", "dead point"}},
      {"dead point", "", "where links become collinear, so that the linkage can't go on or snaps over",
       "At a dead point a push along the links moves nothing: think of a knee pressed straight. Close to it the "
       "forces in rods and pins grow many times. Good linkages keep their dead points outside of the travel: see the "
       "toggle margin.",
       {"toggle point", "collinear"}, {"toggle margin", "bump ends at", "snap-through"}},
      // clang-format on
  };
}

std::vector<Word> stiffness_words() {
  return {
      // clang-format off
      {"load", "N", "what the linkage carries at rest, without the wheel's own weight",
       "What the scale reads under the wheel, less tyre, hub and arm: those stand on the ground by themselves and do "
       "not press the spring. 1 N is the weight of 102 g.",
       {"wheel load"}, {"scale reads", "unsprung"}},
      {"bump load", "N", "the most its springs carry from rest to full bump",
       "Mostly that is at full bump itself, just before the stop. Where the load has its greatest value earlier, the "
       "wheel gives way past that point: see snap-through.",
       {}, {"reserve", "bump", "snap-through"}},
      {"reserve", "", "how many times its load the wheel's springs can carry: bump load over load",
       "2 means that the springs carry twice what they carry at rest before the wheel meets its stop. Under 2 it soon "
       "thumps; under 1 the springs do not carry what stands on them.",
       {}, {"bump load", "low-reserve"}},
      {"motion ratio", "", "how much the spring shortens for each mm that the wheel rises",
       "Half a millimetre of spring for a millimetre of wheel is a motion ratio of 0.5. Force goes with it once and "
       "stiffness twice: at 0.5 the wheel feels half the spring's force and a quarter of its rate. It changes over "
       "the travel as the links turn; shown is the one at rest. Some books print the inverse. Where a wheel moves "
       "several springs, its own is that of the first in the file; each spring's stands in the table of forces.",
       {"lever ratio"}, {"wheel rate", "spring rate", "travel"}},
      {"wheel rate", "N/mm", "how much more force each further mm takes, for the linkage alone",
       "The stiffness at the wheel. It has two parts: the spring's rate times the motion ratio squared, "
       "and the spring's force times the change of the motion ratio. The second can make a soft spring feel stiff, or "
       "take all stiffness away. It is given in N/mm and in grams per mm: lay the grams on and the wheel sinks by one.",
       {"rate at the wheel", "g/mm"}, {"motion ratio", "spring rate", "wheel-rate-not-positive"}},
      {"rises", "N/mm", "force at each wheel for each mm that this one rises, the others held still",
       "Where one linkage carries several wheels they push on each other: a row for each wheel that feels the force, "
       "a column for each wheel that is moved.",
       {"rates", "wheel rate matrix"}, {"wheel rate", "walking beam"}},
      {"frequency", "Hz", "how many times a second this wheel's share of the vehicle bobs on it",
       "Worked out from the wheel rate and the load alone. Small models lie between 3 and 6 Hz, stiff ones higher "
       "(common practice). Front and rear should be close to each other, or the model nods long after a bump.",
       {"ride frequency"}, {"modes", "wheel rate", "frequency-ratio"}},
      // clang-format on
  };
}

std::vector<Word> vehicle_words() {
  return {
      // clang-format off
      {"mass", "g", "what stands on the springs, and with the wheels",
       "The first is what the springs carry, the second what a scale reads under the whole model. The difference is "
       "the unsprung mass.",
       {"total mass", "weight of the model"}, {"sprung", "unsprung", "scale reads"}},
      {"sprung", "", "what the springs carry: the body with all that sits on it",
       "Wheels, hubs and the arms that move with them are unsprung; everything else is sprung.",
       {"sprung mass"}, {"unsprung", "mass"}},
      {"unsprung", "", "what moves with the wheels and stands on the ground by itself: tyre, hub, arm, half the rod",
       "It adds to what the scale reads but does not press the springs. In the file a tyre's `mass_g` and a corner's "
       "`unsprung_grams`.",
       {"unsprung mass", "unsprung grams"}, {"sprung", "load"}},
      {"centre of gravity", "modules",
       "the point at which the mass of all that the springs carry could hang in balance",
       "Given in vehicle axes: x forward, y to the left, z up from where the file counts. Its place along the vehicle "
       "decides how the weight is shared between front and rear; its height how the model leans, tips and rolls.",
       {"its centre", "cg", "centre of mass", "cg x", "cg y", "cg z"}, {"weighed", "tip angle", "modes"}},
      {"weighed", "g", "scale readings in the model file, in place of a list of masses",
       "Put the scale under some wheels, blocks as high under the others, and write down what it reads. Readings of "
       "both axles give the weight and how far forward it lies; left and right apart, also how far to the side. How "
       "high it lies can't be weighed like that: a guess is enough.",
       {"weighing", "kitchen scale"}, {"scale reads", "centre of gravity", "uncertainty"}},
      {"attitude", "deg", "how the body is turned at rest: pitch and roll",
       "Angles against level ground; pitch first, then roll.",
       {}, {"pitch", "roll"}},
      {"pitch", "deg", "how far the nose is down (positive) or up (negative)",
       "Also the name of the mode in which the vehicle nods: nose down, tail up, and back.",
       {"nose down", "nose up"}, {"attitude", "roll", "modes"}},
      {"roll", "deg", "how far the right side is down (positive) or up (negative)",
       "Also the name of the mode in which the vehicle sways from side to side.",
       {"lean"}, {"attitude", "pitch", "anti-roll bar"}},
      {"modes", "Hz", "how the whole vehicle oscillates by itself, and the point it turns about",
       "Bounce is up and down, pitch is nodding, roll is swaying; mostly each has a little of the others. The number "
       "is how many times a second. A bounce centred far outside the wheels moves the whole body alike; a pitch centred "
       "between the axles is what a passenger calls nodding. Masses need a size for it, since a long body turns more "
       "slowly than a short one.",
       {"mode", "bounce", "bounce frequency", "pitch frequency", "roll frequency"}, {"frequency", "inertia-guess"}},
      {"front roll stiffness", "", "the share of the wheels ahead of the centre of gravity in what resists rolling",
       "0.5 is even. The end with the larger share takes more of the load that goes over to the outer wheels, and slides "
       "first (Milliken and Milliken, Race Car Vehicle Dynamics, ch. 18, from memory).",
       {"roll stiffness share front", "roll stiffness"}, {"lean in a bend", "load transfer", "anti-roll bar"}},
      {"lean in a bend", "deg", "how far the body leans outward in a bend of 0.1 g",
       "0.1 g is a circle of 2 m radius at 1.4 m/s, or a floor that slopes by 5.7 degrees.",
       {"lean deg per 0 1 g"}, {"front roll stiffness", "load transfer", "slope"}},
      {"load transfer", "N", "how much load goes from the inner to the outer wheels in a bend of 0.1 g",
       "About a tenth of the weight times the height of its centre over the track; springs only settle which axle takes it.",
       {"load transfer n"}, {"lean in a bend", "front roll stiffness"}},
      {"full size", "", "what a length or frequency of the model stands for on the original",
       "Lengths by the scale of the tyres; frequencies divided by its root, since gravity is the same for both "
       "(W. Froude's law of comparison).",
       {"scale", "full-size", "full size length"}, {"modes", "wheelbase", "track"}},
      {"clearance", "mm", "how high a named point stands above the ground",
       "The file names points that must not touch, the belly, say; their height at rest is printed.",
       {"height", "ground clearance", "belly"}, {"ride height", "grounded"}},
      {"anti-roll bar", "", "a bar that ties two wheels together: it works only when they move differently",
       "It holds the body upright in roll without making bounce stiffer. In the file a `[[bar]]` between two bodies "
       "of two corners.",
       {"bar", "anti roll bar", "stabiliser"}, {"roll", "modes"}},
      {"bench mode", "", "each linkage alone under a load that the file gives, without a vehicle",
       "For trying one arm on the table: every corner names a `load_g` or `load_n`, and there are no masses, no "
       "attitude and no bars.",
       {"bench"}, {"load given"}},
      // clang-format on
  };
}

}  // namespace ridepitch::glossary
