"""Spreadsheets of a class: the grade sheet, to be filled in, and the questions with their answers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from tablegen.model.company import PrintSettings
from tablegen.report.asked import AskedFigure
from tablegen.report.publications.class_sheets import StudentSheet, numbers_of
from tablegen.report.quiz import QuizQuestion, figure_text, tolerance_text
from tablegen.report.xlsx import (
    BOLD,
    INPUT,
    NUMBER,
    TOP,
    Choice,
    Formula,
    Properties,
    Sheet,
    Value,
    Workbook,
    workbook_at,
)
from tablegen.report.xlsx_parts import letters
from tablegen.wording import class_handout as wording

_NAME, _ID, _MARK, _SUM, _KIND = 30.0, 12.0, 6.0, 8.0, 12.0
_WIDTHS = (24.0, 9.0, 12.0, 24.0, 60.0, 30.0, 24.0, 9.0, 10.0, 40.0)


def write_grade_sheet(sheets: Sequence[StudentSheet], printing: PrintSettings, target: Path) -> None:
    """A row for each student with a cell for the points of each exercise, their sum, and what it may be.

    The school's numbers of students are in a column of their own where the class list has some.
    """
    numbers = numbers_of(sheets)
    has_ids = any(sheet.student.number for sheet in sheets)
    count, start = len(numbers), 1 + has_ids
    first, last, total_in, out_of_in = (letters(start + i) for i in (0, count - 1, count, count + 1))
    marks: list[tuple[Sequence[int], Sequence[Value]]] = []
    choices = []
    for row, sheet in enumerate(sheets, start=2):
        points = sheet.points()
        choices += [
            Choice(cell=f"{letters(i)}{row}", kind="decimal", formula="0", upper=str(points[n]))
            for i, n in enumerate(numbers, start=start)
            if n in points
        ]
        cells: list[Value] = [None if n in points else wording.NO_EXERCISE() for n in numbers]
        styles = [INPUT | NUMBER if n in points else 0 for n in numbers]
        total = Formula(f"SUM({first}{row}:{last}{row})", 0.0)
        reached = Formula(f"ROUND(100*{total_in}{row}/{out_of_in}{row},0)", 0.0)
        marks.append(
            (
                (*(0,) * start, *styles, BOLD, 0, BOLD, 0),
                (
                    sheet.name,
                    *(sheet.student.number,) * has_ids,
                    *cells,
                    total,
                    sum(points.values()),
                    reached,
                    str(sheet.handout.seed),
                ),
            )
        )
    header = (
        wording.STUDENT(),
        *(wording.NUMBER(),) * has_ids,
        *map(str, numbers),
        wording.TOTAL(),
        wording.OUT_OF(),
        wording.PERCENT(),
        wording.SEED(),
    )
    widths = (_NAME, *(_ID,) * has_ids, *(_MARK,) * count, _SUM, _SUM, _SUM, 2 * _SUM)
    title = wording.GRADES()
    page = Sheet(
        title=title, widths=widths, frozen=(1, 1), repeated=1, footer=_footer(sheets, printing), choices=choices
    )
    with workbook_at(target, _properties(printing, title)) as book:
        rows = [((BOLD,) * len(header), header), *marks]
        book.write(page, len(rows), rows)
        _write_maxima(book, sheets, numbers, start, _footer(sheets, printing))


def _write_maxima(
    book: Workbook, sheets: Sequence[StudentSheet], numbers: Sequence[int], start: int, footer: tuple[str, str]
) -> None:
    """A second sheet with the points that each exercise may have, its kind, and how much of them the class reached.

    Its rows of students are those of the first, whose columns of points begin at `start`.
    """
    kinds = [
        " / ".join(dict.fromkeys(own.kind for sheet in sheets for n, own in sheet.exercises if n == number))
        for number in numbers
    ]
    end = 1 + len(sheets)
    averages = []
    for i in range(len(numbers)):
        marks = f"'{wording.GRADES()}'!{letters(start + i)}2:{letters(start + i)}{end}"
        most = f"{letters(1 + i)}2:{letters(1 + i)}{end}"
        # Of the students who have points: an absent one lowers no average.
        averages.append(Formula(f'IF(COUNT({marks})=0,"",ROUND(100*SUM({marks})/SUMIF({marks},">=0",{most}),0))', ""))
    header = (wording.STUDENT(), *map(str, numbers))
    body: list[tuple[Sequence[int], Sequence[Value]]] = [((BOLD,) * len(header), header)]
    for sheet in sheets:
        points = sheet.points()
        body.append(((0,) * len(header), (sheet.name, *(points.get(n) for n in numbers))))
    body.append(((BOLD,) * len(header), (wording.CLASS_AVERAGE(), *averages)))
    body.append(((0,) * len(header), (wording.KIND(), *kinds)))
    widths = (_NAME, *(_KIND,) * len(numbers))
    page = Sheet(title=wording.OUT_OF(), widths=widths, frozen=(1, 1), repeated=1, footer=footer)
    book.write(page, len(body), body)


def write_questions(
    quiz: Sequence[tuple[StudentSheet, Sequence[QuizQuestion]]], printing: PrintSettings, target: Path
) -> None:
    """A row for each question, with its text and its answer."""
    header = (
        wording.STUDENT(),
        wording.EXERCISE(),
        wording.KIND(),
        wording.TITLE(),
        wording.TEXT(),
        wording.ASKED(),
        wording.ANSWER(),
        wording.UNIT(),
        wording.TOLERANCE(),
        wording.WRONG(),
    )
    rows = [tuple(_question(own)) for _, questions in quiz for own in questions]
    styles = tuple(TOP for _ in header)
    footer = _footer([sheet for sheet, _ in quiz], printing)
    page = Sheet(title=wording.QUIZ(), widths=_WIDTHS, frozen=(1, 0), filtered=1, repeated=1, footer=footer)
    with workbook_at(target, _properties(printing, wording.QUIZ())) as book:
        book.write(page, 1 + len(rows), [((BOLD | TOP,) * len(header), header), *((styles, row) for row in rows)])


def _question(question: QuizQuestion) -> Iterator[Value]:
    exercise, asked = question.exercise, question.asked
    yield from (question.student, question.number, exercise.kind, exercise.title, question.text, asked.what)
    if isinstance(asked, AskedFigure):
        # As on the sheet: with the zero of 16.0, and no tolerance where only one figure is right.
        allowed: Value = wording.EXACT() if asked.is_exact else float(tolerance_text(asked))
        yield from (figure_text(asked), asked.unit, allowed, "")
    else:
        yield from (asked.right, "", None, "; ".join(asked.wrong))


def _properties(printing: PrintSettings, title: str) -> Properties:
    return Properties(title, printing.company.name, printing.notice, printing.date)


def _footer(sheets: Sequence[StudentSheet], printing: PrintSettings) -> tuple[str, str]:
    return sheets[0].handout.class_label, printing.notice
