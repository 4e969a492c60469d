"""Every printed edition of a data set."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from tablegen.catalogue.dataset import Changes, DataSet
from tablegen.publish.booklet import print_booklet
from tablegen.publish.counter_chart import print_counter_chart
from tablegen.publish.handout import print_answer_key, print_handout


def names_of(data: DataSet, kind: str) -> list[str]:
    """The files of a kind of edition (`booklets`, `charts`, `handouts`), without suffix."""
    return [str(edition["printed"]["name"]) for edition in data.manifest["inputs"][kind]]


def print_editions(
    data: DataSet, folder: Path, attached: Mapping[str, bytes], changes: Changes | None = None
) -> dict[str, int]:
    """Print each edition into a folder, called by its name; return their numbers of pages.

    Booklets carry the `attached` files and say what `changes` there were since an earlier release. The graphs of the
    first booklet and of the first handout are also written into the folder `graphs`.

    Raises
    ------
    PublishError
        As the editions raise it.
    """
    pages: dict[str, int] = {}
    graphs = folder / "graphs"
    for i, name in enumerate(names_of(data, "booklets")):
        own = None if i else graphs
        pages[name] = print_booklet(data, name, folder / f"{name}.pdf", attached, own, changes)
    for name in names_of(data, "charts"):
        pages[name] = print_counter_chart(data, name, folder / f"{name}.pdf")
    for i, name in enumerate(names_of(data, "handouts")):
        pages[name] = print_handout(data, name, folder / f"{name}.pdf", None if i else graphs)
        pages[f"{name}-answers"] = print_answer_key(data, name, folder / f"{name}-answers.pdf")
    return pages
