#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Which lines of lib/ do the tests run?

    scripts/coverage.py LCOV [--least PERCENT] [--uncovered FILE] [--root FOLDER]

LCOV is what llvm-cov exports (scripts/test --coverage runs the tests and asks for it). Prints a row a
room, and the files that are covered least; FILE gets every line of lib/ that no test ran, by file.
A source that no test program links counts with all its lines of code. Exit code 1 where all of lib/
together is covered by less than PERCENT (90).
"""

import argparse
import os
import pathlib
import sys

ROOT = pathlib.Path(__file__).resolve().parents[1]
WORST = 12


class File:
    def __init__(self):
        self.runs = {}  # line: how often it was run, in whichever program ran it most

    def add(self, line, count):
        self.runs[line] = max(self.runs.get(line, 0), count)

    @property
    def total(self):
        return len(self.runs)

    @property
    def missed(self):
        return sorted(line for line, count in self.runs.items() if count == 0)

    @property
    def covered(self):
        return self.total - len(self.missed)


def read_lcov(text, root):
    """{path within root: File} of what lies under root/lib."""
    files, current = {}, None
    for row in text.splitlines():
        kind, _, rest = row.partition(":")
        if kind == "SF":
            # A compiler cache may have made the paths relative to the build folder.
            path = pathlib.Path(os.path.normpath(rest))
            current = None
            if root / "lib" in path.parents:
                current = files.setdefault(path.relative_to(root).as_posix(), File())
        elif kind == "DA" and current is not None:
            line, count = rest.split(",")[:2]
            current.add(int(line), int(count))
    return files


def code_lines(text):
    """Lines that hold more than blanks, a comment, an #include or a brace."""
    for number, line in enumerate(text.splitlines(), 1):
        bare = line.split("//")[0].strip()
        if bare and not bare.startswith("#") and bare not in {"{", "}", "};", "});"}:
            yield number


def add_unlinked(files, root):
    """Sources that no program knows of; their names."""
    names = []
    for path in sorted((root / "lib").rglob("*.cpp")):
        name = path.relative_to(root).as_posix()
        if name in files:
            continue
        names.append(name)
        files[name] = File()
        for line in code_lines(path.read_text(encoding="utf-8")):
            files[name].add(line, 0)
    return names


def ranges(lines):
    """[3, 4, 5, 9] as "3-5, 9"."""
    out = []
    for line in lines:
        if out and out[-1][1] == line - 1:
            out[-1][1] = line
        else:
            out.append([line, line])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in out)


def percent(covered, total):
    return 100 * covered / total if total else 100.0


def row(name, covered, total):
    return f"{name:<12} {covered:>7} {total:>7}  {percent(covered, total):6.2f} %"


def table(files):
    """The rows for the terminal, and how many per cent of all."""
    rooms = {}
    for name, file in files.items():
        room = rooms.setdefault(name.split("/")[1], [0, 0])
        room[0] += file.covered
        room[1] += file.total
    rows = [f"{'room':<12} {'covered':>7} {'lines':>7}"]
    rows += [row(name, *rooms[name]) for name in sorted(rooms)]
    covered, total = (sum(counts[k] for counts in rooms.values()) for k in (0, 1))
    rows.append(row("lib", covered, total))
    return rows, percent(covered, total)


def worst(files):
    """The files with the most lines that no test runs."""
    order = sorted(files.items(), key=lambda item: (-len(item[1].missed), item[0]))
    return [f"{len(file.missed):>5} of {file.total:<5} {name}"
            for name, file in order[:WORST] if file.missed]


def uncovered(files):
    rows = ["# Lines of lib/ that no test ran, by scripts/test --coverage."]
    for name, file in sorted(files.items()):
        if file.missed:
            rows.append(f"{name}: {len(file.missed)} of {file.total}: {ranges(file.missed)}")
    return "\n".join(rows) + "\n"


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("lcov", type=pathlib.Path, help="what llvm-cov exported")
    parser.add_argument("--least", type=float, default=90, help="per cent that all of lib/ must be")
    parser.add_argument("--uncovered", type=pathlib.Path, help="a file for the lines that were not run")
    parser.add_argument("--root", type=pathlib.Path, default=ROOT, help="the checkout")
    asked = parser.parse_args()
    try:
        text = asked.lcov.read_text(encoding="utf-8")
    except OSError as wrong:
        print(f"coverage.py: {asked.lcov}: {wrong.strerror}; run scripts/test --coverage",
              file=sys.stderr)
        return 2
    root = asked.root.resolve()
    files = read_lcov(text, root)
    if not files:
        print(f"coverage.py: {asked.lcov}: tells nothing of lib/; run scripts/test --coverage",
              file=sys.stderr)
        return 2
    unlinked = add_unlinked(files, root)
    rows, share = table(files)
    print("\n".join(rows))
    for name in unlinked:
        print(f"No test program holds {name}.")
    print("\nMost lines that no test runs:")
    print("\n".join(worst(files)) or "  none")
    if asked.uncovered:
        asked.uncovered.write_text(uncovered(files), encoding="utf-8")
        print(f"\nAll of them, by file and line: {asked.uncovered}")
    if share < asked.least:
        print(f"\nToo few: {share:.2f} % of the lines of lib/ are run, {asked.least:g} % are wanted.")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
