# SPDX-License-Identifier: GPL-3.0-or-later
"""The API reference is of the headers that are installed, and a warning in it is an error."""

import re
import subprocess
import unittest

from house import ROOT, files_under, short


def run(*arguments):
    return subprocess.run([str(ROOT / "scripts" / "api"), *arguments], capture_output=True,
                          text=True, cwd=ROOT, timeout=60, check=False)


def listed(cmake_text):
    """The headers of every HEADERS list, by CMake's own rule: up to the next keyword."""
    text = re.sub(r"#.*", "", cmake_text)
    lists = re.findall(r"\bHEADERS\s+([^()]*?)(?=\b[A-Z]{3,}[A-Z_]*\b|\))", text)
    return [name for one in lists for name in one.split()]


def types_of(header_text):
    """The types that a header defines in its namespace, not within another."""
    return re.findall(r"^(?:struct|class|enum class|enum) (\w+)(?: final)?(?: : [\w:, ]+)? \{",
                      header_text, re.MULTILINE)


class Api(unittest.TestCase):
    def test_it_takes_the_headers_that_are_installed(self):
        wanted = sorted(f"{short(path.parent)}/{name}" for path in files_under("lib")
                        if path.name == "CMakeLists.txt" and path.parent != ROOT / "lib"
                        for name in listed(path.read_text(encoding="utf-8")))
        result = run("--headers")
        self.assertEqual((result.returncode, result.stderr), (0, ""))
        self.assertGreater(len(wanted), 100)
        self.assertEqual(sorted(result.stdout.split()), wanted)
        self.assertEqual([name for name in wanted if not (ROOT / name).is_file()], [])

    def test_public_headers_go_together(self):
        """A name stands for one type in a room, so that any headers can be included at once."""
        places = {}
        for path in files_under("lib"):
            if path.name != "CMakeLists.txt" or path.parent == ROOT / "lib":
                continue
            for name in listed(path.read_text(encoding="utf-8")):
                header = path.parent / name
                for kind in types_of(header.read_text(encoding="utf-8")):
                    places.setdefault((path.parent.name, kind), set()).add(short(header))
        self.assertGreater(len(places), 200)
        self.assertEqual([f"{room}::{kind} is in {', '.join(sorted(headers))}"
                          for (room, kind), headers in sorted(places.items())
                          if len(headers) > 1], [])

    def test_the_check_itself_tells_types(self):
        self.assertEqual(types_of("struct A {\n  struct B {\n  };\n};\nclass C final : A {\n"
                                  "enum class D { e };\nenum class E : char { f };\n"
                                  "struct F;\nclass G;\n/// struct H {\n"),
                         ["A", "C", "D", "E"])

    def test_a_warning_is_an_error(self):
        settings = dict(re.findall(r"^(\w+)\s*=\s*(.*?)\s*$",
                                   (ROOT / "lib" / "Doxyfile").read_text(encoding="utf-8"),
                                   re.MULTILINE))
        self.assertEqual(settings["WARN_AS_ERROR"], "FAIL_ON_WARNINGS")
        self.assertEqual(settings["WARN_IF_DOC_ERROR"], "YES")
        self.assertTrue(settings["OUTPUT_DIRECTORY"].startswith("build/"))

    def test_an_unknown_option_is_refused_in_one_line(self):
        result = run("--no-such-option")
        self.assertEqual((result.returncode, result.stdout), (2, ""))
        self.assertEqual(result.stderr,
                         "api: unknown option '--no-such-option'; see scripts/api --help\n")


if __name__ == "__main__":
    unittest.main()
