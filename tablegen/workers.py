"""Processes that share the work of one build."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing.context import SpawnContext, SpawnProcess
from typing import Any

from tablegen.errors import RequestError
from tablegen.wording import command_line as wording

# For runs that share a machine, such as those of tests.
_VARIABLE = "TABLEGEN_WORKERS"
MAX_WORKERS = 256
# How long a pool has to notice by itself that a worker died.
_GRACE_S = 1.0


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
    context, is_over = _Started(), threading.Event()
    pool = ProcessPoolExecutor(count, mp_context=context, initializer=_begin)
    threading.Thread(target=_end_all_if_one_dies, args=(pool, context.processes, is_over), daemon=True).start()
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
        is_over.set()


class _Started(SpawnContext):
    """Remembers the processes that it makes."""

    def __init__(self) -> None:
        super().__init__()
        self.processes: list[SpawnProcess] = []

    def Process(self, *args: Any, **options: Any) -> SpawnProcess:  # type: ignore[override]
        """As the class of the same name; see `multiprocessing`."""
        self.processes.append(SpawnProcess(*args, **options))
        return self.processes[-1]


def _end_all_if_one_dies(pool: ProcessPoolExecutor, processes: list[SpawnProcess], is_over: threading.Event) -> None:
    """A pool whose worker is killed while it sends a result waits for the rest of it for ever.

    It reads on as long as anyone could send the rest: the other workers, and this process, which has that end of the
    pipe open too.
    """
    while not is_over.wait(_GRACE_S):
        running = [process for process in processes if process.pid is not None]
        if any(process.exitcode for process in running):
            is_over.wait(_GRACE_S)
            for process in running:
                process.kill()
            pool._result_queue._writer.close()  # type: ignore[attr-defined]
            return


def _begin() -> None:
    """In every worker: an interruption is the parent's to answer, and none outlives it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
