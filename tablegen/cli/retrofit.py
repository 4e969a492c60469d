"""`tablegen retrofit`: does an existing valve hold on a new condensing unit, perhaps with another refrigerant."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tablegen.cli.options import read_quantity
from tablegen.cli.pick import SST_RANGE
from tablegen.errors import OutputError, RequestError
from tablegen.model.names import refrigerant_name
from tablegen.wording import terms

DOES_NOT_HOLD = 1
_LOAD_RANGE = ("0 W", "10000 kW")


def add_parser(commands: Any, catalogue_argument: Callable[[argparse.ArgumentParser, bool], None]) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "retrofit",
        help="an existing valve on a new condensing unit or refrigerant: does it hold",
        description="Hold an existing valve to the heads of a new condensing unit: at which heads it starves, hunts or "
        "floods, and what changes. With another refrigerant bulb charge and spring stay as they were set.",
        epilog="Exit codes: 0 it holds, 1 it does not, 2 bad input.  Example: tablegen retrofit alder 63 --refrigerant "
        "R404A --sst '24 degF' --load '14 kBtu/h' --was-application walk_in_medium_fixed --application walk_in_medium --set "
        "low_head.head_pressure='120 psi_gauge' --demo",
    )
    parser.add_argument("family", metavar="FAMILY", help="family of the existing valve")
    parser.add_argument("size", metavar="SIZE", help="its size")
    parser.add_argument(
        "--refrigerant", type=refrigerant_name, required=True, metavar="NAME", help="refrigerant of the new system"
    )
    parser.add_argument("--sst", required=True, metavar="T", help="saturated suction temperature (dew), as '24 degF'")
    parser.add_argument(
        "--load",
        required=True,
        metavar="Q",
        help="gross capacity of the new system at its rating point, as '20 kBtu/h'",
    )
    parser.add_argument(
        "--application",
        metavar="NAME",
        help="application of the new system (default: the only one that covers the suction temperature)",
    )
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="overrides",
        help="another value for a key of it, as low_head.head_pressure='120 psi_gauge'; repeatable",
    )
    parser.add_argument(
        "--was",
        type=refrigerant_name,
        metavar="NAME",
        help="refrigerant that the valve was bought for (default: the same)",
    )
    parser.add_argument(
        "--was-application",
        metavar="NAME",
        help="application that it was bought for (default: the new one's, without --set)",
    )
    parser.add_argument(
        "--was-set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="was_overrides",
        help="another value for a key of that one; repeatable",
    )
    parser.add_argument("--was-load", metavar="Q", help="capacity of the old system (default: the new one's)")
    parser.add_argument(
        "--charge", metavar="NAME", help="bulb charge in the valve (default: that offered for what it was bought for)"
    )
    parser.add_argument("--output", metavar="FILE", help="write the answer as a printed sheet: .pdf")
    parser.add_argument(
        "--paper",
        choices=("letter", "a4"),
        type=str.lower,
        default="letter",
        help="paper of the sheet (default: letter)",
    )
    parser.add_argument("--units", choices=("IP", "SI"), help="units of the answer (default: the catalogue's)")
    parser.add_argument("--json", action="store_true", help="the whole answer as JSON, in SI")
    catalogue_argument(parser, True)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Print the answer, and write the sheet asked for."""
    from tablegen.cli.answer_words import formatter_of
    from tablegen.report.retrofit_words import RetrofitFormatter

    target = None if options.output is None else _target(options.output)
    answer, curve, new = _answer(options)
    formatter = formatter_of(new.catalogue, options.units or new.catalogue.printing.units)
    family = new.catalogue.families[answer.fitted.family]
    reasons = {reason: text() for reason, text in terms.REASONS.items()}
    told = RetrofitFormatter(answer, formatter, family, reasons, options.overrides, options.was_overrides)
    # The sheet first, so that what is printed is not followed by a failure.
    written = "" if target is None else _write(told, curve, new, target, options.paper)
    if options.json:
        print(json.dumps(as_record(answer), indent=1, allow_nan=False))
    else:
        from tablegen.cli.retrofit_text import text

        print(text(told, new.catalogue.printing.notice))
        print(written, end="")
    return 0 if answer.after.holds else DOES_NOT_HOLD


def _answer(options: argparse.Namespace) -> tuple[Any, Any, Any]:
    """The answer, the curve of its graph, and the new system."""
    from tablegen.answers.retrofit import Fitted, retrofit
    from tablegen.systems import read_systems

    sst_k = read_quantity("--sst", options.sst, "temperature", SST_RANGE)
    load_w = read_quantity("--load", options.load, "load", _LOAD_RANGE)
    was_load_w = None
    if options.was_load is not None:
        was_load_w = read_quantity("--was-load", options.was_load, "load", _LOAD_RANGE)
    new, old = read_systems(
        options.catalogue_path(options),
        options.refrigerant,
        sst_k,
        load_w,
        options.application,
        options.overrides,
        was=options.was,
        was_load_w=was_load_w,
        was_application=options.was_application,
        was_overrides=options.was_overrides,
    )
    answer, curve = retrofit(Fitted(options.family, options.size, options.charge), new, old)
    return answer, curve, new


def _target(name: str) -> Path:
    """The file to write, looked at before anything is computed."""
    path = Path(name)
    why = ""
    if not name.strip():
        why = "it names no file"
    elif path.is_dir():
        why = "it is a folder; name a file that ends in .pdf"
    elif path.suffix.lower() != ".pdf":
        why = "the file must end in .pdf"
    elif not path.parent.is_dir():
        why = f"the folder {str(path.parent)!r} does not exist"
    if why:
        raise RequestError(f"--output: {name!r} is not allowed; {why}")
    return path


def _write(told: Any, curve: Any, new: Any, target: Path, paper: str) -> str:
    """The sheet, moved into place when it is whole; a line about it."""
    from tablegen import __version__
    from tablegen.files import replace_file
    from tablegen.model.property_store import library_version
    from tablegen.report.pages.retrofit_page import print_retrofit

    version = f"tablegen {__version__}, {library_version()}"
    try:
        with replace_file(target) as stage:
            pages = print_retrofit(told, curve, new.catalogue.printing, version, paper, stage)
    except OutputError as error:
        raise OutputError(f"--output: {error}") from error
    return f"{target}: {pages} page{'s' if pages > 1 else ''}\n"


def as_record(answer: Any) -> dict[str, Any]:
    """The answer as JSON values, in SI; what is not a number is null."""
    from tablegen.dataset.to_json import plain

    before = None if answer.before is None else answer.before.holds
    record: dict[str, Any] = plain(answer)
    return {"holds": answer.after.holds, "held_before": before, **record}
