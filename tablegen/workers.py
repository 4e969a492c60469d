"""Processes that share the work of one build."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager

from tablegen.errors import RequestError
from tablegen.wording import command_line as wording

# For runs that share a machine, such as those of tests.
_VARIABLE = "TABLEGEN_WORKERS"
MAX_WORKERS = 256


def default_workers() -> int:
    """TABLEGEN_WORKERS if set, else the processors that this process may use.

    Raises
    ------
    RequestError
        If the variable is no number of workers.
    """
    text = os.environ.get(_VARIABLE)
    if not text:
        # Not every system reports which processors a process may use.
        own = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
        return min(own, MAX_WORKERS)
    return read_workers(text, _VARIABLE)


def read_workers(text: str, option: str) -> int:
    """A number of workers given to an option.

    Raises
    ------
    RequestError
        If it is none.
    """
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= MAX_WORKERS):
        raise RequestError(wording.WORKERS(option=option, text=repr(text), maximum=MAX_WORKERS))
    return int(text)


@contextmanager
def workers(count: int) -> Iterator[Executor | None]:
    """An executor of so many processes; None for one, which is this one.

    When the block ends by an error, what has not begun is dropped.
    """
    if count == 1:
        yield None
        return
    # Not forked: threads of numerical libraries do not survive that.
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(count, mp_context=context, initializer=_begin)
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _begin() -> None:
    """In every worker: an interruption is the parent's to answer, and none outlives it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
