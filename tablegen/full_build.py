"""A build that computes: data set, documents that have changed, and a record of what they were made from."""

from __future__ import annotations

import shutil
from collections.abc import Collection, Iterable, Mapping
from concurrent.futures import Executor
from dataclasses import replace
from pathlib import Path

from tablegen.building import BuildReport, made_from
from tablegen.config.checks import check_prints
from tablegen.config.input_state import input_state, other_inputs
from tablegen.config.loader import load_catalogue
from tablegen.config.release_configs import pack_configs
from tablegen.config.revision_reasons import reasons_by_table
from tablegen.config.selection import Selection
from tablegen.dataset.comparison import changes_since
from tablegen.dataset.compute import compute
from tablegen.dataset.csv_files import csv_of
from tablegen.dataset.outputs import MadeDocument, OutputRecord
from tablegen.dataset.release import CONFIGS, read_release
from tablegen.errors import RequestError, TablegenError, unknown
from tablegen.files import is_regular, replace_folder
from tablegen.model.own_texts import without_translations
from tablegen.progress import progress
from tablegen.report.publications.documents import PlannedDocument, document_names, documents
from tablegen.report.publications.print_all import write_documents
from tablegen.sweep.parts import Inline, WindowCache
from tablegen.sweep.sweep import SweepOptions, count_parts
from tablegen.wording import command_line as wording
from tablegen.workers import workers as process_pool

# The data set, as a document.
_DATA = "data set"


def compute_and_write(
    catalogue_path: Path,
    output: Path,
    *,
    only: Collection[str],
    since: Path | None,
    stock: Path | None,
    rebuild: bool,
    workers: int,
    executor: Executor | None,
    is_shown: bool,
) -> BuildReport:
    """Build, whatever the last build made; parameters and errors are those of `tablegen.building.build`."""
    begun = input_state(catalogue_path)
    catalogue = load_catalogue(catalogue_path, Selection(stock=stock))
    check_prints(catalogue_path, catalogue)
    names = document_names(catalogue, with_notices=since is not None)
    for name in only:
        if name not in names:
            raise RequestError(unknown(wording.A_DOCUMENT(), name, names))
    release = read_release(since) if since is not None else None
    target = output / catalogue.name
    with (
        replace_folder(target) as stage,
        progress(count_parts(catalogue), is_shown) as shown,
        process_pool(workers) as pool,
    ):
        data = compute(catalogue, SweepOptions(executor or pool or Inline(), WindowCache(), shown.advance))
        changes = None
        if release is not None:
            changes = changes_since(release, data)
            reasons = reasons_by_table(release, catalogue_path, catalogue, data.group_windows)
            changes = replace(changes, reasons=reasons)
        data.write(stage)
        # Not the stock sheet, which may have prices and costs: who has an output need not read them.
        (stage / CONFIGS).write_bytes(pack_configs(catalogue_path, catalogue.data_files))
        if changes is not None:
            (stage / "changes.csv").write_bytes(csv_of(changes.cells))
        found = documents(data, stage, changes)
        files = sorted(stage.iterdir())
        earlier = OutputRecord.read(target)
        last = earlier.documents if earlier else {}
        unchanged = {} if rebuild else _unchanged(found, last, target, stage)
        changed = [document for document in found if document.name not in unchanged]
        wanted = [document for document in changed if not only or document.name in only]
        others_of = [document for document in changed if only and document.name not in only]
        stayed = {} if rebuild else _with_same_figures(others_of, last, target, stage)
        shown.expect(len(wanted))
        prints = write_documents(wanted, stage, pool, shown.begin, shown.advance)
        if prints.failed:
            data.write(stage, {name: _text(error) for name, error in prints.failed.items()})
        made = {**unchanged, **stayed, **prints.made}
        others = other_inputs(catalogue.files)
        is_sound = not prints.failed and begun == input_state(catalogue_path)
        record = OutputRecord(
            made_from=made_from(catalogue_path, others, since, stock) if is_sound else "",
            other_inputs=others,
            documents={**made, _DATA: MadeDocument.of(stage, files, "")},
            left_out=tuple(document.name for document in found if document.name not in made),
            stayed=tuple(stayed),
            fingerprint=data.fingerprint,
            windows=data.summary.windows.rows,
            open_windows=data.summary.windows.open,
            warnings=(
                *data.summary.warnings,
                *(catalogue.stock.notes if catalogue.stock else ()),
                *without_translations(catalogue),
            ),
        )
        record.write(stage)
        if earlier:
            _carry_over(earlier.others_in(target), target, stage)
    return BuildReport.of(target, record, unchanged, prints.failed, last)


def _unchanged(
    documents: Collection[PlannedDocument], made: Mapping[str, MadeDocument], last: Path, stage: Path
) -> dict[str, MadeDocument]:
    """Documents of the last output that would be the same again, copied."""
    known = {own.name: own.made_from for own in documents}
    return _copied({name: own for name, own in made.items() if own.made_from == known.get(name)}, last, stage)


def _with_same_figures(
    documents: Collection[PlannedDocument], made: Mapping[str, MadeDocument], last: Path, stage: Path
) -> dict[str, MadeDocument]:
    """Documents of the last output that contradict nothing of the new data, copied; they are made again with the others."""
    known = {own.name: own.figures for own in documents if own.figures}
    return _copied({name: own for name, own in made.items() if own.figures == known.get(name)}, last, stage)


def _carry_over(names: Iterable[Path], last: Path, stage: Path) -> None:
    """Copy what people put into the last output beside what was written there."""
    for name in names:
        if not (stage / name).exists() and (is_regular(last / name) or (last / name).is_symlink()):
            (stage / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(last / name, stage / name, follow_symlinks=False)


def _copied(made: Mapping[str, MadeDocument], last: Path, stage: Path) -> dict[str, MadeDocument]:
    """Those of which every file is as it was written, copied."""
    whole = {name: own for name, own in made.items() if own.is_whole(last)}
    for own in whole.values():
        own.put(last, stage, shutil.copyfile)
    return whole


def _text(error: Exception) -> str:
    """One line."""
    return " ".join((str(error) if isinstance(error, TablegenError) else f"{type(error).__name__}: {error}").split())
