"""`tablegen verify`: computed values compared with those of sources."""

from __future__ import annotations

import argparse

from tablegen.cli.deliver import add_answer_options, check_files, deliver
from tablegen.cli.options import Commands, ExitCode, add_registry_option, registry_of
from tablegen.errors import RequestError, unknown
from tablegen.model.names import refrigerant_name
from tablegen.wording import input_errors
from tablegen.wording import verification as wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    parser = commands.add_parser(
        "verify", help=wording.HELP(), description=wording.DESCRIPTION(), epilog=wording.EPILOG()
    )
    parser.add_argument(
        "refrigerants", type=refrigerant_name, nargs="*", metavar="REFRIGERANT", help=wording.REFRIGERANTS_HELP()
    )
    parser.add_argument("--every", action="store_true", help=wording.EVERY_HELP())
    add_answer_options(parser, wording.CSV_ROWS(), "IP")
    add_registry_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Check, and give the answer."""
    from tablegen.model.property_store import library_version
    from tablegen.report.answers.verify import answer_of_checks
    from tablegen.verification.check import Verdict
    from tablegen.verification.measured_flows import parities
    from tablegen.verification.table import all_checks, verification_frame

    check_files(options)
    registry = registry_of(options)
    names = list(dict.fromkeys(options.refrigerants)) or list(registry.records)
    for name in names:
        if name not in registry.records:
            raise RequestError(unknown(input_errors.A_REFRIGERANT(), name, registry.records))
    fluids = {name: registry[name] for name in names}
    frame = verification_frame(all_checks(fluids, {name: registry.records[name] for name in names}))
    answer = answer_of_checks(frame, names, parities(fluids), library_version(), is_every=options.every)
    deliver(answer, options, options.units or "IP")
    return ExitCode.NO if (frame["verdict"] == Verdict.FAILS).any() else ExitCode.DONE
