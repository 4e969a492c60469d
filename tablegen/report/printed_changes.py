"""What a publication prints otherwise than an earlier release did, and the reasons that the record of revisions gives."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from tablegen.model.company import Revision
from tablegen.model.publications import Combination
from tablegen.report.publications.publication import Publication
from tablegen.report.rows import ChangedRow, rows_of
from tablegen.report.window_texts import WindowTableRow, cell_text, changed_texts
from tablegen.wording import booklet as wording

# Places of a suction temperature [K]: one that came through another unit differs in its last figures.
_PLACES = 6
# Reasons in one cell [characters].
_LONGEST = 600
Cell = tuple[str, float]


def changed_windows_of(publication: Publication, part: Combination) -> list[ChangedRow]:
    """The windows of a printed table that are new or print other figures, sizes by their display names."""
    if publication.changes is None:
        return []
    found = []
    for row in rows_of(publication.rows(publication.changes.cells, part), ChangedRow):
        earlier, now = changed_texts(publication.formatter, row)
        if row.change_kind != "removed" and earlier != now:
            found.append(row._replace(size=publication.size(part.family, row.size)))
    return found


def with_changes(
    publication: Publication, part: Combination, rows: Sequence[WindowTableRow], places: Sequence[Sequence[Cell]]
) -> list[WindowTableRow]:
    """The rows of a printed table with what a screen reader says of the cells that changed; `places` are those of the cells."""
    changed = {cell_of(row.size, row.sst_k) for row in changed_windows_of(publication, part)}
    if publication.changes is None or not changed:
        return [*rows]
    revision = publication.changes.revision
    said = [
        [
            wording.CHANGED_WINDOW(window=cell_text(text), revision=revision) if cell in changed else ""
            for text, cell in zip(row.cells, own, strict=True)
        ]
        for row, own in zip(rows, places, strict=True)
    ]
    return [replace(row, changed=texts) for row, texts in zip(rows, said, strict=True)]


def cell_of(size: str, sst_k: float) -> Cell:
    """The cell of a size at a suction temperature [K]."""
    return size, round(sst_k, _PLACES)


def reasons_of(publication: Publication, part: Combination) -> list[str]:
    """Why the windows of a table changed, in the language of the publication."""
    changes = publication.changes
    if changes is None:
        return []
    given = changes.reasons.get((part.family, part.group, part.application), ())
    wanted = {(own.file, own.key) for own in given}
    since = publication.catalogue.printing.revisions_since(changes.revision)
    found = [own.why for revision in since for own in revision.reasons if (own.file, own.key) in wanted]
    return list(dict.fromkeys(found))


def change_and_reasons(revision: Revision) -> list[str]:
    """A line of the revision record with its reasons, each once, in texts of which none is too long for a page."""
    blocks = [wording.WHY_CHANGED(reasons=text) for text in _joined(dict.fromkeys(own.why for own in revision.reasons))]
    return [" ".join([revision.change, *blocks[:1]]), *blocks[1:]]


def _joined(texts: Iterable[str]) -> Iterator[str]:
    """Some texts at a time."""
    block: list[str] = []
    for text in texts:
        if sum(map(len, block)) > _LONGEST:
            yield " ".join(block)
            block = []
        block.append(text)
    if block:
        yield " ".join(block)
