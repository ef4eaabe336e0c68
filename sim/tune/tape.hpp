#pragma once
// The closed-form plan of a vehicle, written out flat for the batch kernels: which points to lay down in which order,
// which springs and stops hang between them, how its corners stand on the ground.
//
// Plain arrays of plain numbers and nothing else: every kernel is compiled for another instruction set, and whatever
// two of them shared as inline code a linker could take from the wrong one. Numbers that candidates differ in are
// `parameters`, one value a lane; a structure names them by index.

namespace ridepitch {

inline constexpr int tape_bodies = 8, tape_points = 40, tape_steps = 4, tape_springs = 4, tape_stops = 12,
                     tape_hints = 10, tape_rods = 6, tape_parameters = 96, tape_linkages = 3, tape_stations = 8,
                     tape_grid = 48;

/// The chassis, as the kernels see it.
inline constexpr int tape_ground = -1;

/// A point fixed to a body: its grid coordinates are the parameters [at] and [at + 1].
struct TapePoint {
  int body = tape_ground;
  int at = 0;
};

/// A circle about a known point, or a line of the chassis.
struct TapeLocus {
  bool line = false;
  int centre = 0;        ///< index of a point
  int rod = -1;          ///< parameter: true length of the rod that is the radius; -1: distance of two holes
  double across_mm = 0;  ///< of that rod
  int arm[2] = {0, 0};   ///< parameters of those two holes
  int through = 0, hole = 0,
      running = 0;          ///< of a line: parameters of the guide, the guided hole, the hole that runs along it
  double cos = 1, sin = 0;  ///< of the slide's body
  double along[2] = {1, 0};
};

/// A body laid down once a point of it is found.
struct TapeLaying {
  int body = 0;
  bool keeps_angle = false;
  double cos = 1, sin = 0;    ///< where it keeps its angle
  int found = 0, pinned = 0;  ///< parameters of its own two holes
  int known = 0;              ///< index of the point that the pinned one sits on
};

struct TapeStep {
  TapeLocus one, other;  ///< `other` is a circle
  int lays = 0;
  TapeLaying lay[2];
};

/// The body that moves as it is told: turned about a known point, or slid along a line.
struct TapeInput {
  int body = 0;
  bool slides = false;
  double cos = 1, sin = 0;  ///< of a sliding body
  double along[2] = {1, 0};
  int pinned = 0;  ///< parameter: its own hole (the guided one, of a sliding body)
  int known = 0;   ///< index of the point it turns about or, sliding, where it sits at 0
};

struct TapeSpring {
  int p = 0, q = 0;  ///< points
  double across_mm = 0;
  bool band = false;
  int law = 0;  ///< parameters: rate, preload, free length, solid length, count
};

/// side * (distance - bound) >= 0, or of a slide: side * (position along it - bound) >= 0.
struct TapeStop {
  int spring = -1;  ///< whose length it bounds; -1: of p and q
  bool slide = false;
  int p = 0, q = 0;
  double across_mm = 0;
  double along[2] = {1, 0};
  int bound_at = -1;  ///< parameter; -1: `bound`
  double bound = 0;
  double side = 1;
};

struct TapeHint {
  int point = 0;
  double at[2] = {0, 0};
};

struct TapeRod {
  int p = 0, q = 0;
  double across_mm = 0;
  bool p_moves = false, q_moves = false;
};

struct TapeLinkage {
  int points = 0;
  TapePoint point[tape_points];
  TapeInput input;
  int steps = 0;
  TapeStep step[tape_steps];
  unsigned sides = 0;  ///< bit i: the side of step i in the model as it stands
  int springs = 0;
  TapeSpring spring[tape_springs];
  int stops = 0;
  TapeStop stop[tape_stops];
  int hints = 0;
  TapeHint hint[tape_hints];
  int input_hint = -1;  ///< a hint on the input body, off its pin
  int rods = 0;         ///< that count for the toggle margin
  TapeRod rod[tape_rods];
  int coils = 0;  ///< that count for the coil margin
  TapeRod coil[tape_springs];
  int wheel = 0;                   ///< point
  double rise = 1;                 ///< +1 or -1: sense of the input in which the wheel most likely rises
  double start[2] = {1, 0};        ///< input of the model as assembled: cosine and sine, or the slide's position
  double grid[tape_grid][2] = {};  ///< inputs spread over all that there is: cosine and sine, or the slide's position
  double grid_step = 0;            ///< from one to the next [rad or mm]
  double size_mm = 1;              ///< longest arm
  double module_mm = 8;
  bool front = false;                      ///< u is y, not x
  double parameter[tape_parameters] = {};  ///< of the model as it stands
};

/// A wheel on the ground, or two that are each other's mirror image.
struct TapeStation {
  int linkage = 0;
  double u_sign = 1;
  double at_mm[3] = {0, 0, 0};
  double wheels = 1;  ///< 2: and its mirror image
  double radius_mm = 0;
  double inverse_tyre_rate = 0;  ///< [mm/N]; 0: rigid
  double weight_n = 0;           ///< of what moves with the wheel
  double load_n = 0;             ///< in bench mode
  double reading_n = 0;          ///< weighed: what the scale read under one of its wheels
};

enum TapeStand { tape_bench, tape_two_axles, tape_many };

struct Tape {
  int linkages = 0;
  TapeLinkage linkage[tape_linkages];
  int stations = 0;
  TapeStation station[tape_stations];
  TapeStand stand = tape_two_axles;
  bool rolls = false;  ///< left and right differ
  bool weighed = false;
  double weight_n = 0;  ///< sprung
  double cg_mm[3] = {0, 0, 0};
  double start_pitch[2] = {1, 0};  ///< cosine and sine, of the model as it stands
  bool want_toggle = false, want_coil = false, want_bump_load = false;
};

/// What became of a candidate.
enum TapeStatus { tape_solved = 0, tape_not_together = 1, tape_never_fits = 2, tape_unsure = 3 };

/// Why a candidate is left to the general solver, a bit for each reason.
enum TapeDoubt {
  doubt_assembly = 1,    ///< hints do not choose for sure
  doubt_ends = 2,        ///< an end of the travel was not found
  doubt_travel = 4,      ///< something turns back along the travel: wheel, load, a group becoming collinear, a stop
  doubt_dead_point = 8,  ///< what is asked of the travel has a limit there that rounding hides
  doubt_margin = 16,     ///< a margin's foot was not found
  doubt_rest = 32,       ///< no rest found, a wheel lifted, or one on a stop where statics does not tell its load
  doubt_load_falls = 64  ///< the load falls somewhere up to the rest, or beyond it where its greatest is asked
};

// What a kernel finds: a Number of one candidate, or in the kernel's own types of all lanes side by side.

template <class Number>
struct TapeEndsOf {
  Number travel_mm;             ///< droop to bump
  Number toggle_sin, coil_sin;  ///< least over the travel; 2: none
};

template <class Number>
struct TapeWheelOf {
  Number centre_v_mm, sag_mm, bump_travel_mm, load_n, ground_load_n, motion_ratio, wheel_rate_n_per_mm, bump_load_n;
  Number rate_by_load_per_mm;  ///< of the wheel on its tyre; not a number where either is not over 0
  Number spring_force_n[tape_springs];
  Number spring_motion_ratio[tape_springs];
};

/// What was not looked for is not a number, nor is `bump_load_n` where it grows without bound.
template <class Number, class Whole>
struct TapeResultOf {
  Whole status;        ///< TapeStatus
  Whole doubt;         ///< TapeDoubt bits, where unsure
  Whole travel_known;  ///< not 0: the ends of every travel and the margins are right, whatever the status
  Number height_mm, cos_pitch, sin_pitch, cos_roll, sin_roll;
  TapeEndsOf<Number> ends[tape_linkages];
  TapeWheelOf<Number> wheel[tape_stations];
};

using TapeEnds = TapeEndsOf<double>;
using TapeWheel = TapeWheelOf<double>;
using TapeResult = TapeResultOf<double, long>;  ///< of one candidate

/// Every number of a TapeResult has a row of as many as there are lanes in what a kernel hands over.
inline constexpr int tape_rows = sizeof(TapeResult) / sizeof(double);
static_assert(sizeof(long) == sizeof(double));

/// How closely a kernel looks at its candidates; what one look is unsure of is for the next.
enum TapeLook {
  tape_along_travel,  ///< from full droop to full bump, and at rest
  tape_everywhere     ///< and over the whole range of the input, where hints and stops leave a doubt
};

/// Solves `lanes` candidates at once. Lane i of parameter k of linkage l is parameters[(l * tape_parameters + k) * lanes + i],
/// of row r of the results results[r * lanes + i]; those begin on a whole line of the processor's cache (64 bytes).
/// @returns the position solves that it took
using TapeKernel = int (*)(const Tape& tape, TapeLook look, const double* parameters, double* results);

}  // namespace ridepitch
