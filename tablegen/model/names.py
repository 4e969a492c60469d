"""Families and sizes as they are asked for: by their key, or by the name that is printed."""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Family, Size
from tablegen.wording import input_errors as wording


def family_of(families: Mapping[str, Family], asked: str) -> Family:
    """The family with a key or display name, in any case.

    Raises
    ------
    RequestError
        If there is none.
    """
    return families[key_of(wording.A_FAMILY(), asked, {key: own.display_name for key, own in families.items()})]


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
