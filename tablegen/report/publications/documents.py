"""Every document that a data set is written as: publications, workbook, look-up page; and what each is made from."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tablegen.dataset.csv_files import csv_of
from tablegen.dataset.dataset import Changes, DataSet
from tablegen.dataset.outputs import MadeDocument
from tablegen.dataset.shown import shown_by
from tablegen.model.inputs import Catalogue
from tablegen.model.names import phone_page_name
from tablegen.report.pdf.document_file import Attachments
from tablegen.report.phone.phone_page import write_phone_page
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.workbook import write_workbook
from tablegen.sweep.identity import program_identity

WORKBOOK, LOOK_UP = "windows", "lookup"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedDocument:
    """A document to write.

    Attributes
    ----------
    name, file : str
        What it is called, and the name of its file.
    made_from : str
        Hash of everything that its bytes follow from.
    writer : callable
        Writes it to `target` and returns its number of pages; with `graph_files` also its graphs into a folder `graphs`.
    """

    name: str
    file: str
    made_from: str
    writer: Callable[..., int]
    graph_files: bool = False

    def write(self, folder: Path) -> MadeDocument | Exception:
        """Write it into a folder: what was written, or why it could not be.

        Raises
        ------
        OSError
            If a file cannot be written.
        """
        # Aside, so that one that fails leaves nothing.
        aside = folder / f".{self.name}"
        aside.mkdir()
        graphs = {"graphs": aside / "graphs" / self.name} if self.graph_files else {}
        try:
            pages = self.writer(target=aside / self.file, **graphs)
            made = MadeDocument.of(aside, [p for p in aside.rglob("*") if p.is_file()], self.made_from, pages)
            made.put(aside, folder, os.replace)
        except OSError:
            # No fault of the document: what it is written to is full, or gone.
            raise
        except Exception as error:
            return error
        finally:
            shutil.rmtree(aside)
        return made


def document_names(catalogue: Catalogue) -> list[str]:
    """The names of a catalogue's documents, those that take longest first."""
    booklets, charts, handouts = _names(catalogue)
    return [*booklets, *handouts, WORKBOOK, *charts, *(_answers(name) for name in handouts), LOOK_UP]


def documents(data: DataSet, attached: Mapping[str, bytes], changes: Changes | None) -> list[PlannedDocument]:
    """Every document of a data set.

    Booklets contain the `attached` files and report the `changes` since an earlier release. Graphs of booklets and
    handouts are also written as files, a folder for each in the folder `graphs`, where the catalogue asks for them.
    """
    catalogue = data.catalogue
    everything = _hash(attached["manifest.json"], csv_of(changes.cells) if changes else b"")
    attachments = Attachments(attached, catalogue.printing.date)
    booklet = partial(print_booklet, PrintedData(data), attached=attachments, changes=changes)
    found = {
        WORKBOOK: _document(WORKBOOK, "windows.xlsx", everything, partial(_without_pages, write_workbook, data)),
        LOOK_UP: _document(LOOK_UP, phone_page_name(), everything, partial(_without_pages, write_phone_page, data)),
    }
    for own in catalogue.booklets:
        name = own.printed.name
        found[name] = _document(name, f"{name}.pdf", everything, partial(booklet, name=name), own.printed.graph_files)
    for chart in catalogue.charts:
        name, shown = chart.printed.name, shown_by(data, chart)
        found[name] = _document(name, f"{name}.pdf", _of(shown), partial(print_counter_chart, shown, name))
    for handout in catalogue.handouts:
        name, shown = handout.printed.name, shown_by(data, handout)
        printed, key = partial(print_handout, shown, name), partial(print_answer_key, shown, name)
        found[name] = _document(name, f"{name}.pdf", _of(shown), printed, handout.printed.graph_files)
        found[_answers(name)] = _document(_answers(name), f"{_answers(name)}.pdf", _of(shown), key)
    return [found[name] for name in document_names(catalogue)]


def _names(catalogue: Catalogue) -> tuple[list[str], list[str], list[str]]:
    kinds = (catalogue.booklets, catalogue.charts, catalogue.handouts)
    booklets, charts, handouts = ([own.printed.name for own in kind] for kind in kinds)
    return booklets, charts, handouts


def _answers(name: str) -> str:
    return f"{name}-answers"


def _document(
    name: str, file: str, data: str, writer: Callable[..., int], graph_files: bool = False
) -> PlannedDocument:
    made_from = _hash(data.encode(), program_identity().encode(), repr(graph_files).encode())
    return PlannedDocument(name=name, file=file, made_from=made_from, writer=writer, graph_files=graph_files)


def _without_pages(write: Callable[[DataSet, Path], None], data: DataSet, target: Path) -> int:
    write(data, target)
    return 0


def _of(shown: DataSet) -> str:
    return _hash(shown.fingerprint.encode(), *(digest.encode() for digest in shown.files_sha256.values()))


def _hash(*parts: bytes) -> str:
    found = hashlib.sha256()
    for part in parts:
        found.update(f"{len(part)} ".encode() + part)
    return found.hexdigest()
