# SPDX-License-Identifier: GPL-3.0-or-later
"""Every single change that the mutation check may make to the core formulas, and their order.

A mutation replaces one stretch of a C++ source: a sign, an index, a factor, a comparison or a
function. The kinds of mutation are the usual ones (R. A. DeMillo, R. J. Lipton, F. G. Sayward,
"Hints on test data selection: help for the practicing programmer", Computer 11(4), 34-41, 1978).
The sources keep clang-format's spaces: a binary operator has one on both sides, and nothing else
has. So no parser is needed.
"""

import hashlib
import pathlib
import re
from typing import NamedTuple

KINDS = ("sign", "index", "factor", "comparison", "function")

# The rooms whose every source is taken, but for one that holds no formula, and single files beside.
ROOMS = ("geometry", "water")
NO_FORMULA = "lib/geometry/error.cpp"
SINGLE_FILES = ("lib/geometry/compensated_sum.h", "lib/geometry/facet_cut.h",
                "lib/geometry/facet_lanes.h", "lib/rig/assembly.cpp", "lib/rig/wood_taken.cpp",
                "lib/water/attitude.h")


class Mutation(NamedTuple):
    file: str  # from the top of the project
    start: int  # the stretch [start, end) of the file's text
    end: int
    old: str
    new: str
    kind: str
    line: int
    text: str  # of that line, without its indent

    def applied_to(self, source):
        if source[self.start:self.end] != self.old:
            raise ValueError(f"{self.file} is not the text that was read")
        return source[:self.start] + self.new + source[self.end:]

    def told(self):
        shown = self.old.strip() or self.old
        return f"{self.file}:{self.line}  {self.kind}  {shown!r} -> {self.new.strip()!r}  in  " \
               f"{self.text}"


class Exempt(NamedTuple):
    """A line's mutations that no test can kill. `old` narrows it to those of one stretch."""
    file: str
    text: str
    why: str
    old: str = ""

    def covers(self, mutation):
        return (self.file == mutation.file and self.text == mutation.text
                and self.old in ("", mutation.old.strip()))


# Mutants that give the same answers, by the reason why: (file, line, stretches; all where none).
SAME_ANSWERS = {
    "what is fetched or reserved ahead changes the time alone": (
        ("lib/geometry/moment_tree.cpp",
         "for (std::size_t i = 0; i < bytes; i += cache_line) __builtin_prefetch(at + i);"),
        ("lib/geometry/moment_tree.cpp",
         "nodes += (leaves + unit - 1) / unit;"),
        ("lib/geometry/moment_tree.cpp",
         "tree.sums_.reserve(static_cast<std::size_t>(nodes) * ways);"),
        ("lib/geometry/moment_tree.cpp",
         "fetch(&leaf_data_[leaf.at], sizeof(double) * (3 * std::size_t{leaf.vertices} + 3));"),
        ("lib/geometry/moment_tree.cpp",
         "tree.leaf_data_.reserve(static_cast<std::size_t>(leaves) * 40);"),
        ("lib/geometry/silhouette.cpp", "ends.reserve(2 * sides.size());"),
        ("lib/water/sphere_grid.cpp", "edges.reserve(faces_.size() * 3);"),
        ("lib/water/sphere_grid.cpp", "finer.reserve(faces_.size() * 4);"),
        ("lib/water/sphere_grid.cpp", "sides.reserve(faces_.size() * 3);"),
    ),
    "a cell that is not followed from others is let go by itself": (
        ("lib/water/sweep.cpp", "if (jm < j1) fill(i0, jm, im, j1);"),
        ("lib/water/sweep.cpp", "if (im < i1) fill(im, j0, i1, jm);"),
        ("lib/water/sweep.cpp", "if (im < i1 && jm < j1) fill(im, jm, i1, j1);"),
    ),
    "a node has two parents or none": (
        ("lib/water/energy_field.cpp", "if (parents[0] >= 0) {", "0"),
    ),
    "classes are told apart alike, whatever the first one's number": (
        ("lib/water/rest_poses.cpp",
         "int share_class(double share) { return static_cast<int>(std::floor(share * 100 + 0.5 + "
         "1e-6)); }", "+"),
    ),
    "a closed skin's far side has the outline of its near side": (
        ("lib/geometry/silhouette.cpp",
         "if (!(doubled.dot(axes.n) > edge_on * doubled.norm())) continue;", ">"),
    ),
    "one and less one are their own inverses": (
        ("lib/water/model_step.cpp", "return std::copysign(radius_rad, sense * slope);", "*"),
    ),
    "asked whether it is nil, whichever way it is counted": (
        ("lib/geometry/mesh.cpp",
         "for (; begin != end && *begin >> 1 == other; ++begin) balance += (*begin & 1) != 0 ? 1 "
         ": -1;", "+="),
    ),
    "facets in a block move rounding alone": (
        ("lib/geometry/facet_lanes.h",
         "inline constexpr int facets_in_lanes = facet_lanes * facets_per_block;",
         "* facets_per_block"),
    ),
    "an empty block more": (
        ("lib/geometry/cut.cpp",
         "for (Eigen::Index begin = 0; begin < facets.cols(); begin += facets_per_block) {", "<"),
        ("lib/geometry/moments.cpp",
         "for (Eigen::Index begin = 0; begin < facets; begin += facets_per_block) {", "<"),
    ),
    "chunks too many are empty": (
        ("lib/water/energy_field.cpp",
         "const int chunks = (end - done + nodes_a_chunk - 1) / nodes_a_chunk;",
         "-", "/", "/ nodes_a_chunk"),
        ("lib/water/shares.cpp",
         "loop((n + faces_a_chunk - 1) / faces_a_chunk, [&](int chunk) {",
         "-", "/", "/ faces_a_chunk"),
        ("lib/water/sweep_border.cpp",
         "loop((count + sides_a_chunk - 1) / sides_a_chunk, [&](int chunk) {",
         "-", "/", "/ sides_a_chunk"),
    ),
    "where the search for a waterline begins, not where it ends: it is bracketed": (
        ("lib/water/energy_field.cpp",
         "start_mm = (foreseen_offset_mm(parents[0], up) + "
         "foreseen_offset_mm(parents[1], up)) / 2;"),
        ("lib/water/righting.cpp",
         "if (at.offset_mm) *at.offset_mm += at.offset_slope_mm.dot(up - at.up);"),
        ("lib/water/shares.cpp",
         "offset_mm = line.offset_mm + line.offset_slope_mm.dot(next - up);"),
        ("lib/water/stationary.cpp",
         "return line.offset_mm + line.offset_slope_mm.dot(to - from);"),
        ("lib/water/sweep.cpp",
         ".offset_mm = 3 * (one->offset_mm - two->offset_mm) + three->offset_mm,"),
        ("lib/water/sweep.cpp", "guess.offset_mm += weights(k) * corners[k].offset_mm;"),
        ("lib/water/back_up.cpp",
         "start_mm = foreseen_offset_mm(line, up, Vec3(-std::sin(trim), 0, std::cos(trim)));"),
        ("lib/water/righting.cpp", "Vec3 up = Vec3::UnitZ();"),
    ),
    "a bracket that shrinks more slowly still ends halved": (
        ("lib/water/righting.cpp",
         "d.trim_trim > 0 ? -d.over_trim / d.trim_trim : "
         "-std::copysign(HUGE_VAL, d.over_trim);", "/", "/ d.trim_trim"),
        ("lib/water/back_up.cpp",
         "const bool slow = std::isfinite(high - low) && std::abs(step) > before / 2;", "/"),
        ("lib/water/back_up.cpp",
         "const bool within = trim + step > low && trim + step < high;", ">", "<"),
        ("lib/water/waterline.cpp",
         "const bool within = next > tried.low_mm && next < tried.high_mm;", ">", "<"),
        ("lib/water/waterline.cpp", "before_g = std::abs(excess_g);"),
        ("lib/water/righting.cpp",
         "const double part = i % 2 == 0 && line > 0 && line < 1 ? "
         "std::clamp(line, 1e-9, 1 - 1e-9) : 0.5;", ">", "<"),
        ("lib/water/sweep_border.cpp", "kept = std::max(kept, 0) + 1;"),
        ("lib/water/sweep_border.cpp", "kept = std::min(kept, 0) - 1;"),
    ),
    "a step that comes out too long is taken back, and a shorter one tried": (
        ("lib/water/stationary.cpp", "radius = length / 2;", "/"),
        ("lib/water/stationary.cpp", "radius = std::min(radius, length) / 4;", "min"),
        ("lib/water/passes.cpp", "radius = std::min(radius, step.length_rad()) / 4;", "min"),
    ),
    "the same places are found in whatever order": (
        ("lib/water/rest_places.cpp",
         "[](const Start& a, const Start& b) { return a.energy_g_mm < b.energy_g_mm; });"),
    ),
    "the cubic's end is among them already": (
        ("lib/water/steepest_way.cpp", "for (int i = 1; i < parts; ++i) {", "<"),
    ),
    "a search that has not ended after 100 or 200 cuts has not after one more": (
        ("lib/water/waterline.cpp", "for (int cut = 0; cut < most_cuts; ++cut) {"),
        ("lib/water/righting.cpp", "for (int i = 0; i < 100; ++i) {", "<"),
        ("lib/water/stationary.cpp",
         "for (int i = 0; i < most_steps && here.line.converged; ++i) {", "<"),
    ),
    "judges rounding alone": (
        ("lib/geometry/inside.cpp",
         "double largest = from.cwiseAbs().maxCoeff() / direction.norm();"),
        ("lib/geometry/inside.cpp",
         "for (const Hit& hit : result.hits) largest = std::max(largest, std::abs(hit.t));"),
        ("lib/water/near_pose.cpp",
         "at.converged = step.norm() < newton_settled_rad ||", "norm"),
        ("lib/water/waterline.cpp",
         "size = std::max({size, std::abs(extent.first), std::abs(extent.second)});"),
        ("lib/geometry/coat.cpp",
         "std::max({sides[0].squaredNorm(), sides[1].squaredNorm(), sides[2].squaredNorm()});"),
    ),
    "a closed skin's volume is the same about any apex": (
        ("lib/geometry/mesh.cpp", "const Vec3 centre = low + (high - low) / 2;"),
        ("lib/geometry/moments.cpp",
         "for (Eigen::Index i = 0; i < asked; ++i) sum += mesh.positions_mm.col(i * vertices / "
         "asked);", "*"),
        ("lib/geometry/moments.cpp",
         "for (Eigen::Index i = 0; i < asked; ++i) sum += mesh.positions_mm.col(i * vertices / "
         "asked);", "+="),
        ("lib/geometry/moments.cpp", "const Eigen::Index asked = std::min(some, vertices);"),
        ("lib/geometry/moments.cpp",
         "for (Eigen::Index i = 0; i < asked; ++i) sum += mesh.positions_mm.col(i * vertices / "
         "asked);", "* vertices"),
        ("lib/geometry/moments.cpp", "return sum / static_cast<double>(asked);"),
    ),
    "any number between the two cosines, 0.447 and -0.447, tells neighbours": (
        ("lib/water/sphere_grid.cpp",
         "const double neighbours = 1 / std::sqrt(5.0) - 0.01;  "
         "// cosine of 63.4°; the next are at 116.6°", "std::sqrt"),
    ),
}
EXEMPT = tuple(Exempt(file, text, why, old) for why, places in SAME_ANSWERS.items()
               for file, text, *stretches in places for old in stretches or ("",))

TOKEN = re.compile(
    r"""(?P<skip>\s+|//[^\n]*|/\*.*?\*/|^[ \t]*\#(?:\\\n|[^\n])*)
      | (?P<string>R"([^()\s\\]*)\(.*?\)\3"|"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])+')
      | (?P<number>0[xX][0-9A-Fa-f'.]+(?:[pP][+-]?\d+)?\w*|\.?\d(?:[eE][+-]|[\w.'])*)
      | (?P<name>[A-Za-z_]\w*)
      | (?P<mark><=>|<<=|>>=|\.\.\.|::|->|\+\+|--|<<|<=|>=|==|!=|&&|\|\||[-+*/%&|^]=|.)""",
    re.VERBOSE | re.DOTALL | re.MULTILINE)

OPEN, CLOSE = "([{", ")]}"
# Where a product ends to either side.
ENDS_TERM = {";", ",", "=", "?", ":", "&&", "||", "==", "!=", "<=", ">=", "+=", "-=", "*=", "/=",
             "return"}
# Allowances for rounding, by name; numbers below a millionth are such too.
ROUNDING = re.compile(r"rounding|epsilon|settled|vanished|\bnil_?\w*|\blast_residual")
MESSAGES = {"static_assert", "assert", "eigen_assert"}

NEXT_INDEX = {"0": "1", "1": "0", "2": "0"}
NEXT_AXIS = {"x": "y", "y": "z", "z": "x", "UnitX": "UnitY", "UnitY": "UnitZ", "UnitZ": "UnitX",
             "row": "col", "col": "row"}
INDEXED_BY_CALL = {"row", "col", "corner", "Unit", "get"}
TURNED = {"<": ">", ">": "<", "<=": ">=", ">=": "<="}
OTHER_SIGN = {"+": "-", "-": "+", "+=": "-=", "-=": "+="}
OTHER_FACTOR = {"*": "/", "/": "*", "*=": "/=", "/=": "*="}
OF_STD = {"sin": "cos", "cos": "sin", "asin": "acos", "acos": "asin", "min": "max", "max": "min",
          "fmin": "fmax", "fmax": "fmin", "floor": "ceil", "ceil": "floor",
          "lower_bound": "upper_bound", "upper_bound": "lower_bound"}
OF_EIGEN = {"cwiseMin": "cwiseMax", "cwiseMax": "cwiseMin", "minCoeff": "maxCoeff",
            "maxCoeff": "minCoeff", "norm": "squaredNorm", "squaredNorm": "norm"}
DROPPED = {"abs", "sqrt"}


class Token(NamedTuple):
    kind: str
    text: str
    start: int
    end: int


def tokens_of(source):
    return [Token(m.lastgroup if m.lastgroup else "mark", m.group(), m.start(), m.end())
            for m in TOKEN.finditer(source) if m.group("skip") is None]


def changed_number(text):
    """Another factor, or nothing where the number is none that a formula would have."""
    if re.fullmatch(r"\d+", text):
        value = int(text)
        return {1: "2", 2: "3", 3: "2"}.get(value, str(2 * value)) if value else None
    if re.fullmatch(r"\d*\.\d+|\d+\.\d*", text):
        return repr(2 * float(text))
    return None


class Source:
    """One file's tokens, and the mutations that they allow."""

    def __init__(self, file, source):
        self.file = file
        self.source = source
        self.tokens = tokens_of(source)
        self.match = {}
        self.closed = set()  # tokens within what must stay as it is
        self.in_for = set()  # tokens within the head of a loop
        self._match_brackets()

    def text(self, i):
        return self.tokens[i].text if 0 <= i < len(self.tokens) else ""

    def kind(self, i):
        return self.tokens[i].kind if 0 <= i < len(self.tokens) else ""

    def spaced(self, i):
        """Whether a mark stands free, as a binary operator does and no other mark."""
        token = self.tokens[i]
        return self.source[token.start - 1].isspace() and self.source[token.end].isspace()

    def _match_brackets(self):
        waiting = []
        for i, token in enumerate(self.tokens):
            if token.kind != "mark":
                continue
            if token.text in OPEN:
                waiting.append(i)
            elif token.text in CLOSE:
                begin = waiting.pop()
                self.match[begin], self.match[i] = i, begin
                if token.text == ")" and self.text(begin - 1) in MESSAGES:
                    self.closed.update(range(begin, i))
                if token.text == ")" and self.text(begin - 1) == "for":
                    self.in_for.update(range(begin, i))

    def _ends_term(self, i):
        token = self.tokens[i]
        if token.text in ENDS_TERM:
            return True
        return token.text in {"+", "-", "<", ">"} and self.spaced(i)

    def _side_of_term(self, i, step):
        inward, outward = (OPEN, CLOSE) if step > 0 else (CLOSE, OPEN)
        found = []
        while 0 <= i < len(self.tokens):
            text = self.tokens[i].text
            if text in outward or self._ends_term(i):
                break
            last = self.match[i] if text in inward else i
            found += range(min(i, last), max(i, last) + 1)
            i = last + step
        return found

    def judges_rounding(self, i):
        """Whether the product around token i is an allowance for rounding."""
        around = self._side_of_term(i + 1, 1)
        if self.text(i) not in {"+", "-"}:
            around += self._side_of_term(i - 1, -1) + [i]
        for k in around:
            token = self.tokens[k]
            if token.kind == "name" and ROUNDING.search(token.text):
                return True
            if token.kind == "number" and re.fullmatch(r"[\d.]+e-\d+F?", token.text):
                if 0 < float(token.text.rstrip("F")) < 1e-6:
                    return True
        return False

    def operand_end(self, i):
        """The token after the operand that begins with token i; nothing where it is no plain
        one."""
        if self.text(i) == "-" and not self.spaced(i):
            i += 1
        if self.text(i) == "(":
            i = self.match[i] + 1
        elif self.kind(i) in {"number", "name"}:
            i += 1
        else:
            return None
        while i < len(self.tokens):
            text = self.tokens[i].text
            if text in {"(", "["}:
                i = self.match[i] + 1
            elif text == "{" and self.tokens[i].start == self.tokens[i - 1].end:
                i = self.match[i] + 1
            elif text in {".", "->", "::"}:
                i += 2
            elif text == "<" and not self.spaced(i):
                while self.text(i) != ">":
                    if self.text(i) in {";", "{", ""}:
                        return None
                    i += 1
                i += 1
            else:
                return i
        return None

    def _replacements(self, i):
        """(kind, first token, token after the last, text) of what may stand in place of token i
        and, where a factor goes, of what follows it."""
        token = self.tokens[i]
        text = token.text
        if token.kind == "mark":
            yield from self._of_mark(i)
        elif token.kind == "number":
            call = self.text(i - 1) == "(" and self.text(i - 2) in INDEXED_BY_CALL
            if text in NEXT_INDEX and ((self.text(i - 1) == "[" and self.text(i + 1) == "]") or
                                       (call and self.text(i + 1) in {")", ","})):
                yield "index", i, i + 1, NEXT_INDEX[text]
            beside = [k for k in (i - 1, i + 1)
                      if self.text(k) in {"*", "/"} and self.spaced(k)]
            if beside and changed_number(text):
                yield "factor", i, i + 1, changed_number(text)
        elif token.kind == "name" and self.text(i + 1) == "(":
            member = self.text(i - 1) in {".", "->"}
            if text in NEXT_AXIS and (member or text.startswith("Unit")):
                yield "index", i, i + 1, NEXT_AXIS[text]
            if member and text in OF_EIGEN:
                yield "function", i, i + 1, OF_EIGEN[text]
            if self.text(i - 1) == "::" and self.text(i - 2) == "std":
                if text in OF_STD:
                    yield "function", i, i + 1, OF_STD[text]
                elif text in DROPPED:
                    yield "function", i - 2, i + 1, ""

    def _of_mark(self, i):
        text = self.text(i)
        free = self.spaced(i)
        if text in OTHER_SIGN and free and "string" not in (self.kind(i - 1), self.kind(i + 1)):
            yield "sign", i, i + 1, OTHER_SIGN[text]
        if text == "-" and not free and self.kind(i + 1) in {"number", "name", "mark"}:
            yield "sign", i, i + 1, ""
        if text in OTHER_FACTOR and free:
            yield "factor", i, i + 1, OTHER_FACTOR[text]
            after = self.operand_end(i + 1)
            if text in {"*", "/"} and after is not None:
                yield "factor", i, after, ""
        if text in TURNED and free:
            if i in self.in_for:
                # The last round too many; elsewhere doubles are compared, which are never equal.
                if text == "<":
                    yield "comparison", i, i + 1, "<="
            else:
                yield "comparison", i, i + 1, TURNED[text]

    def mutations(self):
        lines = self.source.splitlines()
        for i in range(len(self.tokens)):
            if i in self.closed:
                continue
            for kind, first, after, new in self._replacements(i):
                if kind != "comparison" and self.judges_rounding(i):
                    continue
                start, end = self.tokens[first].start, self.tokens[after - 1].end
                if after > first + 1 and not new and self.tokens[first].kind == "mark":
                    start = self.tokens[first - 1].end  # with the space before the operator
                line = self.source.count("\n", 0, self.tokens[first].start) + 1
                yield Mutation(self.file, start, end, self.source[start:end], new, kind, line,
                               lines[line - 1].strip())


def files(root):
    """The sources that are mutated, from the top of the project, sorted."""
    found = {path.relative_to(root).as_posix()
             for room in ROOMS for path in (pathlib.Path(root) / "lib" / room).glob("*.cpp")}
    return sorted((found | set(SINGLE_FILES)) - {NO_FORMULA})


def all_mutations(root, exempt=EXEMPT):
    """Every mutation of the sources but those that are exempt."""
    found, used = [], set()
    for file in files(root):
        source = (pathlib.Path(root) / file).read_text(encoding="utf-8")
        for mutation in Source(file, source).mutations():
            covered = [entry for entry in exempt if entry.covers(mutation)]
            used.update(covered)
            if not covered:
                found.append(mutation)
    unused = [entry for entry in exempt if entry not in used]
    if unused:
        raise ValueError("exempt, but there is no such mutation any more: "
                         + "; ".join(f"{entry.file}: {entry.text}" for entry in unused))
    return found


def in_order(mutations, seed):
    """The same mutations, so that any first N of them are spread evenly over files and, within
    that, over kinds; which of them come first is the seed's. A mutation's place among those of its
    file and kind hangs on itself alone: a change in one file draws no others in the next."""
    def drawn(*words):
        return hashlib.sha256("\n".join((str(seed), *words)).encode()).digest()

    left = {}
    for mutation in mutations:
        left.setdefault(mutation.file, {}).setdefault(mutation.kind, []).append(mutation)
    for kinds in left.values():
        for group in kinds.values():
            group.sort(key=lambda one: drawn(one.text, one.old, one.new), reverse=True)
    turn = sorted(left, key=drawn)
    ordered = []
    turns = 0
    while left:
        for place, file in enumerate(turn):
            if file not in left:
                continue
            kinds = left[file]
            kind = KINDS[(place + turns) % len(KINDS)]
            if kind not in kinds:
                kind = min(kinds, key=lambda other: drawn(file, str(turns), other))
            ordered.append(kinds[kind].pop())
            if not kinds[kind]:
                del kinds[kind]
            if not kinds:
                del left[file]
        turns += 1
    return ordered
