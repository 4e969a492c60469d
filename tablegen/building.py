"""The main job: a catalogue file in, a folder with data set and publications out."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Executor
from dataclasses import dataclass
from pathlib import Path

from tablegen.config.checks import check_prints
from tablegen.config.loader import load_catalogue
from tablegen.dataset.comparison import changes_since
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import FRAMES, DataSet, csv_of
from tablegen.dataset.release import read_release
from tablegen.errors import TablegenError
from tablegen.files import replace_folder
from tablegen.progress import progress
from tablegen.report.phone.phone_page import write_phone_page
from tablegen.report.publications.print_all import count_publications, print_publications
from tablegen.report.workbook import write_workbook
from tablegen.sweep.parts import Inline, WindowCache
from tablegen.sweep.sweep import SweepOptions, count_parts
from tablegen.workers import workers as process_pool


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildReport:
    """What a build made.

    Attributes
    ----------
    folder : Path
    windows, open_windows : int
        Computed windows, and those that are not empty.
    fingerprint : str
        Twelve characters that identify the data.
    warnings : tuple of str
    publications : mapping
        Pages of each publication, by the name of its file.
    failed : mapping
        Publications that could not be printed, each with its error.
    """

    folder: Path
    windows: int
    open_windows: int
    fingerprint: str
    warnings: tuple[str, ...]
    publications: Mapping[str, int]
    failed: Mapping[str, Exception]


def build(
    catalogue_path: Path,
    output: Path,
    *,
    since: Path | None = None,
    workers: int = 1,
    executor: Executor | None = None,
    is_shown: bool = False,
) -> BuildReport:
    """Compute and print a catalogue into `output`/<its name>.

    A publication that cannot be printed is left out: data set and the other publications take the place of the last
    output, and `manifest.json` names it under `not_printed`.

    Parameters
    ----------
    catalogue_path, output : Path
    since : Path, optional
        The folder of a release to compare with.
    workers : int
        Processes that share the work; 1 means this process alone.
    executor : Executor, optional
        Computes the sweep instead of these processes, on whatever machines it has; publications are printed here.
    is_shown : bool
        Whether to show a progress bar on stderr.

    Raises
    ------
    ConfigError, DataSetError, PropertyError, WorkerError, OutputError
        The last good output is untouched then.
    """
    catalogue = load_catalogue(catalogue_path)
    check_prints(catalogue_path, catalogue)
    release = read_release(since) if since is not None else None
    target = output / catalogue.name
    with (
        replace_folder(target) as stage,
        progress(count_parts(catalogue), is_shown) as shown,
        process_pool(workers) as pool,
    ):
        data = compute(catalogue, SweepOptions(executor or pool or Inline(), WindowCache(), shown.advance))
        changes = changes_since(release, data) if release is not None else None
        shown.begin("publications", count_publications(data))
        data.write(stage)
        write_workbook(data, stage / "windows.xlsx")
        failed = _look_up(data, stage / "lookup.html")
        if changes is not None:
            (stage / "changes.csv").write_bytes(csv_of(changes.cells))
        prints = print_publications(data, stage, _data_files(stage), changes, pool, shown.advance)
        failed |= prints.failed
        if failed:
            data.write(stage, {name: _text(error) for name, error in failed.items()})
    counts = data.summary.windows
    return BuildReport(
        folder=target,
        windows=counts.rows,
        open_windows=counts.open,
        fingerprint=data.fingerprint,
        warnings=data.summary.warnings,
        publications=prints.pages,
        failed=failed,
    )


def _look_up(data: DataSet, target: Path) -> dict[str, Exception]:
    """Write the look-up page; why not, if it cannot be."""
    try:
        write_phone_page(data, target)
    except OSError:
        raise
    except Exception as error:
        target.unlink(missing_ok=True)
        return {target.name: error}
    return {}


def _text(error: Exception) -> str:
    """One line."""
    return " ".join((str(error) if isinstance(error, TablegenError) else f"{type(error).__name__}: {error}").split())


def _data_files(folder: Path) -> dict[str, bytes]:
    """The data set as it stands on disk, by file name."""
    names = [*(f"{name}.csv" for name in FRAMES), "changes.csv", "manifest.json"]
    return {name: (folder / name).read_bytes() for name in names if (folder / name).exists()}
