"""The classroom handout of a teacher, and its answer key as a document of its own."""

from __future__ import annotations

from pathlib import Path
from typing import IO, Any

import pandas as pd

from tablegen.dataset.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.report.graphs.graph_files import named_figures, write_graphs
from tablegen.report.handout_words import Desk
from tablegen.report.pages import handout_pages as pages
from tablegen.report.pdf.page import BLACK, Document, Heading, paragraph
from tablegen.report.pdf.tables import data_tables
from tablegen.report.publications.answer_key import Exercise, exercise
from tablegen.report.publications.publication import Part, Publication

# isort: split
# After `page`, which sets the base font first.
from reportlab.platypus import Flowable, KeepTogether, PageBreak

_LINE = 19.0
TOLERANCE = (
    "Figures are worked out from unrounded ones; a pupil who uses the printed figures is right within 1 %, a superheat "
    "read off the graph within half a degree."
)


def print_handout(data: DataSet, name: str, target: Path | IO[bytes], graphs: Path | None = None) -> int:
    """Print one handout of a data set; return its number of pages. `graphs` is a folder for its graphs as files.

    Raises
    ------
    PublishError
        If its part has no example, a text does not fit its place or a glyph is missing.
    """
    handout, desk, rows = _desk(data, name)
    document = _document(desk, handout, target, handout["title"])
    width = document.frame_width
    worked = rows[rows["exercise"] == 0]
    story: list[Flowable] = [
        *_head(handout, handout["title"], "Name ______________________________      Date ________________"),
        *pages.winter_and_summer(desk, width),
        *pages.force_balance(desk, width),
        *pages.flow_equation(desk, worked, width),
        *_written("", exercise(desk, _own_turn(rows)), width),
        PageBreak(),
        *pages.size_range(desk, width),
        Heading("Exercises"),
        paragraph(
            f"Drawn for {handout['class_label']} with the number {handout['seed']}. Write the units at each step."
        ),
    ]
    for number, found in _exercises(desk, rows):
        story.append(KeepTogether(_written(f"{number}  ", found, width)))
    # Before the build, which takes apart what is kept together.
    figures = named_figures({name: story})
    count = document.build([*story, *pages.terms(desk, width)])
    if graphs is not None:
        write_graphs(figures, graphs, desk.publication.stamp)
    return count


def print_answer_key(data: DataSet, name: str, target: Path | IO[bytes]) -> int:
    """Print the answers of one handout with their working; return the number of pages.

    Raises
    ------
    PublishError
        As `print_handout`.
    """
    handout, desk, rows = _desk(data, name)
    title = f"{handout['title']}: answers"
    document = _document(desk, handout, target, title)
    story = [*_head(handout, handout["title"], "For the teacher."), Heading("Answers"), paragraph(TOLERANCE)]
    given = [("Page 3  ", exercise(desk, _own_turn(rows)))]
    given += [(f"{number}  ", found) for number, found in _exercises(desk, rows)]
    for mark, found in given:
        parts = _question(mark, found, document.frame_width)
        parts += [paragraph(text, "step", f"{i}.", is_formula=True) for i, text in enumerate(found.steps, start=1)]
        story.append(KeepTogether([*parts, paragraph(f"Answer: {found.answer}", "caption")]))
    return document.build(story)


def _desk(data: DataSet, name: str) -> tuple[dict[str, Any], Desk, pd.DataFrame]:
    publication, handout = Publication.printed(data, "handouts", name)
    rows = publication.data.exercises
    rows = rows[rows["publication"] == name] if len(rows) else rows
    if not len(rows):
        raise PublishError(
            f"{name}: {handout['group']} has no window of {handout['family']} in the example row of "
            f"{handout['application']}; there is nothing to teach with"
        )
    return handout, Desk(publication, Part(handout["family"], handout["group"], handout["application"])), rows


def _document(desk: Desk, handout: dict[str, Any], target: Path | IO[bytes], title: str) -> Document:
    return Document(
        target,
        desk.publication.paper(handout),
        title,
        date=desk.publication.date,
        notice=desk.publication.printing["notice"],
        author=handout["school"],
        subject="Classroom handout on thermostatic expansion valves",
        keywords=[handout["class_label"], handout["group"]],
    )


def _head(handout: dict[str, Any], title: str, line: str) -> list[Flowable]:
    return [
        paragraph(title, "title"),
        paragraph(f"{handout['school']} – {handout['class_label']}", "company"),
        paragraph(line),
    ]


def _exercises(desk: Desk, rows: pd.DataFrame) -> list[tuple[int, Exercise]]:
    return [(int(row["exercise"]), exercise(desk, row)) for _, row in rows[rows["exercise"] > 0].iterrows()]


def _own_turn(rows: pd.DataFrame) -> pd.Series:
    """The worked example's high head, which is left to the pupil."""
    return rows[(rows["exercise"] == 0) & (rows["condition"] == "high_head")].iloc[0]


def _written(mark: str, found: Exercise, width: float) -> list[Flowable]:
    return [*_question(mark, found, width), _Lines(found.lines)]


def _question(mark: str, found: Exercise, width: float) -> list[Flowable]:
    parts: list[Flowable] = [Heading(f"{mark}{found.title}", 2), paragraph(found.question, is_formula=True)]
    if found.table is not None:
        header, rows = found.table
        parts += data_tables(header, rows, width, numeric=range(1, len(header)))
    return parts


class _Lines(Flowable):
    """Ruled room to write."""

    def __init__(self, count: int) -> None:
        super().__init__()
        self.count = count

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame."""
        self.width, self.height = aW, self.count * _LINE + 4.0
        return self.width, self.height

    def draw(self) -> None:
        """Thin dotted rules."""
        canvas: Any = self.canv
        canvas.setStrokeColor(BLACK)
        canvas.setLineWidth(0.35)
        canvas.setDash([1, 2])
        for i in range(self.count):
            y = self.height - _LINE * (i + 1)
            canvas.line(0, y, self.width, y)
