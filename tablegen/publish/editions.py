"""Every printed edition of a data set."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import BrokenExecutor, Executor, as_completed
from pathlib import Path

from tablegen.catalogue.dataset import Changes, DataSet
from tablegen.errors import WorkerError
from tablegen.publish.booklet import print_booklet
from tablegen.publish.counter_chart import print_counter_chart
from tablegen.publish.handout import print_answer_key, print_handout


def names_of(data: DataSet, kind: str) -> list[str]:
    """The files of a kind of edition (`booklets`, `charts`, `handouts`), without suffix."""
    return [str(edition["printed"]["name"]) for edition in data.manifest["inputs"][kind]]


def count_editions(data: DataSet) -> int:
    """How many times `print_editions` will call `advance`."""
    return len(_prints(data))


def print_editions(
    data: DataSet,
    folder: Path,
    attached: Mapping[str, bytes],
    changes: Changes | None = None,
    executor: Executor | None = None,
    advance: Callable[[str], None] = lambda _: None,
) -> dict[str, int]:
    """Print each edition into a folder, called by its name; return their numbers of pages.

    Booklets carry the `attached` files and say what `changes` there were since an earlier release. The graphs of the
    first booklet and of the first handout are also written into the folder `graphs`. Processes of an `executor` share
    the work if there is one; they must be on this machine. `advance` is told each edition as it is done.

    Raises
    ------
    PublishError
        As the editions raise it.
    WorkerError
        If a process of the executor died.
    """
    prints = _prints(data)
    if executor is None:
        pages = {}
        for name, kind, has_graphs in prints:
            pages[name] = _print(data, kind, name, folder, attached, has_graphs, changes)
            advance(name)
        return pages
    futures = {
        executor.submit(_print, data, kind, name, folder, attached if kind == "booklets" else {}, has_graphs,
                        changes if kind == "booklets" else None): name
        for name, kind, has_graphs in prints
    }  # fmt: skip
    try:
        for future in as_completed(futures):
            future.result()
            advance(futures[future])
    except BrokenExecutor as error:
        raise WorkerError("printed an edition") from error
    finally:
        for future in futures:
            future.cancel()
    return {name: future.result() for future, name in futures.items()}


def _prints(data: DataSet) -> list[tuple[str, str, bool]]:
    """Name, kind, and whether its graphs become files, of every document; those that take longest first."""
    kinds = ("booklets", "charts", "handouts", "answers")
    named = {kind: names_of(data, "handouts" if kind == "answers" else kind) for kind in kinds}
    named["answers"] = [f"{name}-answers" for name in named["answers"]]
    drawn = ("booklets", "handouts")
    return [(name, kind, i == 0 and kind in drawn) for kind in kinds for i, name in enumerate(named[kind])]


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
