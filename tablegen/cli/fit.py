"""`tablegen fit`: from readings of a test bench to the parameters of a family."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tablegen.errors import BadValue, OutputError, RequestError

NOTHING_TOLD = 1
_CONFIDENCE = (0.5, 0.999)


def add_parser(commands: Any, catalogue_argument: Callable[[argparse.ArgumentParser, bool], None]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "fit",
        help="find a family's Kv, flow law, setting and unbalance from bench data",
        description="Fit the parameters of a family to readings of a test bench, with bounds; what the rows cannot "
        "determine is refused, with the test that is missing. Rows that lie off the law on one side under one "
        "condition are reported as lack of fit, with what to suspect, and stay in the fit; isolated outliers are set "
        "aside by line. A row without an opening (an empty cell, or no such column) counts in the balance if it has a "
        "mass flow, a bulb temperature and an evaporator pressure: its opening is inferred from the flow.",
        epilog="Exit codes: 0 something is told, 1 nothing is, 2 bad input.  Example: tablegen fit bench/alder.csv "
        "--family alder --output fragment.yaml --page residuals.pdf",
    )
    parser.add_argument(
        "bench",
        nargs="?",
        type=Path,
        metavar="BENCH.csv",
        help="a row for each steady state; with --demo the demo's own if left away",
    )
    parser.add_argument("--family", metavar="NAME", help="the family tested (default: as the file is called)")
    parser.add_argument(
        "--law",
        choices=("orifice", "choked", "both"),
        default="both",
        help="flow law to fit; 'both' lets the rows decide (default)",
    )
    parser.add_argument("--charge", metavar="NAME", help="bulb charge of rows that name none")
    parser.add_argument(
        "--openings", metavar="LIST", help="where the characteristic gets points, as '25 percent, 50 percent'"
    )
    parser.add_argument(
        "--confidence", default="95 percent", metavar="SHARE", help="of the two-sided bounds (default: 95 percent)"
    )
    parser.add_argument("--site-pressure", metavar="P", help="atmosphere that gauges read from, as '14.7 psi_absolute'")
    parser.add_argument(
        "--flow-uncertainty", metavar="SHARE", help="standard uncertainty of the flow meter, of its reading"
    )
    parser.add_argument(
        "--opening-uncertainty", metavar="SHARE", help="standard uncertainty of opening, of rated stroke"
    )
    parser.add_argument(
        "--drop-uncertainty", metavar="DP", help="standard uncertainty of the pressure drop, as '0.3 psi'"
    )
    parser.add_argument("--date", metavar="DAY", help="day of the test, as 2026-11-20 (default: as the file says)")
    parser.add_argument(
        "--output", type=Path, metavar="FILE.yaml", help="write the parameters as keys of the family's file"
    )
    parser.add_argument("--page", type=Path, metavar="FILE.pdf", help="print the fit and its residuals")
    parser.add_argument("--paper", choices=("letter", "a4"), default="letter", help="paper of the pages")
    parser.add_argument("--units", choices=("IP", "SI"), help="units of the answer (default: the catalogue's)")
    parser.add_argument("--json", action="store_true", help="the whole answer as JSON, in SI")
    catalogue_argument(parser, True)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Fit, and print or write what is told."""
    from tablegen.bench.fit import fit_bench
    from tablegen.cli.fit_fragment import Fragment
    from tablegen.cli.fit_text import as_record, remarks, source_of, text
    from tablegen.config.bench_family import problems_with

    read = _Read(options)
    result = fit_bench(read.file.rows, read.bench.valve, read.refrigerants, read.fit_options())
    source = source_of(read.file.name, read.date)
    fragment = Fragment(result, read.bench, source)
    wrong = problems_with(read.bench, fragment.keys, read.refrigerants)
    notes = [*fragment.notes, *(f"with these values {problem}" for problem in wrong)]
    record = as_record(result, read.bench, read.file, read.date, source, notes)
    units = options.units or read.catalogue.printing.units
    written = [options.page] if options.page is not None else []
    if options.output is not None and fragment.keys:
        _write(options.output, fragment.text(remarks(record, units)))
        written.insert(0, options.output)
    if options.page is not None:
        _print(options, read, record, units)
    if options.json:
        print(json.dumps(record, indent=1, allow_nan=False))
    else:
        print(text(record, units, read.catalogue.printing.notice))
        for path in written:
            print(f"{path}: written")
        if options.output is not None and not fragment.keys:
            print(f"{options.output}: not written, for no parameter is told")
    return 0 if result.findings.estimates else NOTHING_TOLD


class _Read:
    """What the options name, read and checked before anything is fitted."""

    def __init__(self, options: argparse.Namespace) -> None:
        from tablegen.config.bench_family import bench_family
        from tablegen.config.bench_file import read_bench
        from tablegen.config.loader import load_catalogue
        from tablegen.config.refrigerant_files import load_registry
        from tablegen.errors import unknown
        from tablegen.model.names import family_of

        self.options = options
        for option, path, suffix in (("--output", options.output, ".yaml"), ("--page", options.page, ".pdf")):
            if path is not None:
                _check_target(option, path, suffix)
        self._read_options()
        if options.bench is None and not options.demo:
            raise RequestError("BENCH.csv is missing; name a file, or try 'tablegen fit --demo'")
        path = options.catalogue_path(options)
        bench_path = self._bench_path(path.parent)
        self.catalogue = load_catalogue(path)
        try:
            family = family_of(self.catalogue.families, options.family or bench_path.stem)
        except RequestError as error:
            raise RequestError(f"--family: {error}") from None
        self.bench = bench_family(path.parent, family, self.catalogue.settings)
        if options.charge is not None and options.charge not in self.bench.valve.charges:
            what = f"a charge of {family.display_name}"
            raise RequestError(f"--charge: {unknown(what, options.charge, self.bench.valve.charges)}")
        self.refrigerants = load_registry(path.parent)
        expected = self.bench.expected(self.refrigerants, options.charge)
        self.file = read_bench(bench_path, expected, self.site_pressure_pa)
        self.date = self.file.about.date if self.given_date is None else self.given_date

    def _read_options(self) -> None:
        from tablegen.config.bench_remarks import read_drop_uncertainty, read_site_pressure, read_uncertainty
        from tablegen.config.fields import read_day
        from tablegen.units import to_si

        def read(option: str, text: str | None, reader: Callable[[str], Any]) -> Any:
            try:
                return None if text is None else reader(text)
            except BadValue as error:
                raise RequestError(f"{option}: {error}") from None

        options = self.options
        self.confidence = read("--confidence", options.confidence, lambda t: to_si(t, "share"))
        if not _CONFIDENCE[0] <= self.confidence <= _CONFIDENCE[1]:
            raise RequestError(
                f"--confidence: {options.confidence!r} is not allowed; it must be at least 50 and at most 99.9 percent"
            )
        self.site_pressure_pa = read("--site-pressure", options.site_pressure, read_site_pressure)
        self.uncertainties = (
            read("--flow-uncertainty", options.flow_uncertainty, read_uncertainty),
            read("--opening-uncertainty", options.opening_uncertainty, read_uncertainty),
            read("--drop-uncertainty", options.drop_uncertainty, read_drop_uncertainty),
        )
        self.given_date = read("--date", options.date, read_day)
        self.openings = read("--openings", options.openings, _openings)

    def _bench_path(self, folder: Path) -> Path:
        if self.options.bench is not None:
            return Path(self.options.bench)
        return folder / "bench" / f"{self.options.family or 'alder'}.csv"

    def fit_options(self) -> Any:
        """How the fit is to be made; what an option says goes before what the file says."""
        from tablegen.bench.subject import FitOptions
        from tablegen.physics.flow import FlowLaw

        about = self.file.about
        stated = (about.flow_uncertainty, about.opening_uncertainty, about.drop_uncertainty_pa)
        chosen = (s if given is None else given for given, s in zip(self.uncertainties, stated, strict=True))
        flow, opening, drop = chosen
        if (flow is None) != (opening is None) or (flow is None and drop is not None):
            missing = "--flow-uncertainty" if flow is None else "--opening-uncertainty"
            raise RequestError(f"{missing}: it is missing; uncertainties of flow and opening are given together")
        stop = self.bench.valve.stop
        if any(node > stop for node in self.openings or ()):
            raise RequestError(f"--openings: an opening lies beyond the stop of the family, {100 * stop:g} percent")
        law = None if self.options.law == "both" else FlowLaw(self.options.law)
        return FitOptions(self.confidence, law, self.openings, flow, opening, drop)


def _openings(text: str) -> tuple[float, ...]:
    """Openings as shares, ascending."""
    from tablegen.units import to_si

    found = tuple(to_si(part.strip(), "share") for part in text.split(","))
    if any(b - a < 0.01 for a, b in zip((0.0, *found), found, strict=False)):
        raise BadValue(repr(text), "openings ascend, from above 0 percent, and lie apart by 1 percent at least")
    return found


def _check_target(option: str, path: Path, suffix: str) -> None:
    """A file to write, looked at before anything is computed."""
    why = ""
    if path.is_dir():
        why = f"it is a folder; name a file that ends in {suffix}"
    elif path.suffix.lower() != suffix and not (suffix == ".yaml" and path.suffix.lower() == ".yml"):
        why = f"the file must end in {suffix}"
    elif not path.parent.is_dir():
        why = f"the folder {str(path.parent)!r} does not exist"
    if why:
        raise RequestError(f"{option}: {str(path)!r} is not allowed; {why}")


def _write(target: Path, content: str) -> None:
    from tablegen.files import replace_file

    try:
        with replace_file(target) as stage:
            stage.write_text(content, encoding="utf-8")
    except OutputError as error:
        raise OutputError(f"--output: {error}") from error


def _print(options: argparse.Namespace, read: _Read, record: dict[str, Any], units: str) -> None:
    from tablegen.files import replace_file
    from tablegen.report.pages.fit_page import print_fit

    paper = {"letter": "Letter", "a4": "A4"}[options.paper]
    groups = [read.refrigerants.records[name].safety_group for name in record["refrigerants"]]
    try:
        with replace_file(options.page) as stage:
            print_fit(record, units, paper, read.catalogue.printing.notice, groups, stage)
    except OutputError as error:
        raise OutputError(f"--page: {error}") from error
