"""Recalculate a catalogue's data set: every row of its states, every row of its windows."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from .fluid import Fluid
from .offers import Offer, Offers
from .reading import Configs, number, suction_temperatures
from .states import COLUMNS, ApplicationStates, State
from .valve import Charge, Family

REGISTRY = Path(__file__).resolve().parents[2] / "configs" / "refrigerants"
Row = dict[str, Any]
SUPERHEATS = ("superheat_low_head_k", "superheat_high_head_k", "superheat_swing_k")


@dataclass
class Window:
    """Load limits per m3/h of rated Kv [W], the operating condition and the reason of each."""

    minimum: float = math.nan
    maximum: float = math.nan
    conditions: tuple[str, str] = ("", "")
    reasons: tuple[str, str] = ("", "")
    candidates: dict[str, dict[str, float]] = field(default_factory=dict)

    @property
    def is_open(self) -> bool:
        """Whether there is any load that it allows."""
        return self.minimum < self.maximum


class Recalculation:
    """Everything that a catalogue's data set should contain, or every so many rows of it, computed when asked for."""

    def __init__(self, catalogue: Path, registry: Path = REGISTRY, step: int = 1) -> None:
        self.step = step
        self.configs = Configs(catalogue, registry)
        used = {r for group in self.configs.groups for r in self.configs.members(group)}
        for family in self.configs.families.values():
            for charge in family.get("charges", ()):
                setting = charge["setting"]["refrigerant"]
                used |= {setting, charge.get("fluid", setting)}
        self.fluids = {name: Fluid(self.configs.refrigerants[name]) for name in sorted(used)}
        self.families = {name: Family(config, self.fluids) for name, config in self.configs.families.items()}
        self._states: dict[tuple[str, str], list[State]] = {}
        self._open_phases: dict[tuple[int, float], State] = {}

    def _parts(self) -> list[tuple[str, str, str]]:
        """Family, refrigerant, application, each once."""
        parts = {
            (family, refrigerant, application): None
            for family, group, application in self.configs.combinations()
            for refrigerant in self.configs.members(group)
        }
        return list(parts)

    def _solved(self, refrigerant: str, application: str) -> list[State]:
        key = refrigerant, application
        if key not in self._states:
            config = self.configs.application(application, refrigerant)
            solver = ApplicationStates(config, self.fluids[refrigerant])
            self._states[key] = [s for sst in suction_temperatures(config)[:: self.step] for s in solver.rows(sst)]
        return self._states[key]

    def states(self) -> Iterator[Row]:
        """Every row of the states: a refrigerant in an application under a flow law."""
        seen = set()
        for name, refrigerant, application in self._parts():
            family = self.families[name]
            for duty in (1.0, family.maximum) if family.drive == "pulse" else (1.0,):
                if (refrigerant, application, family.law.key, duty) in seen:
                    continue
                seen.add((refrigerant, application, family.law.key, duty))
                for state in self._solved(refrigerant, application):
                    if duty == 1.0:
                        yield self._state_row(family, refrigerant, application, state)
                    elif state.limit in ("both", "max"):
                        yield self._state_row(family, refrigerant, application, self._opened(state, duty))

    def _opened(self, state: State, duty: float) -> State:
        """The open phase of a state, found once."""
        key = id(state), duty
        if key not in self._open_phases:
            self._open_phases[key] = state.rating.open_phase(state, duty)
        return self._open_phases[key]

    def _state_row(self, family: Family, refrigerant: str, application: str, state: State) -> Row:
        row: Row = {"refrigerant": refrigerant, "application": application, "flow_law": family.law.name}
        for kind, share in self.configs.refrigerants[refrigerant]["uncertainty"].items():
            if kind != "reason":
                row[f"{kind}_uncertainty"] = number(share)
        row |= {"f_l": family.law.recovery, **family.law.values()}
        row |= {column: getattr(state, column) for column in COLUMNS}
        p_critical = self.fluids[refrigerant].p_critical
        if not (state.reason or family.law.covers_state(state, p_critical)):
            row["reason"] = "flow_law_range"
        return row | family.law.row(state, p_critical)

    def windows(self) -> Iterator[Row]:
        """Every row of the windows: a size of a family with a refrigerant at one SST of an application."""
        for name, refrigerant, application in self._parts():
            parts = self.families[name].parts(self.fluids)
            order = [str(size["size"]) for size in self.families[name].config["sizes"]]
            config = self.configs.application(application, refrigerant)
            by_sst: dict[float, list[State]] = {}
            for state in self._solved(refrigerant, application):
                by_sst.setdefault(state.sst_k, []).append(state)
            for sst, states in by_sst.items():
                found = {}
                for family in parts:
                    charge = family.charge(refrigerant, config["temperature_range"])
                    unit = self._unit_window(family, charge, config, refrigerant, states)
                    for size, kv in family.sizes:
                        found[size] = {
                            "family": name,
                            "size": size,
                            "kv_rated_m3h": kv,
                            "refrigerant": refrigerant,
                            "application": application,
                            "charge": self._charge_name(family, charge),
                            "sst_k": sst,
                            **_scaled(unit, kv),
                        }
                yield from (found[size] for size in order)

    @staticmethod
    def _charge_name(family: Family, charge: Charge | None) -> str:
        return family.drive if family.is_electronic else charge.name if charge else ""

    def _unit_window(
        self, family: Family, charge: Charge | None, config: Row, refrigerant: str, states: list[State]
    ) -> Row:
        if charge is None and not family.is_electronic:
            return _row(Window(reasons=("no_charge", "no_charge")))
        valve = Offers(family, charge, config, self.fluids[refrigerant], self._opened)
        offers = [valve.at(state) for state in states]
        responses = list(dict.fromkeys(s.suction_response for s in states))
        windows = [window([o for o in offers if o.state.suction_response == r]) for r in responses]
        row = _row(stricter(windows))
        if charge is not None and math.isfinite(row["middle_load_w"]):
            # Offers at constant SST come first where there are both.
            full = [o for o in offers if o.state.limit in ("both", "max")]
            low, high = (
                superheat(family, charge, next(o for o in full if o.state.condition == e), row["middle_load_w"])
                for e in ("low_head", "high_head")
            )
            row |= dict(zip(SUPERHEATS, (low, high, high - low), strict=True))
        return row


def window(offers: list[Offer]) -> Window:
    """The window of one suction response, of a valve with a rated Kv of 1 m3/h."""
    # Open phases come after all that the mean flow asks.
    for why in ("refused", "open_refused"):
        for one in offers:
            if getattr(one, why):
                return Window(conditions=(one.state.condition,) * 2, reasons=(getattr(one, why),) * 2)
    maximum = [(1e3 * o.maximum, o) for o in offers if o.state.limit in ("both", "max")]
    # The minimum load must be steady at full flow too: a minimum stable superheat that grows with load may bind there.
    minimum = [(1e3 * o.minimum, o) for o in offers]
    # min and max take the first of equals, and states come in the order of the operating conditions.
    q_max, at_max = min(maximum, key=lambda pair: pair[0])
    q_min, at_min = max(minimum, key=lambda pair: pair[0])
    return Window(
        q_min,
        q_max,
        (at_min.state.condition, at_max.state.condition),
        (at_min.min_reason, at_max.max_reason),
        {
            "min": {
                e: max(q for q, o in minimum if o.state.condition == e) for e in {o.state.condition for o in offers}
            },
            "max": {o.state.condition: q for q, o in maximum},
        },
    )


def stricter(windows: list[Window]) -> Window:
    """The narrower of windows, limit by limit; empty where one of them is."""
    empty = next((w for w in windows if not w.is_open), None)
    if empty is not None:
        return empty
    low = max(windows, key=lambda w: w.minimum)
    high = min(windows, key=lambda w: w.maximum)
    return Window(
        low.minimum,
        high.maximum,
        (low.conditions[0], high.conditions[1]),
        (low.reasons[0], high.reasons[1]),
        {
            "min": _each(max, [w.candidates["min"] for w in windows]),
            "max": _each(min, [w.candidates["max"] for w in windows]),
        },
    )


def _each(pick: Callable[[Iterable[float]], float], sides: list[dict[str, float]]) -> dict[str, float]:
    return {condition: pick(side[condition] for side in sides) for condition in sides[0]}


def superheat(family: Family, charge: Charge, at: Offer, load: float) -> float:
    """Operating superheat [K] of a unit valve at a load, by the balance turned round."""
    phi = family.characteristic.opening(load / 1e3 * at.required_kv)
    bulb = charge.load(at.state, family.is_internal) + phi * charge.gradient
    return charge.temperature(bulb) - at.state.evaporating_temperature_k


def _row(unit: Window) -> Row:
    """The columns of a window; `limits` has what every operating condition would have set, to find a tie."""
    row: Row = {"min_load_w": math.nan, "max_load_w": math.nan, "middle_load_w": math.nan}
    row |= dict.fromkeys(SUPERHEATS, math.nan)
    row["min_condition"], row["max_condition"] = unit.conditions
    row["min_reason"], row["max_reason"] = unit.reasons
    row["limits"] = unit.candidates
    if unit.is_open:
        row["min_load_w"], row["max_load_w"] = unit.minimum, unit.maximum
        row["middle_load_w"] = math.sqrt(unit.minimum * unit.maximum)
    elif not math.isnan(unit.minimum):
        row["min_reason"] = row["max_reason"] = "crossed"
    return row


def _scaled(unit: Row, kv: float) -> Row:
    loads = ("min_load_w", "max_load_w", "middle_load_w")
    return {key: value * kv if key in loads else value for key, value in unit.items()}
