"""Writes the documents of a data set, in this process or in several."""

from __future__ import annotations

import functools
import pickle
import tempfile
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, wait
from dataclasses import dataclass
from pathlib import Path

from tablegen.dataset.outputs import MadeDocument
from tablegen.errors import WorkerError
from tablegen.report.publications.documents import PlannedDocument
from tablegen.wording import command_line
from tablegen.wording.message import listed

# Documents in progress that are named: more do not fit beside the bar.
_NAMED = 2


@dataclass(frozen=True, slots=True)
class Prints:
    """What was written, by name, and of what could not be written the reason."""

    made: Mapping[str, MadeDocument]
    failed: Mapping[str, Exception]

    @classmethod
    def of(cls, done: Mapping[str, MadeDocument | Exception]) -> Prints:
        """Sorted into what was written and what was not."""
        return cls(
            {name: found for name, found in done.items() if isinstance(found, MadeDocument)},
            {name: found for name, found in done.items() if isinstance(found, Exception)},
        )


def write_documents(
    documents: Sequence[PlannedDocument],
    folder: Path,
    executor: Executor | None = None,
    begin: Callable[[str], object] = lambda _: None,
    advance: Callable[[], object] = lambda: None,
) -> Prints:
    """Write each document into a folder; one that fails leaves nothing and stops no other.

    Processes of an `executor` share the work if there is one; they must be on this machine. `begin` is called with a
    sentence about what is being written, `advance` after each document.

    Raises
    ------
    OSError
        If a file cannot be written.
    WorkerError
        If a process of the executor died.
    """
    if executor is None:
        done: dict[str, MadeDocument | Exception] = {}
        for document in documents:
            begin(command_line.PRINTING(documents=document.name))
            done[document.name] = document.write(folder)
            advance()
        return Prints.of(done)
    with tempfile.NamedTemporaryFile(dir=folder, prefix=".documents-", delete=False) as file:
        pickle.dump({document.name: document for document in documents}, file)
    shared = Path(file.name)
    futures = {executor.submit(_write, shared, document.name, folder): document.name for document in documents}
    try:
        waiting = set(futures)
        while waiting:
            if names := [name for future, name in futures.items() if future.running()][:_NAMED]:
                begin(command_line.PRINTING(documents=listed(names)))
            done_now, waiting = wait(waiting, return_when=FIRST_COMPLETED)
            for future in done_now:
                future.result()
                advance()
    except BrokenExecutor as error:
        raise WorkerError(command_line.PRINT_ENDED()) from error
    finally:
        for future in futures:
            future.cancel()
        shared.unlink()
    return Prints.of({name: future.result() for future, name in futures.items()})


def _write(shared: Path, name: str, folder: Path) -> MadeDocument | Exception:
    """In a process of the executor: write one of the documents that a file has all of."""
    return _documents(shared)[name].write(folder)


@functools.lru_cache(maxsize=1)
def _documents(shared: Path) -> Mapping[str, PlannedDocument]:
    """The documents of a file, read once, so that what they share is found and drawn once in a process."""
    found: Mapping[str, PlannedDocument] = pickle.loads(shared.read_bytes())
    return found
