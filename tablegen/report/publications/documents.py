"""Every document that a data set is written as: publications, workbook, database, look-up page; and what each is made from."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from tablegen.dataset.database import DATABASE_FILE, write_database
from tablegen.dataset.dataset import DICTIONARY, MANIFEST, Changes, DataSet
from tablegen.dataset.outputs import MadeDocument
from tablegen.dataset.shown import figures_of_all
from tablegen.model.company import PrintSettings
from tablegen.model.inputs import Catalogue
from tablegen.model.names import WORKBOOK, phone_page_name, workbook_name
from tablegen.model.own_texts import in_language
from tablegen.model.publications import Printed
from tablegen.report.graphs.graph_files import pixel_library
from tablegen.report.pdf.document_file import Attachments
from tablegen.report.phone.phone_page import write_phone_page
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.report.publications.parts_of_data import PartsOfData, of_booklets
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.revision_notice import notice_booklets, print_revision_notice
from tablegen.report.publications.shelf_labels import print_shelf_labels
from tablegen.report.workbook import write_workbook
from tablegen.sweep.identity import identity, program_identity
from tablegen.wording.language import ENGLISH, speaking

LOOK_UP, DATABASE = "lookup", "database"


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
        Writes it to `target` and returns its number of pages; with `graph_kinds` also its graphs into a folder `graphs`.
    language : str
        The language that it is written in.
    figures : str
        Hash of what it shows of the data; empty where `made_from` says no more than that.
    """

    name: str
    file: str
    made_from: str
    writer: Callable[..., int]
    graph_kinds: tuple[str, ...] = ()
    language: str = ENGLISH
    figures: str = ""

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
        graphs = {"graphs": aside / "graphs" / self.name} if self.graph_kinds else {}
        try:
            with speaking(self.language):
                pages = self.writer(target=aside / self.file, **graphs)
            files = [path for path in aside.rglob("*") if path.is_file()]
            made = MadeDocument.of(aside, files, self.made_from, pages, self.figures)
            made.put(aside, folder, os.replace)
        except OSError:
            # No fault of the document: what it is written to is full, or gone.
            raise
        except Exception as error:
            return error
        finally:
            shutil.rmtree(aside)
        return made


def document_names(catalogue: Catalogue, with_notices: bool = False) -> list[str]:
    """The names of a catalogue's documents, those that take longest first; of notices only if they are wanted."""
    booklets, charts, labels, handouts = _names(catalogue)
    notices = [own.printed.name for own in notice_booklets(catalogue)] if with_notices else []
    return [
        *booklets,
        *handouts,
        WORKBOOK,
        DATABASE,
        *notices,
        *charts,
        *labels,
        *(_answers(name) for name in handouts),
        LOOK_UP,
    ]


def documents(data: DataSet, written: Path, changes: Changes | None) -> list[PlannedDocument]:
    """Every document of a data set, which is `written` in a folder.

    Booklets contain what they show of the data, and report the `changes` since an earlier release; where there are any, a
    revision notice says what to do about them. Graphs of booklets and handouts are also written as files, a folder for
    each in the folder `graphs`, where the catalogue asks for them.
    """
    catalogue, printing = data.catalogue, data.catalogue.printing
    changed = changes.identity() if changes else b""
    # Another stock sheet changes no data.
    everything = _hash((written / MANIFEST).read_bytes(), identity(catalogue.stock).encode(), changed)
    complete, own_figures = (_hash(figures_of_all(data, whole).encode(), changed) for whole in (True, False))
    files = of_booklets({path.name: path for path in sorted(written.iterdir())})
    # Of a series each booklet contains its own part; together they are no larger than the data.
    wanted = {own.is_index for own in catalogue.booklets if not own.family}
    attached = {
        is_index: Attachments(
            {name: path.read_bytes() for name, path in files.items() if not is_index or name in (MANIFEST, DICTIONARY)},
            printing.date,
        )
        for is_index in wanted
    }
    parts = PartsOfData(data)
    used = dict.fromkeys([printing.language, *(own.printed.language for own in catalogue.booklets)])
    by_language = {code: replace(data, catalogue=in_language(catalogue, code)) for code in used}
    everywhere, here = {code: PrintedData(own) for code, own in by_language.items()}, by_language[printing.language]
    found = {
        WORKBOOK: _document(
            WORKBOOK,
            workbook_name(),
            everything,
            partial(_without_pages, write_workbook, here),
            printing,
            figures=own_figures,
        ),
        LOOK_UP: _document(
            LOOK_UP,
            phone_page_name(),
            everything,
            partial(_without_pages, write_phone_page, here),
            printing,
            figures=own_figures,
        ),
    }
    # Keys and figures are the same in every language.
    database = partial(_without_pages, write_database, data)
    in_english = replace(printing, language=ENGLISH)
    found[DATABASE] = _document(DATABASE, DATABASE_FILE, everything, database, in_english, figures=complete)
    for own in catalogue.booklets:
        name, graphs = own.printed.name, own.printed.graph_kinds
        if own.family:
            made_from, figures = _hash(parts.identity(own.printed.publication).encode(), changed), ""
            writer = partial(_print_part, parts, own.printed.publication, name, changes)
        else:
            made_from, figures = everything, complete
            writer = partial(
                print_booklet, everywhere[own.printed.language], name, attached=attached[own.is_index], changes=changes
            )
        found[name] = _document(name, f"{name}.pdf", made_from, writer, own.printed, graphs, figures)
    for chart in catalogue.charts:
        name, publication = chart.printed.name, chart.printed.publication
        printed = partial(_print, print_counter_chart, parts, publication, name)
        found[name] = _document(name, f"{name}.pdf", parts.identity(publication), printed, chart.printed)
    for labels in catalogue.labels:
        name, publication = labels.printed.name, labels.printed.publication
        printed = partial(_print, print_shelf_labels, parts, publication, name)
        found[name] = _document(name, f"{name}.pdf", parts.identity(publication), printed, labels.printed)
    for handout in catalogue.handouts:
        name, publication = handout.printed.name, handout.printed.publication
        for file, write, graphs in (
            (name, print_handout, handout.printed.graph_kinds),
            (_answers(name), print_answer_key, ()),
        ):
            printed = partial(_print, write, parts, publication, name)
            found[file] = _document(file, f"{file}.pdf", parts.identity(publication), printed, handout.printed, graphs)
    has_notices = changes is not None and not changes.is_empty
    if changes is not None and has_notices:
        for own in notice_booklets(catalogue):
            printed = partial(print_revision_notice, everywhere[own.printed.language], own, changes)
            name = own.printed.name
            found[name] = _document(name, f"{name}.pdf", _hash(everything.encode(), changed), printed, own.printed)
    return [found[name] for name in document_names(catalogue, has_notices)]


def _print(
    write: Callable[..., int], parts: PartsOfData, publication: str, name: str, target: Path, **graphs: Path
) -> int:
    """Print a chart, labels or a handout from the part of the data that its publication shows."""
    return write(parts.printed(publication), name, target, **graphs)


def _print_part(
    parts: PartsOfData, publication: str, name: str, changes: Changes | None, target: Path, graphs: Path | None = None
) -> int:
    """Print the booklet of one family."""
    data = parts.printed(publication)
    return print_booklet(data, name, target, parts.attachments(publication), graphs, _of_family(data.data, changes))


def _of_family(data: DataSet, changes: Changes | None) -> Changes | None:
    """The changes of the families of a data set."""
    if changes is None:
        return None
    return replace(changes, cells=changes.cells[changes.cells["family"].isin(data.catalogue.families)])


def _names(catalogue: Catalogue) -> tuple[list[str], list[str], list[str], list[str]]:
    kinds = (catalogue.booklets, catalogue.charts, catalogue.labels, catalogue.handouts)
    booklets, charts, labels, handouts = ([own.printed.name for own in kind] for kind in kinds)
    return booklets, charts, labels, handouts


def _answers(name: str) -> str:
    return f"{name}-answers"


def _document(
    name: str,
    file: str,
    data: str,
    writer: Callable[..., int],
    own: Printed | PrintSettings,
    graphs: tuple[str, ...] = (),
    figures: str = "",
) -> PlannedDocument:
    drawn = repr((graphs, pixel_library(graphs)))
    made_from, same_figures = (
        _hash(content.encode(), program_identity().encode(), drawn.encode()) for content in (data, figures)
    )
    return PlannedDocument(
        name=name,
        file=file,
        made_from=made_from,
        writer=writer,
        graph_kinds=graphs,
        language=own.language,
        figures=same_figures if figures else "",
    )


def _without_pages(write: Callable[[DataSet, Path], None], data: DataSet, target: Path) -> int:
    write(data, target)
    return 0


def _hash(*parts: bytes) -> str:
    found = hashlib.sha256()
    for part in parts:
        found.update(f"{len(part)} ".encode() + part)
    return found.hexdigest()
