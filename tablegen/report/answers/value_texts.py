"""Values of inputs as an answer prints and exports them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tablegen.dataset.input_changes import Missing
from tablegen.report.rounding import MINUS
from tablegen.wording import compare as wording

if TYPE_CHECKING:
    from tablegen.dataset.release_files import Json
    from tablegen.report.answer import Datum

# Longer lists are described by their number of values.
_MAX_VALUES = 4
_FIGURES = 9


def value_text(value: Json | Missing) -> str:
    """A value of a manifest, in SI as its name says, or of a config file, as it is written."""
    if isinstance(value, Missing):
        return wording.MISSING()
    if value is None:
        return wording.NONE()
    if isinstance(value, bool):
        return wording.YES() if value else wording.NO()
    if isinstance(value, float | int):
        return f"{value:.{_FIGURES}g}".replace("-", MINUS) if value < 0 else f"{value:.{_FIGURES}g}"
    if isinstance(value, list):
        is_short = len(value) <= _MAX_VALUES and not any(isinstance(own, list | dict) for own in value)
        return ", ".join(map(value_text, value)) if is_short else wording.VALUES(len(value))
    if isinstance(value, dict):
        return str(value.get("name", wording.ANOTHER()))
    return value


def exported_value(value: Json | Missing) -> Datum:
    """A value for export; lists and mappings by their text."""
    return value if isinstance(value, str | int | float) else None if value is None else value_text(value)
