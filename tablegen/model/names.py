"""Refrigerants, families and sizes as they are asked for, by the names that the package has for them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from tablegen.errors import AskedName, RequestError, unknown
from tablegen.wording import input_errors as wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Application, Family, Size

# The workbook's name, as of a publication.
WORKBOOK = "windows"
# A number of the standard, its letters, and the isomer of an unsaturated one.
_NUMBERED = re.compile(r"(?:R[ -]?)?(\d{2,4})([A-Z]{0,3})(\([EZ]\))?", re.IGNORECASE)
_BLENDS = range(400, 600)
# What the trade calls an application by its temperature range.
_RANGES = {
    **dict.fromkeys(("cooler", "medium temp", "medium temperature"), "medium_temperature"),
    **dict.fromkeys(("freezer", "low temp", "low temperature"), "low_temperature"),
}


def refrigerant_name(text: str) -> str:
    """The name of a refrigerant that is spelled as on a label, a scale or an order; any other name as it is.

    Letters are capitals for blends (400 and 500 series) and small for single substances (ASHRAE 34).

    >>> [refrigerant_name(text) for text in ("R-448A", "r448a", "448A", "R 134A", "1234ze(e)", "717")]
    ['R448A', 'R448A', 'R448A', 'R134a', 'R1234ze(E)', 'R717']
    >>> refrigerant_name("My-Blend-1")
    'My-Blend-1'
    """
    match = _NUMBERED.fullmatch(" ".join(text.split()))
    if match is None:
        return text
    number, letters, isomer = match[1], match[2], (match[3] or "").upper()
    return f"R{number}{letters.upper() if int(number) in _BLENDS else letters.lower()}{isomer}"


def asked_refrigerant(text: str) -> str:
    """As `refrigerant_name`; a message that does not know the name repeats the spelling."""
    return AskedName(refrigerant_name(text), text)


def family_of(families: Mapping[str, Family], asked: str) -> Family:
    """The family with a key or display name, in any case.

    Raises
    ------
    RequestError
        If there is none.
    """
    return families[key_of(wording.A_FAMILY(), asked, {key: own.display_name for key, own in families.items()})]


def application_named(applications: Mapping[str, Application], asked: str | None) -> str | None:
    """The key for a title, or for what an application is for ("cooler") where exactly one is; any other name as it is."""
    if asked is None or asked in applications:
        return asked
    text = " ".join(re.findall(r"[^\W_]+", asked.casefold()))
    kind = _RANGES.get(text.removeprefix("walk in ").removesuffix("s"))
    titles = {key: " ".join(re.findall(r"[^\W_]+", own.title.casefold())) for key, own in applications.items()}
    found = [key for key, title in titles.items() if text == title]
    found = found or [key for key, own in applications.items() if own.temperature_range == kind]
    return found[0] if len(found) == 1 else asked


def size_of(family: Family, asked: str) -> Size:
    """The size of a family with a key or display name, in any case.

    Raises
    ------
    RequestError
        If there is none.
    """
    sizes = {size.name: size for size in family.sizes}
    called = {key: size.display_name for key, size in sizes.items()}
    return sizes[key_of(wording.A_SIZE(family=family.display_name), asked, called)]


def key_of(what: str, asked: str, called: Mapping[str, str]) -> str:
    """The key for a key or display name of `called`; exact spelling goes before another case.

    Raises
    ------
    RequestError
        If it is neither; the message lists them.
    """
    text = " ".join(asked.split())
    both = {key: (key, name) for key, name in called.items()}
    exact = [key for key, names in both.items() if text in names]
    folded = [key for key, names in both.items() if text.casefold() in (name.casefold() for name in names)]
    if exact or folded:
        return (exact or folded)[0]
    known = [name for key, name in called.items() if name.casefold() != key.casefold()]
    raise RequestError(unknown(what, asked, [*called, *known]))


def workbook_name(application: str = "") -> str:
    """The file of the workbook: of all applications, or of one where a workbook of all would be too large."""
    return f"{WORKBOOK}-{application}.xlsx" if application else f"{WORKBOOK}.xlsx"


def phone_page_name(application: str = "") -> str:
    """The file of the phone page: of all applications, or of one where a page of all would be too large."""
    return f"lookup-{application}.html" if application else "lookup.html"
