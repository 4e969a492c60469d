"""A fit as a piece of the family's config file: values with tolerance and source."""

from __future__ import annotations

import copy
import datetime
import math
import re
from collections.abc import Iterator, Mapping

from tablegen.bench.fit import BenchResult
from tablegen.bench.flow_fit import FlowFit
from tablegen.bench.parameters import Part, Quantity
from tablegen.bench.result import Estimate
from tablegen.bench.specimens import unlabeled
from tablegen.config._discharge_model import DischargeCoefficientModel
from tablegen.config.bench_family import BenchFamily
from tablegen.config.document import Yaml, as_mapping, mappings, value_at
from tablegen.config.family_model import StepperModel, ThermostaticModel
from tablegen.config.yaml_text import as_yaml
from tablegen.physics.arrays import Floats
from tablegen.physics.flow import FlowLaw
from tablegen.report.answers.bench_findings import (
    condition_text,
    confidence_text,
    lack_text,
    parameter_text,
    reason_text,
    short_percent,
    sizes_text,
    suspect_text,
    two_figures,
)
from tablegen.report.answers.fit import FitReport
from tablegen.report.answers.fit_specimens import scatter_text
from tablegen.report.formatter import NBSP, Formatter
from tablegen.report.rounding import MINUS, decimals, round_down, round_up, with_bound
from tablegen.unit_table import Unit
from tablegen.units import split, unit_named
from tablegen.wording import fit as wording
from tablegen.wording.message import listed

_PERCENT = unit_named("share", "percent")
_REASONS = (wording.LAW_REASON_FITTED, wording.LAW_REASON_STATED)
# Keys of the whole family that flow and force balance give, as a note names them.
_OF_FLOW = {key: key for key in ("flow_law", "pressure_recovery", "discharge_coefficient", "opening", "characteristic")}
_OF_BALANCE = {"port": "port.unbalance", "charges": "charges"}
_SCATTER_KEYS = {Quantity.CHARGE_CURVE: "charge_pressure"}
# A reason that a fit has written, also of an earlier version.
_WRITTEN_REASON = re.compile(
    "|".join(
        [
            *(re.sub(r"\\\{.*?\\\}", ".*", re.escape(own.text)) for own in _REASONS),
            r"(?:Bench data|Stated, not decided by bench data) \(.* rows\): .*",
        ]
    )
)
_LINEAR = ((0.0, 0.0), (0.5, 0.5), (1.0, 1.0))


class Fragment:
    """The keys that a fit gives, in the units that the family's file has; `notes` are what could not be given.

    `source` is where the readings come from, such as "alder.csv, test of 2026-11-20"; `date` is the day of the test.
    """

    def __init__(self, result: BenchResult, bench: BenchFamily, source: str, date: datetime.date | None) -> None:
        self.result, self.bench, self.source, self.date = result, bench, source, date
        self.notes: list[str] = []
        self.omitted: list[str] = []
        self.keys: dict[str, Yaml] = {}
        self._law()
        self._sizes()
        self._characteristic()
        if isinstance(bench.model, ThermostaticModel):
            if found := result.estimate(Quantity.UNBALANCE):
                unbalance = self._with_tolerance("unbalance", found, _PERCENT)
                self._put("port", _replaced(bench.stated("port"), "unbalance", unbalance))
            self._charges()
        self._scatter()
        self._note_sizes()

    def text(self, report: FitReport, formatter: Formatter) -> str:
        """The fragment as YAML, below remarks."""
        remarks = (" ".join(line.split()) for line in _remarks(report, formatter))
        return "".join(f"# {line}\n" for line in remarks) + as_yaml(self.keys)

    def _law(self) -> None:
        flow, recovery = self.result.flow, self.result.estimate(Quantity.PRESSURE_RECOVERY)
        if flow is None or flow.law is None:
            return
        if flow.law is FlowLaw.CHOKED and recovery is None:
            if self.bench.family.flow_law is not FlowLaw.CHOKED:
                self.notes.append(wording.LAW_STAYS())
            return
        discharge = self._discharge(flow)
        if flow.law is FlowLaw.DISCHARGE_COEFFICIENT and discharge is None:
            if self.bench.family.flow_law is not FlowLaw.DISCHARGE_COEFFICIENT:
                self.notes.append(wording.LAW_STAYS_WITHOUT_EXPONENTS())
            return
        self.keys["flow_law"] = str(flow.law)
        # A reason that was written by hand stays with its law.
        if self.bench.family.flow_law is not flow.law or _WRITTEN_REASON.fullmatch(self.bench.model.flow_law_reason):
            self.keys["flow_law_reason"] = self._law_reason(flow, flow.law)
        if flow.law is FlowLaw.CHOKED and recovery is not None:
            self.keys |= self._with_tolerance("pressure_recovery", recovery, _PERCENT)
        elif self.bench.model.pressure_recovery is not None:
            self.keys["pressure_recovery"] = None
            if self.bench.model.pressure_recovery_tolerance is not None:
                self.keys["pressure_recovery_tolerance"] = None

        if discharge is not None:
            self.keys["discharge_coefficient"] = discharge
        elif self.bench.model.discharge_coefficient is not None:
            self.keys["discharge_coefficient"] = None

    def _law_reason(self, flow: FlowFit, law: FlowLaw) -> str:
        """What the readings say of a law, for a reader of the booklet."""
        verdict = flow.verdict
        scatter = {
            FlowLaw.ORIFICE: verdict.orifice_scatter,
            FlowLaw.CHOKED: verdict.choked_scatter,
            FlowLaw.DISCHARGE_COEFFICIENT: verdict.discharge_scatter,
        }
        message = wording.LAW_REASON_FITTED if verdict.law is law else wording.LAW_REASON_STATED
        test = wording.UNDATED_TEST() if self.date is None else wording.TEST(date=self.date.isoformat())
        reason = message(rows=flow.count, test=self._source(test, Part.FLOW), misfit=two_figures(scatter[law]))
        return reason.replace(NBSP, " ")

    def _discharge(self, flow: FlowFit) -> dict[str, Yaml] | None:
        """Exponents, reference point and the range of the rows used; None without exponents or another law."""
        a = self.result.estimate(Quantity.SUBCOOLING_EXPONENT)
        b = self.result.estimate(Quantity.DROP_EXPONENT)
        exponents = flow.model.exponents(flow.fit.values)
        if exponents is None or a is None or b is None or flow.law is not FlowLaw.DISCHARGE_COEFFICIENT:
            return None
        rows, used = flow.rows, flow.fit.is_used
        texts = [with_bound(own.value, own.half_width) for own in (a, b)]
        bounds = " and ".join(f"±{bound}" for _, bound in texts)
        (s, y), keys = exponents.reference, ("subcooling", "drop")
        measured = zip(keys, (rows.log_subcooling[used], rows.log_drop[used]), (s, y), strict=True)
        return {
            "subcooling_exponent": float(texts[0][0].replace(MINUS, "-")),
            "drop_exponent": float(texts[1][0].replace(MINUS, "-")),
            "reference": {"subcooling": _share(math.exp(s)), "drop": _share(math.exp(y))},
            "valid": {key: _range(own, at) for key, own, at in measured},
            "source": wording.EXPONENTS_SOURCE(
                source=self._source("", Part.FLOW),
                rows=a.rows,
                bounds=bounds,
                confidence=f"{100 * self.result.confidence:.6g}",
            ),
        }

    def _sizes(self) -> None:
        """All sizes, those not measured as they were, as long as their law is."""
        family = self.bench.family
        measured = {s.name: found for s in family.sizes if (found := self.result.estimate(Quantity.KV, s.display_name))}
        if not measured:
            return
        law = FlowLaw(str(self.keys.get("flow_law", family.flow_law)))
        old = {str(entry["size"]): entry for entry in self.bench.sizes}
        entries: list[Yaml] = []
        for size in family.sizes:
            own = old[size.name]
            stated = "kv" if "kv" in own else "capacity"
            if size.name in measured:
                kv = self._with_tolerance("kv", measured[size.name], self._kv_unit())
                entries.append(_replaced(own, stated, kv))
            elif stated == "capacity":
                kv_m3h = self._from_capacity(size.nominal_capacity_w, law)
                entries.append(_replaced(own, stated, {"kv": _quantity(kv_m3h, 5, self._kv_unit())}))
            elif law is family.flow_law:
                entries.append(copy.deepcopy(own))
            else:
                self.omitted.append(size.display_name)
        if count := len(self.omitted):
            family_law, sizes = str(family.flow_law), ", ".join(self.omitted)
            self.notes.append(wording.SIZES_OMITTED(count, sizes=sizes, family_law=family_law, law=str(law)))
        self.keys["sizes"] = entries

    def _from_capacity(self, capacity_w: float, law: FlowLaw) -> float:
        """Kv [m3/h] of a size given by its capacity, under the law that is now valid."""
        import numpy as np

        found = self.result.estimate(Quantity.PRESSURE_RECOVERY)
        recovery = found.value if found and law is FlowLaw.CHOKED else self.bench.family.pressure_recovery
        rating = self.bench.family.rating
        assert rating is not None
        discharge = self.bench.family.discharge
        if (own := self.keys.get("discharge_coefficient")) is not None and law is FlowLaw.DISCHARGE_COEFFICIENT:
            discharge = DischargeCoefficientModel.model_validate(own).discharge()
        return float(rating.flow_coefficient(np.asarray(capacity_w), law, recovery, discharge))

    def _characteristic(self) -> None:
        """The characteristic, where it can be determined."""
        points = self.result.flow.points if self.result.flow else None
        if points is None or not self.bench.valve.has_characteristic:
            return
        written = _points(points)
        if isinstance(self.bench.model, StepperModel):
            self._put("characteristic", written or _points(_LINEAR))
            return
        own = self.bench.stated("opening")
        form: dict[str, Yaml] = (
            {"characteristic": "points", "points": written} if points else {"characteristic": "linear"}
        )
        self._put("opening", {key: value for key, value in own.items() if key not in ("points", *form)} | form)

    def _put(self, key: str, value: Yaml) -> None:
        """A key that port designs may have, in that of the sizes tested."""
        design = self.bench.design
        if not design:
            self.keys[key] = value
        elif key in design or value != self.bench.document.data.get(key):
            before = mappings(self.keys.get("port_designs")) or [design]
            self.keys["port_designs"] = [{**before[0], key: value}]

    def _charges(self) -> None:
        """Each charge of which the rows determine something, with all its keys."""
        entries: list[Yaml] = []
        for own in self.bench.charges:
            name = str(own["charge"])
            superheats = (Quantity.STATIC_SUPERHEAT, Quantity.OPENING_SUPERHEAT)
            measured = [e for quantity in superheats if (e := self.result.estimate(quantity, name))]
            entry = copy.deepcopy(own)
            has_curve = self._add_curve(name, entry)
            setting = as_mapping(entry["setting"])
            for found in measured:
                key, dimension = str(found.parameter.quantity), found.parameter.quantity.dimension
                values = self._with_tolerance(key, found, _unit(setting[key], dimension))
                setting = _replaced(setting, key, values)
            if measured and (balance := self.result.balance) is not None:
                stated = self.bench.valve.charges[name].setting.pressure_drop_pa
                if balance.reference_drop_pa[name] != stated:
                    unit = _unit(setting["pressure_drop"], "pressure difference")
                    setting["pressure_drop"] = _quantity(balance.reference_drop_pa[name], 4, unit)
            entry["setting"] = setting
            if measured or has_curve:
                entries.append(entry)
        if entries:
            self.keys["charges"] = entries

    def _scatter(self) -> None:
        """How specimens differ, beside what the file states of other quantities."""
        own = self.bench.document.mapping("scatter")
        found: dict[str, Yaml] = {}
        specimens = 0
        for scatter in self.result.scatter:
            key = _SCATTER_KEYS.get(scatter.quantity, str(scatter.quantity))
            unit = _PERCENT
            if scatter.quantity.dimension == "temperature difference":
                written = own.get(key) or value_at(self.bench.charges[0], ("setting", key))
                unit = _unit(written, scatter.quantity.dimension)
            if scatter.deviation > 0.0:
                found[key] = _quantity(scatter.deviation, 2, unit)
                specimens = max(specimens, scatter.specimens)
            else:
                high = _quantity(scatter.high, 2, unit)
                self.notes.append(wording.NO_SCATTER(quantity=scatter_text(scatter.quantity), high=high))
        if not found:
            return
        source = wording.SCATTER_SOURCE(specimens, source=self.source)
        if any(key not in found for key in own if key != "source"):
            before = str(own["source"])
            # As it is where the same readings gave it.
            source = before if before.startswith(source) else wording.OTHER_SCATTER(source=source, other=before)
        self.keys["scatter"] = own | found | {"source": source}

    def _note_sizes(self) -> None:
        """What is written for the whole family, though rows of some of its sizes alone say it."""
        flow, balance = self.result.flow, self.result.balance
        tested = (
            (_OF_FLOW, () if flow is None else flow.rows.sizes),
            (_OF_BALANCE, () if balance is None else map(str, balance.rows.size)),
        )
        for keys, names in tested:
            written = [shown for key, shown in keys.items() if self.keys.get(key) is not None]
            found = {unlabeled(name) for name in names}
            sizes = [size.display_name for size in self.bench.family.sizes if size.display_name in found]
            if written and sizes and len(sizes) < len(self.bench.family.sizes):
                note = wording.OF_SIZES_ALONE(len(sizes), sizes=listed(sizes), keys=listed(written))
                self.notes.append(note)

    def _add_curve(self, name: str, entry: dict[str, Yaml]) -> bool:
        """Put a measured curve into a charge; whether there is one."""
        balance = self.result.balance
        if balance is None or name not in balance.curves:
            return False
        if not self.bench.valve.charges[name].takes_points:
            self.notes.append(wording.LIQUID_CHARGE(charge=name))
            return False
        temperature, pressure = unit_named("temperature", "degC"), unit_named("pressure", "kPa_absolute")
        if entry.get("points"):
            temperature = _unit(value_at(entry, ("points", 0, 0)), "temperature")
            pressure = _unit(value_at(entry, ("points", 0, 1)), "pressure")
        for key in ("antoine", "fluid", "curve_of"):
            entry.pop(key, None)
        curve = balance.curves[name]
        entry["points"] = [
            [_quantity(p.temperature_k, 6, temperature), _quantity(p.pressure_pa, 6, pressure)] for p in curve.points
        ]
        bound = f"{round_up(100.0 * curve.widest, 2)} percent"
        entry["pressure_tolerance"] = self._tolerance(bound, curve.rows, Part.CHARGE)
        return True

    def _with_tolerance(self, key: str, found: Estimate, unit: Unit) -> dict[str, Yaml]:
        """A key, and beside it its tolerance."""
        factor = unit.of(1.0)
        texts = with_bound(factor * found.value, factor * found.half_width)
        value, bound = (text.replace(MINUS, "-") for text in texts)
        tolerance = self._tolerance(f"{bound} {unit.name}", found.rows, found.parameter.quantity.part)
        return {key: f"{value} {unit.name}", f"{key}_tolerance": tolerance}

    def _tolerance(self, bound: str, rows: int, part: Part) -> dict[str, Yaml]:
        confidence = f"{100 * self.result.confidence:.6g} percent"
        source = self._source(wording.SOURCE_ROWS(source=self.source, rows=rows), part)
        return {"plus_minus": bound, "confidence": confidence, "source": source}

    def _source(self, text: str, part: Part) -> str:
        """A source, with the conditions under which rows are off the law."""
        lacks = [condition_text(lack.condition) for lack in self.result.findings.lack_of_fit if lack.part is part]
        text = text or self.source
        return wording.WITH_LACK(source=text, conditions=", ".join(lacks)) if lacks else text

    def _kv_unit(self) -> Unit:
        """The unit of the file's own Kv; liters where it gives capacities."""
        first = self.bench.sizes[0]
        return _unit(first["kv"], "flow coefficient") if "kv" in first else unit_named("flow coefficient", "L/h")


def _remarks(report: FitReport, formatter: Formatter) -> Iterator[str]:
    """What is above a fragment: where its values come from, how it is used, and what it leaves as it is."""
    findings = report.result.findings
    yield wording.FRAGMENT_OF(
        family=report.family.display_name,
        source=report.source,
        rows=report.rows,
        confidence=confidence_text(report.result.confidence),
    )
    yield wording.FRAGMENT_USE(file=report.file)
    sizes = [e.parameter.of for e in findings.estimates if e.parameter.quantity is Quantity.KV]
    if sizes:
        yield wording.FRAGMENT_SIZES(sizes=sizes_text(sizes))
    for lack in findings.lack_of_fit:
        yield wording.FRAGMENT_LACK(lack=lack_text(lack, formatter), suspect=suspect_text(lack))
    for missing in findings.not_determined:
        reason = reason_text(missing.reason, formatter)
        yield wording.FRAGMENT_MISSING(parameter=parameter_text(missing.parameter), reason=reason)
    for estimate in findings.estimates:
        if estimate.parameter.quantity is Quantity.OPENING:
            yield wording.FRAGMENT_SHARE(
                parameter=parameter_text(estimate.parameter),
                value=short_percent(estimate.value),
                bound=two_figures(estimate.half_width),
                rows=estimate.rows,
            )
    yield from (wording.FRAGMENT_NOTE(note=note) for note in report.fragment_notes)


def _share(share: float) -> str:
    return _quantity(share, 6, _PERCENT)


def _range(logs: Floats, reference: float) -> list[Yaml]:
    """The range of readings to three figures, rounded inwards; the reference point belongs to it."""
    at = 100.0 * math.exp(reference)
    low, high = (100.0 * math.exp(float(end)) for end in (logs.min(), logs.max()))
    ends = min(float(round_up(low, 3)), at), max(float(round_down(high, 3)), at)
    return [f"{end:.6g} percent" for end in ends]


def _points(points: tuple[tuple[float, float], ...]) -> list[Yaml]:
    return [[_quantity(a, 4, _PERCENT), _quantity(b, 4, _PERCENT)] for a, b in points]


def _replaced(mapping: Mapping[str, Yaml], key: str, values: Mapping[str, Yaml]) -> dict[str, Yaml]:
    """A mapping with values in the position of a key."""
    made: dict[str, Yaml] = {}
    for name, own in mapping.items():
        if name == key:
            made |= values
        elif name not in values:
            made[name] = own
    return made


def _unit(text: Yaml, dimension: str) -> Unit:
    """The unit of a quantity as a config writes it."""
    return split(str(text), dimension)[1]


def _quantity(value_si: float, figures: int, unit: Unit) -> str:
    """A quantity as a config writes it, without an exponent."""
    value = unit.of(value_si)
    text = f"{value:.{figures}g}"
    return f"{decimals(value, 0).replace(MINUS, '-') if 'e' in text else text} {unit.name}"
