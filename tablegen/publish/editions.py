"""Every printed edition of a data set beside the booklet."""

from __future__ import annotations

from pathlib import Path

from tablegen.catalogue.dataset import DataSet
from tablegen.publish.counter_chart import print_counter_chart
from tablegen.publish.handout import print_answer_key, print_handout


def print_editions(data: DataSet, folder: Path) -> dict[str, int]:
    """Print each edition into a folder, called by its name; return their numbers of pages.

    Raises
    ------
    PublishError
        As the editions raise it.
    """
    pages = {
        chart["name"]: print_counter_chart(data, chart["name"], folder / f"{chart['name']}.pdf")
        for chart in data.manifest["inputs"]["charts"]
    }
    for handout in data.manifest["inputs"]["handouts"]:
        name = handout["name"]
        pages[name] = print_handout(data, name, folder / f"{name}.pdf")
        pages[f"{name}-answers"] = print_answer_key(data, name, folder / f"{name}-answers.pdf")
    return pages
