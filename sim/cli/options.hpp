#pragma once
// What the command line asks for, as a plain struct with its defaults.

#include <optional>
#include <string>
#include <vector>

#include "cli/floor_words.hpp"

namespace ridepitch {

/// What `swap` compares the model with, and how closely.
struct SwapOptions {
  std::vector<std::string> springs;  ///< CORNER/SPRING=PART*COUNT
  std::vector<std::string> holes;    ///< CORNER/BODY.HOLE=U,V
  std::vector<std::string> rods;     ///< CORNER/ROD=LENGTH
  std::vector<std::string> without;  ///< CORNER/SPRING, or a bar
  std::vector<std::string> parts;    ///< CORNER/BODY=PART
  std::vector<std::string> tyres;    ///< CORNER/WHEEL=PART
  std::vector<std::string> heights;  ///< CORNER/ROD=FROM,TO
  std::string keep;                  ///< tolerances, "ride=2,rate=10"
  std::string write;                 ///< file for the changed model; empty: none

  bool any_change() const {
    return !springs.empty() || !holes.empty() || !rods.empty() || !without.empty() || !parts.empty() ||
           !tyres.empty() || !heights.empty();
  }
};

/// What `tune` searches for, and how long.
struct TuneOptions {
  std::string like;  ///< model whose values are wanted; empty: the model as it stands
  int top = 5;
  std::string write;   ///< file for a copy with one of the results; empty: none
  int pick = 0;        ///< which, counted from 1; 0: not said, the first
  int threads = 0;     ///< 0: one for each core
  std::string limit;   ///< "30", "10m", "1h"; empty: the default
  int depth = 0;       ///< no more changes than that; 0: any number
  std::string prefer;  ///< "changes", "closeness" or "cost"; empty: changes
};

/// What `rework` replaces.
struct ReworkOptions {
  std::vector<std::string> gone;  ///< parts
  std::string prices;             ///< price list; empty: the model's own
  std::string keep;               ///< tolerances, as of `swap`
};

/// Of `steer`.
struct SteeringOptions {
  int points = 21;    ///< of the table, evenly spaced over the range
  std::string curve;  ///< file for the table; empty: none
};

/// Which steps `nudge` tries.
struct NudgeOptions {
  std::string corner;             ///< whose linkage; empty: all linkages, each at its first corner
  std::optional<double> play_mm;  ///< of every joint, in place of the model's; 0: nothing is said of it
};

/// Of `new`.
struct NewOptions {
  std::string kind;     ///< how the wheels are hung, "arm-rocker"; empty: asked
  std::string answers;  ///< a file of answers, "-" for standard input; empty: asked at the terminal
};

/// What `fit` is asked for beside its table of readings.
struct FitOptions {
  std::string part;  ///< name of the part that comes out; empty: made of the file's
  std::optional<double> free_mm, solid_mm;
  bool law = false;      ///< a table of forces in place of rate and preload
  std::string model;     ///< the table holds ride heights of this model; empty: readings of a spring
  std::string spring;    ///< of the model; empty: the only one it has
  std::string unknowns;  ///< "rate,preload", "free"; empty: what suits the spring
  std::string add;       ///< catalogue that the part is put into; empty: none
  bool replace = false;  ///< a part of the same name gives way
};

/// Of `sheet`.
struct SheetOptions {
  std::string before;  ///< model that is to be changed; empty: none, the model alone
  std::string out;     ///< file; empty: MODEL-sheet.pdf
  std::string paper;   ///< "a4" or "letter"; empty: a4
  int dpi = 0;         ///< of PNG; 0: not said
  std::string pages;   ///< "1,3-4"; empty: all
};

/// Of `parts MODEL`.
struct BillOptions {
  std::string against;         ///< another model; empty: none
  std::string prices;          ///< price list; empty: the model's own
  std::optional<double> over;  ///< a price each above which a part is dear
  bool csv = false;            ///< a table for a spreadsheet or a shop, in place of the text

  bool any() const { return !against.empty() || !prices.empty() || over || csv; }
};

struct Options {
  std::vector<std::string> models;  ///< paths
  std::vector<std::string> tables;  ///< of `fit`: paths
  std::vector<std::string> name;    ///< of `explain`: its words, as the shell parts them; none: all of the glossary
  bool json = false;                ///< one JSON document on standard output, also on error
  bool overwrite = false;           ///< a file that is written may replace one of that name
  std::string curves;               ///< file that `solve` writes its travel curves to; empty: none
  bool all = false;                 ///< also what few ask for
  bool spread = false;              ///< what built ones come to, even where the model has no [spread]
  bool terse = false;               ///< leave out the lines that explain headings
  SwapOptions swap;
  TuneOptions tune;  ///< `rework` has its limit, threads, top, write and pick too
  ReworkOptions rework;
  NudgeOptions nudge;
  SteeringOptions steer;
  NewOptions new_model;
  std::optional<std::string> list;  ///< of `parts`: the kind to list, as the user wrote it; empty: all; none: no list
  FitOptions fit;
  SheetOptions sheet;
  BillOptions bill;
  FloorWords floor_words;
  std::optional<Floor> floor;  ///< the ground that `solve` lets it stand on; none: level, and not asked about
};

}  // namespace ridepitch
