# SPDX-License-Identifier: GPL-3.0-or-later
"""The guide from scan to tank can be followed: its runs, made in their order beside a copy of
meshes/, print what it shows; what it only tells to type names options that are there; and what it
shows of a build sheet stands in one of meshes/.

    guide_test.py PROGRAM           compares
    guide_test.py PROGRAM --write   puts what is printed now into the guide
"""
import pathlib
import re
import shutil
import sys
import tempfile

from shown_runs import BLOCK, OPTION, TOP, commands, held, options_of

GUIDE = TOP / "tools" / "GUIDE.md"
VERBS = ("check", "weigh", "mirror", "float", "ballast", "compare")
TOLD = re.compile(r"^trueblank ((?:notebook )?[a-z]+)(?= |$)(.*)$", re.MULTILINE)
SHEET_BLOCK = re.compile(r"```toml\n(.*?)```", re.DOTALL)


def every_verb_is_run(text):
    run = {arguments.split()[0] for block in BLOCK.findall(text)
           for arguments, _ in commands(block[1])}
    missing = [verb for verb in VERBS if verb not in run]
    for verb in missing:
        print(f"GUIDE.md never runs trueblank {verb}")
    return not missing


def what_is_told_is_there(program, text):
    told = TOLD.findall(text)
    wrong = [f"GUIDE.md tells of {option}, which trueblank {verb} does not have"
             for verb, rest in told
             for option in set(OPTION.findall(rest)) - set(options_of(program, verb))]
    for one in wrong:
        print(one)
    if not any(verb.startswith("notebook") for verb, _ in told):
        print("GUIDE.md tells nothing of the notebook")
        return False
    return not wrong


def lines_of(sheet):
    """What a sheet says, without its comments and empty lines."""
    lines = (line.partition("#")[0].rstrip() for line in sheet.splitlines())
    return [line for line in lines if line]


def sheets_stand_in_meshes(text):
    blocks = SHEET_BLOCK.findall(text)
    sheets = ["\n".join(lines_of(path.read_text(encoding="utf-8"))) + "\n"
              for path in sorted((TOP / "meshes").glob("*.toml"))]
    wrong = [block for block in blocks
             if not any("\n".join(lines_of(block)) + "\n" in sheet for sheet in sheets)]
    for block in wrong:
        print(f"GUIDE.md shows a piece of a sheet that stands in none of meshes/:\n{block}")
    return len(blocks) >= 2 and not wrong


def main():
    program = str(pathlib.Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(TOP / "meshes", pathlib.Path(folder) / "meshes")
        right = held(program, GUIDE, folder, 10, "--write" in sys.argv)
    text = GUIDE.read_text(encoding="utf-8")
    checks = [every_verb_is_run(text), what_is_told_is_there(program, text),
              sheets_stand_in_meshes(text)]
    return 0 if right and all(checks) else 1


if __name__ == "__main__":
    sys.exit(main())
