# SPDX-License-Identifier: GPL-3.0-or-later
"""The same bytes come out of one thread, of two and of seven: every verb that takes long, on the
demo bodies, with every file that it can write.

    threads_test.py PROGRAM MESHES NAME [--no-page]

NAME is one of CASES below. Each run has a folder of its own with a copy of MESHES in it; what it
printed and every file that came or changed are compared byte by byte. (What unit tests of the
rooms and of single verbs say of threads stands with them; here is all of a run, as a user has it.)
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

PROGRAM = MESHES = NAME = ""
PAGE = True
THREADS = (1, 2, 7)

SCAN = ("pencil-140-scan.stl", "--length", "140", "--nose", "0.1,-0.4,0.9", "--back",
        "0.4,-0.8,-0.4")
CASTS = [f"pencil-140-cast-{i}.stl" for i in (1, 2, 3)]
AIMED = ("--nose", "-x", "--back", "+z")
# Each a run; "PAGE" stands for --page page.html where the program can write one.
CASES = {
    "check": [
        ("check", "pencil-140.stl", "--print", "--bed", "120,120,150", "--map", "map.ply",
         "--aligned", "aligned.ply", "--json", "out.json", "--verbose", "PAGE"),
        ("check", "glider-165-scan.obj", "--map", "map.glb", "--json", "out.json", "--verbose"),
        ("check", "pencil-140-scan.stl", "--smooth", "2", "--thin", "5000", "--aligned",
         "aligned.obj", "--json", "out.json"),
    ],
    "weigh": [
        ("weigh", "glider-165-scan.obj", "--density", "0.4", "--map", "map.ply", "--aligned",
         "aligned.stl", "--json", "out.json", "--verbose"),
        ("weigh", "slim-150-sections.toml", "--aligned", "aligned.ply", "--json", "out.json"),
    ],
    "mirror": [
        ("mirror", *SCAN, "--map", "map.ply", "--target", "target.ply", "--csv", "stations.csv",
         "--templates", "templates.pdf", "--aligned", "aligned.ply", "--json", "out.json",
         "--verbose", "PAGE"),
        ("mirror", *SCAN, "--fit", "least-squares", "--best-sand", "--sheet",
         "pencil-140-scan.toml", "--templates", "templates.svg", "--map", "map.glb", "--json",
         "out.json", "--verbose"),
    ],
    "float": [
        ("float", "pencil-140.toml", "--tolerances", "400", "--seed", "7", "--sweep",
         "belly treble.mass=1:12:25", "--csv", "sweep.csv", "--json", "out.json", "--verbose",
         "PAGE"),
        ("float", "pencil-140-no-belly-hook.toml", "--tolerances", "200", "--json", "out.json"),
        ("float", "needle-180-halves.toml", "--sweep", "wood.density=0.25:0.6:30", "--sweep",
         "water.density=1:1.03:20", "--csv", "sweep.csv", "--json", "out.json"),
        ("float", "glider-165-sinking.toml", "--json", "out.json", "--verbose"),
    ],
    "ballast": [
        ("ballast", "pencil-140-wanted.toml", "--write", "plan.toml", "--plan", "plan.pdf",
         "--json", "out.json", "--verbose", "PAGE"),
        ("ballast", "pencil-140.toml", "--seen", "tail_down=11,list=3", "--json", "out.json"),
    ],
    "ballast_tables": [
        ("ballast", "pencil-140-wanted.toml", "--woods", "--json", "out.json"),
        ("ballast", "pencil-140-wanted.toml", "--hooks", "--json", "out.json"),
    ],
    "compare": [
        ("compare", "pencil-140.stl", CASTS[1], *AIMED, "--fit-scale", "--limit", "0.3", "--sheet",
         "pencil-140.toml", "--map", "map.ply", "--csv", "stations.csv", "--aligned", "laid.ply",
         "--json", "out.json", "--verbose", "PAGE"),
    ],
    "compare_copies": [
        ("compare", "pencil-140.stl", *CASTS, *AIMED, "--fit-scale", "--csv", "copies.csv",
         "--json", "out.json", "--verbose", "PAGE"),
    ],
}


def bytes_in(folder):
    return {str(path.relative_to(folder)): path.read_bytes()
            for path in sorted(folder.rglob("*")) if path.is_file()}


def written_by(run):
    """The files that a run's words name and that were not there before."""
    return {word for word in run
            if re.fullmatch(r"[a-z]+\.(ply|glb|obj|stl|csv|pdf|svg|json|toml)", word)
            and word not in os.listdir(MESHES)}


def ran(run, threads):
    """What a run printed, and every file that is then in its folder but was not, or not so, before."""
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        for path in pathlib.Path(MESHES).iterdir():
            if path.suffix != ".png":
                shutil.copy(path, folder)
        before = bytes_in(folder)
        words = [word for word in run if word != "PAGE"]
        if "PAGE" in run and PAGE:
            words += ["--page", "page.html"]
        result = subprocess.run([PROGRAM, *words, "--threads", str(threads)], cwd=folder,
                                capture_output=True, check=False)
        after = bytes_in(folder)
    files = {name: data for name, data in after.items() if before.get(name) != data}
    return {"exit": result.returncode, "stdout": result.stdout, "stderr": result.stderr, **files}


class Threads(unittest.TestCase):
    def test_every_file_is_the_same_to_the_byte(self):
        for run in CASES[NAME]:
            with self.subTest(" ".join(run)):
                first = ran(run, THREADS[0])
                # 1: a limit or a wish is not met.
                self.assertIn(first["exit"], (0, 1), first["stderr"].decode())
                self.assertLessEqual(written_by(run), set(first))
                self.assertEqual("page.html" in first, "PAGE" in run and PAGE)
                for threads in THREADS[1:]:
                    other = ran(run, threads)
                    self.assertEqual(sorted(other), sorted(first))
                    for what, value in first.items():
                        self.assertTrue(other[what] == value,
                                        f"{what} differs between {THREADS[0]} and {threads} threads")

    def test_all_runs_are_of_verbs_that_there_are(self):
        told = subprocess.run([PROGRAM, "--help"], capture_output=True, text=True, check=True).stdout
        for runs in CASES.values():
            for run in runs:
                self.assertIn(f"trueblank {run[0]} ", told)


if __name__ == "__main__":
    PAGE = "--no-page" not in sys.argv
    PROGRAM, MESHES, NAME = [word for word in sys.argv[1:] if word != "--no-page"]
    unittest.main(argv=sys.argv[:1])
