"""Exceptions of the package, one class for each decision a caller may take.

::

    TablegenError
    ├── ConfigError        the reader can mend it in a config file (exit code 2)
    ├── RequestError       what was asked at the command line cannot be done (exit code 2)
    ├── PropertyError      the property library cannot give a state (exit code 2)
    │   └── MissingPairError   it has no parameters for a binary pair
    ├── DataSetError       a data set on disk is missing, incomplete or not ours (exit code 2)
    ├── OutputError        the output cannot be written; the last good one is untouched (exit code 2)
    └── PublishError       a page cannot be set as asked (exit code 2)
        └── MissingGlyphError (in `tablegen.publish.fonts`)

`BadValue` is not in the tree: it is the `ValueError` by which a lower layer says what is wrong with
one value, for the layer above to add where it was read.  `TablegenWarning` is a warning.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class TablegenError(Exception):
    """Base of every error that the package raises on purpose."""


class BadValue(ValueError):
    """One value is not allowed: `value` is what was read, `rule` what is allowed, `hint` the next action."""

    def __init__(self, value: object, rule: str, hint: str = "") -> None:
        self.value, self.rule, self.hint = value, rule, hint
        super().__init__(f"{value} is not allowed; {rule}" + (f" ({hint})" if hint else ""))


@dataclass(frozen=True, slots=True, order=True)
class Mistake:
    """One mistake in a config file, and where it stands."""

    file: str
    line: int
    key: str
    text: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{place}: {self.key}: {self.text}" if self.key else f"{place}: {self.text}"


class ConfigError(TablegenError):
    """Config files that cannot be used; carries every mistake found, in file order."""

    def __init__(self, mistakes: Sequence[Mistake]) -> None:
        self.mistakes = tuple(sorted(set(mistakes)))
        super().__init__("\n".join(str(m) for m in self.mistakes))


class RequestError(TablegenError):
    """What was asked for at the command line cannot be done; the message says what can."""


class PropertyError(TablegenError):
    """The property library cannot give a refrigerant or a state."""


class MissingPairError(PropertyError):
    """The property library has no parameters for some binary pairs of a blend, and the blend gives none."""

    def __init__(self, name: str, pairs: Sequence[tuple[str, str]]) -> None:
        self.pairs = tuple(pairs)
        listed = ", ".join("/".join(pair) for pair in pairs)
        super().__init__(f"{name}: the property library has no parameters for the binary pairs {listed}")


class DataSetError(TablegenError):
    """A data set on disk is missing, incomplete or of another layout."""


class OutputError(TablegenError):
    """The output folder cannot be written; whatever stood there before is untouched."""


class PublishError(TablegenError):
    """A page, table or graph cannot be set as asked."""


class TablegenWarning(UserWarning):
    """Something that costs time or narrows a result but leaves it right."""
