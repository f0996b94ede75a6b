// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifdef __cplusplus
extern "C" {
#endif

/*
The water as a plain C interface over flat arrays, for whoever can't speak C++: the page, which runs
it as WebAssembly. It has no formula of its own; it lays rigs with geometry and rig, and asks water.

Body frame throughout: x from nose to tail, y to the lure's own right, z to the back. mm, g, g/cm3,
degrees. NaN stands for "nothing" or "not said". Kinds of parts are numbered as rig::PartKind:
0 wood, 1 finish, 2 wire, 3 ballast, 4 pocket, 5 hook, 6 outside part.

An answer is an array that the lure owns, good until the next call for the same lure: [0] how many
numbers follow, [1] the status, 0 where all is well. What stands further on is told below, by its
place in the array. Nothing throws. A lure is asked by one thread at a time.
*/

/* A body, and the rig that was laid on it last. */
typedef struct trueblank_lure trueblank_lure;

/* Statuses of trueblank_live_lay. */
enum {
  trueblank_live_good = 0,
  trueblank_live_malformed = 1,          /* the array isn't laid out as it should be */
  trueblank_live_ballast_outside = 2,    /* a ballast's centre is outside the body */
  trueblank_live_pocket_outside = 3,     /* a pocket's middle is */
  trueblank_live_wire_misses = 4,        /* a wire's path is nowhere in the body */
  trueblank_live_coat_folds = 5,         /* a coat so thick folds in on itself */
  trueblank_live_half_missing = 6,       /* halves, but the body lies on one side of y = 0 */
  trueblank_live_number_out_of_range = 7 /* a mass of 0, a wire that stands still, … */
};

/* At fault beside the kinds of parts. */
enum { trueblank_live_water = 7, trueblank_live_baseline = 8 };

/* How many numbers a POSE has:
   0-2 up, unit · 3 tail_down deg · 4 list deg · 5 offset of the waterline along up, mm ·
   6 submerged mm3 · 7-9 centre of buoyancy · 10 waterplane mm2 (6 to 10: of the body alone) ·
   stiffness, g·mm/deg: 11 roll, 12 pitch, 13 least, 14 list · 15 GM roll, 16 GM pitch, mm ·
   17 share · 18 indifferent 0|1 · 19 barrier g·mm, 20 the pose that it leads to, 21-23 up at the
   pass, 24 hardest push g·mm, 25 overturn g·mm · 26 energy g·mm · 27 tail_down of the baseline,
   deg · 28-31 NaN. All as water::RestPose has them. */
enum { trueblank_live_pose_numbers = 32 };

/* positions_mm  3 × vertices, one vertex after another
   facets        3 × facet_count, counter-clockwise seen from outside, 0-based
   air           not 0: its cavities hold air, and the water sees the outer skin alone
   returns       null where the mesh, or its outer skin, bounds no volume (geometry::closed_mesh)
   cost          a few passes over the facets and a sort of the edges; what the water needs is built
                 by the first lay */
trueblank_lure* trueblank_live_open(const double* positions_mm, int vertices, const int* facets,
                                    int facet_count, int air);

void trueblank_live_close(trueblank_lure* lure);

/* Sets the rig.

   rig    0 wood: 0 its density is given, 1 it was weighed, 2 as two halves · 1 density g/cm3, or g,
          or the left half's g · 2 the right half's g · 3 station at which the bare blank balances,
          or NaN · finish: 4 thickness, or NaN where there is none · 5 density or NaN · 6 g weighed,
          or NaN · water: 7 salinity · 8 °C · 9 density, or NaN where those two make it ·
          10-12 nose and 13-15 tail of the baseline, or NaN · 16-20 how many wires, ballasts,
          pockets, hooks, outside parts; then these, in that order:
          wire    density, diameter, g weighed | NaN, number of points k, then 3k numbers
          ballast x, y, z, mass, density
          pocket  x, y, z of its middle, diameter, depth, axis (0 along, 1 across, 2 upright),
                  density of what fills it (0: air), 1 where that is the water around, else 0
          hook    x, y, z of its eye, mass, density, hang, g of the next size | NaN
          outside x, y, z, mass, density
   count  of the array
   status one of the above. Where it is not good: [2] kind, [3] index within that kind of the part
          at fault (both NaN where malformed), and the rig before stays.
   good   [2] mass · [3] all that it can displace, g · [4] reserve g · [5] state: 0 floats,
          1 suspends, 2 sinks · [6-8] centre of mass · [9] wood density · [10] undrilled wood g ·
          [11] g per 100 g wood, [12] the same without hooks · [13] dry mass · [14] dry balance mm ·
          [15] the blank's · [16] water density · [17] bare volume mm3, [18] that the water sees,
          coat and cavities too · [19-25] g of each kind · [26] number of mass parts n, then
          n × (kind, mass, x, y, z) in the order of rig::RiggedLure::parts
   cost   a few passes over the facets for each part that differs from those laid before; coat and
          moment tree anew where the finish's thickness does. The result is the same to the last bit
          whatever was laid before. */
const double* trueblank_live_lay(trueblank_lure* lure, const double* rig, int count);

/* Where the lure goes by itself. The following four answer status 1 too where no rig was laid.

   from_up  3 numbers, any length > 0: let go from there (water::pose_near); null: set on the water
            back up and let go (water::BackUpSearch::let_go)
   status   1: no pose was found, or from_up is no direction
   answer   [2] upright stiffness g·mm/deg, [3] whether it stands, 0|1 (BackUpSearch::standing;
            told whatever the status, NaN where there is no rig), then a POSE (NaN with status 1);
            then, but where there is no rig, why (water::upright): GM mm, moment of the masses about
            y = 0 in g·mm, number of mass parts n, n × (how much lower, how much further to the left
            that part alone would have to be, mm: water::move_upright) */
const double* trueblank_live_pose(trueblank_lure* lure, const double* from_up);

/* All rest poses (water::balance), which are kept until the next rig. [2] their number, then POSEs.
 */
const double* trueblank_live_balance(trueblank_lure* lure);

/* What changes near the first pose of the last balance (water::sensitivity).

   status  1: no balance was struck since the rig was laid, or it found no pose
   answer  [2] number of parts n, then n × (kind, then SLOPEs a gram, a mm along x, y, z); then
           SLOPEs a percent of the wood's density and a gram of wood; then the number of changes m,
           m × (index of the hook, 0 lost | 1 one size up, its mass then, 0|1 whether that mass was
           assumed, state, reserve, 0|1 whether there is a pose, tail_down, list, by how many
           degrees it turns, 0|1 whether it rolls)
   SLOPE   tail_down, list, reserve, least stiffness, 0|1 whether it is at its border; all NaN where
           there is none */
const double* trueblank_live_slopes(trueblank_lure* lure);

/* What becomes of the lure over places and masses of one part (water::sweep).

   wish    9 numbers: kind, index within its kind, axis of the place (0 x, 1 y, 2 z), from, to,
           n places (2 or more), mass from, to (> 0), m masses (2 or more)
   status  1: there is no such part, or it has no place or no mass, or a number is out of range
   answer  [2] n, [3] m, then n·m × (told 0|1, stands 0|1, state, reserve, tail_down, list, least
           stiffness), the masses of a place together; then the number of lines between builds that
           stand and builds that don't, each: number of points k, k × (place, mass) */
const double* trueblank_live_map(trueblank_lure* lure, const double* wish);

/* [2] belly's and [3] back's z of the bare body at a place; status 1 where there is no skin. */
const double* trueblank_live_heights(trueblank_lure* lure, double x_mm, double y_mm);

#ifdef __cplusplus
}
#endif
