"""Every printed publication of a data set."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from concurrent.futures import BrokenExecutor, Executor, as_completed
from dataclasses import dataclass
from pathlib import Path

from tablegen.dataset.dataset import Changes, DataSet
from tablegen.errors import WorkerError
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.wording import processes


@dataclass(frozen=True, slots=True)
class Prints:
    """What was printed, by name: numbers of pages, and of what could not be printed the reason."""

    pages: Mapping[str, int]
    failed: Mapping[str, Exception]

    @classmethod
    def of(cls, done: Mapping[str, int | Exception]) -> Prints:
        """Sorted into what was printed and what was not."""
        return cls(
            {name: found for name, found in done.items() if isinstance(found, int)},
            {name: found for name, found in done.items() if isinstance(found, Exception)},
        )


def count_publications(data: DataSet) -> int:
    """How many times `print_publications` will call `advance`."""
    return len(_prints(data))


def print_publications(
    data: DataSet,
    folder: Path,
    attached: Mapping[str, bytes],
    changes: Changes | None = None,
    executor: Executor | None = None,
    advance: Callable[[str], None] = lambda _: None,
) -> Prints:
    """Print each publication into a folder, called by its name; one that fails leaves nothing there and keeps no other.

    Booklets carry the `attached` files and say what `changes` there were since an earlier release. The graphs of the
    first booklet and of the first handout are also written into the folder `graphs`. Processes of an `executor` share
    the work if there is one; they must be on this machine. `advance` is told each publication as it is done.

    Raises
    ------
    OSError
        If a file cannot be written.
    WorkerError
        If a process of the executor died.
    """
    prints = _prints(data)
    if executor is None:
        done: dict[str, int | Exception] = {}
        for name, kind, has_graphs in prints:
            done[name] = _printed(data, kind, name, folder, attached, has_graphs, changes)
            advance(name)
        return Prints.of(done)
    futures = {
        executor.submit(
            _printed,
            data,
            kind,
            name,
            folder,
            attached if kind == "booklets" else {},
            has_graphs,
            changes if kind == "booklets" else None,
        ): name
        for name, kind, has_graphs in prints
    }
    try:
        for future in as_completed(futures):
            future.result()
            advance(futures[future])
    except BrokenExecutor as error:
        raise WorkerError(processes.PRINT_ENDED()) from error
    finally:
        for future in futures:
            future.cancel()
    return Prints.of({name: future.result() for future, name in futures.items()})


def _prints(data: DataSet) -> list[tuple[str, str, bool]]:
    """Name, kind, and whether its graphs become files, of every document; those that take longest first."""
    kinds = {
        "booklets": [own.printed.name for own in data.catalogue.booklets],
        "charts": [own.printed.name for own in data.catalogue.charts],
        "handouts": [own.printed.name for own in data.catalogue.handouts],
        "answers": [f"{own.printed.name}-answers" for own in data.catalogue.handouts],
    }
    drawn = ("booklets", "handouts")
    return [(name, kind, i == 0 and kind in drawn) for kind, names in kinds.items() for i, name in enumerate(names)]


def _printed(
    data: DataSet,
    kind: str,
    name: str,
    folder: Path,
    attached: Mapping[str, bytes],
    has_graphs: bool,
    changes: Changes | None,
) -> int | Exception:
    """Print one document and its graphs; its number of pages, or why it could not be printed."""
    # Aside, so that one that fails leaves nothing.
    aside = folder / f".{name}"
    aside.mkdir()
    try:
        pages = _print(data, kind, name, aside, attached, has_graphs, changes)
        for path in (*aside.glob("*.pdf"), *(aside / "graphs").glob("*")):
            target = folder / path.relative_to(aside)
            target.parent.mkdir(exist_ok=True)
            path.replace(target)
    except OSError:
        # No fault of the document: what it is written to is full, or gone.
        raise
    except Exception as error:
        return error
    finally:
        shutil.rmtree(aside)
    return pages


def _print(
    data: DataSet,
    kind: str,
    name: str,
    folder: Path,
    attached: Mapping[str, bytes],
    has_graphs: bool,
    changes: Changes | None,
) -> int:
    """Print one document; its number of pages."""
    target, graphs = folder / f"{name}.pdf", folder / "graphs" if has_graphs else None
    if kind == "booklets":
        return print_booklet(data, name, target, attached, graphs, changes)
    if kind == "charts":
        return print_counter_chart(data, name, target)
    if kind == "handouts":
        return print_handout(data, name, target, graphs)
    return print_answer_key(data, name.removesuffix("-answers"), target)
