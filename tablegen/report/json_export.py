"""An answer as JSON, and one of its tables as CSV: stable keys and SI values; null or an empty cell for none."""

from __future__ import annotations

import csv
import datetime
import io
import json
import math
import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tablegen.report.answer import visible

if TYPE_CHECKING:
    from tablegen.report.answer import Answer, AnswerTable, Datum

JsonValue = str | int | float | bool | None | list["JsonValue"] | dict[str, "JsonValue"]

_NBSP = "\N{NO-BREAK SPACE}"
# As in the files of a data set.
_FIGURES = 12
_NUMBER = re.compile(r"[+-]?[0-9.]+(?:[eE][+-]?[0-9]+)?")
# Characters that would turn or hide text on a terminal; in JSON they stand in strings alone, where an escape may stand.
_FORMAT = re.compile("[\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")


def to_json(answer: Answer) -> str:
    """The whole answer as JSON text, data and sentences."""
    text = json.dumps(as_object(answer), indent=1, ensure_ascii=False, allow_nan=False)
    return _FORMAT.sub(lambda match: f"\\u{ord(match[0]):04x}", text)


def as_object(answer: Answer) -> dict[str, JsonValue]:
    """The answer as JSON values; parts that are empty are left out."""
    parts: dict[str, JsonValue] = {
        "summary": _sentences(answer.summary),
        "facts": {key: _plain(datum) for key, datum in answer.record().items()},
        "references": _sentences([own.text for own in answer.references]),
        "tables": {table.key: _records(table) for table in answer.tables if table.keys},
        "sections": {section.key: as_object(section) for section in answer.sections},
        "notes": _sentences(answer.notes),
    }
    if answer.imprint is not None:
        parts["notice"] = answer.imprint.notice
        parts["cautions"] = _sentences(answer.imprint.cautions)
        parts["origin"] = answer.imprint.origin
    found: dict[str, JsonValue] = {"answer": answer.key, "heading": answer.heading.replace(_NBSP, " ")}
    return found | {name: part for name, part in parts.items() if part}


def to_csv(table: AnswerTable) -> str:
    """A table as CSV: the keys, then every row, in SI with twelve figures.

    A text that a spreadsheet would take for a formula begins with an apostrophe.
    """
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(table.keys)
    writer.writerows([_cell(datum) for value in row for datum in value.data] for row in table.rows)
    return target.getvalue()


def _sentences(texts: Sequence[str]) -> list[JsonValue]:
    return [text.replace(_NBSP, " ") for text in texts]


def _records(table: AnswerTable) -> list[JsonValue]:
    return [{key: _plain(datum) for key, datum in record.items()} for record in table.records()]


def _plain(datum: Datum) -> JsonValue:
    if isinstance(datum, tuple):
        return [_plain(own) for own in datum]
    if isinstance(datum, datetime.date):
        return datum.isoformat()
    if isinstance(datum, float):
        # A NumPy float is a float to Python and none to a reader of its repr.
        return float(datum) if math.isfinite(datum) else None
    return datum


def _cell(datum: Datum) -> str:
    if isinstance(datum, tuple):
        return "; ".join(_cell(own) for own in datum)
    value = _plain(datum)
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float):
        return f"{value:.{_FIGURES}g}"
    return safe_text(str(value))


def safe_text(text: str) -> str:
    """A text of a CSV file: a spreadsheet takes it for no formula, and nothing in it is invisible."""
    text = visible(text)
    return f"'{text}" if text.startswith(("=", "+", "-", "@")) and not _NUMBER.fullmatch(text) else text
