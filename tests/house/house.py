# SPDX-License-Identifier: GPL-3.0-or-later
"""The files of the project, for the tests beside this one."""

import fnmatch
import pathlib

ROOT = pathlib.Path(__file__).resolve().parents[2]

# What .gitignore keeps out.
IGNORED = ("build*", "out*", ".cache", "compile_commands.json", "__pycache__")


def visible(folder):
    """The entries of a folder that belong to the project, sorted; no dot files."""
    return sorted(
        entry
        for entry in folder.iterdir()
        if not entry.name.startswith(".")
        and not any(fnmatch.fnmatch(entry.name, pattern) for pattern in IGNORED)
    )


def files_under(*names):
    """Every file of the project under these top-level names, sorted."""
    found, waiting = [], [ROOT / name for name in names]
    while waiting:
        place = waiting.pop()
        if place.is_dir():
            waiting += visible(place)
        elif place.exists():
            found.append(place)
    return sorted(found)


def short(path):
    return path.relative_to(ROOT).as_posix()
