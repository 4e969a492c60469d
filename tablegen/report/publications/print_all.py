"""Every printed publication of a data set."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from concurrent.futures import BrokenExecutor, Executor, as_completed
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tablegen.dataset.dataset import Changes, DataSet
from tablegen.errors import WorkerError
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.wording import command_line


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


@dataclass(frozen=True, slots=True)
class _Document:
    """A document to print: its name without suffix, what prints it, and whether its graphs become files too."""

    name: str
    printer: Callable[..., int]
    has_graphs: bool = False

    def print(self, folder: Path) -> int | Exception:
        """Print into a folder; the number of pages, or why it could not be printed."""
        # Aside, so that one that fails leaves nothing.
        aside = folder / f".{self.name}"
        aside.mkdir()
        graphs = {"graphs": aside / "graphs"} if self.has_graphs else {}
        try:
            pages = self.printer(target=aside / f"{self.name}.pdf", **graphs)
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


def count_publications(data: DataSet) -> int:
    """How many times `print_publications` will call `advance`."""
    return len(_documents(data, {}, None))


def print_publications(
    data: DataSet,
    folder: Path,
    attached: Mapping[str, bytes],
    changes: Changes | None = None,
    executor: Executor | None = None,
    advance: Callable[[str], None] = lambda _: None,
) -> Prints:
    """Print each publication into a folder, called by its name; one that fails leaves nothing and stops no other.

    Booklets contain the `attached` files and report the `changes` since an earlier release. The graphs of the first
    booklet and of the first handout are also written into the folder `graphs`. Processes of an `executor` share the
    work if there is one; they must be on this machine. `advance` is called with the name of each finished publication.

    Raises
    ------
    OSError
        If a file cannot be written.
    WorkerError
        If a process of the executor died.
    """
    documents = _documents(data, attached, changes)
    if executor is None:
        done: dict[str, int | Exception] = {}
        for document in documents:
            done[document.name] = document.print(folder)
            advance(document.name)
        return Prints.of(done)
    futures = {executor.submit(document.print, folder): document.name for document in documents}
    try:
        for future in as_completed(futures):
            future.result()
            advance(futures[future])
    except BrokenExecutor as error:
        raise WorkerError(command_line.PRINT_ENDED()) from error
    finally:
        for future in futures:
            future.cancel()
    return Prints.of({name: future.result() for future, name in futures.items()})


def _documents(data: DataSet, attached: Mapping[str, bytes], changes: Changes | None) -> list[_Document]:
    """Every document, those that take longest first."""
    catalogue = data.catalogue
    booklets, charts, handouts = (
        [own.printed.name for own in kind] for kind in (catalogue.booklets, catalogue.charts, catalogue.handouts)
    )
    booklet = partial(print_booklet, data, attached=attached, changes=changes)
    return [
        *(_Document(name, partial(booklet, name=name), name == booklets[0]) for name in booklets),
        *(_Document(name, partial(print_counter_chart, data, name)) for name in charts),
        *(_Document(name, partial(print_handout, data, name), name == handouts[0]) for name in handouts),
        *(_Document(f"{name}-answers", partial(print_answer_key, data, name)) for name in handouts),
    ]
