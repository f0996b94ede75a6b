# SPDX-License-Identifier: GPL-3.0-or-later
"""What scripts/bench measures, what each is held against, and what is wanted of it."""

import typing

SIZES = (20_000, 100_000, 1_000_000, 4_000_000)
QUICK_SIZES = (20_000, 100_000)
SCAN = 40_000  # facets of the bodies that mirror planes are planted in
PAGE = 100_000  # facets of the body in the page

# One side of a comparison: a benchmark of tests/bench or a run of scripts/measure.py, in words.
ROOMS, READERS, PROGRAM, PAGES = "trueblank_bench", "trueblank_readers_bench", "program", "page"
SIDES = {
    ROOMS: {
        "read_arrays": "reading a body's arrays once",
        "whole_moments": "volume, centroid and inertia",
        "check_closed": "the check that a mesh is closed",
        "build_tree": "building the tree",
        "cut_tree": "a plane cut by the tree",
        "cut_plain_loop": "a plane cut by a plain loop over the facets",
        "cut_error": "plane cuts by the tree and in long double",
        "extent_tree": "where planes first and last meet a body, by the tree",
        "extent_plain_loop": "the same by a plain loop over the vertices",
        "one_pose_tree": "a rest pose by the tree, from 200 k facets on by way of a rough body",
        "one_pose_loop": "a rest pose by the same solver on the plain loop",
        "all_poses_tree_and_build": "building the tree, and the rough body's, and 42 rest poses",
        "all_poses_loop": "42 rest poses by the same solver on the plain loop",
        "whole_balance": "all rest poses with shares and barriers",
        "whole_balance_loop": "the same on the plain loop",
        "slopes_tree": "what a little changes, by the tree",
        "slopes_loop": "the same on the plain loop",
        "draws_tree": "10 000 builds drawn within tolerances, 2 threads",
        "draws_loop": "20 builds on the plain loop, 2 threads",
        "sweep_true": "a map of 200 × 200 places of a weight, 2 threads",
        "sweep_true_loop": "16 of its cells on the plain loop, 2 threads",
        "sweep_off_centre": "such a map, the weight off centre, 2 threads",
        "sweep_off_centre_loop": "16 of its cells on the plain loop, 2 threads (off centre)",
        "nearest_ours": "the deviation of all vertices",
        "nearest_cgal_hinted": "by CGAL's AABB tree with points of its own as hints",
        "nearest_cgal_last": "by CGAL's AABB tree from the last answer",
        "nearest_cgal": "by CGAL's AABB tree without a hint",
        "nearest_embree": "by Embree's point query from the last answer's distance",
        "nearest_build": "building our tree for it",
        "nearest_build_cgal": "building CGAL's AABB tree",
        "nearest_build_embree": "building Embree's",
        "plane_ours": "the mirror plane from 5° off",
        "plane_open3d": "by Open3D's point-to-plane registration",
        "plane_plain_loop": "by a plain loop, point to point",
        "plane_of_clean_body": "mirror planes planted in clean bodies",
        "plane_of_marred_body": "mirror planes planted under noise of 0.06 mm and a bump",
        "align_near_ours": "a copy laid on from 5° off",
        "align_near_open3d": "by Open3D's point-to-plane registration (a copy)",
        "align_anywhere_ours": "a copy laid on from any pose",
        "align_anywhere_open3d": "by Open3D's features, then point to plane",
    },
    READERS: {
        "stl_ours": "a binary STL read and welded",
        "stl_cgal": "by CGAL's read_polygon_mesh",
        "stl_memory": "a binary STL read and welded, for its memory",
        "obj_ours": "an OBJ read and welded",
        "obj_tinyobj": "by tinyobjloader",
        "ascii_stl_ours": "a text STL read and welded",
        "ascii_numbers_fast_float": "its vertices' numbers alone by fast_float",
    },
    PROGRAM: {
        "read_file": "reading the file once",
        "weigh": "`weigh`",
        "mirror": "`mirror` with its map",
        "mirror_serial": "`mirror` with its map, 1 thread",
    },
    PAGES: {
        "first": "the first picture of a page",
        "first_empty": "an empty page",
        "drag_360": "a dragged weight's new pose drawn, 360 px wide",
        "drag_360_solver": "the solver's part of it (360 px)",
        "drag_1600": "a dragged weight's new pose drawn, 1600 px wide",
        "drag_1600_solver": "the solver's part of it (1600 px)",
    },
}


class Goal(typing.NamedTuple):
    value: float
    beyond: typing.Optional[float] = None


# What a work is judged by: its unit, and whether more is better.
TIMES, COST, SECONDS, MIB = "times", "cost", "seconds", "peak_mib"
UNITS = {
    TIMES: (" ×", True),  # the other's time over ours
    COST: (" ×", False),  # our time over the other's
    SECONDS: (" s", False),
    MIB: (" MiB", False),
    "x_mesh": " × the mesh",  # what the benchmark itself counts, from here on
    "worst_error": "",
    "off_deg": "°",
    "off_mm": " mm",
}
UNITS = {by: unit if isinstance(unit, tuple) else (unit, False) for by, unit in UNITS.items()}


class Work(typing.NamedTuple):
    name: str  # for --only
    words: str
    ours: str
    other: typing.Optional[str]
    by: str = TIMES
    goals: dict = {}  # by facets


def everywhere(goal):
    return {facets: goal for facets in SIZES}


WORKS = [
    Work("read-stl", "binary STL to a welded mesh", "stl_ours", "stl_cgal", TIMES,
         {1_000_000: Goal(12, 25), 4_000_000: Goal(12, 25)}),
    Work("read-obj", "OBJ to a welded mesh", "obj_ours", "obj_tinyobj", TIMES,
         {1_000_000: Goal(20, 35)}),
    Work("read-text-stl", "text STL to a welded mesh", "ascii_stl_ours",
         "ascii_numbers_fast_float", COST, {1_000_000: Goal(2, 1.3)}),
    Work("read-stl-memory", "peak memory of binary STL", "stl_memory", None, "x_mesh",
         {4_000_000: Goal(3, 1.5)}),
    Work("moments", "volume, centroid, inertia", "whole_moments", "read_arrays", COST,
         {1_000_000: Goal(1.5, 1.15)}),
    Work("closed", "the check that a mesh is closed", "check_closed", "read_arrays", COST),
    Work("nearest-cgal-hinted", "nearest points of all mirrored vertices", "nearest_ours",
         "nearest_cgal_hinted", TIMES, {1_000_000: Goal(4, 8)}),
    Work("nearest-cgal-last", "nearest points of all mirrored vertices", "nearest_ours",
         "nearest_cgal_last"),
    Work("nearest-cgal-blind", "nearest points of all mirrored vertices", "nearest_ours",
         "nearest_cgal"),
    Work("nearest-embree", "nearest points of all mirrored vertices", "nearest_ours",
         "nearest_embree", TIMES, {1_000_000: Goal(1.5, 3)}),
    Work("nearest-build-cgal", "building the tree of nearest points", "nearest_build",
         "nearest_build_cgal"),
    Work("nearest-build-embree", "building the tree of nearest points", "nearest_build",
         "nearest_build_embree"),
    Work("tree-build", "building the tree of moments", "build_tree", "whole_moments", COST),
    Work("plane-cut", "plane cut with all moments", "cut_tree", "cut_plain_loop", TIMES,
         {20_000: Goal(6), 100_000: Goal(13), 1_000_000: Goal(30, 80), 4_000_000: Goal(60, 200)}),
    Work("plane-cut-error", "plane cut, worst error, over the whole body's figure", "cut_error",
         None, "worst_error", everywhere(Goal(1e-12))),
    Work("extent", "where planes first and last meet a body", "extent_tree", "extent_plain_loop"),
    Work("rest-pose", "one rest pose, without building", "one_pose_tree", "one_pose_loop", TIMES,
         {1_000_000: Goal(100, 300)}),
    Work("rest-poses", "rest poses from 42 starts, with building", "all_poses_tree_and_build",
         "all_poses_loop", TIMES, {1_000_000: Goal(25, 60)}),
    Work("balance", "all rest poses with shares and barriers", "whole_balance",
         "whole_balance_loop"),
    Work("slopes", "what a little changes", "slopes_tree", "slopes_loop"),
    Work("sweep", "a map of 200 × 200 places of a weight, 2 threads", "sweep_true",
         "sweep_true_loop", SECONDS, {100_000: Goal(10, 2)}),
    Work("sweep-off-centre", "such a map, the weight off centre, 2 threads", "sweep_off_centre",
         "sweep_off_centre_loop", SECONDS, {100_000: Goal(10, 2)}),
    Work("draws", "10 000 builds drawn within tolerances, 2 threads", "draws_tree", "draws_loop",
         SECONDS, {100_000: Goal(10, 2)}),
    Work("mirror-plane-open3d", "mirror plane from 5° off", "plane_ours", "plane_open3d", TIMES,
         {100_000: Goal(5, 15)}),
    Work("mirror-plane-loop", "mirror plane from 5° off", "plane_ours", "plane_plain_loop"),
    Work("mirror-plane-clean", "mirror plane of clean bodies, worst of 15", "plane_of_clean_body",
         None, "off_deg", {SCAN: Goal(0.001, 0.0001)}),
    Work("mirror-plane-marred", "mirror plane under noise and a bump, worst of 5",
         "plane_of_marred_body", None, "off_deg", {SCAN: Goal(0.03, 0.01)}),
    Work("mirror-plane-marred-offset", "the same, amid the body", "plane_of_marred_body", None,
         "off_mm", {SCAN: Goal(0.015, 0.004)}),
    Work("copy-near", "a copy laid on from 5° off", "align_near_ours", "align_near_open3d"),
    Work("copy-anywhere", "a copy laid on from any pose", "align_anywhere_ours",
         "align_anywhere_open3d"),
    Work("weigh", "`weigh`, from the file", "weigh", "read_file", COST),
    Work("mirror", "`mirror`, from the file to the map written", "mirror", "read_file", SECONDS,
         {1_000_000: Goal(6, 2)}),
    Work("mirror-memory", "its peak memory", "mirror", None, MIB, {1_000_000: Goal(1024)}),
    Work("mirror-serial", "`mirror` on 1 thread, to the map written", "mirror_serial", "read_file",
         SECONDS, {1_000_000: Goal(6, 2)}),
    Work("mirror-serial-memory", "its peak memory", "mirror_serial", None, MIB,
         {1_000_000: Goal(1024)}),
    Work("page-first", "first picture of a page", "first", "first_empty", SECONDS,
         {PAGE: Goal(1)}),
    Work("page-drag-360", "page: from a drag to the new pose, 360 px wide", "drag_360",
         "drag_360_solver", SECONDS, {PAGE: Goal(0.016, 0.004)}),
    Work("page-drag-1600", "page: from a drag to the new pose, 1600 px wide", "drag_1600",
         "drag_1600_solver", SECONDS, {PAGE: Goal(0.016, 0.004)}),
]


class Growth(typing.NamedTuple):
    """How much dearer a work may be at the greater size than at the smaller."""
    work: str
    words: str
    smaller: int
    greater: int
    goal: Goal


GROWTHS = [Growth("plane-cut", "plane cut, 4 M facets over 20 k", 20_000, 4_000_000, Goal(40, 20))]


def words_of(side):
    return next(sides[side] for sides in SIDES.values() if side in sides)


def program_of(side):
    return next(program for program, sides in SIDES.items() if side in sides)
