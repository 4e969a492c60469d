"""`tablegen schema`: JSON Schema of config files, for editors."""

from __future__ import annotations

import argparse
import json

from tablegen.cli.options import Commands, ExitCode
from tablegen.wording import schema as wording


def add_parser(commands: Commands) -> None:
    """Add the command to the others."""
    does = wording.HELP()
    parser = commands.add_parser(
        "schema", help=does, description=f"{does[0].upper()}{does[1:]}.", epilog=wording.EPILOG()
    )
    parser.add_argument("what", metavar="KIND|DIR", help=wording.WHAT_HELP(kinds=", ".join(wording.FILES)))
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> ExitCode:
    """Print the schema of a kind of file, or write a file of each kind into a folder."""
    from tablegen.api.schema import schema

    found = schema(options.what)
    if options.what in wording.FILES:
        print(json.dumps(found, indent=1, ensure_ascii=False))
    else:
        print(wording.WRITTEN(folder=options.what, files=", ".join(found)))
    return ExitCode.DONE
