# SPDX-License-Identifier: GPL-3.0-or-later
"""The guide from scan to tank can be followed: its runs, made in their order beside a copy of
meshes/ and the files that it tells its reader to write, print what it shows.

    guide_test.py PROGRAM           compares
    guide_test.py PROGRAM --write   puts what is printed now into the guide
"""
import pathlib
import shutil
import sys
import tempfile

from shown_runs import BLOCK, TOP, commands, files_told, held

GUIDE = TOP / "tools" / "GUIDE.md"
VERBS = ("check", "weigh", "mirror", "float", "ballast", "compare", "notebook")


def every_verb_is_run(text):
    run = {arguments.split()[0] for block in BLOCK.findall(text)
           for arguments, _ in commands(block[1])}
    missing = [verb for verb in VERBS if verb not in run]
    for verb in missing:
        print(f"GUIDE.md never runs trueblank {verb}")
    return not missing


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(TOP / "meshes", pathlib.Path(folder) / "meshes")
        right = held(program, GUIDE, folder, 15, "--write" in sys.argv)
        text = GUIDE.read_text(encoding="utf-8")
        for _, name, _ in files_told(text):
            if not (pathlib.Path(folder) / name).is_file():
                print(f"no run comes after {name}")
                right = False
    return 0 if every_verb_is_run(text) and right else 1


if __name__ == "__main__":
    sys.exit(main())
