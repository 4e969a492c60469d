"""At which head pressures a valve covers a load, starves the evaporator, floods back, hunts or cannot operate.

Limits are followed over a grid of head pressures with every turning point between; borders are roots of the limits'
distance from the load, not points of the grid.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq, minimize_scalar

from tablegen.answers.pick import TIE
from tablegen.model.solving import Law, Solved
from tablegen.physics.arrays import Floats
from tablegen.physics.operating import Zone
from tablegen.physics.reasons import Reason
from tablegen.physics.windows import Valve, Window
from tablegen.sweep.head_sweep import HEADS, head_lines, states_along, states_at_settings

# How well a border is known [Pa]: by a root, and where only the name of the zone changes.
_ROOT_PA, _CHANGE_PA = 1e-4, 1e-2
# The valve works, but so little open that the window is empty.
_OPENS_TOO_LITTLE = (Reason.STAYS_CLOSED, Reason.ABOVE_MOP)
# How far inside a range, as a share of it, its ends are looked at.
_INSIDE = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadZone:
    """A range of head pressures in which a load means the same to a valve.

    Attributes
    ----------
    from_pa, to_pa : float
        Absolute pressures [Pa].
    zone : str
        A name of `tablegen.physics.operating.Zone`.
    reason : str
        What limits the load at the worst head pressure; empty where the valve is steady.
    worst_pa, margin : float
        The head pressure at which the smaller of load over minimum and maximum over load is smallest, and that ratio;
        a margin of NaN where there are no such limits.
    """

    from_pa: float
    to_pa: float
    zone: str
    reason: str
    worst_pa: float
    margin: float


class HeadLimits:
    """Limits of a valve of Kv 1 m3/h at every head pressure of a solved case, at its one suction temperature.

    Every suction response and every side of the window counts at every head pressure.

    Attributes
    ----------
    heads_pa : Floats
        From the lowest head pressure to the highest [Pa]: a grid, the conditions, and turning points of the limits.
    """

    def __init__(self, solved: Solved, valve: Valve, law: Law) -> None:
        self._solved, self._valve, self._law = solved, valve, law
        self._narrowing = (1.0, 1.0)
        self._lines = head_lines(solved)
        self.heads_pa = self._lines[0].grid_pa
        self._limits = self.limits_at(self.heads_pa)
        turning = [*self._turning(self._limits.min_load_w, 0), *self._turning(self._limits.max_load_w, 1)]
        if turning:
            self.heads_pa = np.union1d(self.heads_pa, turning)
            self._limits = self.limits_at(self.heads_pa)

    def limits_at(self, heads_pa: Floats) -> Window:
        """Minimum and maximum load [W] at each head pressure, also where they cross; NaN where the valve cannot operate."""
        here = states_along(self._solved, self._lines, heads_pa).limits(self._valve, self._law)
        return _narrowed(here, self._narrowing)

    def narrowed(self, narrowing: tuple[float, float]) -> HeadLimits:
        """The same with the minimum and the maximum load at every head pressure times a factor each.

        Assumption: a limit at a confidence is the same share of the nominal one at every head pressure.
        """
        if narrowing == self._narrowing:
            return self
        found = copy.copy(self)
        minimum, maximum = (now / then for now, then in zip(narrowing, self._narrowing, strict=True))
        found._narrowing, found._limits = narrowing, _narrowed(self._limits, (minimum, maximum))
        return found

    def range_w(self) -> tuple[float, float]:
        """The minimum and the maximum load [W] covered at every head pressure; NaN where there is none."""
        minimum, maximum = float(self._limits.min_load_w.max()), float(self._limits.max_load_w.min())
        return (minimum, maximum) if minimum < maximum else (math.nan, math.nan)

    def zones_at(self, heads_pa: Floats, load_w: float) -> list[str]:
        """The zone of a load [W] at each head pressure [Pa]."""
        return [zone for zone, _ in self._names(heads_pa, load_w)]

    def zones(self, load_w: float) -> tuple[HeadZone, ...]:
        """The zones of a load [W] from the lowest head pressure to the highest, without gaps."""
        heads, roots = self.heads_pa, self._crossings(load_w)
        names = self._names(heads, load_w, self._limits)
        starts: list[tuple[float, tuple[str, str]]] = []
        for i in range(len(heads) - 1):
            inner = [root for root in roots if heads[i] <= root < heads[i + 1]]
            found = [(float(heads[i]), names[i])]
            if inner or names[i] != names[i + 1]:
                found = self._within(np.array([heads[i], *inner, heads[i + 1]]), load_w)
            for start in found:
                if not starts or start[1] != starts[-1][1]:
                    starts.append(start)
        ends = [start for start, _ in starts[1:]] + [float(heads[-1])]
        return tuple(self._zone(start, end, label, load_w) for (start, label), end in zip(starts, ends, strict=True))

    def _within(self, edges: Floats, load_w: float) -> list[tuple[float, tuple[str, str]]]:
        """Where zones begin between neighboring heads of the grid, given the roots between them, and their names."""
        low, high = edges[:-1], edges[1:]
        inside = _INSIDE * (high - low)
        first, last = self._names(low + inside, load_w), self._names(high - inside, load_w)
        found = []
        for i, (a, b) in enumerate(zip(low, high, strict=True)):
            found.append((float(a), first[i]))
            if first[i] != last[i]:
                found += self._changes(float(a), float(b), first[i], last[i], load_w)
        return found

    def _names(self, heads_pa: Floats, load_w: float, known: Window | None = None) -> list[tuple[str, str]]:
        """Zone of a load at each head pressure, and why where the valve cannot operate; `known` are the limits."""
        here = known or self.limits_at(heads_pa)
        is_narrow = np.array([why in _OPENS_TOO_LITTLE for why in here.max_reason])
        settled = iter(self._settled(heads_pa[is_narrow], load_w) if is_narrow.any() else ())
        names: list[tuple[str, str]] = []
        for narrow, minimum, maximum, low_reason, why in zip(
            is_narrow, here.min_load_w, here.max_load_w, here.min_reason, here.max_reason, strict=True
        ):
            if narrow:
                names.append((next(settled), ""))
            elif math.isnan(maximum):
                names.append((Zone.NOT_WORKING.value, str(why)))
            elif load_w > maximum * (1.0 + TIE):
                names.append((Zone.STARVED.value, ""))
            elif load_w < minimum * (1.0 - TIE):
                is_flooding = low_reason == Reason.FLOODBACK
                names.append(((Zone.FLOODING if is_flooding else Zone.HUNTS).value, ""))
            else:
                names.append((Zone.STEADY.value, ""))
        return names

    def _settled(self, heads_pa: Floats, load_w: float) -> list[str]:
        """Zone of a load where no opening is both stable and reached: that of the opening where the valve settles."""
        states = states_along(self._solved, self._lines[:1], heads_pa)
        point = states.operating_point(self._valve, self._law, load_w)
        return [str(zone) for zone in point.zone]

    def _turning(self, limit: Floats, which: int) -> list[float]:
        """Head pressures between those of the grid at which a limit turns, which a grid would miss."""

        def at(head_pa: float, sign: float) -> float:
            here = self.limits_at(np.array([head_pa]))
            value = float((here.min_load_w, here.max_load_w)[which][0])
            return sign * value if math.isfinite(value) else math.inf

        found = []
        reach = self.heads_pa[-1] - self.heads_pa[0]
        for i in range(1, len(limit) - 1):
            before, after = limit[i] - limit[i - 1], limit[i + 1] - limit[i]
            # Not where a limit is level, as one that does not depend on the head pressure.
            if not before * after < 0.0 or max(abs(before), abs(after)) < TIE * limit[i]:
                continue
            bounds = self.heads_pa[i - 1], self.heads_pa[i + 1]
            turn = minimize_scalar(
                at, bounds=bounds, args=(math.copysign(1.0, after),), method="bounded", options={"xatol": 1e-6 * reach}
            )
            # A kink at a condition lies on the grid already.
            if abs(turn.x - self.heads_pa[i]) > 1e-4 * reach:
                found.append(float(turn.x))
        return found

    def _crossings(self, load_w: float) -> list[float]:
        """Head pressures at which a limit equals the load."""

        def distance(which: int) -> Callable[[float], float]:
            def at(head_pa: float) -> float:
                here = self.limits_at(np.array([head_pa]))
                return math.log((here.min_load_w, here.max_load_w)[which][0] / load_w)

            return at

        found = []
        for which, limit in enumerate((self._limits.min_load_w, self._limits.max_load_w)):
            signs = np.sign(limit - load_w)
            for i in np.flatnonzero(signs[:-1] * signs[1:] < 0.0):
                found.append(_root(distance(which), float(self.heads_pa[i]), float(self.heads_pa[i + 1])))
        # Where both limits are one, as at the stop of a valve that floods back, both cross at once.
        return [root for i, root in enumerate(sorted(found)) if not i or root - sorted(found)[i - 1] > _CHANGE_PA]

    def _changes(
        self, low: float, high: float, first: tuple[str, str], last: tuple[str, str], load_w: float
    ) -> list[tuple[float, tuple[str, str]]]:
        """Where a range changes its name without a limit that equals the load, and into what."""
        a, b = low, high
        beyond = last
        while b - a > _CHANGE_PA:
            middle = 0.5 * (a + b)
            label = self._names(np.array([middle]), load_w)[0]
            if label == first:
                a = middle
            else:
                b, beyond = middle, label
        rest = [] if beyond == last or high - b < 2.0 * _CHANGE_PA else self._changes(b, high, beyond, last, load_w)
        return [(b, beyond), *rest]

    def _zone(self, low: float, high: float, label: tuple[str, str], load_w: float) -> HeadZone:
        zone, reason = label
        heads, here = self.heads_pa, self._limits
        names = self._names(heads, load_w, here)
        own = [i for i, name in enumerate(names) if low <= heads[i] <= high and name == label]
        if not own:
            # No point of the grid lies in so short a range.
            heads, own = np.array([0.5 * (low + high)]), [0]
            here = self.limits_at(heads)
        if zone == Zone.NOT_WORKING:
            return HeadZone(
                from_pa=low, to_pa=high, zone=zone, reason=reason, worst_pa=float(heads[own[0]]), margin=math.nan
            )
        margins = np.minimum(load_w / here.min_load_w[own], here.max_load_w[own] / load_w)
        worst = own[int(np.argmin(margins))]
        if zone != Zone.STEADY:
            reason = str((here.max_reason if zone == Zone.STARVED else here.min_reason)[worst])
        return HeadZone(
            from_pa=low, to_pa=high, zone=zone, reason=reason, worst_pa=float(heads[worst]), margin=float(margins.min())
        )


def min_setting(solved: Solved, valve: Valve, law: Law, load_w: float) -> float | None:
    """The lowest low head [Pa], up to that of the rating point, from which on a valve's maximum load covers a load [W].

    For a valve of Kv 1 m3/h; the liquid at the low head stays as the application states it.  None where the low head
    covers the load as it is, or where the rating point does not cover it either.
    """
    system = solved.system

    def margin(heads_pa: Floats) -> Floats:
        return np.log(states_at_settings(solved, heads_pa).limits(valve, law).max_load_w / load_w)

    low, upper = (condition.head.pressure(solved.refrigerant) for condition in (system.low_head, system.rating))
    if not low < upper:
        return None
    heads = np.linspace(low, upper, HEADS)
    margins = margin(heads)
    short = np.flatnonzero(~(margins >= -TIE))
    if not short.size or short[-1] == HEADS - 1:
        return None
    below, above = float(heads[short[-1]]), float(heads[short[-1] + 1])
    if math.isfinite(margins[short[-1]]):
        return float(brentq(lambda head: float(margin(np.array([head]))[0]), below, above, xtol=_ROOT_PA))
    # The valve cannot operate below at all, as where liquid flashes upstream of it: there is no margin to follow.
    while above - below > _CHANGE_PA:
        middle = 0.5 * (below + above)
        below, above = (below, middle) if margin(np.array([middle]))[0] >= -TIE else (middle, above)
    return above


def _narrowed(here: Window, narrowing: tuple[float, float]) -> Window:
    """Limits with a factor each on the minimum and the maximum load."""
    if narrowing == (1.0, 1.0):
        return here
    return replace(here, min_load_w=here.min_load_w * narrowing[0], max_load_w=here.max_load_w * narrowing[1])


def _root(distance: Callable[[float], float], low: float, high: float) -> float:
    """Where a distance is zero between two head pressures; at the end that is on it within the rounding of arrays."""
    try:
        return float(brentq(distance, low, high, xtol=_ROOT_PA))
    except ValueError:
        # Both ends are on one side, taken by themselves.
        return min((low, high), key=lambda head: abs(distance(head)))
