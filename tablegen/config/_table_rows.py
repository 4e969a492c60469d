"""Rows of tables that a publication names by their SSTs: as a list, or from a minimum to a maximum in steps."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Annotated, Any, TypeAlias

from pydantic import Discriminator, Field, Tag

from tablegen.config._application_model import SstRangeModel
from tablegen.config._reader import Reader
from tablegen.config.document import ConfigDocument, KeyPath
from tablegen.config.fields import SuctionTemperature
from tablegen.errors import BadValue, both_scales
from tablegen.model.inputs import Application
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors
from tablegen.wording.message import OR, listed

# Suction temperatures that are the same [K].
_SAME_K = 1e-6
_LIST, _RANGE = "(list)", "(range)"


def _form(value: Any) -> str:
    return _LIST if isinstance(value, list) else _RANGE


SstRows: TypeAlias = Annotated[
    Annotated[SstRangeModel, Tag(_RANGE)] | Annotated[list[SuctionTemperature], Field(min_length=1), Tag(_LIST)],
    Discriminator(_form),
]


def row_of(
    reader: Reader, document: ConfigDocument, application: str, rows_k: Sequence[float], path: KeyPath, sst_k: float
) -> float | None:
    """The row of an application's tables at a suction temperature [K]; None, with the problem noted, without one."""
    if (found := next((row_k for row_k in rows_k if abs(row_k - sst_k) < _SAME_K), None)) is not None:
        return found
    below, above = [r for r in rows_k if r < sst_k], [r for r in rows_k if r > sst_k]
    nearest = [*([max(below)] if below else []), *([min(above)] if above else [])]
    rows = listed([both_scales(row_k) for row_k in nearest], OR)
    rule = wording.NO_SUCH_ROW(application=application, rows=rows)
    # The SST is written there, or follows from a step.
    shown = both_scales(sst_k) if path[-1] == "step" else repr(document.value(path))
    reader.refuse(document, path, str(BadValue(shown, rule)))
    return None


def chosen_rows(
    reader: Reader,
    document: ConfigDocument,
    chosen: Mapping[str, SstRangeModel | list[float]],
    printed: Collection[str],
    applications: Mapping[str, Application],
) -> dict[str, tuple[float, ...]]:
    """The rows [K] to print of each application that is named, ascending; problems are noted by the reader.

    One that is `printed` may be none of the `applications`, which are those that a case takes.

    The row of the application's example is one of them, for pages read the tables by it.
    """
    found: dict[str, tuple[float, ...]] = {}
    for name, own in chosen.items():
        path: KeyPath = ("sst_rows", name)
        if name not in printed:
            reader.refuse_unknown(document, path, input_errors.AN_APPLICATION(), name, printed, read=name)
        if name not in printed or name not in applications:
            continue
        application = applications[name]
        rows_k = [float(row_k) for row_k in application.sst_k]
        if isinstance(own, SstRangeModel):
            wanted = [((*path, "minimum" if i == 0 else "step"), float(k)) for i, k in enumerate(own.grid())]
        else:
            wanted = [((*path, i), k) for i, k in enumerate(own)]
        rows: list[float] = []
        for below, sst_k in wanted:
            row_k = row_of(reader, document, name, rows_k, below, sst_k)
            if row_k is None and isinstance(own, SstRangeModel):
                break
            if row_k in rows:
                reader.refuse(document, below, str(BadValue(repr(document.value(below)), wording.LISTED_TWICE())))
            elif row_k is not None:
                rows.append(row_k)
        if len(rows) == len(wanted) and not any(abs(row_k - application.example_sst_k) < _SAME_K for row_k in rows):
            rule = wording.EXAMPLE_ROW_REQUIRED(application=name, sst=both_scales(application.example_sst_k))
            reader.refuse(document, path, rule)
        found[name] = tuple(sorted(rows))
    return found
