"""What the remarks of a bench file, lines that begin with '#', say of all its rows."""

from __future__ import annotations

import dataclasses
import datetime
import difflib
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tablegen.config.fields import read_day
from tablegen.errors import BadValue
from tablegen.units import read_pressure, to_si


@dataclass(frozen=True, slots=True)
class About:
    """Date of the test, atmosphere [Pa], and what the instruments are good for, each None where it is not said.

    Uncertainties are standard ones (one standard deviation): of mass flow as a share of the reading, of opening as
    a share of rated stroke, of the pressure drop [Pa].  `truth` says what invented readings were made from, in words.
    """

    date: datetime.date | None = None
    site_pressure_pa: float | None = None
    flow_uncertainty: float | None = None
    opening_uncertainty: float | None = None
    drop_uncertainty_pa: float | None = None
    truth: str | None = None


def read_remark(line: str, about: About) -> About:
    """What is known after one more remark; one that is not of the form 'key: value' with a key of ours says nothing.

    Raises
    ------
    BadValue
        For a value that cannot be read, a key that stands twice, or one that is a near miss.
    """
    match = re.fullmatch(r"[#\s]*([A-Za-z][A-Za-z_ ]*?)\s*:\s*(.*?)\s*", line)
    if match is None:
        return about
    key, text = match[1].lower().replace(" ", "_"), match[2]
    if key not in _READ:
        if hint := difflib.get_close_matches(key, _READ, n=1, cutoff=0.8):
            raise BadValue(repr(match[1]), f"a remark may give {', '.join(_READ)}", f"did you mean {hint[0]}?")
        return about
    name, read = _READ[key]
    if getattr(about, name) is not None:
        raise BadValue(repr(text), f"{key} is given twice")
    return dataclasses.replace(about, **{name: read(text)})


def read_site_pressure(text: str) -> float:
    """An atmospheric pressure [Pa].

    Raises
    ------
    BadValue
        If it is no absolute pressure that an atmosphere can have.
    """
    reading = read_pressure(text)
    if reading.is_gauge or not 5e4 <= reading.value_pa <= 1.1e5:
        raise BadValue(repr(text), "an atmospheric pressure is absolute, between 50 and 110 kPa (7.3 and 16 psi)")
    return reading.value_pa


def read_uncertainty(text: str) -> float:
    """A standard uncertainty as a share.

    Raises
    ------
    BadValue
        If it is no share above 0 and at most 20 percent.
    """
    value = to_si(text, "share")
    if not 0.0 < value <= 0.2:
        raise BadValue(repr(text), "a standard uncertainty is above 0 and at most 20 percent")
    return value


def read_drop_uncertainty(text: str) -> float:
    """A standard uncertainty of a pressure drop [Pa].

    Raises
    ------
    BadValue
        If it is no pressure difference above 0 and at most 1 bar.
    """
    value = to_si(text, "pressure difference")
    if not 0.0 < value <= 1e5:
        raise BadValue(repr(text), "a standard uncertainty of a drop is above 0 and at most 1 bar (14.5 psi)")
    return value


def read_truth(text: str) -> str:
    """What invented readings were made from.

    Raises
    ------
    BadValue
        If it is nothing, too long to repeat, or cannot be printed.
    """
    if not 0 < len(text) <= 300 or not text.isprintable():
        raise BadValue(repr(text[:40]), "truth is a text of 1 to 300 characters that can be printed")
    return text


_READ: dict[str, tuple[str, Callable[[str], Any]]] = {
    "date": ("date", read_day),
    "site_pressure": ("site_pressure_pa", read_site_pressure),
    "flow_uncertainty": ("flow_uncertainty", read_uncertainty),
    "opening_uncertainty": ("opening_uncertainty", read_uncertainty),
    "drop_uncertainty": ("drop_uncertainty_pa", read_drop_uncertainty),
    "truth": ("truth", read_truth),
}
