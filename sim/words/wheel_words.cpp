// Words of where wheels point, of uneven ground and of steering.

#include "words/glossary.hpp"

namespace ridepitch::glossary {

std::vector<Word> wheel_angle_words() {
  return {
      // clang-format off
      {"camber", "deg", "how far the wheel leans: positive with its top outwards",
       "Seen from the front. 0 is upright. With wishbones it changes as the wheel rises; on a plain arm in the side "
       "plane it only leans with the body.",
       {"camber angle"}, {"camber change", "wishbone", "roll centre"}},
      {"camber change", "deg/mm", "how much the camber changes for each mm that the wheel rises",
       "Two equal, parallel wishbones have none. A shorter upper one draws the top of the wheel inwards as it rises.",
       {"camber gain", "camber deg per mm"}, {"camber"}},
      {"track", "mm", "from the middle of the left wheel to the middle of the right one",
       "Measured at the ground, across the vehicle.",
       {"track width"}, {"track change", "wheelbase", "tip angle"}},
      {"track change", "mm/mm", "how far its contact moves outward on the ground for each mm that the wheel rises",
       "The track of an axle changes by that of both its wheels. The tyre scrubs over the ground by this, which costs force and wears it.",
       {"sideways scrub"}, {"track", "roll centre", "scrub"}},
      {"wheelbase", "mm", "from the front wheels' centres to the rear wheels'",
       "Measured along the vehicle. With several axles at an end, their middle counts.",
       {}, {"wheelbase change", "track"}},
      {"wheelbase change", "mm/mm", "how far the wheel moves forward along the vehicle for each mm that it rises",
       "A trailing arm that hangs down moves its wheel backwards as it rises, one that stands up forwards. Level, it "
       "does neither.",
       {"recession"}, {"wheelbase", "arm"}},
      {"path", "", "where a wheel goes as it rises, and what that does at the ground",
       "At rest and at both ends of its travel: camber, how far the contact has moved, and the roll centre.",
       {"wheel path"}, {"camber", "track change", "wheelbase change", "roll centre"}},
      {"at droop", "", "that value at full droop; of track and wheelbase, how far the contact has moved by then",
       "From where it is at rest: outward for the track, forward for the wheelbase.",
       {"camber at droop"}, {"at bump", "camber", "track change", "wheelbase change"}},
      {"at bump", "", "the same at full bump",
       "From where it is at rest: outward for the track, forward for the wheelbase.",
       {"camber at bump"}, {"at droop", "camber", "track change", "wheelbase change"}},
      {"instant centre", "mm",
       "the point that a wheel turns about at this moment, seen from the front or from the side",
       "Draw the lines of the two links that hold it: it is where they cross. On a plain arm it is the arm's pin.",
       {"instantaneous centre"}, {"roll centre", "camber change"}},
      {"roll centre", "mm",
       "the height of the point in the middle of the vehicle that the body rolls about at this axle",
       "Draw a line from each tyre's contact to the point that the wheel turns about, seen from the front: where the "
       "two cross. A low one lets the body lean more; a high one pushes the tyres sideways in bump.",
       {"roll center"}, {"instant centre", "track change", "roll"}},
      {"caster", "deg", "how far the kingpin leans backwards, seen from the side",
       "It makes steered wheels straighten themselves.",
       {"castor"}, {"kingpin", "inclination"}},
      {"inclination", "deg", "how far the kingpin leans inwards at its top, seen from the front",
       "It brings the kingpin's line nearer to the middle of the tyre and so makes the scrub radius smaller.",
       {"kingpin inclination", "king deg"}, {"kingpin", "scrub"}},
      {"scrub", "mm", "how far a tyre's contact lies from the kingpin's line, at the ground: the scrub radius",
       "When it is steered, the contact is dragged round a circle of this radius. The larger, the heavier the "
       "steering and the more a stone under one wheel pulls at the hand wheel.",
       {"scrub radius"}, {"kingpin", "effort", "track change"}},
      // clang-format on
  };
}

std::vector<Word> floor_words() {
  return {
      // clang-format off
      {"block", "mm", "a thing under a wheel; in tables, how high before a wheel comes off the ground",
       "It raises the wheel above the rest of the floor. Put one under each wheel in turn and see which one lifts first, "
       "and how high it has to be for that.",
       {"blocks", "raised ground"}, {"dip", "lifts first", "follows"}},
      {"dip", "mm", "a low place under a wheel; in tables, how deep before a wheel comes off the ground",
       "It is the opposite of a block: the wheel over it has to drop to keep touching the ground.",
       {"pothole"}, {"block", "lifts first", "follows"}},
      {"slope", "deg", "how far the floor is tilted",
       "Towards the side that lies lower. Weight goes to the lower wheels, and the body leans that way.",
       {"tilt", "tilted floor"}, {"tip angle"}},
      {"tip angle", "deg", "the slope at which the model falls over",
       "There the upper wheels carry nothing any more. On a rigid block it is the angle whose tangent is half the "
       "track over the height of the centre of gravity; on springs it is mostly less, since the body leans and its "
       "weight goes with it.",
       {"tips at", "tipping", "tipping angle"}, {"slope", "centre of gravity", "track"}},
      {"lifts at", "deg", "the steepest floor on which all wheels still touch it",
       "Steeper, a wheel of the upper side comes off; the model stands on the others until it tips over.",
       {"lift angle"}, {"tip angle", "lifts first", "slope"}},
      {"lifts first", "", "the wheel that comes off the ground first just beyond that",
       "The farther that is, the better the model keeps all its wheels on rough ground.",
       {"wheel lift", "lift off"}, {"block", "dip", "follows", "lifted"}},
      {"follows", "mm", "how far a wheel can rise or drop with the ground while all wheels keep touching it",
       "This is what off-road builders look for. Soft springs, long droop and walking beams make it large.",
       {"uneven ground", "articulation"}, {"lifts first", "droop", "walking beam"}},
      // clang-format on
  };
}

std::vector<Word> steering_words() {
  return {
      // clang-format off
      {"steer angle", "deg", "how far a wheel is turned, positive to the left",
       "Counted from where it points with the steering straight ahead; seen from above.",
       {"steer"}, {"lock", "toe"}},
      {"lock", "deg", "how far a wheel is turned at the end of the steering's range",
       "There is one to the left and one to the right; the inner wheel's is larger. What ends it is a stop, a dead "
       "point or something in the way.",
       {"full lock", "inner lock", "lock to lock"}, {"steer angle", "turn circle", "turns lock to lock"}},
      {"toe", "deg", "how far a wheel points inwards or outwards with the steering straight ahead",
       "As a steer angle: positive to the left. Both wheels pointing a little inwards is toe-in.",
       {"static toe", "toe in", "toe out"}, {"bump steer", "steer angle"}},
      {"bump steer at rest", "deg/10 mm", "how fast a wheel is steered as it rises from rest, straight ahead",
       "Positive where it turns to the left as it rises.",
       {}, {"bump steer"}},
      {"steer at droop", "deg", "how far a wheel is steered, straight ahead, where it hangs at full droop",
       "Less its toe at rest; positive to the left.",
       {}, {"bump steer"}},
      {"steer at bump", "deg", "how far a wheel is steered, straight ahead, at full bump",
       "Less its toe at rest; positive to the left.",
       {}, {"bump steer"}},
      {"drive", "", "what the hand or a motor moves: a rack or a crank",
       "A rack slides across the vehicle, a crank turns on a pin.",
       {"crank"}, {"rack", "hand wheel"}},
      {"rack", "", "a toothed bar that slides across the vehicle and pulls the tie rods",
       "It sits ahead of the axle or behind it; that decides on which side of the kingpins the tie rods are "
       "joined.",
       {"steering rack"}, {"rack travel", "pinion", "tie rod"}},
      {"rack travel", "mm", "how far the rack moves for one turn of the hand wheel",
       "The pinion's circumference: pi times its teeth times the tooth module, times the turns of the pinion for one "
       "of the hand wheel.",
       {"rack mm per turn", "rack stroke"}, {"rack", "pinion", "turns lock to lock"}},
      {"pinion", "", "the gear wheel that drives the rack",
       "With a tooth module of 1 mm it has a pitch diameter of as many millimetres as it has teeth.",
       {"tooth module"}, {"rack travel"}},
      {"hand wheel", "", "the wheel or knob that you steer with",
       "Gears between it and the pinion change how many turns it takes.",
       {"steering wheel", "knob"}, {"turns lock to lock", "steering ratio", "effort"}},
      {"hand turns", "", "turns of the hand wheel from the middle, in the sense of the drive",
       "The drive's movement over what one turn moves it, all gears counted.",
       {"hand wheel turns"}, {"hand wheel", "drive"}},
      {"turns lock to lock", "", "turns of the hand wheel from full lock on one side to full lock on the other",
       "The whole range of the rack over the rack travel for one turn.",
       {"turns"}, {"lock", "rack travel"}},
      {"steering ratio", "", "degrees of the hand wheel for one degree of the wheels, near straight ahead",
       "The mean of the steered wheels counts. A large one steers finely and needs many turns.",
       {}, {"hand wheel", "turns lock to lock"}},
      {"kingpin", "", "the line that a steered wheel turns about",
       "A pin in the knuckle. It may lean backwards (caster) and inwards (inclination).",
       {"knuckle", "king pin"}, {"caster", "inclination", "scrub"}},
      {"kingpin track", "mm", "the distance between the two kingpins of an axle, across the vehicle",
       "The ideal angles count with it. A wheel without a kingpin of its own counts with its centre.",
       {}, {"ideal angles", "track", "kingpin"}},
      {"tie rod", "", "the rod that turns a knuckle: it leads from the rack or crank to the knuckle's arm",
       "Its length and the heights of its ends decide how much the suspension steers by itself.",
       {"track rod"}, {"bump steer", "rack"}},
      {"Ackermann", "%",
       "how much more the inner wheel turns than the outer one, in % of what scrub-free rolling needs",
       "In a bend the inner wheel runs on a smaller circle and must be turned further. 100 % is right: the axes of "
       "all wheels meet in one point. 0 % is both wheels turned alike; under 0 the outer one is turned further. "
       "Knuckle arms that point towards the middle of the rear axle come near to 100 %.",
       {"ackermann percent", "ackermann percentage"}, {"Ackermann error", "ideal angles", "lock"}},
      {"Ackermann error", "deg", "how far the outer wheel is turned beyond (positive) or short of its ideal angle",
       "For the inner wheel as it is. A degree or two at full lock is hard to see; much more, and the tyres scrub and "
       "the circle grows.",
       {"steering error"}, {"Ackermann", "ideal angles"}},
      {"worst error", "deg", "the largest Ackermann error anywhere in the steering's range",
       "Positive where the outer wheel is turned too far, negative where it is turned too little.",
       {}, {"Ackermann error", "mean error"}},
      {"mean error", "deg", "the Ackermann error's root mean square over the steering's range",
       "It weighs all places of the drive alike, and large errors more than small ones.",
       {"rms error"}, {"Ackermann error", "worst error"}},
      {"ideal angles", "deg", "the angles at which all wheels roll about one point without scrubbing",
       "The cotangent of the outer angle less that of the inner one is the track between the kingpins over the "
       "wheelbase.",
       {"ideal angle"}, {"Ackermann", "wheelbase", "track"}},
      {"turn radius", "mm", "from the turn's centre to the middle of the outer steered wheel",
       "The centre lies on the line of the unsteered axles, where the outer wheel's own axis meets it.",
       {"turning radius"}, {"turn circle", "lock"}},
      {"turn circle", "mm", "the diameter of the circle that the outermost wheel centre runs on at full lock",
       "One to the left and one to the right.",
       {"turning circle"}, {"kerb circle", "turn radius"}},
      {"kerb circle", "mm", "the turn circle and the tyre's width: what has to lie free between two kerbs",
       "The outermost wheel's outer edge runs on it.",
       {"curb circle"}, {"turn circle"}},
      {"bump steer", "deg/10 mm", "how much a wheel is steered by its own suspension as it rises",
       "It comes from a tie rod that does not swing about the same point as the suspension. Steered wheels that turn "
       "by themselves make the model dart about over bumps. The height of the tie rod's inner end sets it.",
       {}, {"tie rod", "toe"}},
      {"effort", "N mm", "torque that turns the hand wheel with the vehicle standing: an estimate",
       "Load times tyre friction times how far the contact is dragged round the kingpin, carried through rods, rack and "
       "gears. A wheel that rolls as it is steered takes less. The assumption is printed beside it.",
       {"steering effort"}, {"scrub", "hand wheel"}},
      {"follower", "", "a steering linkage that another one moves, by a fixed ratio",
       "For a rear axle that steers in the opposite direction, or a second front axle that steers a little less.",
       {"follows another", "ratio"}, {"drive"}},
      {"keep-out", "", "a box of the chassis that wheels must not enter, steered or risen",
       "An engine or a step, in the file a `[[keepout]]`.",
       {"keepout"}, {"lock clearance", "lock"}},
      {"lock clearance", "mm", "the least gap between a steered tyre and a keep-out box or another tyre, over lock and travel",
       "Negative where they run into each other. The tyre is taken as a solid disc of its diameter and width; it turns, "
       "leans and rises as the linkages make it, to every lock and every travel.",
       {"room"}, {"keep-out", "lock", "travel"}},
      // clang-format on
  };
}

}  // namespace ridepitch::glossary
