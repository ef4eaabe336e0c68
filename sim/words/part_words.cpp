// Words of parts, of linkages, and of how the file writes them down.

#include "words/glossary.hpp"

namespace ridepitch::glossary {

std::vector<Word> part_words() {
  return {
      // clang-format off
      {"spring", "", "anything that pushes or pulls by being squeezed, stretched or turned",
       "There are coils, which push, bands, which pull, and torsion springs, which turn. `ridepitch parts --list "
       "coil` shows the coils that the program knows; measure your own where you can.",
       {"springs"}, {"coil", "band", "torsion spring"}},
      {"coil", "", "a captive coil spring: it pushes, between its free length and the length at which its coils touch",
       "Captive means that a guide holds it together, so it can't grow past its free length and needs a little force, "
       "the preload, before it moves at all. In the table of travel the heading `coil` is short for coil margin.",
       {"coil spring", "captive"}, {"free length", "solid length", "spring rate", "preload", "coil margin"}},
      {"band", "", "a rubber band: it pulls when it is longer than its free length, and is slack otherwise",
       "It has no stops. Real rubber is softer in the middle of its stretch and stiffer towards the end, so a table "
       "of readings is better than one rate.",
       {"rubber band"}, {"force table", "free length"}},
      {"torsion spring", "", "a spring that turns one body against another",
       "Its rate is in N mm per degree, and it has an angle and a torque where a coil has a length and a force.",
       {"torsion", "torque", "turned", "spring angle", "spring torque"}, {"spring"}},
      {"length", "mm", "how long a spring is at rest, between hole centres",
       "All spring lengths run from the centre of the hole at one end to the centre of the hole at the other. Hold a "
       "ruler beside it.",
       {"spring length"}, {"free length", "solid length"}},
      {"force", "N", "the push or pull of one spring, the force in a rod, the most that a pin puts on one body",
       "At rest. A rod is squeezed or stretched by it; a pin's is what the material around the hole has to bear. 1 N is "
       "the weight of 102 g.",
       {"squeezed", "stretched", "unloaded", "spring force", "rod force", "pin force"}, {"in all", "pin-load"}},
      {"in all", "N", "the force of all equal springs side by side",
       "Two equal coils side by side push with twice what one does.",
       {"total force", "spring total force", "side by side"}, {"force"}},
      {"free length", "mm", "hole centre to hole centre with nothing pushing",
       "Measure it on the loose spring. A captive coil can't get longer; a band is slack below it. Where a part's "
       "name is followed by `free`, it has come out to this length.",
       {"free", "free mm"}, {"solid length", "preload"}},
      {"solid length", "mm", "hole centre to hole centre with the coils touching",
       "Press it until it goes no further and measure. From there it is a rigid post. Where a part's name is followed "
       "by `solid`, it has been pressed to this length.",
       {"solid", "coil bound", "fully compressed"}, {"free length", "force when solid"}},
      {"stroke", "mm", "how far a coil can be squeezed: free length less solid length",
       "The wheel moves by this over the motion ratio, if nothing else stops it first.",
       {}, {"free length", "solid length", "motion ratio"}},
      {"spring rate", "N/mm", "how much more force each further mm of squeezing takes, for one spring",
       "Two springs side by side have twice the rate. At the wheel it counts times the motion ratio squared.",
       {"rate", "stiffness"}, {"wheel rate", "motion ratio"}},
      {"preload", "N", "what a coil pushes with at its free length, held there by its guide",
       "A load under the preload does not move the spring at all: the wheel stays topped. From there on force grows "
       "with the rate.",
       {"preload n"}, {"coil", "topped"}},
      {"force when solid", "N", "what a coil pushes with when its coils touch: its preload and rate times stroke",
       "The quickest thing to measure of a spring: press it onto a kitchen scale until it goes solid. 1000 g are 9.8 "
       "N.",
       {"force at full compression", "full compression"}, {"solid length", "spring rate", "preload"}},
      {"pull at double length", "N", "what a band pulls with when it is stretched to twice its free length",
       "Hook one end to a kitchen scale that is weighted down, the other to a pin, and pull to twice the length.",
       {"at double"}, {"band", "free length"}},
      {"force table", "", "a spring's force written as a table of readings, in place of a rate",
       "In the file `law`: pairs of mm squeezed and N. Between the readings runs a smooth curve that never falls "
       "where the readings rise.",
       {"law", "table"}, {"spring rate"}},
      {"rod", "", "a link with an eye at each end that holds two holes at a fixed distance",
       "It only pushes and pulls along itself. Its length runs between hole centres. A pushrod leads from the arm to "
       "the rocker.",
       {"pushrod", "push rod", "link"}, {"toggle margin", "rocker"}},
      {"pin", "", "what joins two holes so that they turn about one point",
       "Smooth pins turn freely; pins that grip hold the suspension wherever it happens to stand.",
       {"pins", "axle pin"}, {"force", "pin-load", "friction"}},
      {"beam", "", "a straight or bent part with a hole every module",
       "A beam of 9 holes is 9 modules long, and its end holes lie 8 modules apart. Count the steps from hole to "
       "hole, not the holes.",
       {"bent beam"}, {"module", "hole"}},
      {"tyre", "", "the wheel with its rim: its outer diameter decides how high the model stands",
       "A tyre with a rate is soft and sinks a little under load; one without is taken as rigid. Its mass is unsprung.",
       {"wheel", "rim"}, {"unsprung", "ride height"}},
      {"catalogue", "", "the list of parts with their lengths, rates and masses",
       "One is built in; a model may name others beside it, and a part of theirs replaces one of the same name. "
       "`ridepitch parts --list` shows it.",
       {"parts", "parts list"}, {"coil", "tyre", "price"}},
      {"price", "", "what one piece costs, by the model's price list",
       "A model names its price list, a CSV file with the columns part, price and stock.",
       {"prices", "price list"}, {"stock"}},
      {"stock", "", "how easily a part can still be had: plenty, scarce or gone",
       "From the price list. A part that is gone can't be bought any more.",
       {"plenty", "scarce"}, {"price", "gone"}},
      // clang-format on
  };
}

std::vector<Word> linkage_words() {
  return {
      // clang-format off
      {"module", "", "the distance from one hole to the next, 8 mm unless the file says otherwise",
       "Places in a model file count in modules, as you count holes. Half modules are allowed where parts allow them.",
       {"hole pitch", "pitch of the holes", "modules"}, {"hole", "beam"}},
      {"hole", "", "a place on a body, counted in modules on the body's own grid",
       "Written [u, v]: along first, then up. `arm.push` is the hole called push of the body called arm.",
       {"holes", "hole grid", "grid"}, {"module", "body"}},
      {"body", "", "one rigid piece of a linkage: an arm, a rocker, an axle",
       "However many parts it is built from, what is fixed together is one body. The body called chassis stays where "
       "it is.",
       {"bodies"}, {"chassis", "linkage"}},
      {"chassis", "", "the body of every linkage that is fixed to the vehicle",
       "Its holes are those of the frame that arms, rockers and springs are fastened to.",
       {"frame"}, {"body", "corner"}},
      {"linkage", "", "the moving parts that carry a wheel, drawn once in one plane",
       "Bodies with holes, joined by pins and rods, held by springs. Any number of corners may use the same one.",
       {"suspension"}, {"corner", "plane", "assembly"}},
      {"corner", "", "a linkage put somewhere on the vehicle",
       "`rear left` is a corner; `rear left/hub` is the wheel called hub of it. `flip` turns the linkage about, so "
       "that an arm drawn leading trails; `mirror` makes the other side.",
       {"flip", "mirror", "corners"}, {"linkage", "ride height"}},
      {"plane", "", "the side, front or top view that a linkage is drawn in",
       "side is seen from the vehicle's left: forward and up. front is seen along it: left and up. top is seen from "
       "above, and is for steering.",
       {"side plane", "front plane", "side view"}, {"linkage", "limits"}},
      {"arm", "", "the body that carries the wheel and turns on a pin of the frame",
       "A leading arm has its wheel ahead of its pin, a trailing arm behind it.",
       {"leading arm", "trailing arm", "swing arm"}, {"rocker", "motion ratio"}},
      {"rocker", "", "a two-legged lever on a pin of the frame: a rod turns it, and it squeezes the spring",
       "It lets the coil lie where there is space. Its two legs and the angle between them set the motion ratio.",
       {"bell crank", "lever"}, {"rod", "motion ratio"}},
      {"seat", "", "the end of a spring that stays on the frame",
       "Moving the seat by one hole changes how much the spring is squeezed at rest, and how much more it is squeezed "
       "as the wheel rises.",
       {"spring seat"}, {"coil margin", "ride height"}},
      {"walking beam", "", "a beam with a wheel at each end that turns on a pin in its middle",
       "It shares the load evenly between its two wheels, whatever they stand on. Its wheels have no rates of their "
       "own: one goes up as the other goes down.",
       {"bogie", "beam axle pair", "trunnion"}, {"rises", "freedom"}},
      {"live axle", "", "one beam across the vehicle with a wheel at each end",
       "On a pivot it only rocks; between two coils it also rises. What one wheel does, the other feels.",
       {"axle"}, {"walking beam", "roll centre"}},
      {"wishbone", "", "one of two arms across the vehicle, one above the other, that guide the upright with the hub",
       "Two of them, in the front plane, decide how the wheel tilts as it rises.",
       {"wishbones", "double wishbone", "upright"}, {"camber", "roll centre"}},
      {"assembly", "", "one of the ways to put the same parts together",
       "A rod and a rocker can often be joined in two positions, like an elbow bent to either side. `near` lines in the "
       "file say which one is meant, by telling roughly where a hole sits.",
       {"near", "assemble", "assemblies"}, {"dead point", "linkage"}},
      {"limit", "", "a strap or a bump stop: it keeps the distance of two holes in a range",
       "`strap max` is a strap drawn straight, `stop min` a bump stop that is met.",
       {"strap", "bump stop", "max", "min"}, {"droop ends at", "bump ends at"}},
      {"slide", "", "a guide that lets a hole move along a line of the frame",
       "A rack is one, and so is a carriage that goes up and down.",
       {"guide"}, {"rack"}},
      {"across", "modules", "the offset of the ends of a rod or spring across the plane",
       "A part that leans out of its plane is longer than it looks there, and only a share of its force works in the "
       "plane.",
       {}, {"plane", "limits"}},
      {"ball end", "", "an end of a rod that swings out of the plane that it stands in",
       "It swings by `swing_deg` and no farther. A rod whose ends lie apart across the plane uses that up for good, a tie rod as "
       "its wheel rises and falls.",
       {"ball ends", "ball eye", "swing", "swing deg"}, {"across", "tie rod", "joint-binds"}},
      {"shaft", "", "what turns a driven wheel: it has a universal joint at either end and slides in length",
       "Its joints swing as the wheel rises and steers, by `swing_deg` at most, and its length changes, by `slide_mm` at most.",
       {"drive shaft", "universal joint", "slide mm"}, {"joint-binds", "travel"}},
      {"layer", "", "the slice across the plane that a part lies in",
       "Parts of one layer must not touch each other over the whole travel. Parts without one get theirs from the program.",
       {"layers"}, {"plane", "slices"}},
      {"slices", "modules", "which part lies where across the plane, from the vehicle's middle outwards; 0 is the plane",
       "Slice 1 is one module farther out than the plane of the linkage, slice -1 one farther in; of a linkage drawn from "
       "the front outwards is ahead of the front axle and behind the rear one, of one drawn from above it is up. Parts that touch "
       "each other somewhere in the travel lie in different slices, parts of one joint side by side or on an axle that passes "
       "nothing on its way. The program looks for the narrowest such order within `[build] width`, 7 modules unless "
       "the file says otherwise. Pins and axles follow: each as long as from the innermost face to the outermost, rounded "
       "up to one that the catalogue has.",
       {"slice", "slices across the plane", "width across", "stack"}, {"layer", "plane"}},
      {"freedom", "", "one independent motion of a linkage",
       "A wheel on an arm has one: up and down. The program counts twice, by the joints and by how they really move; "
       "where the two differ, something fits only because it is built exactly so.",
       {"freedoms", "degree of freedom", "mobility", "freedoms by count"}, {"redundant", "inner freedom"}},
      {"inner freedom", "", "something in a linkage that still moves with the wheels held still",
       "A rocker that floats between two springs, say. It comes to rest where the springs balance, and rates are "
       "those with it free to follow.",
       {"floating", "floating rocker"}, {"freedom"}},
      // clang-format on
  };
}

}  // namespace ridepitch::glossary
