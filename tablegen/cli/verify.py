"""`tablegen verify`: the verification book, values of sources beside computed ones."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tablegen.cli.options import add_registry_option, registry_of
from tablegen.cli.text_table import aligned
from tablegen.errors import RequestError, unknown
from tablegen.model.names import refrigerant_name
from tablegen.wording import terms

FAILED = 1
_NOTICE = "Computed values beside those of sources; not for the selection of real equipment."
# A longer list of refrigerants is counted.
_LONGEST = 40
_TITLE = "Verification book"


def add_parser(commands: Any) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "verify",
        help="check refrigerant properties and flow laws against published values",
        description="Check refrigerant states, molar masses, flow laws and capacity loss against published values, "
        "second implementations and a rule of thumb: which source, at which condition, both values, what is allowed "
        "and why. Only values that were measured or come from another equation than ours are counted.",
        epilog="Exit codes: 0 no check fails without an explanation, 1 some do, 2 bad input. A check outside its band "
        "for a known reason is printed with it and counted apart.  Example: tablegen verify R448A R404A --output "
        "verification.pdf",
    )
    parser.add_argument(
        "refrigerants", type=refrigerant_name, nargs="*", metavar="REFRIGERANT", help="such as R448A (default: all)"
    )
    add_registry_option(parser)
    parser.add_argument("--every", action="store_true", help="a line for every check, not for each quantity and source")
    parser.add_argument("--output", type=Path, metavar="FILE", help="also print the book (PDF)")
    parser.add_argument("--paper", choices=("Letter", "A4"), default="Letter", help="of the book (default: Letter)")
    shown = parser.add_mutually_exclusive_group()
    shown.add_argument("--csv", action="store_true", help="every check as CSV")
    shown.add_argument("--json", action="store_true", help="every check as JSON")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Check, and print what came of it."""
    from tablegen.dataset.dataset import csv_of
    from tablegen.dataset.to_json import plain
    from tablegen.files import replace_file
    from tablegen.verification.check import Verdict
    from tablegen.verification.measured_flows import parities
    from tablegen.verification.table import all_checks, verification_frame

    registry = registry_of(options)
    names = list(dict.fromkeys(options.refrigerants)) or list(registry.records)
    for name in names:
        if name not in registry.records:
            raise RequestError(unknown("a refrigerant", name, registry.records))
    fluids = {name: registry[name] for name in names}
    frame = verification_frame(all_checks(fluids, {name: registry.records[name] for name in names}))
    is_text = not (options.csv or options.json)
    flows = parities(fluids) if is_text or options.output is not None else []
    if options.output is not None:
        from tablegen.report.pages.verification_book import print_book

        with replace_file(options.output) as aside:
            pages = print_book(frame, names, _TITLE, options.paper, _NOTICE, None, aside, flows)
    if options.csv:
        print(csv_of(frame).decode("utf-8"), end="")
    elif options.json:
        print(json.dumps(plain(frame.to_dict("records")), indent=1, ensure_ascii=False, allow_nan=False))
    else:
        print(_text(frame, names, options.every, _flow_lines(flows)))
        if options.output is not None:
            print(f"{options.output}: {pages} page{'s' if pages > 1 else ''}")
    return FAILED if (frame["verdict"] == Verdict.FAILS).any() else 0


def _flow_lines(found: Sequence[Any]) -> list[str]:
    """Both flow laws compared with published correlations, which nothing passes or fails by."""
    from tablegen.report.pages.measured_flow_page import NUMERIC, cells, header, meaning, sources
    from tablegen.wording.verification_page import FLOW_LAWS

    if not found:
        return []
    return ["", FLOW_LAWS(), *aligned([header(), *cells(found)], NUMERIC), *sources(found), meaning(found)]


def _text(frame: Any, names: Sequence[str], is_every: bool, more: Sequence[str]) -> str:
    """The checks as lines under their kinds and sources, what allows so much, and what does not pass."""
    from tablegen.report.pages.verification_page import (
        CHECK_NUMERIC,
        LINE_NUMERIC,
        check_cells,
        check_header,
        failure_text,
        headline,
        kind_caption,
        line_cells,
        line_header,
        lines,
        reason_sign,
        with_share,
    )
    from tablegen.verification.check import CheckKind, Verdict

    checks = with_share(frame)
    sources, reasons = (list(dict.fromkeys(checks[name])) for name in ("source", "why_allowed"))
    text: list[str] = []
    for kind in CheckKind:
        rows = checks[checks["kind"] == kind]
        if rows.empty:
            continue
        text += ["", kind_caption(kind, len(rows))]
        if is_every:
            for own in lines(rows):
                quantity, source, provenance = (own[name].iloc[0] for name in ("quantity", "source", "provenance"))
                text += ["", f"{quantity}: {source} ({terms.PROVENANCES[provenance]()})"]
                text += aligned([check_header(), *(check_cells(row) for _, row in own.iterrows())], CHECK_NUMERIC)
        else:
            body = [_shortened(line_cells(own, sources, reasons, names), own) for own in lines(rows)]
            text += aligned([line_header(), *body], LINE_NUMERIC)
    if not is_every:
        text += [
            "",
            *(
                f"[{i}] {source} ({terms.PROVENANCES[checks.loc[checks['source'] == source, 'provenance'].iloc[0]]()})"
                for i, source in enumerate(sources, start=1)
            ),
        ]
        text += ["", *(f"({reason_sign(i)}) {why}" for i, why in enumerate(reasons))]
    known = [failure_text(row) for _, row in checks[checks["verdict"] != Verdict.PASSES].iterrows()]
    return "\n".join([*text, *more, "", *known, headline(checks)]).lstrip("\n")


def _shortened(cells: list[str], rows: Any) -> list[str]:
    """A line of the book whose long list of refrigerants is counted; what does not pass stays named."""
    counted, _, loud = cells[1].partition(": ")
    if len(counted) > _LONGEST:
        counted = f"{counted.split(' ')[0]} of {rows['refrigerant'].nunique()} refrigerants"
    return [cells[0], ": ".join(filter(None, (counted, loud))), *cells[2:]]
