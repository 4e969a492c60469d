"""Windows joined limit by limit, and windows that are none, by hand."""

from __future__ import annotations

import numpy as np

from tablegen.physics.actuators import ElectronicActuator
from tablegen.physics.reasons import Reason
from tablegen.physics.system import OperatingCondition
from tablegen.physics.windows import Window, no_window, stricter

NAN = np.nan
LOW, HIGH, RATING = OperatingCondition.LOW_HEAD, OperatingCondition.HIGH_HEAD, OperatingCondition.RATING


def made(limits: list[tuple[float, float]], condition: OperatingCondition, minimum: Reason, maximum: Reason) -> Window:
    """A window at several suction temperatures that one condition sets."""
    low, high = np.array(limits).T

    def at_each(name: object) -> np.ndarray:
        return np.full(len(limits), name, dtype=object)

    return Window(
        min_load_w=low,
        max_load_w=high,
        min_condition=at_each(condition),
        max_condition=at_each(condition),
        min_reason=at_each(minimum),
        max_reason=at_each(maximum),
    )


def test_of_two_windows_each_limit_is_the_stricter() -> None:
    # Second stricter in both, in one, in none, equal; one empty, the other, both; crossing, meeting.
    first = made(
        [(2, 8), (2, 8), (2, 8), (2, 8), (NAN, NAN), (2, 8), (NAN, NAN), (2, 4), (2, 4)],
        LOW,
        Reason.STABILITY,
        Reason.STOP,
    )
    second = made(
        [(3, 7), (3, 9), (1, 9), (2, 8), (3, 7), (NAN, NAN), (NAN, NAN), (5, 9), (4, 9)],
        HIGH,
        Reason.FLOODBACK,
        Reason.SUPERHEAT,
    )
    found = stricter(first, second)
    np.testing.assert_array_equal(found.min_load_w, [3, 3, 2, 2, NAN, NAN, NAN, NAN, NAN])
    np.testing.assert_array_equal(found.max_load_w, [7, 8, 8, 8, NAN, NAN, NAN, NAN, NAN])
    # What is equal is the first one's; of an empty one it says why; crossing limits name both.
    assert list(found.min_condition) == [HIGH, HIGH, LOW, LOW, LOW, HIGH, LOW, HIGH, HIGH]
    assert list(found.max_condition) == [HIGH, LOW, LOW, LOW, LOW, HIGH, LOW, LOW, LOW]
    assert list(found.min_reason) == [
        Reason.FLOODBACK,
        Reason.FLOODBACK,
        Reason.STABILITY,
        Reason.STABILITY,
        Reason.STABILITY,
        Reason.FLOODBACK,
        Reason.STABILITY,
        Reason.CROSSED,
        Reason.CROSSED,
    ]
    assert list(found.max_reason) == [
        Reason.SUPERHEAT,
        Reason.STOP,
        Reason.STOP,
        Reason.STOP,
        Reason.STOP,
        Reason.SUPERHEAT,
        Reason.STOP,
        Reason.CROSSED,
        Reason.CROSSED,
    ]


def test_the_narrower_of_two_does_not_hang_on_their_order() -> None:
    random = np.random.default_rng(3)
    ends = np.sort(random.uniform(1.0, 9.0, (2, 40, 2)), axis=-1)
    one, other = (made([tuple(e) for e in own], RATING, Reason.STABILITY, Reason.STOP) for own in ends)
    for key in ("min_load_w", "max_load_w"):
        np.testing.assert_array_equal(getattr(stricter(one, other), key), getattr(stricter(other, one), key))
    overlap = np.minimum(ends[0, :, 1], ends[1, :, 1]) > np.maximum(ends[0, :, 0], ends[1, :, 0])
    np.testing.assert_array_equal(stricter(one, other).is_open, overlap)


def test_no_window_is_empty_everywhere_for_its_reason() -> None:
    found = no_window((3,), Reason.NO_CHARGE)
    assert not found.is_open.any()
    assert list(found.min_reason) == list(found.max_reason) == [Reason.NO_CHARGE] * 3
    assert list(found.min_condition) == list(found.max_condition) == [None] * 3
    # Of texts as they come a longer name, put there later, would lose its end.
    assert {names.dtype for names in (found.min_reason, found.max_reason, found.min_condition)} == {np.dtype(object)}
    # One limit's names are not the other's.
    found.min_reason[0] = Reason.FLASHING
    assert found.max_reason[0] == Reason.NO_CHARGE


def test_what_sets_the_limits_of_a_drive_are_reasons() -> None:
    class Anywhere:
        """A state at two suction temperatures."""

        evaporating_temperature_k = np.array([260.0, 270.0])

    travel = ElectronicActuator(maximum=0.85, minimum=0.12).travel(Anywhere(), None, np.ones(2))
    assert list(travel.max_reason) == [Reason.CONTROL_RESERVE] * 2
    assert list(travel.min_reason) == [Reason.MIN_STEP] * 2
    names = (travel.max_reason, travel.min_reason, travel.empty)
    assert {own.dtype for own in names} == {np.dtype(object)}
    assert list(travel.empty) == [None, None]
    np.testing.assert_array_equal(travel.maximum, [0.85, 0.85])
    np.testing.assert_array_equal(travel.minimum, [0.12, 0.12])
