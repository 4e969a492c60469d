"""Field types of the config models: text with a unit in, SI number out."""

from __future__ import annotations

import datetime
import functools
import math
import re
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from tablegen.config.typeface import undrawn
from tablegen.errors import BadValue
from tablegen.model.names import refrigerant_name
from tablegen.units import PressureReading, read_pressure, to_si

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.()-]{0,39}")
_FAMILY_NAME, LONGEST_SIZE = 24, 12
# A message names no more characters that cannot be printed.
_MOST_SIGNS = 5


class Model(BaseModel):
    """Base of every config model: unknown keys refused, nothing changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, arbitrary_types_allowed=True)


class AtKey(ValueError):
    """What a validator of a whole model finds wrong at one of the keys below it."""

    def __init__(self, *path_and_text: str | int) -> None:
        self.path = path_and_text[:-1]
        super().__init__(str(path_and_text[-1]))


class BadText(AtKey):
    """As `AtKey`, with the rule alone: what is written at the key is shown, or where it is written otherwise.

    `other` is the path of an earlier value that it contradicts.
    """

    def __init__(self, path: tuple[str | int, ...], rule: str, other: tuple[str | int, ...] | None = None) -> None:
        self.rule, self.other = rule, other
        super().__init__(*path, rule)


def quantity(kind: str, minimum: str | None = None, most: str | None = None) -> BeforeValidator:
    """A validator that reads a quantity and holds it to bounds, both written as a config would."""

    @functools.cache
    def bounds() -> tuple[float, float]:
        low = -math.inf if minimum is None else to_si(minimum, kind) - 1e-12
        return low, math.inf if most is None else to_si(most, kind) + 1e-12

    def read(text: Any) -> float:
        value = to_si(text, kind)
        low, high = bounds()
        if not low <= value <= high:
            raise BadValue(repr(text), _between(minimum, most))
        return value

    return BeforeValidator(read)


def _between(minimum: str | None, most: str | None) -> str:
    if minimum is None:
        return f"must be at most {most}"
    return f"must be at least {minimum}" if most is None else f"must be at least {minimum} and at most {most}"


def _name(text: Any) -> str:
    if isinstance(text, bool) or not isinstance(text, (str, int)):
        hint = f"write '{text}' in quotes" if isinstance(text, (bool, float)) else ""
        raise BadValue(repr(text), "a name is text", hint)
    if not NAME.fullmatch(str(text)):
        rule = "a name has 1 to 40 letters, digits, '_', '-', '.', '(' or ')', and begins with a letter or digit"
        raise BadValue(repr(text), rule)
    return str(text)


def _line(longest: int) -> Callable[[Any], str]:
    def read(text: Any) -> str:
        if not isinstance(text, str) or not text.strip():
            raise BadValue(repr(text), "it must be text")
        folded = " ".join(text.split())
        if len(folded) > longest:
            raise BadValue(repr(folded[:30] + "..."), f"must have at most {longest} characters, has {len(folded)}")
        if not folded.isprintable():
            raise BadValue(repr(folded), "it must not hold control characters")
        if signs := undrawn(folded):
            listed = ", ".join(f"{sign!r} (U+{ord(sign):04X})" for sign in signs[:_MOST_SIGNS])
            more = f" and {len(signs) - _MOST_SIGNS} more" if len(signs) > _MOST_SIGNS else ""
            raise BadValue(repr(folded), f"the pages cannot print {listed}{more}: their typeface lacks it")
        return folded

    return read


def _display(longest: int) -> Callable[[Any], str]:
    """A validator of what something is called in print, which must be short."""
    line = _line(longest)

    def read(text: Any) -> str:
        if isinstance(text, bool) or not isinstance(text, (str, int)):
            hint = f"write '{text}' in quotes" if isinstance(text, (bool, float)) else ""
            raise BadValue(repr(text), "a name is text", hint)
        return line(str(text))

    return read


def size_key(text: str) -> str:
    """A key for a size that is called so in print."""
    return re.sub(r"[^A-Za-z0-9_.()-]+", "-", text).lstrip("_.()-").rstrip("-")[:40] or "size"


size_name = _display(LONGEST_SIZE)


def _size(text: Any) -> str:
    """A size's key; where it is a name for print alone, the hint shows how to give both."""
    try:
        return _name(text)
    except BadValue as error:
        if isinstance(text, str) and text.strip() and not error.hint:
            hint = f"to print {text!r}, write {{size: {size_key(text)}, display: {text!r}}}"
            raise BadValue(error.value, error.rule, hint) from None
        raise


def read_day(text: Any) -> datetime.date:
    """A day of the calendar.

    Raises
    ------
    BadValue
        If it is none.
    """
    rule = "a date is a day of the calendar written year-month-day, such as 2026-11-25"
    if not isinstance(text, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise BadValue(repr(text), rule)
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise BadValue(repr(text), rule) from None


def _pressure(text: Any) -> PressureReading:
    return read_pressure(text)


def _not_a_quantity(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise BadValue(repr(value), "this key takes a bare number, without a unit")
    return float(value)


Name = Annotated[str, BeforeValidator(_name)]
RefrigerantName = Annotated[str, BeforeValidator(lambda text: refrigerant_name(_name(text)))]
FamilyName = Annotated[str, BeforeValidator(_display(_FAMILY_NAME))]
SizeKey = Annotated[str, BeforeValidator(_size)]
SizeName = Annotated[str, BeforeValidator(size_name)]
# A size that is named elsewhere than in its own line: by its key or as it is printed.
SizeNamed = Annotated[str, BeforeValidator(_display(40))]
Title = Annotated[str, BeforeValidator(_line(90))]
Text = Annotated[str, BeforeValidator(_line(400))]
Day = Annotated[datetime.date, BeforeValidator(read_day)]
Number = Annotated[float, BeforeValidator(_not_a_quantity), Field(allow_inf_nan=False)]
Pressure = Annotated[PressureReading, BeforeValidator(_pressure)]
Temperature = Annotated[float, quantity("temperature", "-148 degF", "302 degF")]
SuctionTemperature = Annotated[float, quantity("temperature", "-76 degF", "86 degF")]
# A superheat, subcooling or other step that cannot be negative.
Step = Annotated[float, quantity("temperature difference", "0 K", "60 K")]
PositiveStep = Annotated[float, quantity("temperature difference", "0.05 K", "60 K")]
Loss = Annotated[float, quantity("pressure difference", "0 Pa", "20 bar")]
PressureDrop = Annotated[float, quantity("pressure difference", "0 Pa", "60 bar")]
Length = Annotated[float, quantity("length", "-100 m", "100 m")]
FlowCoefficient = Annotated[float, quantity("flow coefficient", "0.0001 m3/h", "1000 m3/h")]
Load = Annotated[float, quantity("load", "1 W", "100000 kW")]
Share = Annotated[float, quantity("share", "0 percent", "100 percent")]
Travel = Annotated[float, quantity("share", "0 percent", "300 percent")]
SignedShare = Annotated[float, quantity("share", "-20 percent", "20 percent")]
