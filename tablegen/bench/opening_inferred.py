"""Openings that were not read, inferred from mass flow by inverting the flow law and the characteristic.

    c(phi) = K / Kv,   K from the flow, the law and the liquid at the inlet

Kv and the characteristic come from the rows of the same file that have an opening, or else from the family's file.  An
inferred opening goes into the balance of forces alone, never back into Kv or the characteristic.  Its error has two
parts: the flow meter's, a row at a time, and that of Kv, the characteristic and F_L, which all rows share.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from tablegen.bench.balance_rows import PART
from tablegen.bench.flow_determined import FlowFit
from tablegen.bench.flow_fit import FlowPart
from tablegen.bench.flow_rows import InletStates, first_reason, inlet_states
from tablegen.bench.result import LeftOut
from tablegen.bench.rows import BenchRows
from tablegen.bench.subject import FitOptions, StatedFlow, ValveOnBench
from tablegen.physics.arrays import Bools, Floats, Names
from tablegen.physics.flow import FlowLaw, required_flow_coefficient
from tablegen.physics.refrigerants import Refrigerant
from tablegen.physics.valve import OpeningCharacteristic

# Of a parameter's standard deviation, and of an opening.
_STEP, _OPENING_STEP = 1e-3, 1e-4
# An opening less certain than this is of no use [1]; one as many deviations from the stop may rest on it.
_WIDEST, _FROM_STOP = 0.1, 2.0


@dataclass(frozen=True, slots=True)
class InferredOpenings:
    """Openings inferred from flow, arrays of one length.

    Attributes
    ----------
    line : array of int
    opening : Floats [1]
    random : Floats [1]
        Standard error by the flow meter and the drop, 0 where nothing is known of them.
    shared : Floats, shape (rows, errors) [1]
        How the opening follows each independent error of one standard deviation that rows share.
    notes : tuple of str
        Where Kv and the characteristic come from.
    """

    line: Floats
    opening: Floats
    random: Floats
    shared: Floats
    notes: tuple[str, ...] = ()

    @property
    def deviation(self) -> Floats:
        """Standard error of each opening."""
        return np.asarray(np.sqrt(self.random**2 + (self.shared**2).sum(axis=1)))

    @property
    def columns(self) -> tuple[Floats, Floats, Floats]:
        """Line, opening and its standard error."""
        return self.line, self.opening, self.deviation

    def filled(self, rows: BenchRows) -> BenchRows:
        """The rows of a file with these openings where none was read."""
        opening = rows.opening.copy()
        opening[np.searchsorted(rows.line, self.line)] = self.opening
        return dataclasses.replace(rows, opening=opening)

    def errors_of(self, line: Floats) -> tuple[Floats, Floats]:
        """`random` and `shared` of rows by their lines, 0 for rows whose opening was read."""
        random, shared = np.zeros(len(line)), np.zeros((len(line), self.shared.shape[1]))
        for i, at in enumerate(np.flatnonzero(self.line == number) for number in line):
            if len(at):
                random[i], shared[i] = self.random[at[0]], self.shared[at[0]]
        return random, shared


NONE_INFERRED = InferredOpenings(np.zeros(0, dtype=int), np.zeros(0), np.zeros(0), np.zeros((0, 0)))


@dataclass(frozen=True, slots=True)
class _Port:
    """What is known of the port of some sizes: law, characteristic and F_L as functions of parameters.

    `kv` tells where the logarithm of a size's Kv stands among the parameters; `covariance` is theirs.
    """

    law: FlowLaw
    kv: Mapping[str, int]
    values: Floats
    covariance: Floats
    characteristic: Callable[[Floats], OpeningCharacteristic]
    log_recovery: Callable[[Floats], float]
    source: str

    def share(self, values: Floats, size: Names, coefficient: Floats, choking: Floats) -> Floats:
        """c(phi) that a flow coefficient of the whole drop [m3/h] stands for."""
        kv = np.array([values[self.kv[str(name)]] for name in size])
        choke = np.zeros(len(size))
        if self.law is FlowLaw.CHOKED:
            choke = 0.5 * np.minimum(0.0, 2.0 * self.log_recovery(values) - np.log(choking))
        return np.asarray(np.exp(np.log(coefficient) - choke - kv))


def infer_openings(
    bench: BenchRows, valve: ValveOnBench, refrigerants: Mapping[str, Refrigerant], options: FitOptions, flow: FlowPart
) -> tuple[InferredOpenings, list[LeftOut]]:
    """The openings of rows that have a mass flow in place of one, and rows whose opening cannot be inferred."""
    at = np.flatnonzero(bench.lacks_opening)
    if not len(at):
        return NONE_INFERRED, []
    states = inlet_states(bench, at, refrigerants)
    ports = [port for port in (_from_rows(flow), _from_family(valve, flow)) if port is not None]
    place = np.array([next((i for i, p in enumerate(ports) if str(s) in p.kv), -1) for s in bench.size[at]], dtype=int)
    count = len(at)
    share, opening, slope = np.full((3, count), np.nan)
    shared = np.zeros((count, 0))
    for i, port in enumerate(ports):
        own = (place == i) & (states.why == "")
        if own.any():
            found = _Solved(port, bench, at[own], states, own)
            share[own], opening[own], slope[own] = found.share, found.opening, found.log_slope
            more = np.zeros((count, found.shared.shape[1]))
            more[own] = found.shared
            shared = np.column_stack([shared, more])
    random = _log_error(options, flow.fit, states.drop_pa) / slope
    deviation = np.sqrt(random**2 + (shared**2).sum(axis=1))
    reasons = first_reason(
        count,
        (
            (states.why != "", states.why),
            (place < 0, _nowhere(valve, flow, bench.size[at])),
            (~np.isfinite(opening), _beyond(share, valve)),
            (~(deviation <= _WIDEST), _uncertain(deviation)),
            (opening + _FROM_STOP * deviation > valve.stop, _at_stop(opening, valve)),
        ),
    )
    keep = reasons == ""
    left_out = [LeftOut(int(bench.line[i]), PART, str(why)) for i, why in zip(at, reasons, strict=True) if why]
    is_flow_known = flow.fit is not None or options.flow_uncertainty is not None
    notes = _notes(ports, place[keep], bench.size[at][keep], deviation[keep], is_flow_known)
    return InferredOpenings(bench.line[at][keep], opening[keep], random[keep], shared[keep], notes), left_out


class _Solved:
    """Rows of one port solved for their openings."""

    def __init__(self, port: _Port, bench: BenchRows, at: Names, states: InletStates, own: Bools) -> None:
        size, choking = bench.size[at], states.choking(own)
        coefficient = required_flow_coefficient(bench.flow_kg_s[at], states.density_kg_m3[own], states.drop_pa[own])

        def opening(values: Floats) -> Floats:
            return port.characteristic(values).opening(port.share(values, size, coefficient, choking))

        self.share = port.share(port.values, size, coefficient, choking)
        self.opening = opening(port.values)
        curve = port.characteristic(port.values)
        down = np.maximum(self.opening - _OPENING_STEP, 0.5 * self.opening)
        self.log_slope = (np.log(self.share) - np.log(curve.share(down))) / (self.opening - down)
        deviation = np.sqrt(np.diag(port.covariance))
        known = np.flatnonzero(deviation > 0.0)
        gradient = np.zeros((len(at), len(known)))
        for j, i in enumerate(known):
            # On one side where the other leaves the travel.
            moved = _STEP * deviation[i] * np.eye(len(port.values))[i]
            ends = np.stack([opening(port.values + sign * moved) for sign in (1.0, -1.0)])
            steps = np.stack([ends[0] - self.opening, self.opening - ends[1]]) / (_STEP * deviation[i])
            one_sided = np.where(np.isnan(steps[0]), steps[1], steps[0])
            gradient[:, j] = np.where(np.isnan(steps.sum(axis=0)), one_sided, 0.5 * steps.sum(axis=0))
        # Independent errors of one standard deviation.
        size_of, axes = np.linalg.eigh(port.covariance[np.ix_(known, known)])
        self.shared = gradient @ (axes * np.sqrt(np.maximum(size_of, 0.0)))


def _from_rows(flow: FlowPart) -> _Port | None:
    """What the rows with an opening tell; None where they tell nothing that can be inverted."""
    found = flow.fit
    if found is None or flow.doubt:
        return None
    told = {(e.key, e.of) for e in flow.findings.estimates}
    if found.law is FlowLaw.CHOKED and ("pressure_recovery", "") not in told:
        return None
    model, valve, sizes = found.model, found.valve, found.rows.sizes
    stated = valve.stated or StatedFlow({}, OpeningCharacteristic(valve.stop))

    def characteristic(values: Floats) -> OpeningCharacteristic:
        if flow.points is None:
            return stated.characteristic
        points = model.points(values)
        return OpeningCharacteristic(min(valve.stop, points[-1][0]) if points else valve.stop, points)

    def log_recovery(values: Floats) -> float:
        # Where no row chokes Kv is told under either law, and beyond these rows the family's own law counts.
        return float(np.log(stated.pressure_recovery)) if found.law is None else model.log_recovery(values)

    kv = {size: i for i, size in enumerate(sizes) if ("kv", size) in told}
    return _Port(
        found.law or valve.law,
        kv,
        found.fit.values,
        np.nan_to_num(found.fit.covariance),
        characteristic,
        log_recovery,
        "the rows with an opening",
    )


def _from_family(valve: ValveOnBench, flow: FlowPart) -> _Port | None:
    """What the family's file states; None where the rows speak against it."""
    stated, found = valve.stated, flow.fit
    if stated is None or flow.doubt or (found is not None and found.law not in (None, valve.law)):
        return None
    names = list(stated.kv_m3h)
    values = np.log([*stated.kv_m3h.values(), stated.pressure_recovery])
    deviation = np.array([*(stated.kv_deviation.get(name, 0.0) for name in names), stated.recovery_deviation])
    return _Port(
        valve.law,
        {name: i for i, name in enumerate(names)},
        values,
        np.diag(deviation**2),
        lambda _: stated.characteristic,
        lambda v: float(v[-1]),
        "the family's file",
    )


def _log_error(options: FitOptions, found: FlowFit | None, drop_pa: Floats) -> Floats:
    """Standard error of ln K by flow meter and drop; 0 where nothing is known of them."""
    if found is not None:
        spread, unit = dataclasses.replace(found.spread, opening=0.0), found.fit.scatter
        return np.asarray(unit * spread.of(np.zeros(len(drop_pa)), drop_pa))
    flow, drop = options.flow_uncertainty or 0.0, options.drop_uncertainty_pa or 0.0
    return np.sqrt(flow**2 + (0.5 * drop / drop_pa) ** 2)


def _nowhere(valve: ValveOnBench, flow: FlowPart, size: Names) -> Names:
    found = flow.fit
    why = "no row with an opening tells it, and the family states none"
    if flow.doubt:
        why = f"{flow.doubt}, so that no flow can be turned into an opening"
    elif found is not None and found.law not in (None, valve.law):
        why = f"no row with an opening tells it, and the family's Kv is for the law {valve.law}, not {found.law}"
    return np.array([f"it has no opening, and Kv of size {name} is not known: {why}" for name in size], dtype=object)


def _beyond(share: Floats, valve: ValveOnBench) -> Names:
    return np.array(
        [
            f"the opening inferred from its flow lies beyond the stop of {100 * valve.stop:.0f} percent: the flow takes "
            f"{100 * s:.0f} percent of Kv"
            for s in share
        ],
        dtype=object,
    )


def _at_stop(opening: Floats, valve: ValveOnBench) -> Names:
    return np.array(
        [
            f"the opening inferred from its flow, {100 * o:.0f} percent, is too near the stop of {100 * valve.stop:.0f} "
            "percent to tell whether the valve rests on it"
            for o in opening
        ],
        dtype=object,
    )


def _uncertain(deviation: Floats) -> Names:
    return np.array(
        [
            f"the opening inferred from its flow has a standard uncertainty of {100 * d:.0f} percent of rated stroke, too "
            "wide to be of use"
            for d in deviation
        ],
        dtype=object,
    )


def _notes(ports: list[_Port], place: Names, size: Names, deviation: Floats, is_flow_known: bool) -> tuple[str, ...]:
    """How many openings were inferred and where Kv comes from, a sentence for each source."""
    found = []
    for i, port in enumerate(ports):
        own = place == i
        if not own.any():
            continue
        sizes = list(dict.fromkeys(map(str, size[own])))
        plural, rows = ("s" if len(sizes) > 1 else ""), int(own.sum())
        widest = 100.0 * float(deviation[own].max())
        note = (
            f"opening inferred from flow in {rows} row{'s' if rows > 1 else ''}: Kv of size{plural} {', '.join(sizes)} "
            f"from {port.source}"
        )
        if widest > 0.0:
            note += f"; standard uncertainty up to {widest:.2g} percent of rated stroke"
        if not is_flow_known:
            note += "; the flow meter's uncertainty is not stated and is left to the scatter of the rows"
        if exact := [name for name in sizes if not port.covariance[port.kv[name], port.kv[name]] > 0.0]:
            note += f"; no tolerance is stated for Kv of size {', '.join(exact)}, so bounds hold no error of it"
        found.append(note)
    return tuple(found)
