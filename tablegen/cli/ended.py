"""A command that the system ends: it removes what it has not finished."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager


class Ended(KeyboardInterrupt):
    """The system asks this process to end."""


def _end(number: int, _: object) -> None:
    # A second request ends the process at once.
    signal.signal(number, signal.SIG_DFL)
    raise Ended


@contextmanager
def ended_cleanly() -> Iterator[None]:
    """SIGTERM, or a terminal that is closed, interrupts within the block, so that unfinished output is removed."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    known = (getattr(signal, name, None) for name in ("SIGTERM", "SIGHUP"))
    before = {own: signal.getsignal(own) for own in known if own is not None}
    # A run is to outlive its terminal where that signal is ignored.
    taken = [own for own, action in before.items() if action is not signal.SIG_IGN]
    for own in taken:
        signal.signal(own, _end)
    try:
        yield
    finally:
        for own in taken:
            signal.signal(own, before[own])
