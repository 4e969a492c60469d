"""An error that nobody foresaw: a report for whoever maintains the package, and one line for the user."""

from __future__ import annotations

import datetime
import os
import platform
import sys
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path

from tablegen import __version__
from tablegen.cache import default_folder
from tablegen.own_folder import make_own_folder
from tablegen.wording import command_line as wording

_LONGEST_MESSAGE = 200


def report_crash(error: Exception, arguments: Sequence[str]) -> str:
    """Write a report of an unexpected error into the cache folder, or else into the folder for temporary files.

    Parameters
    ----------
    error : Exception
        With its traceback.
    arguments : sequence of str
        What the command was called with.

    Returns
    -------
    str
        One line for stderr: what happened and the report's file, or that no report could be written.
    """
    message = " ".join(str(error).split())[:_LONGEST_MESSAGE]
    message = "".join(char if char.isprintable() else ascii(char)[1:-1] for char in message)
    kind = type(error).__name__
    content = _content(error, arguments)
    name = f"tablegen-crash-{datetime.datetime.now(datetime.UTC):%Y%m%dT%H%M%S}-{os.getpid()}.txt"
    for folder in (default_folder() / "crashes", Path(tempfile.gettempdir())):
        try:
            make_own_folder(folder)
            (folder / name).write_text(content, encoding="utf-8", errors="backslashreplace", newline="\n")
        except OSError:
            continue
        return wording.CRASH_WITH_REPORT(error=kind, message=message, file=str(folder / name))
    return wording.CRASH(error=kind, message=message)


def _content(error: Exception, arguments: Sequence[str]) -> str:
    # From their dictionaries, for some warn when they are asked.
    loaded = {name: vars(sys.modules[name]).get("__version__") for name in sorted(sys.modules) if "." not in name}
    versions = [f"{name} {version}" for name, version in loaded.items() if isinstance(version, str)]
    return "\n".join(
        [
            f"arguments: {list(arguments)!r}",
            ", ".join([f"tablegen {__version__}", f"Python {platform.python_version()}", platform.platform()]),
            "libraries: " + ", ".join(versions),
            "",
            *traceback.format_exception(error),
        ]
    )
