"""Config of a company: what it states on every publication, and the inputs that it gives."""

from __future__ import annotations

import re
from functools import partial
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, Field, model_validator

from tablegen.config.fields import BadKey, Day, Heading, Label, Model, Name, Text, Title, must, twice
from tablegen.config.written_forms import Written, color_form, name_form
from tablegen.errors import BadValue
from tablegen.model.company import Company, Logo, Typeface, Wholesaler
from tablegen.wording import config_errors as wording

_COLOR = re.compile("#[0-9A-Fa-f]{6}")
# Of text and other things that must be seen on white: WCAG 2.1, 1.4.3.
MIN_CONTRAST = 4.5
_MAX_NUMBER = 16

Region = Literal["us", "other"]


def contrast_with_white(color: str) -> float:
    """How much lighter white is than a color `#RRGGBB`, from 1 to 21.

    References
    ----------
    WCAG 2.1, definitions of contrast ratio and relative luminance.
    """
    shares = (int(color[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
    linear = (s / 12.92 if s <= 0.03928 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    luminance = sum(weight * value for weight, value in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
    return 1.05 / (luminance + 0.05)


def _accent(text: str) -> str:
    """A color that is seen on white paper, in capitals."""
    if not _COLOR.fullmatch(text):
        raise BadValue(repr(text), wording.COLOR())
    if (ratio := contrast_with_white(text)) < MIN_CONTRAST:
        # Rounded down, so that what is refused does not read as enough.
        rule = wording.LOW_CONTRAST(ratio=f"{int(ratio * 100) / 100:.2f}", minimum=f"{MIN_CONTRAST:g}")
        raise BadValue(repr(text), rule)
    return text.upper()


_Number = Annotated[
    Name,
    must(lambda name: len(name) <= _MAX_NUMBER, lambda: wording.NUMBER_LENGTH(most=_MAX_NUMBER)),
    Written(partial(name_form, _MAX_NUMBER)),
]


class ContactModel(Model):
    """One way to reach the company."""

    label: Label
    value: Heading


class TypefaceModel(Model):
    """The files of a typeface, beside the company's."""

    regular: Title
    bold: Title | None = None
    italic: Title | None = None


class WholesalerModel(Model):
    """Who sells the valves; counter charts and labels that state no other take it from here."""

    name: Title
    telephone: Label
    logo: Title | None = None


class CompanyModel(Model):
    """The company; every key but the name may be left out."""

    name: Title
    tagline: Title | None = None
    address: Annotated[list[Heading], Field(min_length=1, max_length=6)] | None = None
    contact: Annotated[list[ContactModel], Field(min_length=1, max_length=8)] | None = None
    logo: Title | None = None
    accent: Annotated[str, AfterValidator(_accent), Written(color_form)] | None = None
    typeface: TypefaceModel | None = None
    documents: dict[Name, _Number] | None = None
    next_review: Day | None = None
    disclaimer: Text | None = None
    region: Region = "us"
    cautions: Annotated[list[Text], Field(min_length=1, max_length=10)] | None = None
    wholesaler: WholesalerModel | None = None

    @model_validator(mode="after")
    def _numbered_once(self) -> Self:
        given = self.documents or {}
        if (again := twice(list(given.values()))) is not None:
            raise BadKey(wording.DOCUMENT_NUMBER_TWICE(), "documents", list(given)[again])
        return self

    def inputs(self, logo: Logo | None, typeface: Typeface | None, wholesaler_logo: Logo | None) -> Company:
        """The same with the logos and the typeface that were read."""
        contact = tuple((own.label, own.value) for own in self.contact or ())
        wholesaler = None if self.wholesaler is None else self.wholesaler.into(Wholesaler, logo=wholesaler_logo)
        return self.into(Company, contact=contact, logo=logo, typeface=typeface, wholesaler=wholesaler)
