# SPDX-License-Identifier: GPL-3.0-or-later
"""The mutation check: does a fast test fail where one sign, index, factor, comparison or function
of a core formula is another?

    mutants.py [N] --build FOLDER    N mutants (default 200) against a built folder
    mutants.py --copy FOLDER         the sources that a build needs, as they are now
    mutants.py --targets             what must be built first

A mutant is written beside the build and compiled there from it and the sources as they are; the
tests that concern it are linked anew, objects of all else taken from the build, and run until one
fails. A mutant that does not compile, or whose object is the same byte for byte, does not count,
and the next one takes its place. Exit 1 where fewer than 95 of 100 are killed.
"""

import argparse
import json
import os
import pathlib
import re
import shlex
import shutil
import signal
import subprocess
import sys
import threading
import time

import mutations

ROOT = pathlib.Path(__file__).resolve().parents[1]
LEAST_KILLED = 0.95
LEAST_LIMIT_S = 15  # of processor time; five times what the test takes unmutated comes on top
MOST_KIB = 4 << 20  # of memory

# The fast tests of each room.
TESTS = {
    "geometry": ("geometry_test", "geometry_exact_test"),
    "rig": ("rig_test",),
    "water": ("water_use_test", "water_test", "water_changes_test", "water_barriers_test",
              "water_random_rigs_test"),
}
# Those left out, and why.
NOT_RUN = {
    "water_slow_test": "slow",
    "water_random_rigs_slow_test": "slow",
    "water_drawn_test": "links the body room, and CGAL with it, for one case more",
}
COPIED = ("CMakeLists.txt", "DEVELOPERS.md", "README.md", "lib", "meshes", "scripts", "tests",
          "tools")


class Trouble(Exception):
    """Told in one line; exit 2."""


def copy_sources(source, target):
    """A copy that leaves a file alone where nothing in it has changed, so that it is not compiled
    again."""
    wanted = set()
    for top in COPIED:
        place = source / top
        for path in [place] if place.is_file() else sorted(place.rglob("*")):
            part = path.relative_to(source)
            if path.is_dir() or {"node_modules", "__pycache__"} & set(part.parts):
                continue
            wanted.add(part)
            made = target / part
            if not made.exists() or made.read_bytes() != path.read_bytes():
                made.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy(path, made)
    for path in sorted(target.rglob("*")):
        if path.is_file() and path.relative_to(target) not in wanted:
            path.unlink()


def run(command, folder):
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False,
                          stdin=subprocess.DEVNULL)


class Build:
    """What a built folder knows: how each object is compiled, what it depends on, how each test
    is linked."""

    def __init__(self, folder):
        self.folder = pathlib.Path(folder).resolve()
        try:
            cache = (self.folder / "CMakeCache.txt").read_text(encoding="utf-8")
            commands = json.loads(
                (self.folder / "compile_commands.json").read_text(encoding="utf-8"))
        except OSError as error:
            raise Trouble(f"{folder} is no build folder: {error.strerror}") from None
        self.sources = pathlib.Path(
            re.search(r"^CMAKE_HOME_DIRECTORY:INTERNAL=(.*)$", cache, re.MULTILINE).group(1))
        self.commands = {}  # object: (source, command)
        for entry in commands:
            command = shlex.split(entry["command"])
            self.commands[command[command.index("-o") + 1]] = (entry["file"], command)
        self.links = {test: self._link(test) for tests in TESTS.values() for test in tests}
        self.used = sorted({word for link in self.links.values() for word in link
                            if word in self.commands})
        self.depends = self._depends()

    def _objects_of(self, archive):
        name = archive.rsplit("/", 1)[1].removeprefix("lib").removesuffix(".a")
        within = f"{archive.rsplit('/', 1)[0]}/CMakeFiles/{name}.dir/"
        return [made for made in self.commands if made.startswith(within)]

    def _link(self, test):
        """The command that links a test, with the objects of our archives in their places."""
        told = run(["ninja", "-t", "commands", test], self.folder).stdout.strip().splitlines()
        if not told:
            raise Trouble(f"{self.folder} has no target {test}")
        command = next(part for part in told[-1].split(" && ") if " -o " in part)
        linked, seen = [], set()
        for word in shlex.split(command):
            ours = self._objects_of(word) if word.endswith(".a") and word[0] != "/" else []
            linked += [made for made in ours or [word] if made not in seen]
            seen.update(ours)
        return linked

    def _depends(self):
        depends = {}
        made = None
        for line in run(["ninja", "-t", "deps", *self.used], self.folder).stdout.splitlines():
            if line and not line[0].isspace():
                made = line.split(":", 1)[0]
            elif line.strip():
                depends.setdefault(line.strip(), set()).add(made)
        return depends

    def compiled_from(self, file):
        """The objects that a source or a header goes into."""
        path = str(self.sources / file)
        return [made for made in self.used
                if self.commands[made][0] == path or made in self.depends.get(path, ())]

    def tests_for(self, file, seconds):
        """The tests that concern a source, those first whose cases include its header."""
        room = file.split("/")[1]
        rooms = list(TESTS)
        header = f'"{file.removeprefix("lib/").rsplit(".", 1)[0]}.h"'

        def rank(test):
            own = [self.commands[word][0] for word in self.links[test]
                   if word.startswith("tests/") and word in self.commands]
            including = sum(header in pathlib.Path(path).read_text(encoding="utf-8")
                            for path in own if path.endswith("_test.cpp"))
            return (-including, test not in TESTS[room], seconds.get(test, 0))

        concerned = [test for later in rooms[rooms.index(room):] for test in TESTS[later]]
        return sorted(concerned, key=rank)


class Worker:
    """One mutant at a time, in a folder of its own."""

    def __init__(self, build, folder):
        self.build = build
        self.folder = folder
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)

    def compile(self, mutation, source):
        """The changed objects by the name of the old; nothing where one does not compile or all
        are as before."""
        build = self.build
        changed = self.folder / mutation.file
        shutil.rmtree(self.folder / "lib", ignore_errors=True)
        changed.parent.mkdir(parents=True)
        changed.write_text(mutation.applied_to(source), encoding="utf-8")
        objects, same = {}, True
        for number, made in enumerate(build.compiled_from(mutation.file)):
            own, command = build.commands[made]
            command = list(command)
            at = command.index("-o") + 1
            objects[made] = command[at] = str(self.folder / f"{number}.o")
            if own == str(build.sources / mutation.file):
                command[command.index(own)] = str(changed)
            first = next(i for i, word in enumerate(command) if word.startswith("-I"))
            command[first:first] = [f"-I{self.folder / 'lib'}"]
            command += ["-w", f"-ffile-prefix-map={self.folder}={build.sources}"]
            if run(command, build.folder).returncode != 0:
                return None
            same = same and (pathlib.Path(objects[made]).read_bytes()
                             == (build.folder / made).read_bytes())
        return None if same else objects

    def link(self, test, objects):
        program = self.folder / test
        command = [objects.get(word, word) for word in self.build.links[test]]
        command[command.index("-o") + 1] = str(program)
        result = run(command, self.build.folder)
        if result.returncode != 0:
            raise Trouble(f"{test} does not link: {result.stderr.strip().splitlines()[-1]}")
        return program

    def test(self, program, seconds):
        """(what failed, or nothing; seconds of processor time)"""
        begun = time.monotonic()
        with open(self.folder / "told", "w+", encoding="utf-8", errors="replace") as told:
            child = subprocess.Popen(
                ["/bin/sh", "-ec",
                 f'ulimit -c 0; ulimit -v {MOST_KIB}; ulimit -t {seconds}; exec "$@"', "sh",
                 program, "--gtest_fail_fast", "--gtest_brief=1"], cwd=self.folder, stdout=told,
                stderr=subprocess.STDOUT, stdin=subprocess.DEVNULL)
            # A mutant may also sleep for good; a busy machine must not look like that.
            timer = threading.Timer(60 * seconds, child.kill)
            timer.start()
            _, status, usage = os.wait4(child.pid, 0)
            timer.cancel()
            child.returncode = os.waitstatus_to_exitcode(status)
            told.seek(0)
            text = told.read()
        took = usage.ru_utime + usage.ru_stime
        if child.returncode == 0:
            return None, took
        failed = re.search(r"^\[  FAILED  \] ([\w/.]+)", text, re.MULTILINE)
        if failed:
            return failed.group(1), took
        if -child.returncode in (signal.SIGXCPU, signal.SIGKILL):
            return f"no end within {seconds} s", max(took, time.monotonic() - begun)
        begun_case = re.findall(r"^(.*(?:Assertion|terminate).*)$", text, re.MULTILINE)
        return (begun_case or [f"exit {child.returncode}"])[-1][:100], took


class Check:
    """Draws mutants until N have counted; workers share it."""

    def __init__(self, build, ordered, wanted, limits, seconds):
        self.build, self.ordered, self.wanted = build, ordered, wanted
        self.limits, self.seconds = limits, seconds
        self.next = self.counted = self.at_work = 0
        self.outcomes = {}  # place in the order: (mutation, what killed it, or nothing)
        self.trouble = None
        self.turn = threading.Condition()

    def draw(self):
        """A mutant's place in the order. No more than N ever count, so that the ones that do are
        the first N that can, however fast each worker is."""
        with self.turn:
            while (self.counted < self.wanted and self.at_work
                   and self.counted + self.at_work >= self.wanted):
                self.turn.wait()
            if self.trouble or self.counted >= self.wanted or self.next >= len(self.ordered):
                return None
            self.next += 1
            self.at_work += 1
            return self.next - 1

    def done(self, place, counts, killer):
        with self.turn:
            self.at_work -= 1
            if counts:
                mutation = self.ordered[place]
                self.counted += 1
                self.outcomes[place] = (mutation, killer)
                word = f"killed by {killer}" if killer else "SURVIVED"
                print(f"{self.counted:4} of {self.wanted}  {word}:  {mutation.told()}", flush=True)
            self.turn.notify_all()

    def kill(self, worker, mutation):
        """(whether it counts, what killed it)"""
        source = (self.build.sources / mutation.file).read_text(encoding="utf-8")
        objects = worker.compile(mutation, source)
        if objects is None:
            return False, None
        for test in self.build.tests_for(mutation.file, self.seconds):
            killer, _ = worker.test(worker.link(test, objects), self.limits[test])
            if killer:
                return True, f"{killer} of {test}"
        return True, None

    def work(self, worker):
        while (place := self.draw()) is not None:
            counts, killer = False, None
            try:
                counts, killer = self.kill(worker, self.ordered[place])
            except Exception as error:
                self.trouble = error
            self.done(place, counts, killer)


def unmutated(build, folder):
    """Seconds that each test takes as it is; all must pass, linked as a mutant's are."""
    worker = Worker(build, folder)
    seconds = {}
    for test in build.links:
        failed, seconds[test] = worker.test(worker.link(test, {}), 3600)
        if failed:
            raise Trouble(f"{test} fails without any mutation: {failed}")
    return seconds


def report(check):
    counted = [check.outcomes[place] for place in sorted(check.outcomes)]
    alive = [mutation for mutation, killer in counted if not killer]
    print()
    for kind in mutations.KINDS:
        of_kind = [killer for mutation, killer in counted if mutation.kind == kind]
        print(f"{kind:11} {sum(map(bool, of_kind)):4} of {len(of_kind):4} killed")
    if not counted:
        raise Trouble("no mutant compiles")
    share = 1 - len(alive) / len(counted)
    print(f"{'all':11} {len(counted) - len(alive):4} of {len(counted):4} killed: {share:.1%}; "
          f"{check.next - len(counted)} more did not compile or changed nothing")
    for mutation in alive:
        print(f"survived: {mutation.told()}")
    return 0 if share >= LEAST_KILLED else 1


def main(words=None):
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("number", nargs="?", type=int, default=200)
    parser.add_argument("--build", metavar="FOLDER")
    parser.add_argument("--copy", metavar="FOLDER")
    parser.add_argument("--targets", action="store_true")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--only", default="", metavar="FILE", help="mutate this source alone")
    parser.add_argument("--list", action="store_true", help="the first N, without a test")
    given = parser.parse_args(words)
    if given.number < 1 or given.jobs < 1:
        raise Trouble("N and --jobs must be 1 or more")
    if given.targets:
        print(*[test for tests in TESTS.values() for test in tests])
        return 0
    if given.copy:
        copy_sources(ROOT, pathlib.Path(given.copy))
        return 0
    build = Build(given.build) if given.build else None
    ordered = mutations.in_order(
        [mutation for mutation in mutations.all_mutations(build.sources if build else ROOT)
         if given.only in ("", mutation.file)], given.seed)
    if not ordered:
        raise Trouble(f"{given.only} has nothing to mutate")
    if given.list:
        print(*[mutation.told() for mutation in ordered[:given.number]], sep="\n")
        return 0
    if not build:
        raise Trouble("where is it built? --build FOLDER")
    folder = build.folder / "mutants"
    seconds = unmutated(build, folder / "1")
    limits = {test: LEAST_LIMIT_S + int(5 * took) for test, took in seconds.items()}
    print("All pass unmutated: "
          + ", ".join(f"{test} {took:.1f} s" for test, took in seconds.items()), flush=True)
    check = Check(build, ordered, given.number, limits, seconds)
    workers = [threading.Thread(target=check.work, args=[Worker(build, folder / str(k + 1))])
               for k in range(given.jobs)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    if check.trouble:
        raise check.trouble
    return report(check)


if __name__ == "__main__":
    try:
        sys.exit(main())
    except (Trouble, ValueError) as trouble:
        print(f"mutants: {trouble}", file=sys.stderr)
        sys.exit(2)
