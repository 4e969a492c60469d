"""The exercises of a class as single questions: what is asked in words, a small table, and one figure or choice."""

from __future__ import annotations

import html
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from tablegen.report.answer import with_indices
from tablegen.report.asked import Asked, AskedFigure
from tablegen.report.exercise import Exercise
from tablegen.report.formatter import NBSP
from tablegen.report.publications.class_sheets import StudentSheet
from tablegen.wording import class_handout as wording

_MINUS = "\N{MINUS SIGN}"
# Of a tolerance.
_DIGITS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class QuizQuestion:
    """One figure or choice of an exercise; `number` is the exercise's, with a letter where it asks for several."""

    student: str
    number: str
    exercise: Exercise
    asked: Asked

    @property
    def name(self) -> str:
        """What it is called in a course system, where names stand in the order of the alphabet."""
        return wording.NAME(student=self.student, number=self.number.rjust(2 + self.number[-1].isalpha(), "0"))

    @property
    def what(self) -> str:
        """What is asked for, with the unit of a figure."""
        asked = self.asked
        if isinstance(asked, AskedFigure) and asked.unit:
            return wording.IN_UNIT(what=asked.what, unit=asked.unit)
        return asked.what

    @property
    def text(self) -> str:
        """The question as text, with the rows of its table in lines of their own."""
        table = self.exercise.table
        rows = [table.header, *table.rows] if table else []
        lines = (self.exercise.question, *(" | ".join(row) for row in rows), self._note())
        return _without_nbsp("\n".join(filter(None, lines)))

    def as_html(self) -> str:
        """The question with its table, and what is asked for."""
        return "".join(self._html())

    def _note(self) -> str:
        """Where to find what a question is read off."""
        return wording.GRAPH_ON_SHEET() if self.exercise.kind == "zone" else ""

    def _html(self) -> Iterator[str]:
        yield f"<p>{' '.join(filter(None, (marked_up(self.exercise.question), self._note())))}</p>"
        if (table := self.exercise.table) is not None:
            yield "<table>"
            for tag, row in (("th", table.header), *(("td", row) for row in table.rows)):
                yield f"<tr>{''.join(f'<{tag}>{marked_up(cell)}</{tag}>' for cell in row)}</tr>"
            yield "</table>"
        yield f"<p><strong>{marked_up(self.what)}</strong></p>"


@dataclass(frozen=True, slots=True)
class QuizCategory:
    """Questions that a course system puts into one category; `path` has its names from the top down."""

    path: tuple[str, ...]
    questions: tuple[QuizQuestion, ...]


def questions_of(sheet: StudentSheet) -> Iterator[QuizQuestion]:
    """The questions of a student's sheet, in its order."""
    for number, exercise in sheet.exercises:
        for i, asked in enumerate(exercise.asked):
            letter = chr(ord("a") + i) if len(exercise.asked) > 1 else ""
            yield QuizQuestion(student=sheet.name, number=f"{number}{letter}", exercise=exercise, asked=asked)


def quiz_of(sheets: Sequence[StudentSheet]) -> list[tuple[StudentSheet, list[QuizQuestion]]]:
    """Each sheet with its questions."""
    return [(sheet, list(questions_of(sheet))) for sheet in sheets]


def by_student(quiz: Sequence[tuple[StudentSheet, Sequence[QuizQuestion]]]) -> list[QuizCategory]:
    """A category for each student, for tests in which each has the questions of the sheet."""
    return [QuizCategory(_path(sheet, sheet.student.name), tuple(questions)) for sheet, questions in quiz]


def by_kind(quiz: Sequence[tuple[StudentSheet, Sequence[QuizQuestion]]]) -> list[QuizCategory]:
    """A category for each kind of exercise, with the questions of all students, from which a test draws at random."""
    found: dict[str, list[QuizQuestion]] = {}
    for _, questions in quiz:
        for own in questions:
            found.setdefault(own.exercise.kind, []).append(own)
    return [QuizCategory(_path(quiz[0][0], kind), tuple(own)) for kind, own in found.items()]


def _path(sheet: StudentSheet, name: str) -> tuple[str, ...]:
    return ("top", sheet.handout.class_label, *filter(None, (name,)))


def marked_up(text: str) -> str:
    """A text as HTML, with the indices of its symbols."""
    return with_indices(html.escape(_without_nbsp(text)), "<sub>", "</sub>")


def figure_text(asked: AskedFigure) -> str:
    """A figure as the answer key prints it, with a sign that a machine reads."""
    return asked.text.replace(_MINUS, "-").replace(",", "")


def tolerance_text(asked: AskedFigure) -> str:
    """A tolerance without an exponent."""
    return f"{Decimal(f'{asked.tolerance:.{_DIGITS}g}'):f}"


def _without_nbsp(text: str) -> str:
    return text.replace(NBSP, " ")
