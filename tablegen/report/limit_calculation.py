"""Both limits of a window calculated from printed figures alone, with as many digits as it takes to get what is printed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.physics.valve import OpeningCharacteristic
from tablegen.report.formatter import Formatter
from tablegen.report.rounding import round_down, round_half_even, round_up, without_zeros
from tablegen.report.rows import ExampleRow, LimitForces
from tablegen.unit_table import CV_PER_KV
from tablegen.units import print_unit
from tablegen.wording.language import number

# Digits of what is calculated with.
_DIGITS = range(4, 9)
# How near the rule comes to the computed limit [1]; farther off, something else than the opening takes part in it.
_NEAR = 1e-6
_INWARDS = {"min": round_up, "max": round_down}


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitCalculation:
    """One limit as a student calculates it: printed figures without units, loads in the printed one.

    result = load × share × rated_kv ÷ required_kv, in US units with Cv instead of Kv; `printed` is the result rounded inwards, as window tables print it.

    Attributes
    ----------
    share : str
        Of the rated Kv at the opening of the limit [1].
    is_share_opening : bool
        Whether that is the opening itself.
    """

    limit: str
    condition: str
    digits: int
    load: str
    share: str
    is_share_opening: bool
    rated_kv: str
    required_kv: str
    result: str
    printed: str


def limit_calculations(
    limits: Mapping[str, LimitForces],
    heads: Mapping[str, ExampleRow],
    characteristic: OpeningCharacteristic,
    formatter: Formatter,
) -> Mapping[str, LimitCalculation] | None:
    """The calculation of both limits with the same number of digits.

    Parameters
    ----------
    limits : mapping
        By "min" and "max".
    heads : mapping
        The example of the same valve by operating condition.
    characteristic, formatter

    Returns
    -------
    mapping or None
        None where printed figures do not give the printed limits.
    """
    for digits in _DIGITS:
        found = {
            name: _calculated(row, heads[row.condition], characteristic, formatter, digits)
            for name, row in limits.items()
        }
        known = {name: own for name, own in found.items() if own is not None}
        if len(known) == len(limits):
            return known
    return None


def _calculated(
    row: LimitForces, head: ExampleRow, characteristic: OpeningCharacteristic, formatter: Formatter, digits: int
) -> LimitCalculation | None:
    """One limit; None where so many digits do not give what is printed."""
    share = float(characteristic.share(np.array([row.opening]))[0])
    exact = head.load_w * share * head.kv_rated_m3h / head.required_kv_m3h
    if not abs(exact / row.load_w - 1.0) < _NEAR:
        return None
    unit = print_unit("load", formatter.system, formatter.load_unit)
    per_kv = CV_PER_KV if formatter.system == "IP" else 1.0
    load, required = (round_half_even(own, digits) for own in (unit.of(head.load_w), per_kv * head.required_kv_m3h))
    factor, kv = (without_zeros(round_half_even(own, digits)) for own in (share, per_kv * head.kv_rated_m3h))
    product = number(load) * number(factor) * number(kv) / number(required)
    inwards, result = _INWARDS[row.limit], round_half_even(product, digits)
    printed = inwards(unit.of(row.load_w))
    if not inwards(product) == inwards(number(result)) == printed:
        return None
    return LimitCalculation(
        limit=row.limit,
        condition=row.condition,
        digits=digits,
        load=load,
        share=factor,
        is_share_opening=abs(share - row.opening) < _NEAR,
        rated_kv=kv,
        required_kv=required,
        result=result,
        printed=printed,
    )
