# SPDX-License-Identifier: GPL-3.0-or-later
"""The runs that a page shows: each `$ trueblank …` of a console block is run, and what it prints is
compared with what stands under it, words to the letter and numbers to a unit of their last digit."""

import os
import pathlib
import re
import shlex
import subprocess
import tempfile

TOP = pathlib.Path(__file__).resolve().parents[2]
BLOCK = re.compile(r"(```console\n)(.*?)(```)", re.DOTALL)
# A file that the reader is told to write: a block whose first line names it.
FILE_BLOCK = re.compile(r"```toml\n(# ([\w-]+\.toml)\n.*?)```", re.DOTALL)
PROMPT = "$ trueblank "
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]*")


def options_of(program, verb):
    """The options that `--help` of a verb names; "notebook add" is a verb."""
    said = subprocess.run([program, *verb.split(), "--help"], stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, check=True, timeout=60).stdout
    return OPTION.findall(said.decode("utf-8"))


def printed(program, arguments, folder, home):
    """What a run prints, in the order of a terminal. The book of builds would else be the user's."""
    surroundings = {**os.environ, "HOME": str(home)}
    surroundings.pop("XDG_DATA_HOME", None)
    run = subprocess.run([program, *shlex.split(arguments)], cwd=folder, env=surroundings,
                         stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                         stderr=subprocess.STDOUT, check=False, timeout=250)
    return run.stdout.decode("utf-8")


def commands(block):
    """Each command of a block with the text that stands under it."""
    shown = []
    for line in block.splitlines(keepends=True):
        if line.startswith(PROMPT):
            shown.append([line[len(PROMPT):].strip(), ""])
        elif shown:
            shown[-1][1] += line
    return shown


def alike(shown, now):
    if NUMBER.sub("#", shown).split() != NUMBER.sub("#", now).split():
        return False
    for old, new in zip(NUMBER.findall(shown), NUMBER.findall(now)):
        unit = 10.0 ** -len(old.partition(".")[2])
        if abs(float(old) - float(new)) > 1.001 * unit:
            return False
    return True


def files_told(text):
    """(place in the text, name, content) of each file that the page tells its reader to write."""
    return [(match.start(), match.group(2), match.group(1)) for match in FILE_BLOCK.finditer(text)]


def renewed(program, page, folder, home):
    """The page's text with what is printed now, the number of runs, and what differs."""
    text = page.read_text(encoding="utf-8")
    to_write = files_told(text)
    runs = 0
    wrong = []

    def renew(match):
        nonlocal runs, to_write
        for _, name, content in (each for each in to_write if each[0] < match.start()):
            (pathlib.Path(folder) / name).write_text(content, encoding="utf-8")
        to_write = [each for each in to_write if each[0] > match.start()]
        body = ""
        for arguments, shown in commands(match.group(2)):
            runs += 1
            now = printed(program, arguments, folder, home)
            if not alike(shown, now):
                wrong.append(f"$ trueblank {arguments}\n--- {page.name}\n{shown}--- now\n{now}")
            body += PROMPT + arguments + "\n" + now
        return match.group(1) + body + match.group(3)

    return BLOCK.sub(renew, text), runs, wrong


def held(program, page, folder, at_least, write):
    """Whether the page's runs are what the program prints; with `write`, makes them so."""
    with tempfile.TemporaryDirectory() as home:
        text, runs, wrong = renewed(program, page, folder, home)
    if write:
        page.write_text(text, encoding="utf-8")
        return True
    for one in wrong:
        print(one)
    if runs < at_least:
        print(f"{page.name} shows {runs} runs of trueblank; there should be at least {at_least}")
    return runs >= at_least and not wrong
