"""The classroom handout of a teacher, and its answer key as a document of its own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import IO

import pandas as pd
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, KeepTogether, PageBreak

from tablegen.dataset.dataset import DataSet
from tablegen.errors import PublishError
from tablegen.model.publications import Combination, Handout
from tablegen.report.company_texts import document_mark
from tablegen.report.exercise import Exercise
from tablegen.report.graphs.graph_files import named_drawings, write_graphs
from tablegen.report.handout_figures import HandoutFigures
from tablegen.report.pages import handout_pages as pages
from tablegen.report.pages.blank_pages import blank_pages
from tablegen.report.pages.cycle_page import cycle_page
from tablegen.report.pages.lesson_example import Lesson
from tablegen.report.pages.lesson_pages import two_limits_of_opening, words_and_lines
from tablegen.report.pages.two_limits_page import BothLimits, answers, questions, two_limits
from tablegen.report.pdf import design
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.tables import data_tables
from tablegen.report.printed_exercises import printed_exercise
from tablegen.report.publications.own_typeface import in_own_typeface
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication, named
from tablegen.wording import handout as wording
from tablegen.wording import two_limits as two_limits_wording
from tablegen.wording.refrigerants import PRESSURE_CAUTION

_LINE = 19.0
# The page with the questions on both limits; that of the worked example, without it.
_LIMITS_PAGE = 3
_WORKED_PAGE = 5


@in_own_typeface
def print_handout(data: DataSet | PrintedData, name: str, target: Path | IO[bytes], graphs: Path | None = None) -> int:
    """Print one handout of a data set; `graphs` is a folder for its graphs as files.

    Returns
    -------
    int
        The number of pages.

    Raises
    ------
    PublishError
        If its part has no example, a text does not fit its place or a glyph is missing.
    """
    handout, figures, rows = taught(data, name)
    document = handout_document(figures, handout, target, handout.title)
    width = document.frame_width
    story: list[Flowable] = [
        *head(handout, wording.NAME_AND_DATE()),
        *teaching_pages(figures, rows, width),
        *exercise_set(handout, figures, exercises_of(figures, rows), width, wording.EXERCISES()),
    ]
    if handout.blank_diagrams:
        story += blank_pages(figures)
    # Before the build, which takes apart what is kept together.
    drawn = named_drawings({"": story})
    count = document.build([*story, PageBreak(), *pages.glossary(figures, width)])
    if graphs is not None:
        write_graphs(drawn, graphs, figures.publication.stamp, kinds=handout.printed.graph_kinds)
    return count


def teaching_pages(figures: HandoutFigures, rows: pd.DataFrame, width: float) -> list[Flowable]:
    """What a handout explains before its exercises, and the questions in between."""
    lesson = Lesson.of(figures)
    return [
        *words_and_lines(lesson, width),
        *two_limits_of_opening(lesson, width),
        *_both_limits(lesson.both, width),
        *cycle_page(figures.publication, width, [figures.part], is_cv=figures.formatter.system == "IP"),
        *pages.force_balance(figures),
        *pages.flow_equation(figures, rows[rows["exercise"] == 0], width),
        *written("", printed_exercise(figures, _own_turn(rows)), width),
        PageBreak(),
        *pages.size_range(figures),
    ]


@in_own_typeface
def print_exercises(data: DataSet | PrintedData, name: str, target: Path | IO[bytes]) -> int:
    """Print the exercises of one handout alone, with the superheat graph if one is read off it; return the pages.

    Raises
    ------
    PublishError
        As `print_handout`.
    """
    handout, figures, rows = taught(data, name)
    document = handout_document(figures, handout, target, handout.title, has_cautions=False)
    width = document.frame_width
    return document.build(
        [
            *head(handout, wording.NAME_AND_DATE()),
            *exercise_set(handout, figures, exercises_of(figures, rows), width, wording.EXERCISES(), has_graph=True),
        ]
    )


@in_own_typeface
def print_answer_key(data: DataSet | PrintedData, name: str, target: Path | IO[bytes]) -> int:
    """Print the answers of one handout with their calculation; return the number of pages.

    Raises
    ------
    PublishError
        As `print_handout`.
    """
    handout, figures, rows = taught(data, name)
    document = handout_document(
        figures, handout, target, wording.ANSWERS_TITLE(title=handout.title), has_cautions=False
    )
    story = [
        *head(handout, wording.FOR_THE_TEACHER()),
        Heading(wording.ANSWERS()),
        paragraph(wording.TOLERANCE()),
        *teaching_answers(figures, rows, document.frame_width),
    ]
    for number, found in exercises_of(figures, rows):
        story.append(answered(question(str(number), found, document.frame_width), found))
    return document.build(story)


def teaching_answers(figures: HandoutFigures, rows: pd.DataFrame, width: float) -> list[Flowable]:
    """The answers to the questions of the teaching pages."""
    mark = wording.WORKED_PAGE(page=_WORKED_PAGE + (BothLimits.of(figures) is not None))
    worked = printed_exercise(figures, _own_turn(rows))
    return [*_both_answers(figures), answered(question(mark, worked, width), worked)]


def answered(asked: Sequence[Flowable], found: Exercise) -> KeepTogether:
    """An exercise, however it is asked, with its calculation and its answer."""
    steps = [paragraph(text, "step", f"{i}.", is_formula=True) for i, text in enumerate(found.steps, start=1)]
    return KeepTogether([*asked, *steps, paragraph(wording.ANSWER(answer=found.answer), "caption")])


def _both_limits(both: BothLimits | None, width: float) -> list[Flowable]:
    """The page on both limits with its questions; nothing without nominal limits in print."""
    if both is None:
        return []
    story = two_limits(both, width)
    for number, text in enumerate(questions(both), start=1):
        # The first has its blanks in it.
        story += [paragraph(text, "step", f"{number}."), *([_Lines(1, 2.0)] if number > 1 else [])]
    return [*story, PageBreak()]


def _both_answers(figures: HandoutFigures) -> list[Flowable]:
    """The answers to that page's questions."""
    both = BothLimits.of(figures)
    if both is None:
        return []
    story: list[Flowable] = [Heading(two_limits_wording.ANSWERS(page=_LIMITS_PAGE), 2)]
    return [*story, *(paragraph(text, "step", f"{number}.") for number, text in enumerate(answers(both), start=1))]


def taught(data: DataSet | PrintedData, name: str) -> tuple[Handout, HandoutFigures, pd.DataFrame]:
    """A handout, what prints its figures, and the rows of its exercises."""
    printed = PrintedData.of(data)
    handout = named(printed.data.catalogue.handouts, name)
    publication = Publication.of(printed, handout)
    rows = publication.data.exercises
    rows = rows[rows["publication"] == name] if len(rows) else rows
    if not len(rows):
        raise PublishError(
            wording.NO_EXAMPLE(name=name, group=handout.group, family=handout.family, application=handout.application)
        )
    return handout, HandoutFigures(publication, Combination(handout.family, handout.group, handout.application)), rows


def handout_document(
    figures: HandoutFigures, handout: Handout, target: Path | IO[bytes], title: str, *, has_cautions: bool = True
) -> Document:
    """A document of a handout; one that has no page with cautions has them at the foot of every page."""
    printing = figures.publication.catalogue.printing
    cautions = [] if has_cautions else [wording.ADJUSTING(), PRESSURE_CAUTION()]
    return Document(
        target,
        handout.printed.paper,
        title,
        date=figures.publication.date,
        notice=" ".join([printing.notice, *cautions]),
        author=handout.school,
        subject=wording.SUBJECT(),
        keywords=[handout.class_label, handout.group],
        mark=document_mark(printing, handout.printed),
    )


def head(handout: Handout, line: str) -> list[Flowable]:
    """What stands on top: title, school and class, and a line for whose it is."""
    return [
        paragraph(handout.title, "title"),
        paragraph(wording.SCHOOL(school=handout.school, label=handout.class_label), "company"),
        paragraph(line),
    ]


def exercises_of(figures: HandoutFigures, rows: pd.DataFrame) -> list[tuple[int, Exercise]]:
    """The exercises as printed, by number."""
    return [(int(row["exercise"]), printed_exercise(figures, row)) for _, row in rows[rows["exercise"] > 0].iterrows()]


def exercise_set(
    handout: Handout,
    figures: HandoutFigures,
    exercises: Sequence[tuple[int, Exercise]],
    width: float,
    heading: str,
    *,
    has_graph: bool = False,
    has_seed: bool = True,
) -> list[Flowable]:
    """The exercises with lines to write on under a heading; with their superheat graph if one is read off it.

    A student's own sheet does not state the seed, which the grade sheet has, but the points of each exercise.
    """
    label = handout.class_label
    if has_seed:
        about = wording.ABOUT_EXERCISES(label=label, seed=handout.seed)
    else:
        about = wording.ABOUT_SHEET(sum(len(found.asked) for _, found in exercises), label=label)
    is_read_off = has_graph and any(found.kind == "zone" for _, found in exercises)
    graph = pages.superheat_curves(figures) if is_read_off else []
    parts = [KeepTogether(written(str(number), found, width, has_points=not has_seed)) for number, found in exercises]
    return [Heading(heading), paragraph(about), *graph, *parts]


def _own_turn(rows: pd.DataFrame) -> pd.Series:
    """The worked example at high head, which is left to the student."""
    return rows[(rows["exercise"] == 0) & (rows["condition"] == "high_head")].iloc[0]


def written(mark: str, found: Exercise, width: float, *, has_points: bool = False) -> list[Flowable]:
    """An exercise with lines to write on."""
    return [*question(mark, found, width, has_points=has_points), _Lines(found.lines)]


def question(mark: str, found: Exercise, width: float, *, has_points: bool = False) -> list[Flowable]:
    """An exercise under its mark and title, with its points if they are to be read."""
    title = wording.NUMBERED(number=mark, title=found.title) if mark else found.title
    if has_points:
        title = wording.WITH_POINTS(len(found.asked), title=title)
    parts: list[Flowable] = [Heading(title, 2), paragraph(found.question, is_formula=True)]
    if found.table is not None:
        header, rows = found.table.header, found.table.rows
        parts += data_tables(header, rows, width, numeric=range(1, len(header)))
    return parts


class _Lines(Flowable):
    """Ruled lines to write on."""

    def __init__(self, count: int, air: float = 4.0) -> None:
        super().__init__()
        self.count, self.air = count, air

    def wrap(self, aW: float, aH: float) -> tuple[float, float]:
        """As wide as the frame."""
        self.width, self.height = aW, self.count * _LINE + self.air
        return self.width, self.height

    def draw(self) -> None:
        """Thin dotted rules."""
        canvas: Canvas = self.canv
        canvas.setStrokeColor(design.BLACK)
        canvas.setLineWidth(0.35)
        canvas.setDash([1, 2])
        for i in range(self.count):
            y = self.height - _LINE * (i + 1)
            canvas.line(0, y, self.width, y)
