"""What the four commands about one case ask, as values: from a call, from a file of cases, and as a record keeps it."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar, cast

from tablegen.api._inputs import Quantity, as_text
from tablegen.report.json_export import JsonValue

# Parameters that are quantities, with their kind.
_KINDS: Mapping[str, str] = {
    **dict.fromkeys(("sst", "box", "condensing", "liquid", "stated_sst"), "temperature"),
    **dict.fromkeys(("coil_difference", "subcooling", "static_superheat"), "temperature difference"),
    **dict.fromkeys(("load", "capacity", "split", "was_load"), "load"),
    "capillary": "length",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What every case may have: a name and a date of its own, a refrigerant, an SST or a box, an application."""

    name: str = ""
    date: datetime.date | None = None
    refrigerant: str | None = None
    sst: Quantity | None = None
    box: Quantity | None = None
    coil_difference: Quantity | None = None
    application: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PickQuestion(Question):
    """The parameters of `pick`."""

    load: Quantity | None = None
    overrides: Sequence[str] = ()
    split: Sequence[Quantity] = ()
    family: str | None = None
    valve_kind: str | None = None
    connections: str = ""
    capillary: Quantity | None = None
    quantity: int | None = None
    job: str = ""
    part_numbers: str | None = None
    stock: str | None = None
    all_sizes: bool = False

    @property
    def lists(self) -> dict[str, str]:
        """The files that it names beside the catalogue, by parameter."""
        named = {"part_numbers": self.part_numbers, "stock": self.stock}
        return {name: file for name, file in named.items() if file}


@dataclass(frozen=True, slots=True, kw_only=True)
class ConvertQuestion(Question):
    """The parameters of `convert`."""

    capacity: Quantity | None = None
    condensing: Quantity | None = None
    basis: str | None = None
    subcooling: Quantity | None = None
    liquid: Quantity | None = None
    stated_sst: Quantity | None = None
    back: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RetrofitQuestion(Question):
    """The parameters of `retrofit`."""

    family: str | None = None
    size: str | None = None
    load: Quantity | None = None
    overrides: Sequence[str] = ()
    was: str | None = None
    was_load: Quantity | None = None
    was_application: str | None = None
    was_overrides: Sequence[str] = ()
    charge: str | None = None
    static_superheat: Quantity | None = None
    turns: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceQuestion(Question):
    """The parameters of `trace`."""

    family: str | None = None
    size: str | None = None
    overrides: Sequence[str] = ()
    limit: str | None = None
    detail: str | None = None


Q = TypeVar("Q", bound=Question)
# Commands by their names, as a record writes them.
QUESTIONS: dict[str, type[Question]] = {
    "pick": PickQuestion,
    "convert": ConvertQuestion,
    "retrofit": RetrofitQuestion,
    "trace": TraceQuestion,
}
# Values for keys of an application add up; of two for one key the last one counts.
_ADDED = ("overrides", "was_overrides")
# What says the same in another way: the call's takes the place of the file's, a case's that of all cases'.
INSTEAD: Mapping[str, Sequence[str]] = {
    "sst": ("box", "coil_difference"),
    "box": ("sst",),
    "subcooling": ("liquid",),
    "liquid": ("subcooling",),
    "turns": ("static_superheat",),
    "static_superheat": ("turns",),
}


def over(case: Q, call: Q) -> Q:
    """A case of a file with what a call gives beside the file put over it."""
    values: dict[str, object] = {}
    for own in fields(call):
        value = getattr(call, own.name)
        if _is_open(value, own.default):
            continue
        values[own.name] = (*getattr(case, own.name), *value) if own.name in _ADDED else value
        values |= {other: None for other in INSTEAD.get(own.name, ()) if getattr(call, other) is None}
    return cast(Q, replace(cast(Any, case), **values))


def as_asked(question: Question) -> dict[str, JsonValue]:
    """The parameters that were given, by name, quantities as texts with units: keys of a file of cases."""
    found: dict[str, JsonValue] = {}
    for own in fields(question):
        value, kind = getattr(question, own.name), _KINDS.get(own.name, "")
        if _is_open(value, own.default):
            continue
        if isinstance(value, (list, tuple)):
            found[own.name] = [_spaced(as_text(part, kind)) if kind else str(part) for part in value]
        elif kind:
            found[own.name] = _spaced(as_text(value, kind))
        else:
            found[own.name] = value.isoformat() if isinstance(value, datetime.date) else value
    return found


def _is_open(value: object, default: object) -> bool:
    """Whether a parameter was given nothing."""
    return value == default or (isinstance(value, (list, tuple)) and not value)


def _spaced(text: str) -> str:
    """A quantity with one space at most between figure and unit."""
    return re.sub(r"\s+", " ", text.strip())
