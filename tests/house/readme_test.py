# SPDX-License-Identifier: GPL-3.0-or-later
"""README stays a page, and the runs that it and the reference show are true. The reference leaves
out no option that `--help` names and no key that a build sheet may hold, and the sheet in it is one.

    readme_test.py PROGRAM           compares
    readme_test.py PROGRAM --write   puts what is printed now into both
"""
import pathlib
import re
import subprocess
import sys
import tempfile

from shown_runs import OPTION, TOP, held, options_of

README = TOP / "README.md"
REFERENCE = TOP / "tools" / "REFERENCE.md"
LINES, WIDTH = 150, 130  # of a page that is read to its end
KEY_LIST = re.compile(r"std::array<std::string_view, (\d+)> \w+_keys\s*=?\s*\{([^}]*)\}")
SHEET_BLOCK = re.compile(r"```toml\n(.*?)```", re.DOTALL)


def is_a_page():
    lines = README.read_text(encoding="utf-8").splitlines()
    wide = [number for number, line in enumerate(lines, 1)
            if len(line) > WIDTH and not line.startswith(("|", "!")) and not in_console(lines, number)]
    if len(lines) > LINES:
        print(f"README has {len(lines)} lines; no more than {LINES}, please: the guide and the "
              "reference have room")
    for number in wide:
        print(f"README.md:{number}: over {WIDTH} characters")
    return len(lines) <= LINES and not wide


def in_console(lines, number):
    """Whether the line stands in a block of what a terminal shows."""
    fences = [line for line in lines[:number - 1] if line.startswith("```")]
    return len(fences) % 2 == 1 and fences[-1] == "```console"


def said(program, *words):
    return subprocess.run([program, *words], stdin=subprocess.DEVNULL, capture_output=True,
                          check=True, timeout=60).stdout.decode("utf-8")


def verbs(program):
    """As the program's own help lists them; those of the notebook as two words."""
    plain = re.findall(r"^  trueblank (\w+) [A-Z]", said(program, "--help"), re.MULTILINE)
    of_notebook = re.findall(r"^  trueblank (notebook \w+)", said(program, "notebook", "--help"),
                             re.MULTILINE)
    return plain + of_notebook


def options_are_all_there(program):
    told = set(OPTION.findall(REFERENCE.read_text(encoding="utf-8")))
    known = set()
    right = True
    for verb in verbs(program):
        for option in options_of(program, verb):
            if option not in told:
                print(f"REFERENCE.md does not name {option} of trueblank {verb}")
                right = False
            known.add(option)
    if len(known) < 40:
        print(f"only {len(known)} options were found in --help: it is not read right")
        right = False
    for option in sorted(told - known):
        print(f"REFERENCE.md names {option}, which no verb has")
        right = False
    return right


def keys_are_all_there():
    section = REFERENCE.read_text(encoding="utf-8").partition("## The build sheet")[2]
    told = set(re.findall(r"\w+", section.partition("\n## ")[0]))
    lists = [match for path in sorted((TOP / "lib" / "sheet").glob("*.[hc]*"))
             for match in KEY_LIST.findall(path.read_text(encoding="utf-8"))]
    if len(lists) < 15:
        print(f"only {len(lists)} lists of keys were found in lib/sheet: they are not read right")
        return False
    missing = {key for _, keys in lists for key in re.findall(r'"(\w+)"', keys)} - told
    for key in sorted(missing):
        print(f"REFERENCE.md does not explain the build sheet's key {key}")
    return not missing


def sheet_is_one(program):
    """The first block holds what any verb reads; the second, put after it, what ballast goes by."""
    blocks = SHEET_BLOCK.findall(REFERENCE.read_text(encoding="utf-8"))
    if len(blocks) < 2:
        print("REFERENCE.md shows no build sheet")
        return False
    with tempfile.TemporaryDirectory() as folder:
        sheet = pathlib.Path(folder) / "sheet.toml"
        text = blocks[0] + blocks[1]
        body = str(TOP / "meshes" / "pencil-140.stl")
        sheet.write_text(text.replace("pencil-140.stl", body), encoding="utf-8")
        run = subprocess.run([program, "float", str(sheet), "--quiet"], capture_output=True,
                             stdin=subprocess.DEVNULL, check=False, timeout=250)
        if run.returncode != 0:
            print("the sheet in REFERENCE.md is refused: " + run.stderr.decode("utf-8"))
        return run.returncode == 0


def main():
    program = sys.argv[1]
    write = "--write" in sys.argv
    right = [held(program, README, TOP, 3, write), held(program, REFERENCE, TOP, 8, write)]
    if not write:
        right += [is_a_page(), options_are_all_there(program), keys_are_all_there(),
                  sheet_is_one(program)]
    return 0 if all(right) else 1


if __name__ == "__main__":
    sys.exit(main())
