"""What a student has: the exercises of a printed sheet by number, their tables, and the superheat graph; read with pypdf."""

from __future__ import annotations

import io
import itertools
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from pypdf import PdfReader
from pypdf.generic import ContentStream

# Titles by which an exercise begins, and its kind.
TITLES = {
    "Pick a size": "pick",
    "Round a window": "rounding",
    "Mass flow": "mass_flow",
    "Required": "required_kv",
    "Superheat from the graph": "zone",
    "Which refrigerant limits": "binding",
    "Between two rows": "between",
    "Static superheat": "static",
    "What a low head": "heads",
    "Both limits": "both_limits",
    "After turning the adjusting stem": "spring",
}
_BEGIN = re.compile(rf"(\d+) ({'|'.join(TITLES)})")
_ROWS = {"Size": 3, "Refrigerant Min": 99, "SST Min": 3, "Bulb temperature": 2}
_FURNITURE = re.compile(
    r"Page \d+ of \d+$|QB-31|Demonstration with invented|Exercises$|Answers$|The expansion valve in"
)


@dataclass
class Printed:
    """An exercise as text: title and question in one line, the lines of its table, and in a key what follows."""

    number: int
    kind: str
    text: str = ""
    table: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    answer: str = ""


def exercises(pdf: bytes) -> list[Printed]:
    """The exercises of a sheet or of an answer key."""
    found: list[Printed] = []
    part = "text"
    for line in _lines(pdf):
        if begin := _BEGIN.match(line):
            found.append(Printed(int(begin[1]), TITLES[begin[2]]))
            part = "text"
        elif not found:
            continue
        own = found[-1]
        if re.match(r"Answer: ", line):
            part, own.answer = "answer", line.removeprefix("Answer: ")
        elif part in ("text", "steps") and re.match(rf"{len(own.steps) + 1}\. ", line):
            part = "steps"
            own.steps.append(line.partition(" ")[2])
        elif part == "text" and not begin and _is_table(own, line):
            own.table.append(line)
        elif part == "steps":
            own.steps[-1] += f" {line}"
        elif part == "answer":
            own.answer += f" {line}"
        else:
            own.text = f"{own.text} {line}".strip()
    return found


def _lines(pdf: bytes) -> Iterator[str]:
    for page in PdfReader(io.BytesIO(pdf)).pages:
        is_foot = False
        for line in page.extract_text().replace("\N{NO-BREAK SPACE}", " ").replace("\N{MINUS SIGN}", "-").splitlines():
            # The notice and the cautions at the foot end with the page's number.
            is_foot = (is_foot or line.startswith("Demonstration with invented")) and not line.startswith("Page ")
            if line.strip() and not is_foot and not _FURNITURE.match(line):
                yield line.strip()


def _is_table(own: Printed, line: str) -> bool:
    if not own.table:
        return (any(line.startswith(head) for head in _ROWS) and not line.startswith("Size")) or bool(
            re.fullmatch(r"Size( \S+)+", line) and own.kind == "pick"
        )
    most = next(rows for head, rows in _ROWS.items() if own.table[0].startswith(head))
    return len(own.table) < most


@dataclass(frozen=True)
class SuperheatGraph:
    """The curves of the graph: loads and superheats in printed units, by head."""

    curves: dict[str, list[tuple[float, float]]]

    def read(self, head: str, load: float) -> float:
        """The superheat at a load; NaN beyond the end of the curve."""
        curve = self.curves[head]
        for (x0, y0), (x1, y1) in itertools.pairwise(curve):
            if x0 - 1e-3 <= load <= x1:
                return y0 + (y1 - y0) * (load - x0) / (x1 - x0)
        return math.nan


def superheat_graph(pdf: bytes) -> SuperheatGraph:
    """Read the curves by the ticks of the axes, and name them by the labels: each belongs to the nearer curve."""
    reader = PdfReader(io.BytesIO(pdf))
    page = next(p for p in reader.pages if "Superheat graph:" in p.extract_text())
    strokes, texts = _drawn(ContentStream(page.get_contents(), reader))
    ticks = [own.path for own in strokes if len(own.path) > 2 and _is_ticks(own.path)]
    (x_ticks,) = [own for own in ticks if own[0][0][0] == own[0][1][0]]
    (y_ticks,) = [own for own in ticks if own[0][0][1] == own[0][1][1]]
    figures = [(float(text), x, y) for text, x, y in texts if re.fullmatch(r"\d+(?:\.\d+)?", text)]
    below = sorted((x, f) for f, x, y in figures if abs(y - (x_ticks[0][1][1] - 9.0)) < 3.0)
    beside = sorted((y, f) for f, x, y in figures if x < y_ticks[0][1][0] and abs(y - (x_ticks[0][1][1] - 9.0)) >= 3.0)
    x_of = _scale([own[0][0] for own in x_ticks], [f for _, f in below])
    y_of = _scale([own[0][1] for own in y_ticks], [f for _, f in beside])
    # The heaviest pen draws the curves and, level, the limits.
    heavy = max(own.width for own in strokes)
    rising = [own.path for own in strokes if own.width == heavy and own.path[0][0][1] != own.path[-1][1][1]]
    curves = [[begin for begin, _ in own] + [own[-1][1]] for own in rising]
    labels = {head: next((x, y) for text, x, y in texts if text.startswith(head)) for head in ("low head", "high head")}
    assert len(curves) == len(labels)
    pairs = [dict(zip(labels, order, strict=True)) for order in (curves, curves[::-1])]
    named = min(pairs, key=lambda pair: sum(_distance(curve, labels[head]) for head, curve in pair.items()))
    return SuperheatGraph({head: [(x_of(px), y_of(py)) for px, py in curve] for head, curve in named.items()})


Segment = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Stroke:
    """A stroked path as its segments, and the width of its pen."""

    path: list[Segment]
    width: float


def _drawn(content: ContentStream) -> tuple[list[Stroke], list[tuple[str, float, float]]]:
    """Stroked paths, and texts with their places, of the superheat graph."""
    strokes: list[Stroke] = []
    texts: list[tuple[str, float, float]] = []
    path: list[Segment] = []
    width, here, place = 0.0, (0.0, 0.0), (0.0, 0.0)
    for operands, operator in content.operations:
        if operator == b"cm":
            # Each flowable has a place of its own; the graph's is the one with its label.
            if any(text.startswith("low head") for text, _, _ in texts):
                break
            strokes, texts = [], []
        elif operator == b"w":
            width = float(operands[0])
        elif operator == b"m":
            here = (float(operands[0]), float(operands[1]))
        elif operator == b"l":
            there = (float(operands[0]), float(operands[1]))
            path.append((here, there))
            here = there
        elif operator == b"S":
            strokes.append(Stroke(path, width))
            path = []
        elif operator == b"Tm":
            place = (float(operands[4]), float(operands[5]))
        elif operator == b"Tj":
            texts.append((str(operands[0]), *place))
    return strokes, texts


def _is_ticks(path: list[Segment]) -> bool:
    """Segments that do not hang together, each short."""
    return all(math.dist(*own) < 5.0 for own in path) and path[0][1] != path[1][0]


def _scale(places: list[float], figures: list[float]):
    assert len(places) == len(figures)
    per = (figures[-1] - figures[0]) / (places[-1] - places[0])
    return lambda place: figures[0] + per * (place - places[0])


def _distance(curve: list[tuple[float, float]], label: tuple[float, float]) -> float:
    """How far a curve is above or below the middle of a label."""
    x, y = label[0] + 15.0, label[1] + 2.0
    heights = [
        y0 + (y1 - y0) * (x - x0) / (x1 - x0) for (x0, y0), (x1, y1) in itertools.pairwise(curve) if x0 <= x <= x1
    ]
    return abs(heights[0] - y) if heights else 1e6
