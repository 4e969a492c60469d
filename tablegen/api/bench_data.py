"""Readings of a test bench: the parameters of a family fitted to them."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeVar

from tablegen.api._inputs import Quantity, Units, as_text, check_units, in_si, loaded, one_of, path_of, refused
from tablegen.bench.readings import FitOptions
from tablegen.config.bench_header import About, read_drop_uncertainty, read_site_pressure, read_uncertainty
from tablegen.errors import BadValue, RequestError, unknown
from tablegen.model.names import family_of
from tablegen.physics.flow import FlowLaw
from tablegen.report.answer import Answer
from tablegen.report.formatter import Formatter
from tablegen.wording import fit as wording
from tablegen.wording.message import argument

if TYPE_CHECKING:
    from tablegen.config.bench_family import BenchFamily
    from tablegen.model.inputs import Catalogue

_LAWS = ("orifice", "choked", "discharge_coefficient", "any")
_CONFIDENCE = (0.5, 0.999)
_Read = TypeVar("_Read")


def fit(
    bench: str | Path | None = None,
    *,
    family: str | None = None,
    law: Literal["orifice", "choked", "discharge_coefficient", "any"] = "any",
    charge: str | None = None,
    openings: Sequence[Quantity] = (),
    confidence: Quantity = "95 percent",
    site_pressure: Quantity | None = None,
    flow_uncertainty: Quantity | None = None,
    opening_uncertainty: Quantity | None = None,
    drop_uncertainty: Quantity | None = None,
    date: str | datetime.date | None = None,
    plan: str | None = None,
    conditions: str | Path | None = None,
    show_changes: bool = False,
    apply: bool = False,
    catalogue: str | Path | None = None,
    units: Units | None = None,
) -> Answer:
    """Find a family's Kv, flow law, characteristic, setting and unbalance from bench data, with bounds.

    Parameters
    ----------
    bench : path, optional
        A CSV file with a row for each steady state; without it that of the demo.
    family : str, optional
        The family tested; without it the name of the file.
    law : "orifice", "choked", "discharge_coefficient" or "any"
        The flow law to fit; "any" lets the rows decide.
    charge : str, optional
        Bulb charge of rows that name none.
    openings : sequence of str or float
        Where the characteristic gets points: "25 percent", or shares of rated stroke [1].
    confidence : str or float
        Of the two-sided bounds: "95 percent", or a share [1].
    site_pressure : str or float, optional
        Atmospheric pressure at the gauges: "14.7 psia", or [Pa]; without it that of the file.
    flow_uncertainty, opening_uncertainty : str or float, optional
        Standard uncertainties of mass flow and opening: "1 percent", or shares of the reading and of rated stroke [1].
    drop_uncertainty : str or float, optional
        Standard uncertainty of the pressure drop: "0.3 psi", or [Pa].
    date : str or date, optional
        Day of the test, "2026-11-20"; without it as the file states.
    plan : str, optional
        A parameter whose bound further rows are to halve: "kv 45", "static_superheat", "unbalance".
    conditions : path, optional
        A CSV file as `bench`, without readings: the conditions among which a plan chooses; without it those that the
        rows span.
    show_changes : bool
        Whether the answer says what `apply` would change in the family's file.
    apply : bool
        Whether the fitted values are written into the family's file; what could not be determined stays as it is there.
    catalogue : path, optional
        A catalogue file or its folder; without it the packaged demo, whose files cannot be changed.
    units : "IP" or "SI", optional
        Units of printed figures; without it the catalogue's.

    Returns
    -------
    Answer
        Its frame has one row for every parameter, in SI; `fragment` is what was found as keys of the family's file.
        `passed` if at least one parameter was fitted.

    Raises
    ------
    RequestError
        If a quantity or name cannot be read or is not allowed, or only one of two uncertainties is known.
    ConfigError
        If the catalogue or the file of readings cannot be used, or the catalogue would not be sound with the fitted
        values; with every problem, by line and column.
    OutputError
        If the family's file was changed while the fit ran, or cannot be written.

    Examples
    --------
    >>> answer = fit(law="orifice")
    >>> parameters = answer.frame()
    >>> row = parameters[(parameters["quantity"] == "kv") & (parameters["of"] == "45")].iloc[0]
    >>> print(f"{1000.0 * row['value']:.1f} L/h, within {1000.0 * row['half_width']:.1f}")
    45.3 L/h, within 0.1
    """
    from tablegen.api._fit_apply import FileToApply
    from tablegen.api._fit_fragment import Fragment
    from tablegen.api._fit_plan import planned_tests
    from tablegen.bench.fit import fit_bench
    from tablegen.config.bench_family import problems_with
    from tablegen.config.bench_file import read_bench
    from tablegen.config.fields import read_day
    from tablegen.config.refrigerant_files import load_registry
    from tablegen.report.answers.fit import FitReport, answer_of_fit

    one_of("law", law, _LAWS)
    check_units(units)
    stated = About(
        date=date if isinstance(date, datetime.date) else _read("date", date, read_day),
        site_pressure_pa=_read("site_pressure", site_pressure, read_site_pressure, "pressure"),
        flow_uncertainty=_read("flow_uncertainty", flow_uncertainty, read_uncertainty, "share"),
        opening_uncertainty=_read("opening_uncertainty", opening_uncertainty, read_uncertainty, "share"),
        drop_uncertainty_pa=_read("drop_uncertainty", drop_uncertainty, read_drop_uncertainty, "pressure difference"),
    )
    asked = FitOptions(
        confidence=_confidence(confidence),
        law=None if law == "any" else FlowLaw(law),
        openings=_openings(openings),
    )
    if conditions is not None and plan is None:
        raise RequestError(wording.CONDITIONS_ALONE())
    if bench is None and catalogue is not None:
        raise RequestError(wording.NO_BENCH())
    path = path_of(catalogue)
    bench = path.parent / "bench" / f"{family or 'alder'}.csv" if bench is None else Path(bench)
    family_file = None
    if show_changes or apply:
        family_file = FileToApply.read(catalogue, path, family or bench.stem)
    own = loaded(catalogue)
    on_bench = _family(own, path, family or bench.stem)
    if charge is not None and charge not in on_bench.valve.charges:
        of_family = wording.A_CHARGE(family=on_bench.family.display_name)
        raise refused("charge", unknown(of_family, charge, on_bench.valve.charges))
    refrigerants = load_registry(path.parent)
    file = read_bench(bench, on_bench.expected(refrigerants, charge), stated.site_pressure_pa)
    on_bench, part = on_bench.of_sizes(file.rows.size, own.settings)
    about = _both(stated, file.about)
    result = fit_bench(file.rows, on_bench.valve, refrigerants, _with_uncertainties(asked, about, on_bench))
    source = _source(file.name, about.date)
    planned = None
    if plan is not None:
        planned = planned_tests(plan, result, file, on_bench, refrigerants, conditions, stated.site_pressure_pa)
    fragment = Fragment(result, on_bench, source, about.date)
    problems = problems_with(on_bench, fragment.keys, refrigerants)
    names = tuple(sorted({str(name) for name in file.rows.refrigerant if name}))
    report = FitReport(
        result=result,
        family=part,
        file=on_bench.document.file,
        source=source,
        date=about.date,
        truth=about.truth or "",
        rows=len(file.rows.line),
        specimens=len(set(file.rows.specimen) - {""}),
        refrigerants=names,
        records=tuple(refrigerants.records[name] for name in names),
        fragment_notes=(
            *fragment.notes,
            *([wording.OF_DESIGN(design=part.port_design)] if part.port_design else []),
            *([wording.WITH_LOSS()] if any(size.connection_kv_m3h for size in part.sizes) else []),
            *(wording.FRAGMENT_PROBLEM(problem=str(problem)) for problem in problems),
        ),
        planned=planned,
    )
    formatter = Formatter(units or own.printing.units)
    answer = answer_of_fit(report, formatter, own.printing)
    if not fragment.keys:
        return answer
    answer = dataclasses.replace(answer, fragment=fragment.text(report, formatter))
    if family_file is None:
        return answer
    new = family_file.with_values(fragment, path)
    if apply:
        new.write()
    facts, tables = (*answer.facts, *new.facts(apply)), (*answer.tables, new.table())
    return dataclasses.replace(answer, facts=facts, tables=tables)


def _read(name: str, value: Quantity | None, reader: Callable[[str], _Read], kind: str = "") -> _Read | None:
    """What an argument gives; its name goes before what is wrong."""
    try:
        return None if value is None else reader(as_text(value, kind))
    except BadValue as error:
        raise refused(name, error) from None


def _confidence(value: Quantity) -> float:
    share = in_si("confidence", value, "share")
    if not _CONFIDENCE[0] <= share <= _CONFIDENCE[1]:
        raise RequestError(wording.CONFIDENCE_RULE(text=repr(value)))
    return share


def _openings(values: Sequence[Quantity]) -> tuple[float, ...] | None:
    """Openings as shares, ascending; None where there are none."""
    found = tuple(in_si("openings", value, "share") for value in values)
    if any(b - a < 0.01 for a, b in zip((0.0, *found), found, strict=False)):
        shown = ", ".join(as_text(value, "share") for value in values)
        raise refused("openings", BadValue(repr(shown), wording.OPENINGS_RULE()))
    return found or None


def _family(catalogue: Catalogue, path: Path, name: str) -> BenchFamily:
    from tablegen.config.bench_family import bench_family

    try:
        family = family_of(catalogue.families, name)
    except RequestError as error:
        raise refused("family", error) from None
    return bench_family(path.parent, family, catalogue.settings)


def _both(stated: About, of_file: About) -> About:
    """What is known of all rows: what an argument states goes before what the file states."""
    own = {field.name: getattr(stated, field.name) for field in dataclasses.fields(stated)}
    return dataclasses.replace(of_file, **{name: value for name, value in own.items() if value is not None})


def _with_uncertainties(asked: FitOptions, about: About, bench: BenchFamily) -> FitOptions:
    """How the fit is to be made, with what the instruments are good for.

    Raises
    ------
    RequestError
        If uncertainties are not given together, or an opening is beyond the stop.
    """
    from tablegen.report.answers.bench_findings import short_percent

    flow, opening, drop = about.flow_uncertainty, about.opening_uncertainty, about.drop_uncertainty_pa
    if (flow is None) != (opening is None) or (flow is None and drop is not None):
        missing = argument("flow_uncertainty" if flow is None else "opening_uncertainty")
        raise RequestError(wording.UNCERTAINTY_PAIR(option=missing))
    stop = bench.valve.stop
    if any(node > stop for node in asked.openings or ()):
        raise RequestError(wording.BEYOND_STOP(stop=short_percent(stop)))
    return dataclasses.replace(asked, flow_uncertainty=flow, opening_uncertainty=opening, drop_uncertainty_pa=drop)


def _source(name: str, date: datetime.date | None) -> str:
    """Where readings come from."""
    shown = " ".join("".join(c if c.isprintable() else " " for c in name).split())
    return wording.UNDATED(name=shown) if date is None else wording.DATED(name=shown, date=date.isoformat())
