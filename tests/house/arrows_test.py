# SPDX-License-Identifier: GPL-3.0-or-later
"""Arrows between rooms go down only.

All rooms share one include root, so that linking alone lets an upward include through: this
reads every #include and compares it with the table.
"""

import re
import unittest

from house import ROOT, files_under, short

# What each room may use: other rooms, then libraries. Every room may use the standard library and
# its own files, and Eigen, in whose types geometry speaks.
TABLE = {
    "geometry": {"Eigen"},
    "rig": {"geometry", "Eigen"},
    "water": {"geometry", "rig", "Eigen"},
    "live": {"geometry", "rig", "water", "Eigen"},
    "intake": {"geometry", "Eigen", "CGAL", "nlohmann", "zlib"},
    "symmetry": {"geometry", "Eigen", "Boost.Math"},
    "body": {"geometry", "intake", "symmetry", "Eigen"},
    "effect": {"geometry", "rig", "water", "symmetry", "Eigen"},
    "sheet": {"geometry", "rig", "body", "Eigen", "toml++"},
    "tuning": {"geometry", "rig", "water", "symmetry", "Eigen", "NLopt"},
    "notebook": {"geometry", "rig", "water", "intake", "sheet", "Eigen", "SQLite",
                 "Boost.Math"},
    "report": {"geometry", "rig", "water", "intake", "symmetry", "body", "effect", "sheet",
               "tuning", "notebook", "Eigen", "nlohmann"},
}
ROOMS = set(TABLE)
TOOLS = ROOMS | {"Eigen", "TBB", "CLI11"}

# Libraries that a user of our headers must not have to own or to compile.
NEVER_IN_HEADERS = {"CGAL", "TBB", "toml++", "nlohmann", "CLI11", "zlib", "NLopt",
                    "SQLite", "Boost.Math"}

LIBRARIES = {
    "Eigen/": "Eigen",
    "CGAL/": "CGAL",
    "boost/math/": "Boost.Math",
    "boost/": "CGAL",  # CGAL's own parts come from there
    "tbb/": "TBB",
    "oneapi/tbb": "TBB",
    "toml++/": "toml++",
    "nlohmann/": "nlohmann",
    "CLI/": "CLI11",
    "zlib.h": "zlib",
    "nlopt.hpp": "NLopt",
    "sqlite3.h": "SQLite",
}
POSIX = re.compile(
    r"^(unistd|fcntl|dirent|poll|termios|pthread|dlfcn|glob|ftw|strings|pwd|spawn)\.h$|^sys/")
POSIX_ALLOWED = {"lib/intake/files.cpp"}
STANDARD = re.compile(r"^[a-z_0-9]+$")
# The compiler's own, as the standard library is; only SSE2, which every amd64 has.
INTRINSICS = "emmintrin.h"

INCLUDE = re.compile(r'^[ \t]*#[ \t]*include[ \t]*([<"])([^>"]+)[>"]', re.MULTILINE)


def used_by(path):
    """(line, written, what) of each include; what is a room, a library, or a kind of header."""
    text = path.read_text(encoding="utf-8")
    for match in INCLUDE.finditer(text):
        line = text.count("\n", 0, match.start()) + 1
        written = match.group(2)
        yield line, written, named(path, match.group(1) == '"', written)


def named(path, quoted, written):
    for start, library in LIBRARIES.items():
        if written.startswith(start):
            return library
    if POSIX.search(written):
        return "POSIX"
    if quoted:
        first = written.split("/")[0]
        if first in ROOMS and (ROOT / "lib" / written).is_file():
            return first
        if (path.parent / written).is_file() or (ROOT / "tools" / written).is_file():
            return "own"
        if (ROOT / "lib" / first).is_dir():
            return f"missing file lib/{written}"
    elif STANDARD.match(written) or written == INTRINSICS:
        return "standard"
    return f"unknown header {written}"


def sources(top):
    return [p for p in files_under(top) if p.suffix in {".h", ".cpp"}]


class Arrows(unittest.TestCase):
    def test_every_room_is_in_the_table(self):
        rooms = {p.name for p in (ROOT / "lib").iterdir()
                 if p.is_dir() and p.name != "cmake" and not p.name.startswith(".")}
        self.assertEqual(rooms, ROOMS, "lib/ and the table of tests/house/arrows_test.py differ")

    def test_rooms_include_only_what_the_table_allows(self):
        self.check("lib", lambda path: TABLE[path.relative_to(ROOT / "lib").parts[0]])

    def test_tools_include_rooms_and_the_command_line_only(self):
        self.check("tools", lambda _: TOOLS)

    def check(self, top, allowed_for):
        wrong, count = [], 0
        for path in sources(top):
            place = path.relative_to(ROOT / top).parts
            own = place[0] if top == "lib" else "own"
            allowed = allowed_for(path) | {own, "own", "standard"}
            if short(path) in POSIX_ALLOWED:
                allowed.add("POSIX")
            for line, written, what in used_by(path):
                count += 1
                if what not in allowed:
                    wrong.append(f"{short(path)}:{line}: includes {written} ({what}); "
                                 f"{own if top == 'lib' else 'tools'} may use "
                                 f"{', '.join(sorted(allowed - {'own', 'standard'}))}")
        self.assertGreater(count, 0, f"no include was found under {top}/")
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_heavy_libraries_stay_out_of_headers(self):
        wrong = [f"{short(path)}:{line}: {written} belongs into a .cpp file"
                 for path in sources("lib") + sources("tools") if path.suffix == ".h"
                 # A header that only one program precompiles is nobody's interface.
                 and path.parent != ROOT / "tools" / "trueblank"
                 for line, written, what in used_by(path) if what in NEVER_IN_HEADERS]
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_headers_take_only_the_core_of_eigen(self):
        wrong = [f"{short(path)}:{line}: {written}; headers take <Eigen/Core>"
                 for path in sources("lib") if path.suffix == ".h"
                 for line, written, what in used_by(path)
                 if what == "Eigen" and written != "Eigen/Core"]
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_heavy_libraries_are_linked_privately(self):
        wrong = []
        for path in files_under("lib"):
            if path.name != "CMakeLists.txt":
                continue
            text = re.sub(r"#.*", "", path.read_text(encoding="utf-8"))
            for part in re.findall(r"\bPUBLIC\b([^)]*?)(?:\bPRIVATE\b|\bINTERFACE\b|\))", text):
                for name in ("CGAL", "TBB", "tomlplusplus", "nlohmann_json", "CLI11"):
                    if re.search(rf"\b{name}::", part):
                        wrong.append(f"{short(path)}: {name} is linked PUBLIC")
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_the_check_itself_tells_an_upward_include(self):
        here = ROOT / "lib" / "geometry" / "moments.cpp"
        upward = next(p for p in sources("lib") if p.parts[-2] == "water" and p.suffix == ".h")
        self.assertEqual(named(here, True, f"water/{upward.name}"), "water")
        self.assertNotIn("water", TABLE["geometry"])
        self.assertEqual(named(here, False, "CGAL/Surface_mesh.h"), "CGAL")
        self.assertEqual(named(here, False, "sys/stat.h"), "POSIX")
        self.assertEqual(named(here, False, "vector"), "standard")
        self.assertTrue(named(here, False, "windows.h").startswith("unknown"))


if __name__ == "__main__":
    unittest.main()
