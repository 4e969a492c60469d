"""Every printed edition of a data set beside the booklet."""

from __future__ import annotations

from pathlib import Path

from tablegen.catalogue.dataset import DataSet
from tablegen.publish.counter_chart import print_counter_chart


def print_editions(data: DataSet, folder: Path) -> dict[str, int]:
    """Print each edition into a folder, called by its name; return their numbers of pages.

    Raises
    ------
    PublishError
        As the editions raise it.
    """
    return {
        chart["name"]: print_counter_chart(data, chart["name"], folder / f"{chart['name']}.pdf")
        for chart in data.manifest["inputs"]["charts"]
    }
