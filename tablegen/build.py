"""The main job: a catalogue file in, a folder with data set and editions out."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

from tablegen.catalogue.build import compute
from tablegen.catalogue.compare import changes_since, read_release
from tablegen.catalogue.dataset import FRAMES, csv_of
from tablegen.catalogue.kept_parts import PartStore
from tablegen.catalogue.output import replaced_folder
from tablegen.catalogue.parts import Inline
from tablegen.catalogue.sweep import Means, count_parts
from tablegen.config.print_check import check_prints
from tablegen.config.project import load_catalogue
from tablegen.progress import progress
from tablegen.publish.editions import count_editions, print_editions
from tablegen.publish.lookup_page import write_lookup
from tablegen.publish.workbook import write_workbook
from tablegen.workers import workers


@dataclass(frozen=True, slots=True)
class BuildReport:
    """What a build made."""

    folder: Path
    windows: int
    open_windows: int
    fingerprint: str
    warnings: tuple[str, ...]
    editions: Mapping[str, int]


def build(
    catalogue_path: Path,
    output: Path,
    is_shown: bool = False,
    earlier: Path | None = None,
    worker_count: int = 1,
    executor: Executor | None = None,
) -> BuildReport:
    """Compute and print a catalogue into `output`/<its name>.

    Parameters
    ----------
    catalogue_path, output : Path
    is_shown : bool
        Whether a progress bar is wanted on stderr.
    earlier : Path, optional
        The folder of a release to compare with.
    worker_count : int
        Processes that share the work; this one alone if it is 1.
    executor : Executor, optional
        What computes the sweep in place of these processes, on whatever machines it has; editions are printed here.

    Raises
    ------
    ConfigError, DataSetError, PropertyError, PublishError, WorkerError, OutputError
        The last good output is untouched then.
    """
    catalogue = load_catalogue(catalogue_path)
    check_prints(catalogue_path, catalogue)
    release = read_release(earlier) if earlier is not None else None
    target = output / catalogue.name
    with (
        replaced_folder(target) as stage,
        progress(count_parts(catalogue), is_shown) as shown,
        workers(worker_count) as pool,
    ):
        data = compute(catalogue, Means(executor or pool or Inline(), PartStore(), shown.advance))
        changes = changes_since(release, data) if release is not None else None
        shown.begin("editions", count_editions(data))
        data.write(stage)
        write_workbook(data, stage / "windows.xlsx")
        write_lookup(data, stage / "lookup.html")
        if changes is not None:
            (stage / "changes.csv").write_bytes(csv_of(changes.cells))
        editions = print_editions(data, stage, _data_files(stage), changes, pool, shown.advance)
    counts = data.manifest["counts"]["windows"]
    return BuildReport(
        target, counts["rows"], counts["open"], data.fingerprint, tuple(data.manifest["warnings"]), editions
    )


def _data_files(folder: Path) -> dict[str, bytes]:
    """The data set as it stands on disk, by file name."""
    names = [*(f"{name}.csv" for name in FRAMES), "changes.csv", "manifest.json"]
    return {name: (folder / name).read_bytes() for name in names if (folder / name).exists()}
