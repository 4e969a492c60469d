"""What a page says is wrong: the lines of the command, without the folders of the computer that answers."""

from __future__ import annotations

import logging
import os
from pathlib import Path

from tablegen.cache import default_folder
from tablegen.errors import ConfigError, TablegenError
from tablegen.web.questions import Desk
from tablegen.wording import desk as wording

_LOG = logging.getLogger(__name__)


def lines_of(error: TablegenError, desk: Desk) -> list[str]:
    """The lines of an error; files are named from the catalogue's folder, and no folder of this computer is."""
    texts = [str(problem) for problem in error.problems] if isinstance(error, ConfigError) else [str(error)]
    folders = {desk.folder, desk.folder.absolute(), desk.folder.resolve(), default_folder(), Path.cwd(), Path.home()}
    if desk.stock is not None:
        folders |= {Path(desk.stock).parent, Path(desk.stock).absolute().parent}
    # A file below the working folder is named with slashes on any system.
    named = {f"{folder}{os.sep}" for folder in folders} | {f"{folder.as_posix()}/" for folder in folders}
    for start in sorted(named, key=len, reverse=True):
        if len(start) > 2:
            texts = [text.replace(start, "") for text in texts]
    return texts


def logged_line(error: Exception) -> str:
    """The line about an error that nobody foresaw, which is logged with all that is known of it."""
    _LOG.error("", exc_info=error)
    return wording.UNEXPECTED(error=type(error).__name__)
