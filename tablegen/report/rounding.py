"""Print rounding in decimal arithmetic: a printed load window never promises more than was computed.

Minimum loads are rounded up and maximum loads down. Every value is first cleaned of binary noise
at twelve significant figures, far below anything that is printed.
"""

from __future__ import annotations

import functools
import itertools
import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

from tablegen.errors import PublishError
from tablegen.wording import input_errors
from tablegen.wording.language import decimal_sign, figure

MINUS = "\N{MINUS SIGN}"

_NOISE_DIGITS = 12
# A double has at most 309 digits before and 324 after the point.
_WIDE = Context(prec=700)
# How far a round figure keeps from those that it is between, as a share of the way on a logarithmic scale [1].
_CLEAR = 0.2


def _clean(value: float) -> Decimal:
    """Take the value as a decimal at twelve figures: 0.1+0.2 is 0.3."""
    if not math.isfinite(value):
        raise PublishError(input_errors.NOT_FINITE(value=str(value)))
    return Decimal(f"{value:.{_NOISE_DIGITS - 1}e}")


def _print(number: Decimal) -> str:
    """Positional notation with a true minus sign, and no minus on a zero."""
    text = format(number.copy_abs(), "f")
    return MINUS + text if number < 0 else text


# The same loads are printed on every paper, page and sheet.
@functools.lru_cache(maxsize=1 << 15)
def _significant(value: float, digits: int, rounding: str) -> str:
    if not 1 <= digits < _NOISE_DIGITS:
        raise PublishError(input_errors.FIGURES(count=digits, most=_NOISE_DIGITS - 1))
    number = _clean(value)
    if not number:
        return "0"
    rounded = _quantize(number, number.adjusted() - digits + 1, rounding)
    if rounded.adjusted() > number.adjusted():
        # A carry (0.9996 up to 1.000) leaves one figure too many.
        rounded = _quantize(rounded, rounded.adjusted() - digits + 1, rounding)
    return _print(rounded)


def _quantize(number: Decimal, exponent: int, rounding: str) -> Decimal:
    return number.quantize(Decimal((0, (1,), exponent)), rounding=rounding, context=_WIDE)


def round_up(value: float, digits: int = 3) -> str:
    """Print the value to significant figures, never below it (toward plus infinity).

    Parameters
    ----------
    value : float
        Any finite number, in the unit that is printed.
    digits : int
        Significant figures, 1 to 11.

    Returns
    -------
    str
        Positional notation ('1240', never '1.24E+3'), true minus sign, the decimal sign of the language; zero is '0'.

    Raises
    ------
    PublishError
        The value is not finite, or `digits` is out of range.

    Examples
    --------
    >>> round_up(0.9996), round_up(0.1 + 0.2, 2)
    ('1.00', '0.30')
    """
    return figure(_significant(value, digits, ROUND_CEILING))


def round_down(value: float, digits: int = 3) -> str:
    """Print the value to significant figures, never above it (toward minus infinity); see `round_up`.

    Raises
    ------
    PublishError
        The value is not finite, or `digits` is out of range.

    Examples
    --------
    >>> round_down(1234.5), round_down(2.5599)
    ('1230', '2.55')
    """
    return figure(_significant(value, digits, ROUND_FLOOR))


def round_half_even(value: float, digits: int = 3) -> str:
    """Print the value to significant figures, to the nearest, ties to even; see `round_up`.

    Raises
    ------
    PublishError
        The value is not finite, or `digits` is out of range.
    """
    return figure(_significant(value, digits, ROUND_HALF_EVEN))


def without_zeros(text: str) -> str:
    """A printed figure without zeros at its end: a step of a scale, which is exact."""
    sign = decimal_sign()
    return text.rstrip("0").rstrip(sign) if sign in text else text


def decimals(value: float, places: int) -> str:
    """Print the value to a fixed number of decimals, to the nearest, ties to even (for temperatures).

    Parameters
    ----------
    value : float
        Any finite number, in the unit that is printed.
    places : int
        Digits after the point, 0 or more.

    Returns
    -------
    str
        With a true minus sign; a value that rounds to zero has none.

    Raises
    ------
    PublishError
        The value is not finite, or `places` is negative.

    Examples
    --------
    >>> decimals(-0.04, 1), decimals(-12.25, 1)
    ('0.0', '−12.2')
    """
    if places < 0:
        raise PublishError(input_errors.DECIMALS(count=places))
    return figure(_print(_quantize(_clean(value), -places, ROUND_HALF_EVEN)))


def decimals_up(value: float, places: int) -> str:
    """As `decimals`, but never below the value (toward plus infinity).

    Raises
    ------
    PublishError
        The value is not finite, or `places` is negative.

    Examples
    --------
    >>> decimals_up(120.01, 0), decimals_up(120.0, 0)
    ('121', '120')
    """
    if places < 0:
        raise PublishError(input_errors.DECIMALS(count=places))
    return figure(_print(_quantize(_clean(value), -places, ROUND_CEILING)))


def with_bound(value: float, half_width: float) -> tuple[str, str]:
    """A value and its bound as measurements are stated: the bound up to two figures, the value to the same place.

    Raises
    ------
    PublishError
        One of them is not finite, or the bound is not positive.

    Examples
    --------
    >>> with_bound(45.5123, 0.1261), with_bound(1234.5, 31.2)
    (('45.51', '0.13'), ('1234', '32'))
    """
    if not half_width > 0.0:
        raise PublishError(input_errors.NO_BOUND(value=str(half_width)))
    bound = round_up(half_width, 2)
    return decimals(value, len(bound.partition(decimal_sign())[2])), bound


def round_between(low: float, high: float) -> str:
    """The roundest figure well between two positive ones: a multiple of the largest step of 1, 2 or 5 that has one there.

    >>> round_between(15.9, 30.4), round_between(0.98, 1.86)
    ('20', '1.5')
    """
    away, middle = (high / low) ** _CLEAR, math.sqrt(low * high)
    steps = (
        Decimal(digit).scaleb(exponent)
        for exponent in itertools.count(math.ceil(math.log10(high)), -1)
        for digit in (5, 2, 1)
    )
    multiples = (step * round(middle / float(step)) for step in steps)
    found = next(own for own in multiples if low * away < float(own) < high / away)
    return figure(format(found, "f"))
