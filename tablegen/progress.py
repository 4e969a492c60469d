"""A progress bar on stderr for work that takes seconds."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from tqdm import tqdm

from tablegen.wording import command_line as wording


class Progress:
    """A bar that names what is being computed."""

    def __init__(self, bar: Any) -> None:
        self._bar = bar

    def expect(self, more: int) -> None:
        """There are so many parts that were not counted yet."""
        self._bar.total += more

    def begin(self, name: str) -> None:
        """Something that takes a while is begun."""
        self._bar.set_description_str(name)

    def advance(self, name: str = "") -> None:
        """A part is done; the next one has a name."""
        if name:
            self._bar.set_description_str(name)
        self._bar.update()


@contextmanager
def progress(total: int, is_shown: bool) -> Iterator[Progress]:
    """A bar of so many parts, if it `is_shown`."""
    # A terminal that does not report its size has 0 rows and columns, in which the bar would show nothing.
    columns, rows = shutil.get_terminal_size()
    with tqdm(
        total=total, disable=not is_shown, leave=False, unit=wording.PART(), ncols=min(columns, 100), nrows=rows
    ) as bar:
        yield Progress(bar)
