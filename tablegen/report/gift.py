"""Questions in GIFT, the text format that several course systems import.

References
----------
Moodle documentation, "GIFT format" (not checked against the source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from tablegen.report.asked import AskedFigure
from tablegen.report.quiz import QuizCategory, QuizQuestion, figure_text, marked_up, tolerance_text

# What means something in a question, and in the name of a category, where nothing can be escaped.
_SPECIAL = re.compile(r"([\\~=#{}:])")
_NOT_IN_CATEGORY = re.compile(r"[\\~=#{}:/$<>\"]")


def gift(categories: Sequence[QuizCategory]) -> bytes:
    """Categories with their questions as a file; a blank line ends each question."""
    return "\n\n".join(_entries(categories)).encode() + b"\n\n"


def _entries(categories: Sequence[QuizCategory]) -> Iterator[str]:
    for own in categories:
        path = "/".join(" ".join(_NOT_IN_CATEGORY.sub(" ", name).split()) or "-" for name in own.path)
        yield f"$CATEGORY: $course$/{path}"
        for question in own.questions:
            yield f"::{_escaped(question.name)}::[html]{_escaped(question.as_html())} {{{_answers(question)}}}"


def _answers(question: QuizQuestion) -> str:
    asked = question.asked
    if isinstance(asked, AskedFigure):
        return f"#{figure_text(asked)}:{tolerance_text(asked)}"
    right, wrong = _escaped(marked_up(asked.right)), (_escaped(marked_up(own)) for own in asked.wrong)
    return " ".join([f"={right}", *(f"~{own}" for own in wrong)])


def _escaped(text: str) -> str:
    return _SPECIAL.sub(r"\\\1", " ".join(text.split()))
