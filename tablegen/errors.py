"""Exceptions of the package, one class for each decision a caller may take.

::

    TablegenError
    ├── ConfigError        the user can fix it in a config file (exit code 2)
    ├── RequestError       what was asked cannot be done (exit code 2)
    ├── PropertyError      the property library cannot give a state (exit code 2)
    │   ├── MissingPairError      it has no parameters for a binary pair
    │   ├── IncompletePairError   it has none, and those given do not suffice
    │   └── CriticalPointError    a critical point that was given cannot be that of the composition
    ├── DataSetError       a data set on disk is missing, incomplete or not ours (exit code 2)
    ├── WorkerError        a process that shared the work died; what it had finished is cached (exit code 2)
    ├── OutputError        the output cannot be written; the last good one is untouched (exit code 2)
    └── PublishError       a page cannot be set as asked (exit code 2)
        └── MissingGlyphError a typeface lacks a character

`BadValue` is not in the tree: it is the `ValueError` with which a lower layer reports one value, so that
the layer above can add where it was read.  `TablegenWarning` is a warning.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tablegen.wording import config_errors
from tablegen.wording import input_errors as wording

# A longer line or value quotes more than a reader needs to find it again.
_LONGEST_LINE, _LONGEST_VALUE = 600, 100
_MAX_LISTED = 12
_LONG = re.compile(r"[^\s'\"]{120,}|(?<!\w)'[^'\n]{120,}'|(?<!\w)\"[^\"\n]{120,}\"")


def cut(text: str) -> str:
    """A text that was read, as a message repeats it: of a long one the beginning and the end."""
    return text if len(text) <= _LONGEST_VALUE else f"{text[:60]}...{text[-20:]}"


def shown(value: object) -> str:
    """A value that was read, as a message repeats it: text in quotes, a list or a mapping by its length."""
    if isinstance(value, dict):
        return config_errors.MAPPING(len(value)) if value else config_errors.EMPTY_MAPPING()
    if isinstance(value, list):
        return config_errors.LIST(len(value)) if value else config_errors.EMPTY_LIST()
    return config_errors.EMPTY_VALUE() if value is None else cut(repr(value))


def shortened(text: str) -> str:
    """A message without the middle of what is long in it."""
    return _LONG.sub(lambda match: cut(match[0]), text) if len(text) > _LONGEST_LINE else text


def _escaped(char: str) -> str:
    return " " if char.isspace() and char not in "\r\n\v\f\x85\u2028\u2029" else ascii(char)[1:-1]


class TablegenError(Exception):
    """Base of every error that the package raises on purpose."""


class BadValue(ValueError):
    """One value is not allowed: `value` is what was read, `rule` what is allowed, `hint` the next action."""

    def __init__(self, value: object, rule: str, hint: str = "") -> None:
        self.value, self.rule, self.hint = value, rule, hint
        read = cut(str(value))
        text = wording.NOT_ALLOWED(value=read, rule=rule)
        if hint:
            text = wording.NOT_ALLOWED_WITH_HINT(value=read, rule=rule, hint=hint)
        super().__init__(text)


@dataclass(frozen=True, slots=True, order=True)
class FileProblem:
    """One problem in a config file, and where it is."""

    file: str
    line: int
    key: str
    text: str

    def __str__(self) -> str:
        file = shortened(self.file)
        where = f"{file}:{self.line}" if self.line else file
        text = shortened(f"{cut(self.key)}: {self.text}" if self.key else self.text)
        # One line, whatever is in the file: some characters end a line or are invisible.
        return "".join(char if char.isprintable() else _escaped(char) for char in f"{where}: {text}")


class ConfigError(TablegenError):
    """Config files that cannot be used; carries every problem found, in file order."""

    def __init__(self, problems: Sequence[FileProblem]) -> None:
        self.problems = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(m) for m in self.problems))


class RequestError(TablegenError):
    """What was asked for cannot be done; the message says what can."""

    def __init__(self, text: str) -> None:
        super().__init__(shortened(text))


class PropertyError(TablegenError):
    """The property library cannot give a refrigerant or a state."""


class MissingPairError(PropertyError):
    """The property library has no parameters for some binary pairs of a blend, and the blend gives none."""

    def __init__(self, name: str, pairs: Sequence[tuple[str, str]]) -> None:
        self.pairs = tuple(pairs)
        self.rule = wording.MISSING_PAIRS(len(pairs), pairs=", ".join("/".join(pair) for pair in pairs))
        super().__init__(wording.OF_REFRIGERANT(refrigerant=name, text=self.rule))


class IncompletePairError(PropertyError):
    """A binary pair that the property library lacks is given only in part; `index` is its index among those given."""

    def __init__(self, name: str, index: int, pair: tuple[str, str]) -> None:
        self.index = index
        self.rule = wording.INCOMPLETE_PAIR(pair="/".join(pair))
        super().__init__(wording.OF_REFRIGERANT(refrigerant=name, text=self.rule))


class CriticalPointError(PropertyError):
    """A critical point that was given cannot be right; `quantity` ("temperature", "pressure") is what to doubt."""

    def __init__(self, name: str, quantity: str, rule: str) -> None:
        self.quantity, self.rule = quantity, rule
        message = wording.CRITICAL_TEMPERATURE if quantity == "temperature" else wording.CRITICAL_PRESSURE
        super().__init__(message(refrigerant=name, text=rule))


class DataSetError(TablegenError):
    """A data set on disk is missing, incomplete or of another layout."""


class WorkerError(TablegenError):
    """A process that shared the work ended early."""


class OutputError(TablegenError):
    """The output folder cannot be written; what was there is untouched."""

    def __init__(self, text: str) -> None:
        super().__init__(shortened(text))


class PublishError(TablegenError):
    """A page, table or graph cannot be set as asked."""


class MissingGlyphError(PublishError):
    """A typeface has no glyph for a character; the page library would print a blank or a box."""


class TablegenWarning(UserWarning):
    """Something that costs time or narrows a result but leaves it right."""


def both_scales(kelvin: float, places: int = 1) -> str:
    """A temperature [K] as a message says it, for readers of either scale."""
    fahrenheit, celsius = kelvin * 1.8 - 459.67, kelvin - 273.15
    return wording.TEMPERATURE(fahrenheit=f"{fahrenheit:.{places}f}", celsius=f"{celsius:.{places}f}")


def both_lengths(meters: float) -> str:
    """A length on paper [m] as a message says it, for readers of either system."""
    return wording.PAPER_LENGTH(inches=f"{meters / 0.0254:.2f}", millimeters=f"{1000.0 * meters:.1f}")


def both_steps(kelvin: float, places: int = 1) -> str:
    """A temperature difference [K] as a message says it, for readers of either scale."""
    return wording.TEMPERATURE_DIFFERENCE(fahrenheit=f"{kelvin * 1.8:.{places}f}", kelvin=f"{kelvin:.{places}f}")


class AskedName(str):
    """A name in the spelling of the package; `asked` is the spelling of the user, which messages repeat."""

    asked: str

    def __new__(cls, name: str, asked: str) -> AskedName:
        """A name and how it was asked for."""
        made = super().__new__(cls, name)
        made.asked = asked
        return made

    def __reduce__(self) -> tuple[type[str], tuple[str]]:
        # Elsewhere nobody asks how it was spelled.
        return str, (str(self),)


def as_asked(name: str) -> str:
    """A name as the user spelled it."""
    return name.asked if isinstance(name, AskedName) else name


def near(name: str, known: Iterable[str]) -> str:
    """A near-miss suggestion, or nothing."""
    folded = {k.lower(): k for k in known}
    match = difflib.get_close_matches(name.lower(), folded, n=1, cutoff=0.6)
    # An abbreviation, such as 'ton' for 'ton_refrigeration', is far by letters but clear if it fits one name.
    longer = [k for k in folded if len(name) > 2 and k.startswith(name.lower())]
    match = match or (longer if len(longer) == 1 else [])
    return f" ({wording.DID_YOU_MEAN(name=folded[match[0]])})" if match else ""


def unknown(what: str, name: str, known: Iterable[str], read: str = "") -> str:
    """A message for an unknown name, given as it was asked for or `read`; a known name of two things is listed once."""
    known = list(dict.fromkeys(known))
    listed = ", ".join(known[:_MAX_LISTED]) or wording.NO_NAMES()
    if len(known) > _MAX_LISTED:
        listed = wording.AND_MORE(names=listed)
    return wording.UNKNOWN_NAME(name=cut(repr(read or as_asked(name))), what=what, known=listed) + near(name, known)
