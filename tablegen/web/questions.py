"""The questions of the desk: the fields of each page, and the function of the package that answers it.

A page reaches the parameters that its fields name and no other: none that names a file or a folder.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from tablegen.api._inputs import Units, loaded, path_of
from tablegen.api.conversion import convert
from tablegen.api.one_case import pick
from tablegen.api.one_valve import retrofit, trace
from tablegen.api.refrigerant_data import states
from tablegen.errors import ConfigError, FileProblem, RequestError
from tablegen.model.inputs import Catalogue
from tablegen.report.answer import Answer
from tablegen.web.form_fields import (
    FieldKind,
    FormField,
    applications,
    families,
    first_of,
    of_messages,
    refrigerants,
    single_refrigerants,
    sizes,
    unit_systems,
    valve_kinds,
)
from tablegen.wording import desk as wording
from tablegen.wording import input_errors
from tablegen.wording.message import OR, Message, argument, listed, with_labels

Ask = Callable[..., Answer]


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskQuestion:
    """A page of the desk: its name in addresses, its title, what answers it, its fields."""

    name: str
    title: Message
    ask: Ask
    fields: tuple[FormField, ...]

    @property
    def names(self) -> frozenset[str]:
        """The fields of its form by name, those with units too."""
        return frozenset(name for own in self.fields for name in (own.name, own.unit_name) if name)

    def missing(self, values: Mapping[str, str]) -> tuple[str, ...]:
        """The labels of the fields that are still to be filled in."""
        found = []
        for own in self.fields:
            if own.is_needed and not any(values.get(name, "").strip() for name in (own.name, own.instead)):
                other = [field.label for field in self.fields if field.name == own.instead]
                found.append(listed((own.label, *other), OR))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class Asked:
    """What became of a question: an answer, or the fields that are still to be filled in."""

    answer: Answer | None
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Desk:
    """A catalogue with its stock sheet, and the system of units that answers have unless a page chooses another."""

    place: str | Path | None
    units: Units | None = None
    stock: str | Path | None = None

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue, read again when a file of it changes.

        Raises
        ------
        ConfigError
            If it cannot be used.
        """
        return loaded(self.place, stock=self.stock)

    @property
    def folder(self) -> Path:
        """The folder of the catalogue."""
        return path_of(self.place).parent

    def system(self, catalogue: Catalogue, values: Mapping[str, str]) -> str:
        """The system of units that a page has."""
        return values.get("units") or self.units or catalogue.printing.units

    def ask(self, question: DeskQuestion, values: Mapping[str, str]) -> Asked:
        """The answer to a page's fields.

        Raises
        ------
        TablegenError
            As the function that answers it; also for a field that the page does not have. Arguments are called by the
            labels of their fields.
        """
        for name in values:
            if name not in question.names:
                raise RequestError(wording.NO_FIELD(name=repr(name[:40])))
        missing = question.missing(values)
        if missing:
            return Asked(None, missing)
        catalogue = self.catalogue
        system = self.system(catalogue, values)
        with with_labels({own.name: own.label for own in question.fields}):
            arguments: dict[str, Any] = {}
            setting: list[FormField] = []
            for own in question.fields:
                usual = own.units(catalogue, known_system(system))[0] if own.kind is FieldKind.QUANTITY else None
                value = own.argument(values, usual)
                if value is not None and own.sets:
                    _check_one_of(own, setting)
                    setting.append(own)
                    arguments.setdefault(own.changes, []).extend(change.format(value) for change in own.sets)
                elif value is not None and own.name in arguments:
                    arguments[own.name] += value
                elif value is not None:
                    arguments[own.name] = value
            try:
                return Asked(question.ask(self, **({"units": self.units} | arguments)))
            except ConfigError as error:
                raise ConfigError([_at_field(problem, setting) for problem in error.problems]) from None


def _check_one_of(own: FormField, others: Sequence[FormField]) -> None:
    """Refuse a field that sets what another one sets too."""
    for other in others:
        if other.changes == own.changes and any(other.is_of_key(change.partition(".")[0]) for change in own.sets):
            raise RequestError(input_errors.ONE_OF_TWO(first=other.label, second=own.label))


def _at_field(problem: FileProblem, setting: Sequence[FormField]) -> FileProblem:
    """A problem of a key of the application, at the field that sets it."""
    fields = (own for own in setting if problem.file == argument(own.changes) and own.is_of_key(problem.key))
    found = next(fields, None)
    return problem if found is None else FileProblem(found.label, 0, "", problem.text)


def known_system(system: str) -> Units:
    """A system of units to read figures in; the answer refuses one that there is not."""
    return "SI" if system == "SI" else "IP"


def _of_catalogue(function: Ask) -> Ask:
    """A function that reads the desk's catalogue."""
    return lambda desk, **arguments: function(catalogue=desk.place, **arguments)


def _pick(desk: Desk, **arguments: Any) -> Answer:
    """What fits, by the desk's stock sheet."""
    return pick(catalogue=desk.place, stock=desk.stock, **arguments)


def _states(desk: Desk, refrigerant: list[str], units: Units | None, **arguments: Any) -> Answer:
    """Pressures of refrigerants, the catalogue's own too."""
    own = desk.folder if (desk.folder / "refrigerants").is_dir() else None
    return states(*refrigerant, configs=own, units=units or known_system(desk.catalogue.printing.units), **arguments)


_REFRIGERANT = FormField(name="refrigerant", choices=refrigerants, is_needed=True, hint=wording.HINTS["refrigerant"])
_LOAD = FormField(name="load", kind=FieldKind.QUANTITY, quantity="load", is_needed=True)
_SST = (
    FormField(name="sst", kind=FieldKind.QUANTITY, quantity="temperature", is_needed=True, instead="box"),
    FormField(name="box", kind=FieldKind.QUANTITY, quantity="temperature", is_half=True),
    FormField(name="coil_difference", kind=FieldKind.QUANTITY, quantity="temperature difference", is_half=True),
)
_APPLICATION = FormField(
    name="application", kind=FieldKind.CHOICE, choices=first_of(wording.ANY_APPLICATION, applications)
)
_FAMILY = FormField(name="family", kind=FieldKind.CHOICE, choices=first_of(wording.CHOOSE, families), is_needed=True)
_SIZE = FormField(name="size", choices=sizes, is_needed=True)
_CHANGES = FormField(name="overrides", kind=FieldKind.LINES, is_more=True, hint=wording.HINTS["overrides"])
_CONDENSING = "low_head.condensing_temperature={}", "low_head.basis=bubble"
_LOW_HEAD = (
    FormField(
        name="low_head",
        kind=FieldKind.QUANTITY,
        quantity="pressure gauge",
        sets=("low_head.head_pressure={}",),
        is_half=True,
    ),
    FormField(name="low_condensing", kind=FieldKind.QUANTITY, quantity="temperature", sets=_CONDENSING, is_half=True),
)
_MORE_LOW_HEAD = tuple(replace(own, is_half=False, is_more=True) for own in _LOW_HEAD)
_WAS_LOW_HEAD = tuple(replace(own, name=f"was_{own.name}", changes="was_overrides") for own in _LOW_HEAD)
_UNITS = FormField(
    name="units", kind=FieldKind.CHOICE, choices=first_of(wording.USUAL_UNITS, unit_systems), is_more=True
)

_PICK = (
    _REFRIGERANT,
    _LOAD,
    *_SST,
    _APPLICATION,
    FormField(name="family", kind=FieldKind.CHOICE, choices=first_of(wording.ALL_FAMILIES, families), is_half=True),
    FormField(name="valve_kind", kind=FieldKind.CHOICE, choices=first_of(wording.ALL_KINDS, valve_kinds), is_half=True),
    FormField(name="all_sizes", kind=FieldKind.CHECK, of_stock=True),
    FormField(name="quantity", kind=FieldKind.WHOLE, is_half=True),
    FormField(name="job", is_half=True),
    FormField(name="connections", is_more=True),
    FormField(name="capillary", kind=FieldKind.QUANTITY, quantity="length", is_more=True),
    FormField(name="split", kind=FieldKind.WORDS, is_more=True, hint=wording.HINTS["split"]),
    *_MORE_LOW_HEAD,
    _CHANGES,
    _UNITS,
)
_RETROFIT = (
    _FAMILY,
    _SIZE,
    _REFRIGERANT,
    _LOAD,
    *_SST,
    _APPLICATION,
    *_LOW_HEAD,
    FormField(name="was", choices=single_refrigerants),
    *_WAS_LOW_HEAD,
    FormField(name="was_load", kind=FieldKind.QUANTITY, quantity="load", is_more=True),
    FormField(
        name="was_application", kind=FieldKind.CHOICE, choices=first_of(wording.SAME, applications), is_more=True
    ),
    FormField(name="charge", is_more=True),
    FormField(name="static_superheat", kind=FieldKind.QUANTITY, quantity="temperature difference", is_more=True),
    FormField(name="turns", kind=FieldKind.NUMBER, is_more=True),
    _CHANGES,
    FormField(name="was_overrides", kind=FieldKind.LINES, is_more=True),
    _UNITS,
)
_CONVERT = (
    FormField(name="refrigerant", choices=single_refrigerants, is_needed=True),
    FormField(name="capacity", kind=FieldKind.QUANTITY, quantity="load", is_needed=True),
    FormField(name="condensing", kind=FieldKind.QUANTITY, quantity="temperature", is_needed=True),
    FormField(
        name="basis",
        kind=FieldKind.CHOICE,
        choices=first_of(wording.CHOOSE, of_messages(wording.BASES)),
        is_needed=True,
    ),
    FormField(name="subcooling", kind=FieldKind.QUANTITY, quantity="temperature difference"),
    FormField(name="liquid", kind=FieldKind.QUANTITY, quantity="temperature"),
    *_SST,
    _APPLICATION,
    FormField(name="stated_sst", kind=FieldKind.QUANTITY, quantity="temperature", is_more=True),
    FormField(name="back", kind=FieldKind.CHECK, is_more=True),
    _UNITS,
)
_STATES = (
    FormField(
        name="refrigerant",
        kind=FieldKind.WORDS,
        choices=single_refrigerants,
        is_needed=True,
        hint=wording.HINTS["refrigerants"],
    ),
    FormField(name="coldest", kind=FieldKind.QUANTITY, quantity="temperature"),
    FormField(name="warmest", kind=FieldKind.QUANTITY, quantity="temperature"),
    FormField(name="step", kind=FieldKind.QUANTITY, quantity="temperature difference"),
    FormField(name="columns", kind=FieldKind.WORDS, is_more=True, hint=wording.HINTS["columns"]),
    FormField(name="pressure", is_more=True, hint=wording.HINTS["pressure"]),
    _UNITS,
)
_TRACE = (
    _FAMILY,
    _SIZE,
    _REFRIGERANT,
    *_SST,
    _APPLICATION,
    FormField(name="limit", kind=FieldKind.CHOICE, choices=first_of(wording.BOTH_LIMITS, of_messages(wording.SIDES))),
    *_MORE_LOW_HEAD,
    _CHANGES,
    _UNITS,
)
QUESTIONS = {
    own.name: own
    for own in (
        DeskQuestion(name="pick", title=wording.PICK, ask=_pick, fields=_PICK),
        DeskQuestion(name="retrofit", title=wording.RETROFIT, ask=_of_catalogue(retrofit), fields=_RETROFIT),
        DeskQuestion(name="convert", title=wording.CONVERT, ask=_of_catalogue(convert), fields=_CONVERT),
        DeskQuestion(name="states", title=wording.STATES, ask=_states, fields=_STATES),
        DeskQuestion(name="trace", title=wording.TRACE, ask=_of_catalogue(trace), fields=_TRACE),
    )
}
