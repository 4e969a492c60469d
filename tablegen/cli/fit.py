"""`tablegen fit`: from readings of a test bench to the parameters of a family."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from tablegen.cli.deliver import add_answer_options, check_file, check_files, deliver, write_text
from tablegen.cli.options import Commands, ExitCode, add_catalogue_options, catalogue_path
from tablegen.errors import BadValue, RequestError
from tablegen.wording import command_line
from tablegen.wording import fit as wording

if TYPE_CHECKING:
    import datetime

    from tablegen.bench.readings import FitOptions

_CONFIDENCE = (0.5, 0.999)
_FRAGMENT = (".yaml", ".yml")
_Read = TypeVar("_Read")


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser("fit", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG())
    parser.add_argument("bench", nargs="?", type=Path, metavar="BENCH.csv", help=wording.BENCH_HELP())
    parser.add_argument("--family", metavar="NAME", help=wording.FAMILY_HELP())
    parser.add_argument("--law", choices=("orifice", "choked", "both"), default="both", help=wording.LAW_HELP())
    parser.add_argument("--charge", metavar="NAME", help=wording.CHARGE_HELP())
    parser.add_argument("--openings", metavar="LIST", help=wording.OPENINGS_HELP())
    parser.add_argument("--confidence", default="95 percent", metavar="SHARE", help=wording.CONFIDENCE_HELP())
    parser.add_argument(
        "--site-pressure", metavar="P", help=command_line.SITE_PRESSURE(default=command_line.OF_THE_FILE())
    )
    parser.add_argument("--flow-uncertainty", metavar="SHARE", help=wording.FLOW_UNCERTAINTY_HELP())
    parser.add_argument("--opening-uncertainty", metavar="SHARE", help=wording.OPENING_UNCERTAINTY_HELP())
    parser.add_argument("--drop-uncertainty", metavar="DP", help=wording.DROP_UNCERTAINTY_HELP())
    parser.add_argument("--date", metavar="DAY", help=wording.DATE_HELP())
    parser.add_argument("--fragment", metavar="FILE", help=wording.FRAGMENT_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), command_line.CATALOGUE_UNITS())
    add_catalogue_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Fit, and print or write what can be determined."""
    from tablegen.bench.fit import fit_bench
    from tablegen.cli.fit_fragment import Fragment
    from tablegen.config.bench_family import problems_with
    from tablegen.report.answers.fit import FitReport, answer_of_fit
    from tablegen.report.formatter import Formatter

    read = _Inputs(options)
    bench, file, printing = read.bench, read.file, read.catalogue.printing
    result = fit_bench(file.rows, bench.valve, read.refrigerants, read.fit_options())
    source = _source(file.name, read.date)
    fragment = Fragment(result, bench, source)
    problems = problems_with(bench, fragment.keys, read.refrigerants)
    notes = (*fragment.notes, *(wording.FRAGMENT_PROBLEM(problem=str(problem)) for problem in problems))
    refrigerants = tuple(sorted({str(name) for name in file.rows.refrigerant if name}))
    report = FitReport(
        result=result,
        family=bench.family,
        file=bench.document.file,
        source=source,
        date=read.date,
        truth=file.about.truth or "",
        rows=len(file.rows.line),
        refrigerants=refrigerants,
        safety_groups=tuple(read.refrigerants.records[name].safety_group for name in refrigerants),
        fragment_notes=notes,
    )
    units = options.units or printing.units
    formatter = Formatter(units)
    line = ""
    if options.fragment is not None:
        line = wording.FRAGMENT_NOT_WRITTEN(file=options.fragment)
        if fragment.keys:
            write_text("--fragment", Path(options.fragment), fragment.text(report, formatter))
            line = wording.FRAGMENT_WRITTEN(file=options.fragment)
    deliver(answer_of_fit(report, formatter, printing), options, units)
    if line and not options.json:
        print(line)
    return ExitCode.DONE if result.findings.estimates else ExitCode.NO


def _source(name: str, date: datetime.date | None) -> str:
    """Where readings come from."""
    shown = " ".join("".join(c if c.isprintable() else " " for c in name).split())
    return wording.UNDATED(name=shown) if date is None else wording.DATED(name=shown, date=date.isoformat())


class _Inputs:
    """What the options name, read and checked before anything is fitted."""

    def __init__(self, options: argparse.Namespace) -> None:
        from tablegen.config.bench_family import bench_family
        from tablegen.config.bench_file import read_bench
        from tablegen.config.loader import load_catalogue
        from tablegen.config.refrigerant_files import load_registry
        from tablegen.errors import unknown
        from tablegen.model.names import family_of

        self.options = options
        check_files(options)
        if options.fragment is not None:
            check_file("--fragment", options.fragment, _FRAGMENT)
        self._read_options()
        if options.bench is None and not options.demo:
            raise RequestError(wording.NO_BENCH())
        path = catalogue_path(options)
        bench_path = options.bench or path.parent / "bench" / f"{options.family or 'alder'}.csv"
        self.catalogue = load_catalogue(path)
        try:
            family = family_of(self.catalogue.families, options.family or bench_path.stem)
        except RequestError as error:
            raise RequestError(wording.OPTION_ERROR(option="--family", error=str(error))) from None
        self.bench = bench_family(path.parent, family, self.catalogue.settings)
        if options.charge is not None and options.charge not in self.bench.valve.charges:
            rule = unknown(wording.A_CHARGE(family=family.display_name), options.charge, self.bench.valve.charges)
            raise RequestError(wording.OPTION_ERROR(option="--charge", error=rule))
        self.refrigerants = load_registry(path.parent)
        expected = self.bench.expected(self.refrigerants, options.charge)
        self.file = read_bench(bench_path, expected, self.site_pressure_pa)
        self.date = self.file.about.date if self.given_date is None else self.given_date

    def _read_options(self) -> None:
        from tablegen.config.bench_header import read_drop_uncertainty, read_site_pressure, read_uncertainty
        from tablegen.config.fields import read_day

        options = self.options
        self.confidence = _read("--confidence", options.confidence, _share) or 0.0
        if not _CONFIDENCE[0] <= self.confidence <= _CONFIDENCE[1]:
            raise RequestError(wording.CONFIDENCE_RULE(text=repr(options.confidence)))
        self.site_pressure_pa = _read("--site-pressure", options.site_pressure, read_site_pressure)
        self.uncertainties = (
            _read("--flow-uncertainty", options.flow_uncertainty, read_uncertainty),
            _read("--opening-uncertainty", options.opening_uncertainty, read_uncertainty),
            _read("--drop-uncertainty", options.drop_uncertainty, read_drop_uncertainty),
        )
        self.given_date = _read("--date", options.date, read_day)
        self.openings = _read("--openings", options.openings, _openings)

    def fit_options(self) -> FitOptions:
        """How the fit is to be made; what an option states goes before what the file states.

        Raises
        ------
        RequestError
            If uncertainties are not given together, or an opening is beyond the stop.
        """
        from tablegen.bench.readings import FitOptions
        from tablegen.physics.flow import FlowLaw
        from tablegen.report.answers.bench_findings import short_percent

        about = self.file.about
        stated = (about.flow_uncertainty, about.opening_uncertainty, about.drop_uncertainty_pa)
        flow, opening, drop = (
            own if given is None else given for given, own in zip(self.uncertainties, stated, strict=True)
        )
        if (flow is None) != (opening is None) or (flow is None and drop is not None):
            missing = "--flow-uncertainty" if flow is None else "--opening-uncertainty"
            raise RequestError(wording.UNCERTAINTY_PAIR(option=missing))
        stop = self.bench.valve.stop
        if any(node > stop for node in self.openings or ()):
            raise RequestError(wording.BEYOND_STOP(stop=short_percent(stop)))
        return FitOptions(
            confidence=self.confidence,
            law=None if self.options.law == "both" else FlowLaw(self.options.law),
            openings=self.openings,
            flow_uncertainty=flow,
            opening_uncertainty=opening,
            drop_uncertainty_pa=drop,
        )


def _read(option: str, text: str | None, reader: Callable[[str], _Read]) -> _Read | None:
    """What an option gives; its name goes before what is wrong."""
    try:
        return None if text is None else reader(text)
    except BadValue as error:
        raise RequestError(wording.OPTION_ERROR(option=option, error=str(error))) from None


def _share(text: str) -> float:
    from tablegen.units import to_si

    return to_si(text, "share")


def _openings(text: str) -> tuple[float, ...]:
    """Openings as shares, ascending."""
    found = tuple(_share(part.strip()) for part in text.split(","))
    if any(b - a < 0.01 for a, b in zip((0.0, *found), found, strict=False)):
        raise BadValue(repr(text), wording.OPENINGS_RULE())
    return found
