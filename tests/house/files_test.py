# SPDX-License-Identifier: GPL-3.0-or-later
"""What each file begins with, how long it may be, and what stands at the top level."""

import re
import unittest

from house import ROOT, files_under, short, visible

TOP_LEVEL = ["CMakeLists.txt", "DEVELOPERS.md", "README.md", "lib", "meshes", "scripts", "tests",
             "tools"]
SPDX = "SPDX-License-Identifier: GPL-3.0-or-later"
LONGEST = 700


def is_source(path):
    if path.name == "CMakeLists.txt" or path.suffix in {".h", ".cpp", ".cmake", ".py", ".sh"}:
        return True
    return path.parent == ROOT / "scripts"


def all_sources():
    return [p for p in files_under("CMakeLists.txt", "lib", "tools", "tests", "scripts", ".ci")
            if is_source(p) or p.parent == ROOT / ".ci"]


def is_listed(path):
    """Whether the nearest CMakeLists.txt above names this file."""
    folder = path.parent
    while not (folder / "CMakeLists.txt").exists():
        folder = folder.parent
    listed = (folder / "CMakeLists.txt").read_text(encoding="utf-8")
    # As a whole word: "mesh.cpp" is not named by "read_mesh.cpp".
    return re.search(rf"(?<![\w-]){re.escape(path.name)}(?!\w)", listed) is not None


class Files(unittest.TestCase):
    def test_top_level_is_exactly_what_was_agreed(self):
        self.assertEqual([entry.name for entry in visible(ROOT)], TOP_LEVEL)

    def test_every_source_names_its_licence(self):
        sources = all_sources()
        self.assertGreater(len(sources), 30)
        wrong = []
        for path in sources:
            lines = path.read_text(encoding="utf-8").splitlines() or [""]
            line = lines[1] if lines[0].startswith("#!") and len(lines) > 1 else lines[0]
            mark = "// " if path.suffix in {".h", ".cpp"} else "# "
            if line != mark + SPDX:
                wrong.append(f"{short(path)}: its first line should be '{mark}{SPDX}'")
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_no_source_is_longer_than_one_can_read(self):
        wrong = []
        for path in all_sources():
            count = len(path.read_text(encoding="utf-8").splitlines())
            if count >= LONGEST:
                wrong.append(f"{short(path)}: {count} lines; fewer than {LONGEST}, please")
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_every_header_is_guarded(self):
        headers = [p for p in files_under("lib", "tools", "tests") if p.suffix == ".h"]
        self.assertGreater(len(headers), 10)
        wrong = [short(p) for p in headers
                 if "#pragma once" not in p.read_text(encoding="utf-8").splitlines()]
        self.assertEqual(wrong, [])

    def test_every_source_is_named_in_its_cmake_file(self):
        """Files are listed, not globbed: one that is not listed is never compiled."""
        wrong = [f"{short(path)}: not in its folder's CMakeLists.txt"
                 for path in files_under("lib", "tools", "tests")
                 if path.suffix == ".cpp" and not is_listed(path)]
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_what_an_installed_header_includes_is_installed_too(self):
        headers = [p for p in files_under("lib") if p.suffix == ".h"]
        listed = [p for p in headers if is_listed(p)]
        self.assertGreater(len(listed), 10)
        wrong = []
        for path in listed:
            for name in re.findall(r'^#include "([^"]+)"', path.read_text(encoding="utf-8"),
                                   re.MULTILINE):
                if not is_listed(ROOT / "lib" / name):
                    wrong.append(f"{short(path)} includes {name}, which is not listed")
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_no_cmake_file_globs(self):
        wrong = [short(p) for p in files_under("CMakeLists.txt", "lib", "tools", "tests")
                 if p.name == "CMakeLists.txt"
                 and re.search(r"\bGLOB(_RECURSE)?\b", p.read_text(encoding="utf-8"))]
        self.assertEqual(wrong, [])


if __name__ == "__main__":
    unittest.main()
