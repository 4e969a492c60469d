"""Files of a release as they are on disk, where anyone may have altered them: nothing in them is taken for granted.

What passes here is what a build writes: whoever uses it meets a number where one must be, and each window once.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeAlias

import pandas as pd

from tablegen.dataset.csv_files import frame_of
from tablegen.errors import BadValue, DataSetError, FileProblem
from tablegen.files import read_regular
from tablegen.wording import compare as wording
from tablegen.wording import input_errors
from tablegen.wording.columns import COLUMNS, is_text

Json: TypeAlias = "str | int | float | bool | list[Json] | dict[str, Json] | None"
"""A value of a JSON file."""

LIMITS = ("min_load_w", "max_load_w")
# A manifest has a dozen levels.
_DEEPEST = 50
# No figure of a data set comes near.
_LARGEST = 1e15
_NUMBER = re.compile(r"[+-]?\d+(?:\.\d*)?(?:e[+-]?\d+)?", re.ASCII | re.IGNORECASE)
_LONGEST_SHOWN = 40


def bytes_of(path: Path) -> bytes:
    """The content of a file of a release; what is no file on disk, such as a pipe, is refused.

    Raises
    ------
    DataSetError
        If it cannot be read.
    """
    try:
        return read_regular(path)
    except OSError as error:
        reason = wording.UNREADABLE_FILE(file=path.name, reason=error.strerror or str(error))
        raise no_release(path.parent, reason) from error


def json_of(path: Path) -> Json:
    """The value in a JSON file of a release: numbers are finite, each key is there once, texts can be written.

    Raises
    ------
    DataSetError
        If it cannot be read, or is no such JSON.
    """
    try:
        value: Json = json.loads(_text(path, bytes_of(path)), object_pairs_hook=_each_once)
        for depth, own in _values(value):
            _check(own, depth)
    except json.JSONDecodeError as error:
        raise refusal(path, error.lineno, "", wording.NOT_JSON(reason=error.msg)) from error
    except _NotUsableError as error:
        raise refusal(path, 0, "", str(error)) from error
    # Of JSON itself the library refuses numbers of many digits and too many levels.
    except ValueError as error:
        raise refusal(path, 0, "", wording.TOO_LARGE_A_NUMBER()) from error
    except RecursionError as error:
        raise refusal(path, 0, "", wording.TOO_DEEP()) from error
    return value


class _NotUsableError(Exception):
    """JSON that no build writes; its message says what is wrong."""


def _each_once(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _NotUsableError(wording.KEY_TWICE(key=repr(twice)))
    return found


def _values(value: Json) -> Iterator[tuple[int, Json]]:
    """Every value with its level, and every key; without recursion, for the levels may be many."""
    left: list[tuple[int, Json]] = [(1, value)]
    while left:
        depth, own = left.pop()
        yield depth, own
        if isinstance(own, dict):
            left += [(depth, key) for key in own]
        if isinstance(own, (dict, list)):
            left += [(depth + 1, below) for below in (own.values() if isinstance(own, dict) else own)]


def _check(value: Json, depth: int) -> None:
    if depth > _DEEPEST:
        raise _NotUsableError(wording.TOO_DEEP())
    if isinstance(value, (int, float)) and not abs(value) < _LARGEST:
        raise _NotUsableError(wording.TOO_LARGE_A_NUMBER())
    # Half of a pair of characters, which no file can contain.
    if isinstance(value, str) and not value.isascii() and any("\ud800" <= sign <= "\udfff" for sign in value):
        raise _NotUsableError(wording.HALF_A_CHARACTER(value=ascii(value[:_LONGEST_SHOWN])))


def windows_of(path: Path, written: bytes, keys: Sequence[str], more: Collection[str]) -> pd.DataFrame:
    """The columns that are needed of a file of windows; each window is there once, with both limits or none.

    Parameters
    ----------
    path : Path
        For messages.
    written : bytes
        The content of the file.
    keys : sequence of str
        The columns by which windows are known.
    more : collection of str
        Columns beside these and the limits.

    Raises
    ------
    DataSetError
        If it is no CSV, or a column, a row or a value is not what a build writes.
    """
    needed = [*keys, *LIMITS, *more]
    reader = csv.reader(io.StringIO(_text(path, written), newline=""), strict=True)
    seen: dict[tuple[str, ...], int] = {}
    try:
        header = next(reader, [])
        for name in needed:
            if header.count(name) != 1:
                message = wording.COLUMN_TWICE if name in header else wording.NO_COLUMN
                raise DataSetError(message(file=str(path), column=name))
        columns = {name: header.index(name) for name in needed}
        for row in reader:
            line = reader.line_num
            if len(row) != len(header):
                text = wording.OTHER_COUNT(len(row), columns=len(header))
                raise refusal(path, line, "", text)
            own = {name: row[index] for name, index in columns.items()}
            for name, value in own.items():
                if rule := _broken_rule(name, value, keys):
                    raise refusal(path, line, name, str(BadValue(repr(value[:_LONGEST_SHOWN]), rule)))
            _check_limits(path, line, *(own[name] for name in LIMITS))
            first = seen.setdefault(_key(own, keys), line)
            if first != line:
                raise refusal(path, line, "", wording.WINDOW_TWICE(line=str(first)))
    except csv.Error as error:
        raise refusal(path, reader.line_num, "", wording.NOT_CSV(reason=str(error))) from error
    if not seen:
        raise refusal(path, 0, "", wording.NO_WINDOWS())
    return frame_of(written, needed)


def _broken_rule(column: str, value: str, keys: Collection[str]) -> str:
    """The rule that a value breaks, or nothing; a text beside the keys and a limit may be empty."""
    if is_text(column):
        return wording.MUST_BE_A_NAME() if column in keys and not value.strip() else ""
    if column in LIMITS and not value:
        return ""
    is_number = _NUMBER.fullmatch(value) and 0.0 < float(value) < _LARGEST
    return "" if is_number else wording.MUST_BE_A_NUMBER(unit=COLUMNS[column].unit or "")


def _check_limits(path: Path, line: int, minimum: str, maximum: str) -> None:
    """A window has both limits, or none."""
    if bool(minimum) != bool(maximum):
        raise refusal(path, line, LIMITS[0 if maximum else 1], wording.ONE_LIMIT())
    if minimum and not float(minimum) < float(maximum):
        rule = wording.MUST_BE_BELOW(limit=maximum)
        raise refusal(path, line, LIMITS[0], str(BadValue(repr(minimum), rule)))


def _key(row: Mapping[str, str], keys: Sequence[str]) -> tuple[str, ...]:
    """What a window is known by; of a number, its value."""
    return tuple(row[name] if is_text(name) else f"{float(row[name]):.6f}" for name in keys)


def _text(path: Path, written: bytes) -> str:
    try:
        text = written.decode("utf-8")
    except UnicodeDecodeError as error:
        raise refusal(path, written[: error.start].count(b"\n") + 1, "", wording.NOT_UTF_8()) from error
    if "\0" in text:
        raise refusal(path, text[: text.index("\0")].count("\n") + 1, "", input_errors.NUL_BYTE())
    return text


def no_release(folder: Path, reason: str) -> DataSetError:
    """The error, in one line, of a folder that is no release."""
    return DataSetError(wording.NO_RELEASE(folder=str(folder), reason=" ".join(reason.split())))


def refusal(path: Path, line: int, column: str, text: str) -> DataSetError:
    """The error, in one line, of a file of a release; line 0 for none."""
    return DataSetError(str(FileProblem(str(path), line, column, text)))
