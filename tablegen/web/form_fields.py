"""The fields of a form: what each is called, how its text becomes the argument of a function, what it suggests."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from tablegen.errors import RequestError, shown
from tablegen.model.inputs import Catalogue
from tablegen.model.valve_kinds import VALVE_KINDS, is_of_kind
from tablegen.unit_table import Unit
from tablegen.units import plain_number, print_unit, unit_named, whole_number
from tablegen.wording import desk as wording
from tablegen.wording import valve_kinds as valve_kind_wording
from tablegen.wording.message import Message

_LONGEST = 300
# A figure without a unit, however wrong: it has that of the list beside the field, and is then read or refused.
_FIGURE = re.compile(r"[\d.,+\-\N{MINUS SIGN}\s]*\d[\d.,\s]*(?:[eE][+-]?\d+|/\s*\d+)?")
# Kinds whose units a list offers; of the others it has too many, or one.
_OFFERED = {
    "temperature": ("degF", "degC"),
    "temperature difference": ("delta_degF", "K"),
    "load": ("kBtu/h", "Btu/h", "ton_refrigeration", "kW", "W"),
    "length": ("ft", "m"),
    "pressure gauge": ("psi_gauge", "bar_gauge", "kPa_gauge"),
}
UNIT_SYSTEMS = ("IP", "SI")
Argument = str | int | float | bool | list[str]


class FieldKind(Enum):
    """How a field looks and what its text is."""

    TEXT = "text"
    CHOICE = "choice"
    QUANTITY = "quantity"
    WHOLE = "whole"
    NUMBER = "number"
    CHECK = "check"
    WORDS = "words"
    LINES = "lines"


@dataclass(frozen=True, slots=True)
class FieldChoice:
    """A value that a field takes, and what a reader sees of it; of a size its family (key) too."""

    value: str
    label: str
    family: str = ""


Choices = Callable[[Catalogue], Sequence[FieldChoice]]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormField:
    """A field, named as the parameter that it is for.

    Attributes
    ----------
    sets : tuple of str
        Of a field that is for a key of an application: the changes that it makes, each with `{}` for its value.
    changes : str
        The parameter that has these changes.
    quantity : str
        Kind of quantity; its unit is in a field of its own beside it, for figures without one.
    choices : callable or None
        What a `CHOICE` allows and a `TEXT` suggests, from the catalogue.
    is_needed : bool
        Whether there is no answer without it.
    instead : str
        Name of a field that may be filled in in place of a needed one.
    is_more : bool
        Whether it is one of those that are seldom needed.
    is_half : bool
        Whether two like it stand beside each other.
    of_stock : bool
        Whether it is for a catalogue with a stock sheet alone.
    """

    name: str
    kind: FieldKind = FieldKind.TEXT
    quantity: str = ""
    sets: tuple[str, ...] = ()
    changes: str = "overrides"
    choices: Choices | None = None
    is_needed: bool = False
    instead: str = ""
    is_more: bool = False
    is_half: bool = False
    of_stock: bool = False
    hint: Message | None = None

    @property
    def label(self) -> str:
        """What a reader calls it."""
        return wording.LABELS[self.name]()

    @property
    def unit_name(self) -> str:
        """Name of the field with its unit; empty for what is no quantity."""
        return f"{self.name}_unit" if self.kind is FieldKind.QUANTITY else ""

    @property
    def parameter(self) -> str:
        """The parameter that it is for."""
        return self.changes if self.sets else self.name

    def is_of_key(self, key: str) -> bool:
        """Whether it sets a key of an application, or one below it."""
        return any(f"{own.partition('=')[0]}.".startswith(f"{key}.") for own in self.sets)

    def units(self, catalogue: Catalogue, system: str) -> list[Unit]:
        """The units that its list offers, the one that figures have by default first."""
        own = catalogue.printing
        load = own.load_unit if system == own.units else None
        first = print_unit(self.quantity, system, load)
        offered = [unit_named(self.quantity.removesuffix(" gauge"), name) for name in _OFFERED[self.quantity]]
        return [first, *(unit for unit in offered if unit.scale != first.scale)]

    def argument(self, values: Mapping[str, str], usual: Unit | None) -> Argument | None:
        """What the field gives to its parameter; None where nothing is entered.

        `usual` is the unit of a figure whose unit was not chosen.

        Raises
        ------
        RequestError
            If a text is too long, or is no number where one is needed.
        """
        text = values.get(self.name, "").strip()
        if not text:
            return None
        if len(text) > _LONGEST:
            raise RequestError(wording.TOO_LONG(field=self.label, value=repr(text[:20]), maximum=_LONGEST))
        match self.kind:
            case FieldKind.QUANTITY:
                unit = values.get(self.unit_name, "").strip() or (usual.name if usual else "")
                return f"{text} {unit}".strip() if _FIGURE.fullmatch(text) else text
            case FieldKind.WHOLE:
                return self._whole(text)
            case FieldKind.NUMBER:
                return self._number(text)
            case FieldKind.CHECK:
                return True
            case FieldKind.WORDS:
                return [part.strip() for part in text.split(",")]
            case FieldKind.LINES:
                return [line.strip() for line in text.splitlines() if line.strip()]
            case _:
                return text

    def _whole(self, text: str) -> int:
        if (number := whole_number(text)) is None:
            raise RequestError(wording.WHOLE_NUMBER(field=self.label, value=shown(text)))
        return number

    def _number(self, text: str) -> float:
        if (number := plain_number(text.replace("\N{MINUS SIGN}", "-"))) is None:
            raise RequestError(wording.A_NUMBER(field=self.label, value=shown(text)))
        return number


def refrigerants(catalogue: Catalogue) -> list[FieldChoice]:
    """Every refrigerant and group that a case may name."""
    groups = [
        FieldChoice(name, ", ".join(group.members))
        for name, group in catalogue.groups.items()
        if len(group.members) > 1
    ]
    return [*(FieldChoice(name, "") for name in catalogue.refrigerants), *groups]


def single_refrigerants(catalogue: Catalogue) -> list[FieldChoice]:
    """Every refrigerant, without groups."""
    return [FieldChoice(name, "") for name in catalogue.refrigerants]


def applications(catalogue: Catalogue) -> list[FieldChoice]:
    """Every application by its title."""
    return [FieldChoice(name, own.title) for name, own in catalogue.applications.items()]


def families(catalogue: Catalogue) -> list[FieldChoice]:
    """Every family by its name in print."""
    return [FieldChoice(name, own.display_name) for name, own in catalogue.families.items()]


def valve_kinds(catalogue: Catalogue) -> list[FieldChoice]:
    """The kinds of valves that the catalogue has."""
    return [
        FieldChoice(name, valve_kind_wording.CHOICES[name]())
        for name in VALVE_KINDS
        if any(is_of_kind(family, name) for family in catalogue.families.values())
    ]


def sizes(catalogue: Catalogue) -> list[FieldChoice]:
    """Every size of every family."""
    return [
        FieldChoice(size.name, family.display_name, name)
        for name, family in catalogue.families.items()
        for size in family.sizes
    ]


def of_messages(texts: Mapping[str, Message]) -> Choices:
    """Values with a text for each."""
    return lambda catalogue: [FieldChoice(value, says()) for value, says in texts.items()]


def first_of(says: Message, choices: Choices) -> Choices:
    """Choices with one before them that chooses nothing."""
    return lambda catalogue: [FieldChoice("", says()), *choices(catalogue)]


def unit_systems(catalogue: Catalogue) -> list[FieldChoice]:
    """Both systems of units."""
    return [FieldChoice(name, name) for name in UNIT_SYSTEMS]
