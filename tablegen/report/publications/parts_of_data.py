"""The parts of a data set that its publications show, each made when the first print of one asks for it.

The parts of many families together are as large as the whole, so that only the last is kept: prints of one publication
follow one another, and share what is drawn for them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import TypeVar

from tablegen.dataset.csv_files import csv_of
from tablegen.dataset.dataset import DICTIONARY, MANIFEST, DataSet
from tablegen.dataset.release import CONFIGS
from tablegen.dataset.shown import shown_by
from tablegen.report.pdf.document_file import Attachments
from tablegen.report.publications.printed_data import PrintedData

V = TypeVar("V")
# Tables that no page of a booklet is made of, or that would make it half again as large, and config files: they are in the
# data set only.
_APART = ("windows.csv", "charts.csv", "exercises.csv", "exercise_tables.csv", "limit_forces.csv", CONFIGS)


def of_booklets(files: Mapping[str, V]) -> dict[str, V]:
    """Of the files of a data set, by name, those that a booklet contains."""
    return {name: file for name, file in files.items() if name not in _APART}


class PartsOfData:
    """The parts of a data set, by publication.

    Parameters
    ----------
    data : DataSet
    """

    def __init__(self, data: DataSet) -> None:
        self._data = data
        self._identities: dict[str, str] = {}
        self._last: tuple[str, PrintedData] | None = None
        self._attached: tuple[str, Attachments] | None = None

    def __reduce__(self) -> tuple[type[PartsOfData], tuple[DataSet]]:
        # What is found in it is quickly found again.
        return PartsOfData, (self._data,)

    def identity(self, publication: str) -> str:
        """A hash of everything that a publication shows."""
        if publication not in self._identities:
            shown = self.printed(publication).computed
            digests = [shown.fingerprint, *shown.files_sha256.values()]
            self._identities[publication] = hashlib.sha256(" ".join(digests).encode()).hexdigest()
        return self._identities[publication]

    def printed(self, publication: str) -> PrintedData:
        """What a publication shows."""
        if self._last is None or self._last[0] != publication:
            self._last = publication, PrintedData(shown_by(self._data, publication))
        return self._last[1]

    def attachments(self, publication: str) -> Attachments:
        """What a publication shows, as files that it contains, compressed once for all prints."""
        if self._attached is None or self._attached[0] != publication:
            shown = self.printed(publication).computed
            files = {name: file.content() for name, file in of_booklets(shown.files).items()}
            files |= {DICTIONARY: csv_of(shown.columns()), MANIFEST: shown.manifest()}
            self._attached = publication, Attachments(files, shown.catalogue.printing.date)
        return self._attached[1]
