"""A fit as a piece of the family's config file: values with tolerance and source."""

from __future__ import annotations

import copy
from typing import Any

from tablegen.bench.result import BenchResult, Estimate
from tablegen.config.bench_family import BenchFamily
from tablegen.config.document import value_at
from tablegen.config.family_model import StepperModel, ThermostaticModel
from tablegen.config.yaml_text import as_yaml
from tablegen.physics.flow import FlowLaw
from tablegen.report.rounding import MINUS, decimals, round_up, with_bound
from tablegen.units import Unit, split, unit_named

_PERCENT = unit_named("share", "percent")
_LINEAR = ((0.0, 0.0), (0.5, 0.5), (1.0, 1.0))


class Fragment:
    """The keys that a fit gives, in the units that the family's file has; `notes` say what could not be given.

    `source` is where the readings come from, such as "alder.csv, test of 2026-11-20".
    """

    def __init__(self, result: BenchResult, bench: BenchFamily, source: str) -> None:
        self.result, self.bench, self.source = result, bench, source
        self.notes: list[str] = []
        self.keys: dict[str, Any] = {}
        self._law()
        self._sizes()
        self._opening()
        if isinstance(bench.model, ThermostaticModel):
            self._port()
            self._charges()

    def text(self, remarks: list[str]) -> str:
        """The fragment as YAML, below remarks."""
        return "".join(f"# {line}\n" for line in remarks) + as_yaml(self.keys)

    def _law(self) -> None:
        flow, found = self.result.flow, self.result.estimate("pressure_recovery")
        if flow is None or flow.law is None:
            return
        if flow.law is FlowLaw.CHOKED and found is None:
            if self.bench.family.flow_law is not FlowLaw.CHOKED:
                self.notes.append("flow_law stays as it is: the choked law needs F_L, which is not told")
            return
        verdict = flow.verdict
        self.keys["flow_law"] = str(flow.law)
        scatters = f"{100 * verdict.orifice_scatter:.2g} percent about orifice, {100 * verdict.choked_scatter:.2g} "
        decided = "Bench data" if verdict.law is flow.law else "Stated, not decided by bench data"
        misfit = f"total misfit of mass flow {scatters}percent about choked"
        reason = f"{decided} ({self.source}, {flow.rows} rows): {misfit}"
        self.keys["flow_law_reason"] = f"{reason}{self._lack('flow')}."
        if flow.law is FlowLaw.CHOKED and found is not None:
            self.keys |= self._with_tolerance("pressure_recovery", found, _PERCENT)
        elif self.bench.model.pressure_recovery is not None:
            self.keys["pressure_recovery"] = None
            if self.bench.model.pressure_recovery_tolerance is not None:
                self.keys["pressure_recovery_tolerance"] = None

    def _sizes(self) -> None:
        """All sizes, those not measured as they were, as long as their law is."""
        told = {s.name: found for s in self.bench.family.sizes if (found := self.result.estimate("kv", s.display_name))}
        if not told:
            return
        law = FlowLaw(self.keys.get("flow_law", self.bench.family.flow_law))
        old = {str(entry["size"]): entry for entry in self.bench.sizes}
        is_other_law = law is not self.bench.family.flow_law
        entries, gone = [], []
        for size in self.bench.family.sizes:
            entry: dict[str, Any] = {key: old[size.name][key] for key in ("size", "display") if key in old[size.name]}
            if size.name in told:
                entries.append(entry | self._with_tolerance("kv", told[size.name], self._kv_unit()))
            elif is_other_law and "kv" in old[size.name]:
                gone.append(size.display_name)
            elif "kv" in old[size.name]:
                entries.append(copy.deepcopy(old[size.name]))
            else:
                entries.append(entry | {"kv": self._kv(self._from_capacity(size.nominal_capacity_w, law))})
        if gone:
            are = "s " + ", ".join(gone) + " are" if len(gone) > 1 else f" {gone[0]} is"
            self.notes.append(
                f"size{are} left out of the fragment: their Kv was rated under the law {self.bench.family.flow_law}, "
                f"and the fragment names {law}"
            )
        self.keys["sizes"] = entries

    def _from_capacity(self, capacity_w: float, law: FlowLaw) -> float:
        """Kv [m3/h] of a size given by its capacity, under the law that now holds."""
        import numpy as np

        found = self.result.estimate("pressure_recovery")
        recovery = found.value if found and law is FlowLaw.CHOKED else self.bench.family.pressure_recovery
        rating = self.bench.family.rating
        assert rating is not None
        return float(rating.flow_coefficient(np.asarray(capacity_w), law, recovery))

    def _opening(self) -> None:
        """The characteristic, where it is told."""
        points = self.result.flow.points if self.result.flow else None
        if points is None or not self.bench.valve.has_characteristic:
            return
        written = [[_plain(phi, 4, _PERCENT), _plain(share, 4, _PERCENT)] for phi, share in points]
        if isinstance(self.bench.model, StepperModel):
            linear = [[_plain(a, 4, _PERCENT), _plain(b, 4, _PERCENT)] for a, b in _LINEAR]
            self.keys["characteristic"] = written or linear
            return
        kept = self.bench.document.mapping("opening")
        opening = {key: kept[key] for key in ("stop", "minimum_stable")}
        if points:
            self.keys["opening"] = {**opening, "characteristic": "points", "points": written}
        else:
            self.keys["opening"] = {**opening, "characteristic": "linear"}

    def _port(self) -> None:
        if found := self.result.estimate("unbalance"):
            self.keys["port"] = self._with_tolerance("unbalance", found, _PERCENT)

    def _charges(self) -> None:
        """Each charge that the rows tell something of, with all its keys."""
        entries = []
        for kept in self.bench.charges:
            name = str(kept["charge"])
            told = [e for key in ("static_superheat", "opening_superheat") if (e := self.result.estimate(key, name))]
            entry: dict[str, Any] = copy.deepcopy(kept)
            has_curve = self._curve(name, entry)
            for found in told:
                setting = entry["setting"]
                values = self._with_tolerance(found.key, found, _unit(setting[found.key], found.kind))
                entry["setting"] = _in_place(setting, found.key, values)
            if told and (balance := self.result.balance) is not None:
                stated = self.bench.valve.charges[name].setting.pressure_drop_pa
                if balance.reference_drop_pa[name] != stated:
                    unit = _unit(value_at(kept, ("setting", "pressure_drop")), "pressure difference")
                    entry["setting"]["pressure_drop"] = _plain(balance.reference_drop_pa[name], 4, unit)
            if told or has_curve:
                entries.append(entry)
        if entries:
            self.keys["charges"] = entries

    def _curve(self, name: str, entry: dict[str, Any]) -> bool:
        """Put a measured curve into a charge; whether there is one."""
        balance = self.result.balance
        if balance is None or name not in balance.curves:
            return False
        if not self.bench.valve.charges[name].takes_points:
            self.notes.append(f"the measured curve of charge {name} is not given: a liquid charge is its fluid's curve")
            return False
        old = entry.get("points")
        temperature = _unit(old[0][0], "temperature") if old else unit_named("temperature", "degC")
        pressure = _unit(old[0][1], "pressure") if old else unit_named("pressure", "kPa_absolute")
        entry.pop("antoine", None)
        entry.pop("fluid", None)
        entry["points"] = [
            [_plain(p.temperature_k, 6, temperature), _plain(p.pressure_pa, 6, pressure)]
            for p in balance.curves[name].points
        ]
        bound = round_up(100.0 * balance.curves[name].widest, 2)
        entry["pressure_tolerance"] = self._tolerance(f"{bound} percent", balance.curves[name].rows, "charge")
        return True

    def _with_tolerance(self, key: str, found: Estimate, unit: Unit) -> dict[str, Any]:
        """A key, and beside it its tolerance."""
        factor = unit.of(1.0)
        texts = with_bound(factor * found.value, factor * found.half_width)
        value, bound = (text.replace(MINUS, "-") for text in texts)
        return {
            key: f"{value} {unit.name}",
            f"{key}_tolerance": self._tolerance(f"{bound} {unit.name}", found.rows, found.part),
        }

    def _tolerance(self, bound: str, rows: int, part: str) -> dict[str, str]:
        confidence = f"{100 * self.result.confidence:.6g} percent"
        source = f"{self.source}, {rows} rows{self._lack(part)}"
        return {"plus_minus": bound, "confidence": confidence, "source": source}

    def _lack(self, part: str) -> str:
        """What a source adds where rows lie off the law."""
        labels = [lack.label for lack in self.result.findings.lack_of_fit if lack.part == part]
        return f"; lack of fit under {', '.join(labels)}" if labels else ""

    def _kv_unit(self) -> Unit:
        """The unit of the file's own Kv; liters where it gives capacities."""
        first = self.bench.sizes[0]
        return _unit(first["kv"], "flow coefficient") if "kv" in first else unit_named("flow coefficient", "L/h")

    def _kv(self, kv_m3h: float) -> str:
        return _plain(kv_m3h, 5, self._kv_unit())


def _in_place(mapping: dict[str, Any], key: str, values: dict[str, Any]) -> dict[str, Any]:
    """A mapping with values where a key stands."""
    made: dict[str, Any] = {}
    for name, kept in mapping.items():
        if name == key:
            made |= values
        elif name not in values:
            made[name] = kept
    return made


def _unit(text: Any, kind: str) -> Unit:
    """The unit of a quantity as a config writes it."""
    return split(text, kind)[1]


def _plain(value_si: float, figures: int, unit: Unit) -> str:
    value = unit.of(value_si)
    text = f"{value:.{figures}g}"
    # No exponent in a config that people read.
    return f"{decimals(value, 0).replace(MINUS, '-') if 'e' in text else text} {unit.name}"
