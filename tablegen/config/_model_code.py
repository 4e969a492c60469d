"""Config of a family's model code: a pattern over its own names, from which every valve gets a number to order it by."""

from __future__ import annotations

import itertools
import string
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Self

from pydantic import Field, model_validator

from tablegen.config.fields import BadKey, Heading, Model, short_line
from tablegen.config.written_forms import WrittenAs, display_form
from tablegen.errors import BadValue, RequestError, unknown
from tablegen.model.names import key_of
from tablegen.model.part_numbers import NEAR_M, PartNumber
from tablegen.units import to_si
from tablegen.wording import config_errors as wording

MAX_CODE, _MOST = 40, 20_000
Code = Annotated[str, WrittenAs(partial(display_form, 16), short_line(16))]
Codes = dict[str, Code]


class CodesModel(Model):
    """Own codes by the value that each stands for; a value without one stands for itself."""

    size: Codes = Field(default_factory=dict)
    port_design: Codes = Field(default_factory=dict)
    charge: Codes = Field(default_factory=dict)
    equalizer: Codes = Field(default_factory=dict)
    connections: Codes = Field(default_factory=dict)
    capillary: Codes = Field(default_factory=dict)


# What a pattern may name: each of these, and the family's own name.
FIELDS = ("family", *CodesModel.model_fields)


class ModelCodeModel(Model):
    """A pattern such as "{family}-{size}-{charge}", and codes for what its fields stand for."""

    pattern: Heading
    codes: CodesModel = Field(default_factory=CodesModel)

    @property
    def fields(self) -> tuple[str, ...]:
        """The fields of the pattern, in its order."""
        return tuple(name for _, name, _, _ in string.Formatter().parse(self.pattern) if name is not None)

    @model_validator(mode="after")
    def _sound(self) -> Self:
        try:
            parsed = list(string.Formatter().parse(self.pattern))
        except ValueError:
            raise BadKey(wording.PATTERN_BRACES(), "pattern") from None
        for _, name, spec, conversion in parsed:
            if spec or conversion:
                raise BadKey(wording.PATTERN_BRACES(), "pattern")
            if name is not None and name not in FIELDS:
                raise BadKey(unknown(wording.A_FIELD(), name, FIELDS), "pattern", is_complete=True)
        for name in CodesModel.model_fields:
            if getattr(self.codes, name) and name not in self.fields:
                raise BadKey(wording.CODES_NOT_USED(field=name), "codes", name)
        return self


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderedSize:
    """A size by key and name in print, with its port design and the connections that it is offered with."""

    key: str
    display: str
    port_design: str
    connections: Sequence[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderedFamily:
    """What the fields of a family's pattern may stand for; nothing where the family has no such choice."""

    key: str
    display: str
    sizes: Sequence[OrderedSize]
    charges: Sequence[str]
    equalizer: str
    capillary_m: Sequence[float]


def model_codes(model: ModelCodeModel, family: OrderedFamily) -> tuple[PartNumber, ...]:
    """Every valve of a family with the number that its pattern gives.

    What the pattern does not name is left open. Raises BadKey, with a path below the key `model_code`, for a code of
    something that the family does not have, a field without a value, and two valves of one number.
    """
    return _ModelCodes(model, family).made()


class _ModelCodes:
    """The codes of one family by field and value."""

    def __init__(self, model: ModelCodeModel, family: OrderedFamily) -> None:
        self._model, self._family = model, family
        sizes = family.sizes
        self._values: Mapping[str, Mapping[str, str]] = {
            "size": {size.key: size.display for size in sizes},
            "port_design": _same(size.port_design for size in sizes if size.port_design),
            "charge": _same(family.charges),
            "equalizer": _same([family.equalizer] if family.equalizer else []),
            "connections": _same(one for size in sizes for one in size.connections),
            "capillary": {_meters(length): _meters(length) for length in family.capillary_m},
        }
        self._codes = {name: self._of(name) for name in CodesModel.model_fields if name in model.fields}
        for name in self._codes:
            if not self._values[name] or (name == "port_design" and not all(size.port_design for size in sizes)):
                raise BadKey(wording.FIELD_WITHOUT_VALUE(field=name), "pattern")

    def _of(self, name: str) -> dict[str, str]:
        """The code of each value that a field may have."""
        called, found = self._values[name], {}
        for text, code in getattr(self._model.codes, name).items():
            try:
                key = (
                    _length(text, called) if name == "capillary" else key_of(wording.A_VALUE(field=name), text, called)
                )
            except (RequestError, BadValue) as error:
                raise BadKey(str(error), "codes", name, text, is_complete=True) from None
            found[key] = code
        # Words with spaces are no part of a code.
        missing = [called[key] for key in called if key not in found and (name == "capillary" or " " in called[key])]
        if missing:
            raise BadKey(wording.CODE_MISSING(field=name, values=", ".join(missing)), "codes")
        return {key: found.get(key, display) for key, display in called.items()}

    def made(self) -> tuple[PartNumber, ...]:
        """The numbers of all valves."""
        found: dict[str, PartNumber] = {}
        for part_number in self._all():
            if len(part_number.number) > MAX_CODE:
                text = wording.MODEL_CODE_LONG(code=part_number.number, most=MAX_CODE)
                raise BadKey(text, "pattern", is_complete=True)
            if part_number.number in found:
                sizes = [self._values["size"][own.size] for own in (found[part_number.number], part_number)]
                text = wording.MODEL_CODE_TWICE(code=part_number.number, first=sizes[0], second=sizes[1])
                raise BadKey(text, "pattern", is_complete=True)
            found[part_number.number] = part_number
            if len(found) > _MOST:
                raise BadKey(wording.MODEL_CODES_MANY(most=f"{_MOST:,}"), "pattern", is_complete=True)
        return tuple(found.values())

    def _all(self) -> Iterator[PartNumber]:
        def choices(name: str, of: Sequence[str]) -> Sequence[str]:
            return of if name in self._codes else [""]

        lengths: dict[str, float | None] = {_meters(length): length for length in self._family.capillary_m}
        for size in self._family.sizes:
            for charge, connections, capillary in itertools.product(
                choices("charge", self._family.charges),
                choices("connections", size.connections),
                choices("capillary", list(lengths)),
            ):
                own = {
                    "size": size.key,
                    "port_design": size.port_design,
                    "charge": charge,
                    "equalizer": self._family.equalizer,
                    "connections": connections,
                    "capillary": capillary,
                }
                codes = {name: of[own[name]] for name, of in self._codes.items()}
                yield PartNumber(
                    number=self._model.pattern.format(family=self._family.display, **codes),
                    family=self._family.key,
                    size=size.key,
                    charge=charge,
                    connections=connections,
                    capillary_m=lengths.get(capillary),
                )


def _same(values: Iterator[str] | Sequence[str]) -> dict[str, str]:
    return {value: value for value in values}


def _meters(length: float) -> str:
    return f"{length:.4g} m"


def _length(text: str, offered: Mapping[str, str]) -> str:
    """The length offered that a text stands for."""
    meter = to_si(text, "length")
    for own in offered:
        if abs(meter - float(own.removesuffix(" m"))) < NEAR_M:
            return own
    raise BadValue(repr(text), wording.LENGTH_NOT_OFFERED(lengths=", ".join(offered)))
