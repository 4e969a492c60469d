"""Article numbers as pages print them: each size with its numbers."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from tablegen.report.formatter import NBSP
from tablegen.report.publications.publication import Publication


def sizes_with_numbers(publication: Publication, family: str, sizes: Collection[str], charge: str) -> str:
    """Sizes (keys) with the numbers of what is ordered with a charge, "" for what is ordered with any."""
    found = []
    for size in sizes:
        rows = [a for a in publication.articles(family) if a["size"] in ("", size) and a["charge"] == charge]
        if rows:
            numbers = ", ".join(dict.fromkeys(_number(publication, row) for row in rows))
            found.append(f"{publication.size(family, size)}: {numbers}".replace(" ", NBSP))
    return "; ".join(found)


def numbers_of_size(publication: Publication, family: str, size: str) -> str:
    """Every number of a size, called as in print, whatever it is ordered with."""
    own = publication.inputs["families"][family]["sizes"]
    size = next(str(one["name"]) for one in own if one["display_name"] == size)
    return "; ".join(dict.fromkeys(a["number"] for a in publication.articles(family) if a["size"] in ("", size)))


def _number(publication: Publication, row: dict[str, Any]) -> str:
    """A number with what it hangs on beside the charge."""
    length = row["capillary_m"]
    about: Iterable[str] = (
        f"{row['equalizer']} equalizer" if row["equalizer"] else "",
        row["connections"],
        "" if length is None else f"capillary {publication.formatter.length(length)}",
    )
    listed = ", ".join(text for text in about if text)
    return f"{row['number']} ({listed})" if listed else str(row["number"])
