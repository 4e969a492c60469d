"""Scrambled Sobol points: evenly spread over the unit cube, another set for each seed.

The points are those of `scipy.stats.qmc.Sobol`, bit by bit (tests/confidence/test_sobol.py), without its loading time,
which is that of many single answers.

References
----------
S. Joe, F. Y. Kuo, "Constructing Sobol sequences with better two-dimensional projections", SIAM J. Sci. Comput. 30
(2008): polynomials and initial direction numbers. J. Matousek, "On the L2-discrepancy for anchored boxes", J. Complexity
14 (1998): linear matrix scrambling (neither checked against the source).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tablegen.physics.arrays import Floats

_BITS = 30
# For each dimension a primitive polynomial, its coefficients as bits, and the direction numbers that it starts from.
_START = (
    (0b1, ()),
    (0b11, (1,)),
    (0b111, (1, 3)),
    (0b1011, (1, 3, 1)),
    (0b1101, (1, 1, 1)),
    (0b10011, (1, 1, 3, 3)),
    (0b11001, (1, 3, 5, 13)),
    (0b100101, (1, 1, 5, 5, 17)),
    (0b101001, (1, 1, 5, 5, 5)),
    (0b101111, (1, 1, 7, 11, 19)),
    (0b110111, (1, 1, 5, 1, 1)),
    (0b111011, (1, 1, 1, 3, 11)),
    (0b111101, (1, 3, 5, 5, 31)),
    (0b1000011, (1, 3, 3, 9, 7, 49)),
    (0b1011011, (1, 1, 1, 15, 21, 21)),
    (0b1100001, (1, 3, 1, 13, 27, 49)),
)


def scrambled_points(count: int, seed: int, dimensions: int) -> Floats:
    """The first points of a scrambled set.

    Parameters
    ----------
    count : int
        A power of two.
    seed : int
    dimensions : int
        At most 16.

    Returns
    -------
    array (count, dimensions)
        From 0 up to, and without, 1 [1].
    """
    rng = np.random.default_rng(seed).spawn(1)[0]
    weights = 1 << np.arange(_BITS)
    shift = rng.integers(2, size=(dimensions, _BITS), dtype=np.uint32) @ weights
    below = np.tril(rng.integers(2, size=(dimensions, _BITS, _BITS), dtype=np.uint32).astype(np.int64), -1)
    # Digits of the directions, the highest first; a matrix with ones on its diagonal changes each by those above it.
    directions = np.array([_directions(*start) for start in _START[:dimensions]])
    digits = directions[:, :, None] >> np.arange(_BITS)[::-1] & 1
    mixed = digits @ np.swapaxes(below + np.eye(_BITS, dtype=np.int64), 1, 2) & 1
    directions = mixed @ weights[::-1]
    points = shift[None, :]
    # In the order of the Gray code, in which each point differs from the one before it by one direction.
    for bit in range(count.bit_length() - 1):
        points = np.concatenate([points, points[::-1] ^ directions[:, bit]])
    return points * 2.0**-_BITS


def _directions(polynomial: int, start: tuple[int, ...]) -> NDArray[np.int64]:
    """The direction numbers of one dimension, as whole multiples of the last bit."""
    found, degree = list(start) or [1] * _BITS, len(start)
    for j in range(len(found), _BITS):
        number = found[j - degree]
        for k in range(1, degree + 1):
            if polynomial >> (degree - k) & 1:
                number ^= found[j - k] << k
        found.append(number)
    return np.array([number << (_BITS - 1 - j) for j, number in enumerate(found)])
