# SPDX-License-Identifier: GPL-3.0-or-later
"""lib/THEORY.md against the tree: what it names is there, each name in a file named beside it."""

import re
import unittest

from house import ROOT

LIB = ROOT / "lib"
PAGE = LIB / "THEORY.md"
IS_FILE = re.compile(r"[a-z]+/[a-z0-9_]+\.(h|cpp)")
IS_NAME = re.compile(r"[A-Za-z_]\w*(::[A-Za-z_]\w*)*")
LINES, WIDTH = 250, 130


def without_formulas(text):
    """Lines set in by four are formulas."""
    return [line for line in text.splitlines() if not line.startswith("    ")]


def passages(text):
    """Paragraphs; a row of a table stands for itself."""
    found, current = [], []
    for line in without_formulas(text) + [""]:
        if line.startswith(("|", "#")) or not line.strip():
            found += ["\n".join(current)] if current else []
            current = []
        if line.startswith("|"):
            found.append(line)
        elif line.strip():
            current.append(line)
    return found


def names_without_file(text, read):
    """What a passage names that none of its files holds; read(file) is a file's text, or None."""
    wrong = []
    for passage in passages(text):
        quoted = re.findall(r"`([^`]+)`", passage)
        files = [name for name in quoted if IS_FILE.fullmatch(name)]
        texts = [read(name) for name in files]
        wrong += [f"no file lib/{name}" for name, held in zip(files, texts) if held is None]
        for name in quoted:
            if name in files:
                continue
            parts = name.split("::") if IS_NAME.fullmatch(name) else []
            held = any(all(re.search(rf"(?<!\w){re.escape(part)}(?!\w)", each) for part in parts)
                       for each in texts if each is not None)
            if not parts or not held:
                wrong.append(f"'{name}' is in none of {', '.join(files) or 'no file named'}")
    return wrong


def read_lib(name):
    path = LIB / name
    return path.read_text(encoding="utf-8") if path.is_file() else None


class Theory(unittest.TestCase):
    def setUp(self):
        self.text = PAGE.read_text(encoding="utf-8")

    def test_each_name_is_in_a_file_named_beside_it(self):
        self.assertGreater(len(re.findall(r"`[^`]+`", self.text)), 100)
        wrong = names_without_file(self.text, read_lib)
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_each_section_says_where_it_stands(self):
        sections = re.split(r"^## ", self.text, flags=re.MULTILINE)[1:]
        self.assertGreater(len(sections), 10)
        wrong = [section.splitlines()[0] for section in sections
                 if re.match(r"\d", section) and "Where: " not in section]
        self.assertEqual(wrong, [])

    def test_it_is_a_page(self):
        lines = self.text.splitlines()
        self.assertLessEqual(len(lines), LINES)
        long = [f"line {i}: {len(line)} characters" for i, line in enumerate(lines, 1)
                if len(line) > WIDTH]
        self.assertEqual(long, [])


class TheCheckItself(unittest.TestCase):
    """On a made-up page: what is wrong is found."""

    FILES = {"water/one.h": "struct Line { double offset_mm; };", "water/two.cpp": "int cut();"}

    def wrong(self, text):
        return names_without_file(text, self.FILES.get)

    def test_what_is_right_passes(self):
        self.assertEqual(self.wrong("`Line::offset_mm` in `water/one.h`;\n`cut` in `water/two.cpp`."),
                         [])

    def test_a_missing_file_is_named(self):
        self.assertEqual(self.wrong("See `water/three.h`."), ["no file lib/water/three.h"])

    def test_part_of_a_name_is_not_the_name(self):
        self.assertEqual(self.wrong("`offset` in `water/one.h`"),
                         ["'offset' is in none of water/one.h"])

    def test_a_file_of_another_paragraph_does_not_count(self):
        self.assertEqual(self.wrong("`cut`\n\n`water/two.cpp`"),
                         ["'cut' is in none of no file named"])


if __name__ == "__main__":
    unittest.main()
