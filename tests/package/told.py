# SPDX-License-Identifier: GPL-3.0-or-later
"""What the program tells of itself by --help, for the tests beside this one: they hold the manual
page and the completions against it."""

import re
import subprocess


class Option:
    """A line of a verb's help: its names, its value as shown, what it does."""

    def __init__(self, names, value, what):
        self.names, self.value, self.what = names, value, what

    @property
    def choices(self):
        """The words among "mm|cm|m|in" or "fresh|sea|DENSITY"."""
        pieces = self.value.split("|")
        return [p for p in pieces if re.fullmatch(r"[a-z0-9-]+", p)] if len(pieces) > 1 else []


def printed(program, *arguments):
    done = subprocess.run([program, *arguments], capture_output=True, text=True, timeout=60,
                          check=False)
    if done.returncode != 0 or done.stderr:
        raise AssertionError(f"{arguments}: {done.returncode}, {done.stderr}")
    return done.stdout


def verbs(program):
    """Every verb: "check" … "compare", "notebook add" …, as the two lists of them say."""
    plain = re.findall(r"^  trueblank (\w+) (?!\.\.\.)", printed(program, "--help"), re.MULTILINE)
    actions = re.findall(r"^  trueblank (notebook \w+) ", printed(program, "notebook", "--help"),
                         re.MULTILINE)
    found = plain + actions
    if len(plain) < 6 or len(actions) < 11:
        raise AssertionError(f"--help lists only {found}")
    return found


def options(program, verb):
    """The options in a verb's help, in its order."""
    lines = printed(program, *verb.split(), "--help").splitlines()
    found = []
    for number, line in enumerate(lines):
        told = re.match(r"  (-\S+)(?: (\S.*?))?(?:\s{2,}(\S.*))?$", line)
        if not told:
            continue
        names, value, what = told.groups()
        # A long name has its text in the next line.
        found.append(Option(names.split(","), value or "", what or lines[number + 1].strip()))
    if len(found) < 8:
        raise AssertionError(f"{verb} --help: only {len(found)} options were understood")
    return found
