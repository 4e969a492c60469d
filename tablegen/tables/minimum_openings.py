"""The stated minimum opening of families beside that of the loop with the coil, for applications that state a whole coil."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from tablegen.model.inputs import Catalogue, Family
from tablegen.model.publications import Combination
from tablegen.model.solving import Solved
from tablegen.physics.actuators import ElectronicActuator, ThermostaticActuator, coil_delays
from tablegen.physics.arrays import Bools, Floats
from tablegen.physics.loop import bulb_ultimate, controller_ultimate
from tablegen.physics.state import SolvedState
from tablegen.physics.steady_opening import gain_with_bulb
from tablegen.physics.system import SuctionResponse, SuperheatLimits
from tablegen.physics.valve import OpeningCharacteristic
from tablegen.physics.windows import load_share

_TEXTS = ("family", "group", "application", "refrigerant", "condition")
_FIGURES = (
    "sst_k",
    "assumed_opening",
    "loop_opening",
    "loop_superheat_k",
    "loop_superheat_share",
    "loop_period_s",
    "bulb_time_s",
    "needed_bulb_time_s",
)
# No bulb is slower [s]; times looked at on the way there, and bisections between two.
SLOWEST_BULB_S, _LOOKS, _HALVINGS = 600.0, 60, 30


@dataclass(frozen=True, slots=True, kw_only=True)
class MinimumOpenings:
    """Both minimum openings of a family with a refrigerant at the SST [K] and the operating condition of the larger loop's.

    Openings [1]: `loop` is infinite where it hunts at every opening. Superheat there [K] and over the TD [1], period of
    the swing [s], time constants [s] of the bulb as stated and as the assumed opening would need: NaN for a drive and
    where the assumed opening is steady, infinite where no bulb up to `SLOWEST_BULB_S` does it.
    """

    part: Combination
    refrigerant: str
    condition: str
    sst_k: float
    assumed: float
    loop: float
    superheat_k: float
    superheat_share: float
    period_s: float
    bulb_s: float = math.nan
    needed_bulb_s: float = math.nan


def minimum_openings(catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved]) -> Iterator[MinimumOpenings]:
    """Both minimum openings of each table whose application states a whole coil and whose family states its lags.

    Parameters
    ----------
    catalogue : Catalogue
    solved_by : mapping
        Solved states by refrigerant and application.

    Yields
    ------
    MinimumOpenings
        Of the first refrigerant of the table, at the application's example SST.
    """
    for part in catalogue.combinations:
        refrigerant = catalogue.groups[part.group].members[0]
        solved = solved_by[refrigerant, part.application]
        system = solved.application.systems[refrigerant]
        if system.circuit is None or system.response is not SuctionResponse.CONSTANT:
            continue
        [own, *_] = catalogue.families[part.family].by_design()
        found = [_at(part, own, solved, index) for index in solved.at_full_flow().values()]
        known = [own for own in found if own is not None and not math.isnan(own.loop)]
        if known:
            yield max(known, key=lambda own: own.loop)


def minimum_opening_frame(catalogue: Catalogue, solved_by: Mapping[tuple[str, str], Solved]) -> pd.DataFrame:
    """One row for each table of `minimum_openings`.

    Parameters
    ----------
    catalogue : Catalogue
    solved_by : mapping

    Returns
    -------
    DataFrame
    """
    rows = [
        (
            own.part.family,
            own.part.group,
            own.part.application,
            own.refrigerant,
            own.condition,
            own.sst_k,
            own.assumed,
            own.loop,
            own.superheat_k,
            own.superheat_share,
            own.period_s,
            own.bulb_s,
            own.needed_bulb_s,
        )
        for own in minimum_openings(catalogue, solved_by)
    ]
    return pd.DataFrame(rows or None, columns=[*_TEXTS, *_FIGURES])


def _at(part: Combination, family: Family, solved: Solved, index: int) -> MinimumOpenings | None:
    """Both at one operating condition; None where the family lacks what the loop needs."""
    application, refrigerant = solved.application, solved.refrigerant.name
    element = family.element_for(refrigerant, application.temperature_range)
    row = int(np.argmin(np.abs(application.sst_k - application.example_sst_k)))
    item, limits = solved.states[index].at(np.array([row])), solved.system.superheat
    actuator = None if element is None else element.actuator
    if isinstance(actuator, ThermostaticActuator) and actuator.bulb_time_constant_s is not None:
        return _with_bulb(part, refrigerant, actuator, family.characteristic, item, limits, application.example_sst_k)
    if isinstance(actuator, ElectronicActuator) and actuator.controller is not None:
        travel = actuator.steady_travel(
            item.state, limits, actuator.travel(item.state, limits, load_share(item)), family.characteristic
        )
        ultimate = controller_ultimate(coil_delays(item.state), actuator.controller, limits.stability.calibration)
        difference = float(item.state.coil_difference_k[0])
        return MinimumOpenings(
            part=part,
            refrigerant=refrigerant,
            condition=item.condition.value,
            sst_k=application.example_sst_k,
            assumed=actuator.minimum,
            loop=float(travel.minimum[0]) if travel.empty[0] is None else math.inf,
            superheat_k=actuator.controller.superheat_k,
            superheat_share=actuator.controller.superheat_k / difference,
            period_s=float(ultimate.period_s[0]),
        )
    return None


def _with_bulb(
    part: Combination,
    refrigerant: str,
    actuator: ThermostaticActuator,
    characteristic: OpeningCharacteristic,
    item: SolvedState,
    limits: SuperheatLimits,
    sst_k: float,
) -> MinimumOpenings:
    state, bulb_s = item.state, actuator.bulb_time_constant_s
    assert bulb_s is not None
    steady = actuator.steady(state, limits, characteristic)
    loop, superheat = float(steady.opening[0]), float(steady.superheat_k[0])
    ultimate = bulb_ultimate(coil_delays(state), bulb_s, limits.stability.calibration)
    assumed = float(actuator.travel(state, limits, load_share(item)).minimum[0])
    return MinimumOpenings(
        part=part,
        refrigerant=refrigerant,
        condition=item.condition.value,
        sst_k=sst_k,
        assumed=assumed,
        loop=math.inf if loop > actuator.stop else max(loop, actuator.smallest_controlled),
        superheat_k=superheat,
        superheat_share=superheat / float(state.coil_difference_k[0]),
        period_s=float(ultimate.period_s[0]),
        bulb_s=bulb_s,
        needed_bulb_s=_needed_bulb(actuator, characteristic, item, limits, assumed),
    )


def _needed_bulb(
    actuator: ThermostaticActuator,
    characteristic: OpeningCharacteristic,
    item: SolvedState,
    limits: SuperheatLimits,
    assumed: float,
) -> float:
    """The smallest time constant [s] above which the valve is steady at the assumed opening; NaN where it is already.

    The loop's gain at an opening does not depend on the bulb, so that its ultimate gain alone is looked for.
    """
    state, rule, present = item.state, limits.stability, actuator.bulb_time_constant_s
    assert present is not None
    coil, under = coil_delays(state), actuator.under(state)
    te, drop = state.evaporating_temperature_k, state.pressure_drop_pa
    from_k = actuator.balance.superheat(np.array([assumed]), te, under, drop)
    if not float(from_k[0]) > 0.0:
        return math.inf
    gain_at = gain_with_bulb(coil, actuator.balance, characteristic, te, under, drop)
    # From there up to the TD: with a characteristic by points the gain need not fall throughout.
    superheats = from_k + np.linspace(0.0, 1.0, _LOOKS) * (coil.difference_k - from_k)
    wanted = rule.gain_margin * float(np.nanmax(gain_at(superheats)[1]))

    def hunts(bulb_s: Floats) -> Bools:
        return np.asarray(bulb_ultimate(coil, bulb_s, rule.calibration).gain < wanted)

    times = np.geomspace(present, SLOWEST_BULB_S, _LOOKS)
    hunting = hunts(times)
    if hunting[-1]:
        return math.inf
    if not hunting[0]:
        return math.nan
    last = int(np.flatnonzero(hunting)[-1])
    low, high = times[last : last + 1], times[last + 1 : last + 2]
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = hunts(middle)
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return float(high[0])
