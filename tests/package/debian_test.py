# SPDX-License-Identifier: GPL-3.0-or-later
"""The Debian packages that cpack makes of a build: their fields, what is in them, and that the same
build packed twice gives the same bytes.

Called as: debian_test.py CPACK BUILD WORK VERSION ; the rules held to are those of Debian Policy
(the sections are named beside them) and of the copyright format 1.0.
"""

import gzip
import hashlib
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tarfile
import io
import unittest

CPACK, BUILD, WORK, VERSION = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3]), sys.argv[4]
# Any fixed time; this one is 2026-01-01 00:00 UTC.
WHEN = 1767225600
SIZE_OF_EXAMPLES = 2_000_000


def run(*command, **options):
    done = subprocess.run([str(word) for word in command], stdout=subprocess.PIPE,
                          stderr=subprocess.STDOUT, check=False, timeout=900, **options)
    if done.returncode != 0:
        raise AssertionError(f"{command}:\n{done.stdout.decode('utf-8', 'replace')}")
    return done.stdout


def packed(folder):
    """The packages by name, made in WORK/folder."""
    place = WORK / folder
    place.mkdir(parents=True)
    # What is in them is open to all, even where who packs them keeps all files private.
    run(CPACK, "-G", "DEB", "--config", pathlib.Path(BUILD) / "CPackConfig.cmake", "-B", place,
        cwd=place, umask=0o077,
        env={**os.environ, "SOURCE_DATE_EPOCH": str(WHEN), "LC_ALL": "C.UTF-8"})
    return {path.name.partition("_")[0]: path for path in place.glob("*.deb")}


def fields(deb):
    text = run("dpkg-deb", "--field", deb).decode("utf-8")
    return dict(re.findall(r"^([\w-]+): (.*(?:\n .*)*)", text, re.MULTILINE))


def members(deb):
    with tarfile.open(fileobj=io.BytesIO(run("dpkg-deb", "--fsys-tarfile", deb))) as tar:
        return {member.name.removeprefix("./").rstrip("/"):
                (member, tar.extractfile(member).read() if member.isfile() else b"")
                for member in tar.getmembers()}


def stanzas(copyright_text):
    return [dict(re.findall(r"^([\w-]+): *((?:.*)(?:\n .*)*)", part, re.MULTILINE))
            for part in copyright_text.strip().split("\n\n")]


class Packages(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        shutil.rmtree(WORK, ignore_errors=True)
        cls.debs = packed("first")
        cls.program = members(cls.debs["trueblank"])
        cls.development = members(cls.debs["libtrueblank-dev"])

    def test_there_are_two(self):
        self.assertEqual(sorted(self.debs), ["libtrueblank-dev", "trueblank"])
        machine = run("dpkg", "--print-architecture").decode("ascii").strip()
        self.assertEqual(self.debs["trueblank"].name, f"trueblank_{VERSION}_{machine}.deb")

    def test_packed_again_they_are_the_same_bytes(self):
        for name, path in packed("second").items():
            self.assertEqual(hashlib.sha256(path.read_bytes()).hexdigest(),
                             hashlib.sha256(self.debs[name].read_bytes()).hexdigest(), name)

    def test_fields_of_the_program(self):
        got = fields(self.debs["trueblank"])
        self.assertEqual((got["Package"], got["Version"], got["Section"]),
                         ("trueblank", VERSION, "science"))
        self.assertEqual(got["Maintainer"],
                         "trueblank maintainers <maintainers@trueblank.invalid>")
        summary, *rest = got["Description"].splitlines()
        # Policy 3.4.1 and 5.6.13: a line under 80 characters, then lines that begin with a space.
        self.assertLess(len(summary), 80)
        self.assertGreater(len(rest), 3)
        self.assertFalse([line for line in rest if len(line) > 80])
        depends = got["Depends"]
        # What the program is known to link; the names are those of Debian 12.
        for library in ("libc6", "libstdc++6", "libtbb12", "libsqlite3-0", "libnlopt0", "zlib1g"):
            self.assertRegex(depends, rf"(^|, ){re.escape(library)}( \(>= [^)]+\))?(,|$)")
        self.assertNotIn("-dev", depends)

    def test_fields_of_the_libraries(self):
        got = fields(self.debs["libtrueblank-dev"])
        self.assertEqual((got["Version"], got["Section"]), (VERSION, "libdevel"))
        # What find_package(trueblank) looks for.
        self.assertEqual(sorted(got["Depends"].split(", ")), [
            "libboost-dev", "libcgal-dev", "libeigen3-dev", "libnlopt-cxx-dev", "libnlopt-dev",
            "libsqlite3-dev", "libtomlplusplus-dev", "nlohmann-json3-dev", "zlib1g-dev"])

    def test_what_is_in_the_program(self):
        for name in ("usr/bin/trueblank", "usr/share/man/man1/trueblank.1.gz",
                     "usr/share/bash-completion/completions/trueblank",
                     "usr/share/zsh/vendor-completions/_trueblank",
                     "usr/share/doc/trueblank/README.md", "usr/share/doc/trueblank/GUIDE.md",
                     "usr/share/doc/trueblank/REFERENCE.md", "usr/share/doc/trueblank/copyright",
                     "usr/share/doc/trueblank/changelog.gz",
                     "usr/share/doc/trueblank/examples/pencil-140.toml"):
            self.assertTrue(self.program[name][1], name)
        page = gzip.decompress(self.program["usr/share/man/man1/trueblank.1.gz"][1])
        self.assertIn(b".TH TRUEBLANK 1", page)
        # gzip -n: no time and no name in the head (RFC 1952, 2.3.1).
        self.assertEqual(self.program["usr/share/man/man1/trueblank.1.gz"][1][3:8], bytes(5))

    def test_an_example_has_its_mesh_beside_it(self):
        folder = "usr/share/doc/trueblank/examples/"
        examples = {name.removeprefix(folder): content
                    for name, (_, content) in self.program.items() if name.startswith(folder)}
        self.assertLess(sum(map(len, examples.values())), SIZE_OF_EXAMPLES)
        sheets = [name for name in examples if name.endswith(".toml")]
        self.assertGreater(len(sheets), 3)
        for sheet in sheets:
            text = examples[sheet].decode("utf-8")
            self.assertIn("invented", text)
            for mesh in re.findall(r'^mesh *= *"([^"]+)"', text, re.MULTILINE):
                self.assertIn(mesh, examples, sheet)

    def test_what_is_in_the_libraries(self):
        names = set(self.development)
        for room in ("geometry", "water", "intake", "report"):
            self.assertTrue([n for n in names if n.endswith(f"/libtrueblank_{room}.a")], room)
        for name in ("usr/include/trueblank/geometry/mesh.h", "usr/include/trueblank/water/waterline.h"):
            self.assertIn(name, names)
        self.assertTrue([n for n in names if n.endswith("cmake/trueblank/trueblank-config.cmake")])
        both = [name for name, (member, _) in self.development.items()
                if member.isfile() and name in self.program]
        self.assertEqual(both, [])

    def test_owners_modes_and_times(self):
        for name, (member, _) in {**self.program, **self.development}.items():
            with self.subTest(name):
                self.assertEqual((member.uid, member.gid, member.mtime), (0, 0, WHEN))
                # Policy 10.9: 755 for what is run and for folders, 644 for the rest.
                run_or_folder = member.isdir() or name == "usr/bin/trueblank"
                self.assertEqual(oct(member.mode), oct(0o755 if run_or_folder else 0o644))

    def test_no_path_of_the_build_is_left_in_a_text(self):
        source = str(pathlib.Path(__file__).resolve().parents[2]).encode("utf-8")
        wrong = [name for name, (_, content) in {**self.program, **self.development}.items()
                 if not name.endswith(".a") and name != "usr/bin/trueblank"
                 and (source in content or BUILD.encode("utf-8") in content)]
        self.assertEqual(wrong, [])

    def test_sums_are_those_of_the_files(self):
        for name, content in (("trueblank", self.program), ("libtrueblank-dev", self.development)):
            sums = run("dpkg-deb", "--info", self.debs[name], "md5sums").decode("utf-8")
            told = {path: total for total, path in re.findall(r"^(\w{32})  (.+)$", sums, re.MULTILINE)}
            wanted = {path: hashlib.md5(data).hexdigest()
                      for path, (member, data) in content.items() if member.isfile()}
            self.assertEqual(told, wanted)

    def test_the_copyright_file_is_machine_readable_and_complete(self):
        text = self.program["usr/share/doc/trueblank/copyright"][1].decode("utf-8")
        self.assertEqual(
            text, self.development["usr/share/doc/libtrueblank-dev/copyright"][1].decode("utf-8"))
        head, *rest = stanzas(text)
        self.assertEqual(head["Format"],
                         "https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/")
        parts = [stanza for stanza in rest if "Files" in stanza]
        licences = {stanza["License"].split("\n")[0]: stanza["License"]
                    for stanza in rest if "Files" not in stanza}
        self.assertEqual(parts[0]["Files"], "*")
        self.assertEqual(parts[0]["License"], "GPL-3+")
        named = set()
        for part in parts:
            self.assertTrue(part["Copyright"], part["Files"])
            named |= set(re.split(r" and ", part["License"]))
        # Each licence that is named is written out, and none for nothing.
        self.assertEqual(named, set(licences))
        for licence in licences.values():
            self.assertGreater(len(licence.splitlines()), 2)
        self.assertIn("/usr/share/common-licenses/GPL-3.", licences["GPL-3+"])
        for path in re.findall(r"/usr/share/common-licenses/[\w.-]*\w", text):
            self.assertTrue(pathlib.Path(path).exists(), path)
        # Whatever a room links, and what the page bundles, has its part.
        for name in ("three", "CGAL", "eigen3", "nlohmann", "toml++", "CLI", "boost", "tbb",
                     "wasm32-wasi"):
            self.assertTrue([part for part in parts if f"/{name}" in part["Files"]], name)

    def test_the_changelog_is_of_this_version(self):
        text = gzip.decompress(
            self.program["usr/share/doc/trueblank/changelog.gz"][1]).decode("utf-8")
        self.assertTrue(text.startswith(f"trueblank ({VERSION}) "), text)

    def test_the_program_runs_unpacked(self):
        place = WORK / "unpacked"
        run("dpkg-deb", "--extract", self.debs["trueblank"], place)
        told = run(place / "usr/bin/trueblank", "--version").decode("utf-8")
        self.assertTrue(told.startswith(f"trueblank {VERSION}"), told)
        answer = run(place / "usr/bin/trueblank", "weigh", "--quiet", "--density", "0.37",
                     place / "usr/share/doc/trueblank/examples/pencil-140.stl").decode("utf-8")
        # meshes/README.md: 40032.81 mm³ by signed tetrahedra; times 0.37 g/cm³.
        self.assertIn("The blank weighs 14.8 g", answer)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
