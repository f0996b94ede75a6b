# SPDX-License-Identifier: GPL-3.0-or-later
"""The runs that README shows are true: each `$ trueblank …` of a console block is run in the top
folder and what it prints compared, words to the letter and numbers to a unit of their last digit.

    readme_test.py PROGRAM           compares
    readme_test.py PROGRAM --write   puts what is printed now into README
"""
import pathlib
import re
import shlex
import subprocess
import sys

TOP = pathlib.Path(__file__).resolve().parents[2]
BLOCK = re.compile(r"(```console\n)(.*?)(```)", re.DOTALL)
PROMPT = "$ trueblank "
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def printed(program, arguments):
    run = subprocess.run([program, *shlex.split(arguments)], cwd=TOP, stdin=subprocess.DEVNULL,
                         stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False, timeout=250)
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


def main():
    program = sys.argv[1]
    readme = TOP / "README.md"
    text = readme.read_text(encoding="utf-8")
    runs = 0
    wrong = []

    def renewed(match):
        nonlocal runs
        body = ""
        for arguments, shown in commands(match.group(2)):
            runs += 1
            now = printed(program, arguments)
            if not alike(shown, now):
                wrong.append(f"$ trueblank {arguments}\n--- README\n{shown}--- now\n{now}")
            body += PROMPT + arguments + "\n" + now
        return match.group(1) + body + match.group(3)

    new_text = BLOCK.sub(renewed, text)
    if "--write" in sys.argv:
        readme.write_text(new_text, encoding="utf-8")
        return 0
    if runs < 5:
        print(f"README shows {runs} runs of trueblank; there should be at least 5")
        return 1
    for one in wrong:
        print(one)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
