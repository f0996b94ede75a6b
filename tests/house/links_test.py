# SPDX-License-Identifier: GPL-3.0-or-later
"""Where one page points to another, to a picture or to a heading, there is one."""

import re
import unittest

from house import ROOT, short

LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
BLOCK = re.compile(r"^```.*?^```", re.DOTALL | re.MULTILINE)


def pages():
    return [ROOT / "README.md", ROOT / "DEVELOPERS.md", ROOT / "lib" / "THEORY.md",
            ROOT / "meshes" / "README.md", *sorted((ROOT / "tools").glob("*.md"))]


def anchors(page):
    """The names by which headings are pointed to: in small letters, words joined by -."""
    text = BLOCK.sub("", page.read_text(encoding="utf-8"))
    headings = re.findall(r"^#+ (.*)$", text, re.MULTILINE)
    return {re.sub(r"[^\w -]", "", heading.lower()).strip().replace(" ", "-")
            for heading in headings}


def broken(page):
    wrong = []
    for link in LINK.findall(BLOCK.sub("", page.read_text(encoding="utf-8"))):
        if re.match(r"[a-z]+:", link):
            continue
        path, _, anchor = link.partition("#")
        target = (page.parent / path).resolve() if path else page
        if not target.exists():
            wrong.append(f"{short(page)}: no {link}")
        elif anchor and anchor not in anchors(target):
            wrong.append(f"{short(page)}: no heading for {link}")
    return wrong


class Links(unittest.TestCase):
    def test_every_link_leads_somewhere(self):
        wrong = [each for page in pages() for each in broken(page)]
        self.assertEqual(wrong, [], "\n" + "\n".join(wrong))

    def test_readme_leads_to_guide_and_reference(self):
        links = LINK.findall((ROOT / "README.md").read_text(encoding="utf-8"))
        for page in ("tools/GUIDE.md", "tools/REFERENCE.md", "lib/THEORY.md", "DEVELOPERS.md"):
            self.assertIn(page, [link.partition("#")[0] for link in links])

    def test_a_heading_s_name_is_as_pages_show_it(self):
        # As the usual renderers make it: letters small, marks left out, spaces turned to -.
        self.assertIn("where-the-checks-stand", anchors(ROOT / "DEVELOPERS.md"))


if __name__ == "__main__":
    unittest.main()
