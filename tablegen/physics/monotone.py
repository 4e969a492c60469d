"""A monotone curve through points, and its inverse.

Between two points the curve is a cubic; its slope at a point is the weighted harmonic mean of the slopes on either
side, so that it never turns back (PCHIP).  The same curve as scipy's `PchipInterpolator`, to the last digit
(tests/physics/test_monotone.py), which takes a third of a second to load and has no inverse.

References
----------
F. N. Fritsch, J. Butland, "A method for constructing local monotone piecewise cubic interpolants", SIAM J. Sci. Stat.
Comput. 5 (1984), 300-304; slopes at the ends: C. Moler, "Numerical Computing with MATLAB" (2004), chapter 3 (neither
checked against the source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tablegen.physics.arrays import Floats, snapped
from tablegen.wording import input_errors as wording

# Bisection alone would reach the last digit in about 60 rounds; Newton's steps take it there in about five.
_ROUNDS = 80


@dataclass(frozen=True, slots=True, eq=False)
class MonotoneCubic:
    """The curve through points (x, y), x ascending, y ascending or descending throughout.

    `coefficients` are those of the cubic on each interval in x - x_k, the highest power first.
    """

    x: Floats
    y: Floats
    coefficients: Floats

    @classmethod
    def through(cls, x: Floats, y: Floats) -> MonotoneCubic:
        """The curve through at least two points.

        Raises
        ------
        ValueError
            If x does not ascend, or y neither ascends nor descends throughout.
        """
        x, y = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
        width, rise = np.diff(x), np.diff(y)
        if len(x) < 2 or not (width > 0.0).all() or not ((rise > 0.0).all() or (rise < 0.0).all()):
            raise ValueError(wording.CURVE_POINTS())
        slope = rise / width
        at = _slopes(width, slope)
        bend = (at[:-1] + at[1:] - 2.0 * slope) / width
        return cls(x, y, np.stack([bend / width, (slope - at[:-1]) / width - bend, at[:-1], y[:-1]]))

    def __call__(self, x: Floats) -> Floats:
        """The curve at `x`; NaN beyond the points."""
        x = np.asarray(x, dtype=np.float64)
        place = self._interval(self.x, x)
        value, _ = self._cubic(place, x - self.x[place])
        return np.where((x >= self.x[0]) & (x <= self.x[-1]), value, np.nan)

    def slope(self, x: Floats) -> Floats:
        """The derivative of the curve at `x`; NaN beyond the points."""
        x = np.asarray(x, dtype=np.float64)
        place = self._interval(self.x, x)
        _, slope = self._cubic(place, x - self.x[place])
        return np.where((x >= self.x[0]) & (x <= self.x[-1]), slope, np.nan)

    def piece(self, x: float) -> tuple[float, float, float, float, float]:
        """The point (x_k, y_k) from which the cubic at `x` goes, and its coefficients of x - x_k, the lowest power first."""
        place = int(self._interval(self.x, np.asarray(x)))
        third, second, first, start = (float(c) for c in self.coefficients[:, place])
        return float(self.x[place]), start, first, second, third

    def inverse(self, y: Floats) -> Floats:
        """The x at which the curve is `y`; NaN beyond the points."""
        y = snapped(y, (self.y[0], self.y[-1]))
        turn = 1.0 if self.y[-1] > self.y[0] else -1.0
        ascending = turn * self.y
        is_inside = (turn * y >= ascending[0]) & (turn * y <= ascending[-1])
        wanted = np.where(is_inside, y, self.y[0])
        place = self._interval(ascending, turn * wanted)
        low, high = np.zeros_like(wanted), self.x[place + 1] - self.x[place]
        step = high * (wanted - self.y[place]) / (self.y[place + 1] - self.y[place])
        # What the last digits of the curve and of x leave open.
        noise, last = 2.0 * np.spacing(np.abs(ascending).max()), np.spacing(np.abs(self.x).max())
        for _ in range(_ROUNDS):
            value, slope = self._cubic(place, step)
            missed = wanted - value
            is_short = turn * missed > 0.0
            low, high = np.where(is_short, step, low), np.where(is_short, high, step)
            with np.errstate(divide="ignore", invalid="ignore"):
                newton = step + missed / slope
            # A step that leaves the bracket, where the slope is nearly level, is halved instead.
            following = np.where((newton >= low) & (newton <= high), newton, 0.5 * (low + high))
            is_found = (np.abs(missed) <= noise) | (np.abs(following - step) <= last)
            step = following
            if is_found.all():
                break
        return np.where(is_inside, self.x[place] + step, np.nan)

    @staticmethod
    def _interval(ascending: Floats, at: Floats) -> NDArray[np.signedinteger]:
        """The interval that each value lies in, the first or last for values beyond."""
        return np.minimum(np.maximum(np.searchsorted(ascending, at, side="right") - 1, 0), len(ascending) - 2)

    def _cubic(self, place: NDArray[np.signedinteger], step: Floats) -> tuple[Floats, Floats]:
        """Value and slope at steps from the first point of intervals."""
        cube, square, line, constant = self.coefficients[:, place]
        squared = step * step
        value = constant + line * step + square * squared + cube * (squared * step)
        return value, line + 2.0 * square * step + 3.0 * cube * squared


def _slopes(width: Floats, slope: Floats) -> Floats:
    """The slope of the curve at each point, from widths and mean slopes of the intervals, all of one sign."""
    if len(slope) == 1:
        return np.repeat(slope, 2)
    before, after = width[:-1], width[1:]
    first, second = 2.0 * after + before, after + 2.0 * before
    between = 1.0 / ((first / slope[:-1] + second / slope[1:]) / (first + second))
    return np.concatenate(
        [
            [_end(width[0], width[1], slope[0], slope[1])],
            between,
            [_end(width[-1], width[-2], slope[-1], slope[-2])],
        ]
    )


def _end(near: float, far: float, slope: float, next_slope: float) -> float:
    """The slope at an end from a parabola through three points; none where that would turn back."""
    found = ((2.0 * near + far) * slope - near * next_slope) / (near + far)
    return found if found * slope > 0.0 else 0.0
