"""How far each assumption of a table moves its limits, for a stated step."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Combination
from tablegen.model.solving import Solved, law_of, solve
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.windows import limits
from tablegen.tables.assumed_inputs import AssumedInput, AssumptionStep, StepKind, TableInputs
from tablegen.tables.assumption_steps import STEPS

# Of a limit, a step that moves it by less does not count as moving it.
_NOTHING = 1e-9
_NO_STEP = math.nan, math.nan


@dataclass(frozen=True, slots=True)
class AssumptionWeight:
    """One assumption of a table: its step, and the change of each limit [1] with the step taken down and up.

    NaN where the table has no such step, infinite where the step leaves no limit.
    """

    assumed: AssumedInput
    step: AssumptionStep
    min_changes: tuple[float, float]
    max_changes: tuple[float, float]

    @property
    def changes(self) -> tuple[float, float, float, float]:
        """Of the minimum load, then of the maximum load, each with the step down and up."""
        return *self.min_changes, *self.max_changes

    @property
    def weight(self) -> float:
        """The largest change of either limit [1]; NaN without any step."""
        return max((abs(own) for own in self.changes if not math.isnan(own)), default=math.nan)


@dataclass(frozen=True, slots=True, kw_only=True)
class TableWeights:
    """The assumptions that move the limits of one table at an SST [K], the strongest first; of one of its sizes, by key."""

    part: Combination
    members: tuple[str, ...]
    size: str
    sst_k: float
    weights: tuple[AssumptionWeight, ...]


def weights_of(catalogue: Catalogue, part: Combination, members: Sequence[str], sst_k: float) -> TableWeights:
    """The assumptions of one table that move its limits at a suction temperature, the strongest first.

    Limits are those that all members have in common, of the middle size; they scale with Kv. Crossed limits count as
    they are, for what a step does to each is asked.

    Parameters
    ----------
    catalogue : Catalogue
    part : Combination
        A family, a group (or refrigerant) and an application that the catalogue combines.
    members : sequence of str
        The refrigerants of the table.
    sst_k : float
        Saturated suction temperature [K].

    Returns
    -------
    TableWeights
        Without any weight where the table has no limits there.
    """
    whole = catalogue.families[part.family]
    size = whole.sizes[len(whole.sizes) // 2].name
    inputs = TableInputs(
        family=whole.with_design_of(size),
        application=replace(catalogue.applications[part.application], sst_k=np.array([sst_k])),
        refrigerants=tuple(catalogue.refrigerants[name] for name in members),
        settings=catalogue.settings,
    )
    stated = tuple(solve(own, inputs.application, [law_of(inputs.family)]) for own in inputs.refrigerants)
    today = _limits(inputs, stated)
    if not all(map(math.isfinite, today)):
        return TableWeights(part=part, members=tuple(members), size=size, sst_k=sst_k, weights=())

    def changes(changed: TableInputs | None) -> tuple[float, float]:
        """Of the minimum and of the maximum load."""
        if changed is None:
            return _NO_STEP
        low, high = (new / old - 1.0 for new, old in zip(_limits(changed, stated), today, strict=True))
        return (low, high) if math.isfinite(low) and math.isfinite(high) else (math.inf, math.inf)

    found = []
    for assumed, step in STEPS.items():
        is_choice = step.measure is StepKind.OTHER_CHOICE
        down = _NO_STEP if is_choice else changes(step.change(inputs, -step.size))
        up = changes(step.change(inputs, step.size))
        found.append(AssumptionWeight(assumed, step, (down[0], up[0]), (down[1], up[1])))
    weights = tuple(sorted((own for own in found if own.weight > _NOTHING), key=lambda own: -own.weight))
    return TableWeights(part=part, members=tuple(members), size=size, sst_k=sst_k, weights=weights)


def _limits(inputs: TableInputs, stated: Sequence[Solved]) -> tuple[float, float]:
    """Minimum and maximum load for each m3/h of the catalogue's Kv [W]; NaN where a state forbids the valve.

    `stated` are the states of the catalogue's own inputs, used where a step changes none of them.
    """
    own = [_limits_of(inputs, *pair) for pair in zip(inputs.refrigerants, stated, strict=True)]
    loads = np.array(own) * inputs.kv_factor
    return float(loads[:, 0].max()), float(loads[:, 1].min())


def _limits_of(inputs: TableInputs, refrigerant: Refrigerant, stated: Solved) -> tuple[float, float]:
    family, application = inputs.family, inputs.application
    element = family.element_for(refrigerant.name, application.temperature_range)
    if element is None:
        return math.nan, math.nan
    law, solved = law_of(family), None
    if refrigerant is stated.refrigerant and law.key in stated.required_kvs:
        solved = stated.under(application)
    solved = solved or solve(refrigerant, application, [law])
    valve = family.valve(element, application.site_pressure_pa)
    # Of a pulse-modulated valve those at its open flow too.
    items, required_kvs = zip(*solved.states_of(valve, law), strict=True)
    found = limits(valve, items, required_kvs, solved.system.superheat)
    return float(found.min_load_w[0]), float(found.max_load_w[0])
