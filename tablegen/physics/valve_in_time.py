"""A valve, one circuit of its evaporator and its bulb in the course of time: what a hunting valve does.

    bulb   t_b dT_b/dt = T_out - T_b,  T_out the evaporating temperature while liquid leaves the circuit
    valve  force balance, between seat and stop; the feed follows its share of Kv

The circuit is that of `coil_cells`.  Evaporating pressure and pressure drop are constant: many evaporators share the suction
line.  It is independent of the limit of `loop`, which assumes a dead time and lags.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tablegen.physics.arrays import Floats
from tablegen.physics.coil_cells import CELLS, Cells, CoilInTime
from tablegen.physics.valve import ForceBalance, OpeningCharacteristic

# Figures are kept at this interval [s].
SAMPLE_S = 0.5
# Bulb temperatures of the table, and how far they go beyond evaporating and air temperature [K].
_TABLED, _BEYOND_K = 4001, 15.0
# Share of the last swing that the one before may differ by where a swing neither grows nor dies away.
_SETTLED = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class ValveTable:
    """What a valve does at a bulb temperature; arrays (temperatures,).

    `opening` [1] is not bounded by seat and stop; `share` is Kv over rated Kv [1] within them.
    """

    bulb_k: Floats
    opening: Floats
    share: Floats
    stop: float

    @classmethod
    def of(
        cls,
        balance: ForceBalance,
        characteristic: OpeningCharacteristic,
        coil: CoilInTime,
        under_pa: float,
        pressure_drop_pa: float,
        stop: float,
    ) -> ValveTable:
        """A valve at one state, with the pressure under its diaphragm and its pressure drop [Pa]."""
        low, high = coil.temperature_k - _BEYOND_K, coil.temperature_k + coil.difference_k + _BEYOND_K
        bulb = np.linspace(low, high, _TABLED)
        opening = balance.opening(bulb, np.asarray(under_pa), np.asarray(pressure_drop_pa))
        known = np.isfinite(opening)
        bulb, opening = bulb[known], opening[known]
        return cls(bulb_k=bulb, opening=opening, share=characteristic.share(np.clip(opening, 0.0, stop)), stop=stop)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """What closes the loop: the valve, and the time constant of its bulb [s].

    The valve's answer to its bulb is divided by `calibration` [1], which multiplies the gain that the loop bears.
    """

    table: ValveTable
    bulb_time_constant_s: float
    calibration: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """What happened; arrays (times, runs).

    Attributes
    ----------
    time_s : array (times,)
    opening : array
        Share of rated stroke [1].
    superheat_k, bulb_superheat_k : array
        At the outlet of the circuit, 0 while liquid leaves it, and of the bulb [K].
    wetted : array
        Share of the circuit whose wall is wet [1].
    carried_kg_s, liquid_kg : array
        Liquid that leaves the circuit, and that is in it.
    fed_kg, imbalance_kg : array (runs,)
        Liquid fed; change of the liquid in the circuit, less that, plus what evaporated and left.
    """

    time_s: Floats
    opening: Floats
    superheat_k: Floats
    bulb_superheat_k: Floats
    wetted: Floats
    carried_kg_s: Floats
    liquid_kg: Floats
    fed_kg: Floats
    imbalance_kg: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """What one run does at last: in the second half of its time.

    `period_s` is NaN where it is steady; `superheat_k` and `opening` are the lowest and the highest; `liquid_share` is
    the share of the time in which liquid leaves the circuit [1].
    """

    hunts: bool
    period_s: float
    superheat_k: tuple[float, float]
    opening: tuple[float, float]
    wetted: tuple[float, float]
    liquid_share: float


def simulate(
    coil: CoilInTime,
    loop: Loop,
    opening: Floats,
    *,
    duration_s: float,
    kick: float = 0.1,
    kick_s: float = 20.0,
    settle_s: float = 240.0,
    cells: int = CELLS,
) -> Course:
    """What valve, circuit and bulb do after a kick, in several runs at once.

    The evaporator suits the load: in steady operation the valve passes what the circuits take at its opening.  Then the feed
    is larger by a share for some time.

    Parameters
    ----------
    coil : CoilInTime
    loop : Loop
    opening : array (runs,)
        In steady operation, share of rated stroke [1]; superheat at it is above 0 and below the temperature difference.
    duration_s : float
        [s]
    kick, kick_s : float
        Share [1] of feed that is added at first, and for how long [s].
    settle_s : float
        Before that, with the feed of steady operation [s].
    cells : int
        Of the circuit.

    Returns
    -------
    Course
    """
    table, base_k = loop.table, coil.temperature_k
    steady = coil.steady_flow(np.interp(opening, table.opening, table.bulb_k) - base_k)
    own = Cells(coil, steady, cells)
    for _ in range(round(settle_s / SAMPLE_S)):
        count = own.steps(steady, SAMPLE_S)
        for _ in range(count):
            own.step(steady, SAMPLE_S / count)
    own.count_from_now()
    # Cells leave a superheat that differs from the closed form in its third digit: the loop rests where they are.
    bulb, first = own.superheat_k, own.liquid_kg.sum(axis=1)
    rest = np.interp(base_k + bulb, table.bulb_k, table.opening)
    at_rest = np.interp(rest, table.opening, table.share)
    fed, now = np.zeros_like(bulb), rest
    rows = []
    for number in range(round(duration_s / SAMPLE_S)):
        rows.append((now, own.superheat_k, bulb, own.wetted, own.carried_kg_s, own.liquid_kg.sum(axis=1)))
        added = 1.0 + kick * (number * SAMPLE_S < kick_s)
        count = own.steps(steady * np.interp(now, table.opening, table.share) / at_rest * added, SAMPLE_S)
        step_s = SAMPLE_S / count
        for _ in range(count):
            asked = np.interp(base_k + bulb, table.bulb_k, table.opening)
            now = np.clip(rest + (asked - rest) / loop.calibration, 0.0, table.stop)
            feed = steady * np.interp(now, table.opening, table.share) / at_rest * added
            own.step(feed, step_s)
            fed = fed + step_s * (1.0 - coil.inlet_quality) * feed
            bulb = bulb + step_s / loop.bulb_time_constant_s * (own.superheat_k - bulb)
    kept = [np.stack(column) for column in zip(*rows, strict=True)]
    return Course(
        time_s=SAMPLE_S * np.arange(len(rows), dtype=np.float64),
        opening=kept[0],
        superheat_k=kept[1],
        bulb_superheat_k=kept[2],
        wetted=kept[3],
        carried_kg_s=kept[4],
        liquid_kg=kept[5],
        fed_kg=fed,
        imbalance_kg=own.liquid_kg.sum(axis=1) - first - fed + own.left_kg,
    )


def swing(course: Course, run: int) -> Swing:
    """What a run does at last, and whether it hunts: whether its swing neither vanishes nor dies away.

    Parameters
    ----------
    course : Course
        Of many periods.
    run : int

    Returns
    -------
    Swing
    """
    opening, time = course.opening[:, run], course.time_s
    quarter = len(time) // 4
    before, last = (float(np.ptp(opening[part])) for part in (slice(quarter, 2 * quarter), slice(3 * quarter, None)))
    hunts = last > _SETTLED * before and last > 1e-6
    half = slice(len(time) // 2, None)
    own = opening[half] - float(opening[half].mean())
    risen = np.flatnonzero((own[:-1] < 0.0) & (own[1:] >= 0.0))
    # Where the opening crosses its mean, between two figures.
    crossings = time[half][risen] + SAMPLE_S * own[risen] / (own[risen] - own[risen + 1])
    period = float(np.diff(crossings).mean()) if hunts and len(crossings) > 1 else np.nan
    superheat, wetted = course.superheat_k[half, run], course.wetted[half, run]
    return Swing(
        hunts=hunts,
        period_s=period,
        superheat_k=(float(superheat.min()), float(superheat.max())),
        opening=(float(opening[half].min()), float(opening[half].max())),
        wetted=(float(wetted.min()), float(wetted.max())),
        liquid_share=float((course.carried_kg_s[half, run] > 0.0).mean()),
    )
