"""A command that the system ends: it removes what it has not finished."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager


class Ended(KeyboardInterrupt):
    """The system asks this process to end."""


def _end(*_: object) -> None:
    # A second request ends the process at once.
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    raise Ended


@contextmanager
def ended_cleanly() -> Iterator[None]:
    """SIGTERM interrupts within the block, so that unfinished output is removed."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGTERM, _end)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
