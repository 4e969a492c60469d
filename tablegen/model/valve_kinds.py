"""Kinds of valves as a buyer asks for them: by the kind of a family, by what several kinds are called, or in short."""

from __future__ import annotations

import re
from collections.abc import Mapping

from tablegen.errors import RequestError, unknown
from tablegen.model.inputs import Catalogue, Family
from tablegen.wording import valve_kinds as wording

# The kinds of families that each name means.
VALVE_KINDS: Mapping[str, tuple[str, ...]] = {
    "thermostatic": ("thermostatic",),
    "electronic": ("stepper", "pulse_modulated"),
    "stepper": ("stepper",),
    "pulse_modulated": ("pulse_modulated",),
}
_IN_SHORT = {
    **dict.fromkeys(("txv", "tev", "tx"), "thermostatic"),
    **dict.fromkeys(("eev", "exv"), "electronic"),
    **dict.fromkeys(("stepper_motor", "step_motor"), "stepper"),
    **dict.fromkeys(("pulse", "pulsing", "pwm", "pulse_width_modulated"), "pulse_modulated"),
}
# Of those in short so many are named in a message.
_NAMED = ("TXV", "EEV")
_VALVE = re.compile(r"_(expansion_)?valves?$")


def valve_kind_named(asked: str) -> str:
    """The name in `VALVE_KINDS` for what is asked, in any case and with or without "valve" after it.

    Raises
    ------
    RequestError
        If it is none; the message lists them.

    Examples
    --------
    >>> [valve_kind_named(text) for text in ("TXV", "Electronic expansion valve", "pulse-modulated")]
    ['thermostatic', 'electronic', 'pulse_modulated']
    """
    text = _VALVE.sub("", "_".join(re.findall(r"[^\W_]+", asked.casefold())))
    found = text if text in VALVE_KINDS else _IN_SHORT.get(text)
    if found is None:
        raise RequestError(unknown(wording.A_VALVE_KIND(), asked, (*VALVE_KINDS, *_NAMED)))
    return found


def is_of_kind(family: Family, valve_kind: str | None) -> bool:
    """Whether a family is of a kind that is asked for; every one is where none is.

    Raises
    ------
    RequestError
        As `valve_kind_named`.
    """
    return valve_kind is None or family.kind in VALVE_KINDS[valve_kind_named(valve_kind)]


def asked_alone(catalogue: Catalogue, family: str | None, valve_kind: str | None) -> str:
    """What comes before "valve" where those of one family or of one kind alone are compared; nothing where all are.

    Raises
    ------
    RequestError
        As `valve_kind_named`.
    """
    if family:
        return catalogue.families[family].display_name
    return wording.NAMES[valve_kind_named(valve_kind)]() if valve_kind else ""
