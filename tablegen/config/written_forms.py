"""How values are written in config files, as JSON Schema: quantities by the spellings that `units` reads, names, texts, days."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

from pydantic import BeforeValidator, GetCoreSchemaHandler
from pydantic_core import CoreSchema

from tablegen.config import packaged_configs
from tablegen.unit_table import KINDS, Unit
from tablegen.units import to_si
from tablegen.wording import schema as wording
from tablegen.wording.message import OR, listed

Json: TypeAlias = "str | int | float | bool | Sequence[Json] | Mapping[str, Json] | None"
Form: TypeAlias = dict[str, Json]

NAME_PATTERN = "^[A-Za-z0-9][A-Za-z0-9_.()-]{0,39}$"
_NUMBER = r"[+\-\u2212]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+\-]?[0-9]+)?"
# Thousands have commas between them where they cannot be taken for a decimal one.
_THOUSANDS = r"[+\-\u2212]?[1-9][0-9]{0,2}(?:(?:,[0-9]{3}){2,}(?:\.[0-9]*)?|,[0-9]{3}\.[0-9]*)"
# What a unit's name may have between its letters.
_BETWEEN = r"[\s_.\u00b0]*"
_DEGREES = ("temperature", "temperature difference")
_PRESSURES = ("135 psi_gauge", "9.3 bar_gauge", "14.7 psi_absolute", "1.013 bar_absolute")
_ENDINGS = {"gauge": ("gauge", "ga", "g"), "absolute": ("absolute", "abs", "a")}


@dataclass(frozen=True, slots=True)
class Written:
    """What a type's values are in a file; pydantic asks for it when it makes a schema."""

    form: Callable[[], Form]

    def __get_pydantic_json_schema__(self, core: object, handler: object) -> Form:
        """The form in place of what pydantic knows of the type."""
        return dict(self.form())


@dataclass(frozen=True, slots=True)
class WrittenAs(Written):
    """A validator of what is written, with its form."""

    read: Callable[[Any], Any]

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """What pydantic knows of the type, with the validator before it."""
        return BeforeValidator(self.read).__get_pydantic_core_schema__(source, handler)


@functools.cache
def quantity_form(kinds: tuple[str, ...], minimum: str | None = None, maximum: str | None = None) -> Form:
    """A quantity of one of some kinds, within bounds that are only described."""
    units = [unit.name for kind in kinds for unit in KINDS[kind].units]
    about = [wording.KIND[kind]() for kind in kinds]
    examples = [KINDS[kind].example for kind in kinds]
    if minimum is not None and maximum is not None:
        about.append(wording.BOUNDS(minimum=minimum, maximum=maximum))
        low, value, high = (to_si(own, kinds[0]) for own in (minimum, examples[0], maximum))
        examples = examples if low <= value <= high else [maximum]
    spellings = [_spelled(spelling, kind) for kind in kinds for spelling in _spellings(KINDS[kind].units)]
    return _quantity(spellings, examples, units, about)


@functools.cache
def pressure_form(reference: str = "") -> Form:
    """A pressure that is gauge or absolute, or may be either."""
    wanted = [reference] if reference else list(_ENDINGS)
    units = [unit for unit in KINDS["pressure"].units if unit.name.rpartition("_")[2] in wanted]
    ends = "|".join(_letters(end) for own in wanted for end in _ENDINGS[own])
    usual = {unit.name.rpartition("_")[0] for unit in units}
    bases = dict.fromkeys(_spellings(KINDS["pressure difference"].units))
    # An ending of one letter is read after a usual name, after another one only with a space or a mark between them.
    joined, apart = ("|".join(map(_spelled, (b for b in bases if (b in usual) is own))) for own in (True, False))
    spelled = rf"(?:(?:{joined}){_BETWEEN}|(?:{apart})[\s_(]+)\(?(?:{ends})\)?"
    examples = [own for own in _PRESSURES if own.rpartition("_")[2] in wanted]
    return _quantity([spelled], examples, [unit.name for unit in units], [wording.REFERENCE[reference]()])


def _quantity(spellings: Iterable[str], examples: Sequence[str], units: Sequence[str], about: Sequence[str]) -> Form:
    names = listed(list(dict.fromkeys(units)), OR)
    says = " ".join([*about[:1], wording.QUANTITY(units=names), *about[1:]])
    pattern = rf"^\s*(?:{_NUMBER}|{_THOUSANDS})\s*(?:{'|'.join(dict.fromkeys(spellings))})\s*$"
    # The last key is not of the standard: editors show it in place of the pattern.
    return {
        "type": "string",
        "pattern": pattern,
        "examples": list(examples),
        "description": says,
        "patternErrorMessage": says,
    }


def _spellings(units: Iterable[Unit]) -> list[str]:
    return [spelling for unit in units for spelling in (unit.name, *unit.also)]


def _spelled(text: str, kind: str = "") -> str:
    """A spelling in any case, with spaces and marks where it has some itself."""
    parts = [part for part in re.split(r"[\s_.°]+", text) if part]
    # Degrees are marked, named or left out.
    if kind in _DEGREES and parts[-1].removeprefix("deg") in ("F", "C", "K"):
        letter = parts.pop().removeprefix("deg")
        return (
            "".join(f"{_letters(part)}{_BETWEEN}" for part in parts)
            + f"{_BETWEEN}(?:{_letters('deg')}{_BETWEEN})?{_letters(letter)}"
        )
    return _BETWEEN.join(map(_letters, parts))


def _letters(text: str) -> str:
    """Letters in any case; an M in front may be a million, so its case counts."""
    found = []
    for index, letter in enumerate(text):
        both = sorted({letter.lower(), letter.upper()})
        if letter in "23":
            found.append(f"[{letter}{'²³'['23'.index(letter)]}]")
        elif letter.isalpha() and len(both) == 2 and not (index == 0 and letter in "mM"):
            found.append(f"[{''.join(both)}]")
        else:
            found.append(re.escape(letter))
    return "".join(found)


def name_form(max_length: int = 40) -> Form:
    """A key, which may be a whole number."""
    pattern = NAME_PATTERN.replace("39", str(max_length - 1))
    return {"type": ["string", "integer"], "pattern": pattern, "minimum": 0, "description": wording.NAME()}


def display_form(max_length: int) -> Form:
    """A name in print, which may be a whole number."""
    return text_form(max_length) | {"type": ["string", "integer"]}


def text_form(max_length: int) -> Form:
    """A text; spaces and line breaks in a row count as one character, so its length is only described."""
    return {"type": "string", "pattern": r"\S", "description": wording.TEXT(count=max_length)}


def day_form() -> Form:
    """A day of the calendar."""
    return {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$", "description": wording.DAY()}


def color_form() -> Form:
    """A color."""
    return {"type": "string", "pattern": "^#[0-9A-Fa-f]{6}$", "examples": ["#1F4E79"]}


def one_or_more_form() -> Form:
    """A name, or a list of names."""
    name = name_form()
    return {"anyOf": [name, {"type": "array", "items": name, "minItems": 1}]}


@functools.cache
def refrigerant_form() -> Form:
    """A refrigerant; the packaged ones are suggested, any name may be one of the catalogue's own."""
    known = sorted(path.stem for path in (packaged_configs() / "refrigerants").glob("*.yaml"))
    return suggested_form(known)


def suggested_form(names: Sequence[str]) -> Form:
    """A name, of which some are suggested."""
    # Editors offer what a list contains.
    return {"anyOf": [{"enum": list(names)}, name_form()]}


def choice_form(values: Iterable[str | int]) -> Form:
    """One of a closed list."""
    return {"enum": list(values)}
