"""Handouts of a class: each student's exercises, the teaching pages once for all, and one answer key with a grade sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from reportlab.platypus import Flowable, PageBreak

from tablegen.dataset.dataset import DataSet
from tablegen.model.publications import Handout
from tablegen.model.students import Student
from tablegen.report.exercise import Exercise
from tablegen.report.pages.handout_pages import glossary
from tablegen.report.pdf.page import Document, Heading, paragraph
from tablegen.report.pdf.page_sides import NextSheet
from tablegen.report.pdf.tables import data_tables
from tablegen.report.publications.handout import (
    answered,
    exercise_set,
    exercises_of,
    handout_document,
    head,
    taught,
    teaching_answers,
    teaching_pages,
)
from tablegen.report.publications.own_typeface import in_own_typeface
from tablegen.report.publications.printed_data import PrintedData
from tablegen.wording import class_handout as wording
from tablegen.wording import handout as handout_wording


@dataclass(frozen=True, slots=True, kw_only=True)
class StudentSheet:
    """What a student is asked: exercises as printed, by number.

    `name` is the student's; without a class list it is the class.
    """

    student: Student
    name: str
    handout: Handout
    exercises: tuple[tuple[int, Exercise], ...]

    def points(self) -> dict[int, int]:
        """The points of each exercise: one for each figure and each choice."""
        return {number: len(own.asked) for number, own in self.exercises}


def sheets_of(data: PrintedData, students: Sequence[Student]) -> list[StudentSheet]:
    """The sheet of each student, of a data set with their handouts in the same order.

    Raises
    ------
    PublishError
        As `print_handout`.
    """
    found = []
    for student, own in zip(students, data.data.catalogue.handouts, strict=True):
        handout, figures, rows = taught(data, own.printed.name)
        exercises = tuple(exercises_of(figures, rows))
        name = student.name or handout.class_label
        found.append(StudentSheet(student=student, name=name, handout=handout, exercises=exercises))
    return found


@in_own_typeface
def print_class_sheets(
    data: DataSet | PrintedData, sheets: Sequence[StudentSheet], target: Path, advance: Callable[[], None]
) -> int:
    """Print the exercises of each student, every sheet on a leaf of its own; return the number of pages."""
    document = _document(data, sheets, target, wording.SHEETS_TITLE(title=sheets[0].handout.title))
    story: list[Flowable] = []
    for sheet in sheets:
        handout, figures, _ = taught(data, sheet.handout.printed.name)
        line = handout_wording.DATE() if sheet.student.name else handout_wording.NAME_AND_DATE()
        story += [NextSheet(), *head(handout, line)]
        heading = sheet.student.name or handout_wording.EXERCISES()
        width, has_seed = document.frame_width, not sheet.student.name
        story += exercise_set(handout, figures, sheet.exercises, width, heading, has_graph=True, has_seed=has_seed)
        advance()
    return document.build(story)


@in_own_typeface
def print_lesson(data: DataSet | PrintedData, sheets: Sequence[StudentSheet], target: Path) -> int:
    """Print the teaching pages, which are the same for all students; return the number of pages."""
    handout, figures, rows = taught(data, sheets[0].handout.printed.name)
    document = handout_document(figures, handout, target, wording.LESSON_TITLE(title=handout.title))
    width = document.frame_width
    story = [
        *head(handout, handout_wording.NAME_AND_DATE()),
        paragraph(handout_wording.BEFORE_OPENING()),
        *teaching_pages(figures, rows, width),
    ]
    return document.build([*story, *glossary(figures, width)])


@in_own_typeface
def print_class_answers(
    data: DataSet | PrintedData, sheets: Sequence[StudentSheet], target: Path, advance: Callable[[], None]
) -> int:
    """Print the grade sheet and the answers of each student, in the order of the sheets; return the number of pages."""
    handout, figures, rows = taught(data, sheets[0].handout.printed.name)
    document = _document(data, sheets, target, handout_wording.ANSWERS_TITLE(title=handout.title))
    width = document.frame_width
    story: list[Flowable] = [
        *head(handout, handout_wording.FOR_THE_TEACHER()),
        *_grade_sheet(sheets, width),
        PageBreak(),
        Heading(wording.LESSON_ANSWERS()),
        paragraph(handout_wording.TOLERANCE()),
        *teaching_answers(figures, rows, width),
    ]
    for sheet in sheets:
        # The name is kept together with the first answer.
        titles = [Heading(sheet.name)]
        for number, found in sheet.exercises:
            titles.append(Heading(handout_wording.NUMBERED(number=number, title=found.title), 2))
            story.append(answered(titles, found))
            titles = []
        advance()
    return document.build(story)


def _grade_sheet(sheets: Sequence[StudentSheet], width: float) -> list[Flowable]:
    """A row for each student, a column for each exercise."""
    numbers = numbers_of(sheets)
    rows = []
    for sheet in sheets:
        points = sheet.points()
        cells = [wording.TO_MARK(points=points[n]) if n in points else wording.NO_EXERCISE() for n in numbers]
        rows.append([sheet.name, *cells, wording.TO_MARK(points=sum(points.values()))])
    header = [wording.STUDENT(), *map(str, numbers), wording.TOTAL()]
    tables = data_tables(
        header, rows, width, numeric=range(1, len(header)), breaks=range(1, len(rows)), fewest_lines=True
    )
    return [Heading(wording.GRADES()), paragraph(wording.ABOUT_GRADES()), *tables]


def numbers_of(sheets: Sequence[StudentSheet]) -> list[int]:
    """The numbers of all exercises."""
    return sorted({number for sheet in sheets for number, _ in sheet.exercises})


def _document(data: DataSet | PrintedData, sheets: Sequence[StudentSheet], target: Path, title: str) -> Document:
    handout, figures, _ = taught(data, sheets[0].handout.printed.name)
    return handout_document(figures, handout, target, title, has_cautions=False)
