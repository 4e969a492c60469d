"""Field types of the config models: text with a unit in, SI number out; names and texts that the pages can print."""

from __future__ import annotations

import dataclasses
import datetime
import functools
import itertools
import math
import re
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from typing import Annotated, Any, ClassVar, Literal, Self, TypeAlias, TypeVar, cast

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from tablegen.config.written_forms import (
    Written,
    WrittenAs,
    choice_form,
    day_form,
    display_form,
    name_form,
    pressure_form,
    quantity_form,
    refrigerant_form,
    text_form,
)
from tablegen.errors import BadValue, shown
from tablegen.model.names import refrigerant_name
from tablegen.units import PressureReading, read_pressure, to_si
from tablegen.wording import config_errors as wording
from tablegen.wording.language import printed_codes

T = TypeVar("T")
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.()-]{0,39}")
# What Windows opens in place of a file, whatever the ending.
DEVICE = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)
_MAX_FAMILY_NAME, MAX_SIZE_NAME = 24, 12
ATMOSPHERE_PA = (50e3, 110e3)
# A message names no more characters that cannot be printed.
_MAX_LISTED = 5


# Groups of keys of which exactly one is given.
OneOf: TypeAlias = tuple[tuple[str, ...], ...]


class Model(BaseModel):
    """Base of every config model: unknown keys refused, nothing changed after reading, one key of each of `one_of`."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, arbitrary_types_allowed=True)
    one_of: ClassVar[OneOf] = ()

    @model_validator(mode="after")
    def _exactly_one(self) -> Self:
        for keys in self.one_of:
            if sum(getattr(self, key) is not None for key in keys) != 1:
                raise BadKey(wording.EXACTLY_ONE_OF(keys=", ".join(keys)))
        return self

    @classmethod
    def known_keys(cls) -> list[str]:
        """The keys that a mapping of this model may have."""
        return list(cls.model_fields)

    def into(self, target: Callable[..., T], **others: object) -> T:
        """A dataclass in SI that has, beside `others`, this model's values under the names of its keys, or a key and a unit.

        Lists become tuples; a key that is left out keeps the dataclass's default.
        """
        given = {key: tuple(value) if isinstance(value, list) else value for key, value in self if value is not None}
        names = {field.name: re.sub("_(k|pa|m)$", "", field.name) for field in dataclasses.fields(cast(type, target))}
        own = {name: given[name if name in given else key] for name, key in names.items() if {name, key} & given.keys()}
        return target(**{**own, **others})


class BadKey(ValueError):
    """What a validator of a whole model finds wrong at a key below it: the rule; the message adds what is written there.

    `earlier` is the path of an earlier value that the value at `path` must be above.  With `is_complete` the rule is
    the whole message.
    """

    def __init__(
        self, rule: str, *path: str | int, earlier: tuple[str | int, ...] = (), is_complete: bool = False
    ) -> None:
        self.rule, self.path, self.earlier, self.is_complete = rule, path, earlier, is_complete
        super().__init__(rule)


def quantity(kind: str, minimum: str | None = None, maximum: str | None = None) -> WrittenAs:
    """A validator that reads a quantity within bounds, both written as in a config."""

    @functools.cache
    def bounds() -> tuple[float, float]:
        low = -math.inf if minimum is None else to_si(minimum, kind) - 1e-12
        return low, math.inf if maximum is None else to_si(maximum, kind) + 1e-12

    def read(text: object) -> float:
        value = to_si(text, kind)
        low, high = bounds()
        if not low <= value <= high:
            raise BadValue(shown(text), within(minimum, maximum))
        return value

    return WrittenAs(partial(quantity_form, (kind,), minimum, maximum), read)


def must(is_allowed: Callable[[Any], bool], rule: Callable[[], str]) -> AfterValidator:
    """A validator of a value that has been read: the rule is broken where it is not allowed."""

    def check(value: object) -> object:
        if not is_allowed(value):
            raise BadKey(rule())
        return value

    return AfterValidator(check)


def ascends(values: Iterable[float]) -> bool:
    """Whether each value is above the one before it."""
    return all(a < b for a, b in itertools.pairwise(values))


def twice(values: Sequence[object]) -> int | None:
    """The index of the first value that is there already."""
    return next((index for index, value in enumerate(values) if value in values[:index]), None)


def within(minimum: str | None, maximum: str | None) -> str:
    """The rule for a value within bounds; None where there is no bound."""
    if minimum is None:
        return wording.AT_MOST(maximum=str(maximum))
    return wording.AT_LEAST(minimum=minimum) if maximum is None else wording.WITHIN(minimum=minimum, maximum=maximum)


def _as_text(value: object) -> str:
    """A name, which may be a whole number."""
    if isinstance(value, bool) or not isinstance(value, (str, int)):
        hint = wording.IN_QUOTES(text=str(value)) if isinstance(value, (bool, float)) else ""
        raise BadValue(shown(value), wording.NAME_IS_TEXT(), hint)
    return str(value)


def _name(value: object) -> str:
    text = _as_text(value)
    if not NAME.fullmatch(text):
        raise BadValue(repr(value), wording.NAME_CHARACTERS())
    return text


def _line(max_length: int) -> Callable[[object], str]:
    def read(text: object) -> str:
        if not isinstance(text, str) or not text.strip():
            raise BadValue(shown(text), wording.MUST_BE_TEXT())
        folded = " ".join(text.split())
        if len(folded) > max_length:
            raise BadValue(repr(folded[:30] + "..."), wording.TEXT_TOO_LONG(most=max_length, count=len(folded)))
        if not folded.isprintable():
            raise BadValue(repr(folded), wording.CONTROL_CHARACTERS())
        if missing := undrawn(folded):
            listed = ", ".join(f"{character!r} (U+{ord(character):04X})" for character in missing[:_MAX_LISTED])
            more = len(missing) - _MAX_LISTED
            rule = wording.NOT_IN_TYPEFACE_AND_MORE(characters=listed, count=more) if more > 0 else ""
            raise BadValue(repr(folded), rule or wording.NOT_IN_TYPEFACE(characters=listed))
        return folded

    return read


def short_line(max_length: int) -> Callable[[object], str]:
    """A validator of a name or code in print, which must be short."""
    line = _line(max_length)
    return lambda value: line(_as_text(value))


def size_key(text: str) -> str:
    """A key for a size with this name in print."""
    return re.sub(r"[^A-Za-z0-9_.()-]+", "-", text).lstrip("_.()-").rstrip("-")[:40] or "size"


size_name = short_line(MAX_SIZE_NAME)
# Of a title, in whatever language.
TITLE_LENGTH = 90
title_line = _line(TITLE_LENGTH)


def _size(value: object) -> str:
    """A size's key; where it is a name for print alone, the hint shows how to give both."""
    try:
        return _name(value)
    except BadValue as error:
        if isinstance(value, str) and value.strip() and not error.hint:
            entry = f"{{size: {size_key(value)}, display: {shown(value)}}}"
            hint = wording.SIZE_KEY_AND_DISPLAY(shown=shown(value), entry=entry)
            raise BadValue(error.value, error.rule, hint) from None
        raise


def read_day(text: object) -> datetime.date:
    """A day of the calendar.

    Raises BadValue if it is none.
    """
    if not isinstance(text, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise BadValue(shown(text), wording.DATE())
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise BadValue(repr(text), wording.DATE()) from None


def is_atmosphere(pressure: PressureReading) -> bool:
    """Whether it is an absolute pressure that an atmosphere can have."""
    return not pressure.is_gauge and ATMOSPHERE_PA[0] <= pressure.value_pa <= ATMOSPHERE_PA[1]


def _bare_number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise BadValue(shown(value), wording.BARE_NUMBER())
    return float(value)


# An enumeration by its values, which are texts.
Choice = Field(strict=False)
Name = Annotated[str, WrittenAs(name_form, _name)]
RefrigerantName = Annotated[str, WrittenAs(refrigerant_form, lambda text: refrigerant_name(_name(text)))]
FamilyName = Annotated[str, WrittenAs(partial(display_form, _MAX_FAMILY_NAME), short_line(_MAX_FAMILY_NAME))]
SizeKey = Annotated[str, WrittenAs(name_form, _size)]
SizeName = Annotated[str, WrittenAs(partial(display_form, MAX_SIZE_NAME), size_name)]
# A size that is named elsewhere than in its own line: by its key or its name in print.
SizeNamed = Annotated[str, WrittenAs(partial(display_form, 40), short_line(40))]
Label = Annotated[str, WrittenAs(partial(text_form, 40), _line(40))]
Heading = Annotated[str, WrittenAs(partial(text_form, 60), _line(60))]
Title = Annotated[str, WrittenAs(partial(text_form, TITLE_LENGTH), title_line)]
Text = Annotated[str, WrittenAs(partial(text_form, 400), _line(400))]
Day = Annotated[datetime.date, WrittenAs(day_form, read_day)]
Number = Annotated[float, BeforeValidator(_bare_number), Field(allow_inf_nan=False)]
_GAUGE, _ABSOLUTE = Written(partial(pressure_form, "gauge")), Written(partial(pressure_form, "absolute"))
Pressure = Annotated[PressureReading, WrittenAs(pressure_form, read_pressure)]
GaugePressure = Annotated[Pressure, must(lambda pressure: pressure.is_gauge, wording.MUST_BE_GAUGE), _GAUGE]
AbsolutePressure = Annotated[
    Pressure, must(lambda pressure: not pressure.is_gauge, wording.MUST_BE_ABSOLUTE), _ABSOLUTE
]
SealedPressure = Annotated[Pressure, must(lambda pressure: not pressure.is_gauge, wording.BULB_IS_SEALED), _ABSOLUTE]
SitePressure = Annotated[Pressure, must(is_atmosphere, wording.SITE_PRESSURE), _ABSOLUTE]
Temperature = Annotated[float, quantity("temperature", "-148 degF", "302 degF")]
SuctionTemperature = Annotated[float, quantity("temperature", "-76 degF", "86 degF")]
# A superheat, subcooling or other step that cannot be negative.
Step = Annotated[float, quantity("temperature difference", "0 K", "60 K")]
PositiveStep = Annotated[float, quantity("temperature difference", "0.05 K", "60 K")]
Loss = Annotated[float, quantity("pressure difference", "0 Pa", "20 bar")]
PressureDrop = Annotated[float, quantity("pressure difference", "0 Pa", "60 bar")]
Length = Annotated[float, quantity("length", "-100 m", "100 m")]
HeatPerLength = Annotated[float, quantity("line heat", "0 W/m", "500 W/m")]
TimeConstant = Annotated[float, quantity("time", "0.1 s", "1000 s")]
# On paper.
PaperLength = Annotated[float, quantity("length", "0 mm", "500 mm")]
LabelLength = Annotated[float, quantity("length", "10 mm", "500 mm")]
FlowCoefficient = Annotated[float, quantity("flow coefficient", "0.0001 m3/h", "1000 m3/h")]
Load = Annotated[float, quantity("load", "1 W", "100000 kW")]
Share = Annotated[float, quantity("share", "0 percent", "100 percent")]
Travel = Annotated[float, quantity("share", "0 percent", "300 percent")]
# ASHRAE 34, ISO 817.
SafetyGroup = Literal["A1", "A2L", "A2", "A3", "B1", "B2L", "B2", "B3"]
UnitSystem = Literal["SI", "IP"]
LoadUnit = Literal["kW", "kBtu/h", "ton_refrigeration"]
LanguageCode = Annotated[
    str,
    must(lambda code: code in printed_codes(), lambda: wording.LANGUAGE(languages=", ".join(printed_codes()))),
    Written(lambda: choice_form(printed_codes())),
]
SignedShare = Annotated[float, quantity("share", "-20 percent", "20 percent")]

# Code points, first and last, that every upright face of the pages has; `tests/config/test_typeface.py` compares them.
RANGES = (
    "20-7E A0-AC AE-17E 180 18F 192-193 1A0-1A1 1AF-1B0 1C2 1CD-1DC 1E2-1E3 1E6-1E7 1EA-1EB 1F4-1F5 1F8-1F9 "
    "1FC-1FD 218-21B 237 243 250-25C 25E-268 26A 26C-276 278-27B 27D-27E 280-284 288-292 294-295 298-299 29C-29D "
    "29F 2A1-2A2 2B0 2B2-2B3 2B7-2B9 2BB-2BC 2BE-2BF 2C1 2C6-2CC 2D0-2D1 2D8-2DE 2E0-2E3 300-30C 30F 311-313 "
    "318-320 323-32A 32C 32E-331 334 339-33D 342 345 361 374-375 37A 37E 384-38A 38C 38E-3A1 3A3-3CE 3D0-3D1 3D5 "
    "3D7 3D9 3DB 3DD 3E1 400-45F 462-463 472-475 490-493 496-49B 4A0-4A3 4AA-4AB 4AE-4B3 4B6-4B7 4BA-4BB 4C0-4C2 "
    "4CF-4D1 4D4-4D9 4E2-4E3 4E6-4E9 4EE-4EF 4F2-4F3 1D43 1D47-1D49 1D4D 1D4F-1D50 1D52 1D56-1D58 1D5B 1D9C 1DA0 "
    "1DBB 1E06-1E07 1E0C-1E0F 1E16-1E17 1E20-1E21 1E24-1E25 1E2A-1E2B 1E32-1E3B 1E3E-1E49 1E52-1E53 1E58-1E63 "
    "1E6C-1E6F 1E80-1E85 1E8E-1E8F 1E92-1E97 1E9E 1EA0-1EF9 1F00-1F15 1F18-1F1D 1F20-1F45 1F48-1F4D 1F50-1F57 "
    "1F59 1F5B 1F5D 1F5F-1F7D 1F80-1FB4 1FB6-1FC4 1FC6-1FD3 1FD6-1FDB 1FDD-1FEF 1FF2-1FF4 1FF6-1FFE 2012-2016 "
    "2018-201A 201C-201E 2020-2022 2026 2030 2032-2033 2035 2039-203A 203C-203F 2044 2047-2049 2070-2071 "
    "2074-2079 207D-2089 208D-208E 2094 20A1 20A4 20A6-20A7 20A9 20AB-20AC 20AE 20B1-20B2 20B4-20B5 20B8-20BA "
    "20BD 2113 2116-2117 2120 2122 2126 212E 2150-215E 2189 2190-2193 2202 2206 220F 2211-2212 2215 2219-221A "
    "221E 222B 2248 2260 2264-2265 231C-231F 25A0 25B2-25B3 25B6-25B7 25BC-25BD 25C0-25C1 25C6 25C9-25CA 25CC "
    "2610-2611 266A 2713 2752 27E6-27E7 2E22-2E25 2E3A-2E3B FB00-FB04 1F16A-1F16B "
)


_ENDS = (part.split("-") for part in RANGES.split())
_DRAWN = frozenset(code for ends in _ENDS for code in range(int(ends[0], 16), int(ends[-1], 16) + 1))


def undrawn(text: str) -> tuple[str, ...]:
    """The characters of a text that the typeface lacks, each once, in order of appearance."""
    return tuple(dict.fromkeys(character for character in text if ord(character) not in _DRAWN))
