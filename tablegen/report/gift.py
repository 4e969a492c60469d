"""Questions in GIFT, the text format that several course systems import.

References
----------
Moodle documentation, "GIFT format" (not checked against the source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from tablegen.report.asked import AskedFigure
from tablegen.report.publications.class_sheets import StudentSheet
from tablegen.report.quiz import QuizQuestion, figure_text, marked_up, tolerance_text

# What means something in a question, and in the name of a category, where nothing can be escaped.
_SPECIAL = re.compile(r"([\\~=#{}:])")
_NOT_IN_CATEGORY = re.compile(r"[\\~=#{}:/$<>\"]")


def gift(quiz: Sequence[tuple[StudentSheet, Sequence[QuizQuestion]]]) -> bytes:
    """All questions as a file; a blank line ends each."""
    return "\n\n".join(_entries(quiz)).encode() + b"\n\n"


def _entries(quiz: Sequence[tuple[StudentSheet, Sequence[QuizQuestion]]]) -> Iterator[str]:
    for sheet, questions in quiz:
        path = "/".join(" ".join(_NOT_IN_CATEGORY.sub(" ", name).split()) or "-" for name in sheet.path)
        yield f"$CATEGORY: $course$/{path}"
        for own in questions:
            yield f"::{_escaped(own.name)}::[html]{_escaped(own.as_html())} {{{_answers(own)}}}"


def _answers(question: QuizQuestion) -> str:
    asked = question.asked
    if isinstance(asked, AskedFigure):
        return f"#{figure_text(asked)}:{tolerance_text(asked)}"
    right, wrong = _escaped(marked_up(asked.right)), (_escaped(marked_up(own)) for own in asked.wrong)
    return " ".join([f"={right}", *(f"~{own}" for own in wrong)])


def _escaped(text: str) -> str:
    return _SPECIAL.sub(r"\\\1", " ".join(text.split()))
