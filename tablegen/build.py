"""The main job: a catalogue file in, a folder with data set and editions out."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tqdm import tqdm

from tablegen.catalogue.build import compute
from tablegen.catalogue.compare import changes_since, read_release
from tablegen.catalogue.dataset import FRAMES, csv_of
from tablegen.catalogue.output import replaced_folder
from tablegen.catalogue.sweep import count_solutions
from tablegen.config.project import load_catalogue
from tablegen.publish.editions import print_editions
from tablegen.publish.workbook import write_workbook


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
    catalogue_path: Path, output: Path, is_shown: bool = False, earlier: Path | None = None
) -> BuildReport:
    """Compute and print a catalogue into `output`/<its name>.

    `is_shown` asks for a progress bar on stderr; `earlier` is the folder of a release to compare with.

    Raises
    ------
    ConfigError, DataSetError, PropertyError, PublishError, OutputError
        The last good output is untouched then.
    """
    catalogue = load_catalogue(catalogue_path)
    release = read_release(earlier) if earlier is not None else None
    target = output / catalogue.name
    with replaced_folder(target) as stage:
        total = count_solutions(catalogue) + 1
        # A terminal that does not tell its size has 0 rows and columns, in which the bar would show nothing.
        columns, rows = shutil.get_terminal_size()
        with tqdm(
            total=total, disable=not is_shown, leave=False, unit="part", ncols=min(columns, 100), nrows=rows
        ) as bar:

            def advance(name: str) -> None:
                bar.set_description_str(name)
                bar.update()

            data = compute(catalogue, advance)
            bar.set_description_str("editions")
            data.write(stage)
            write_workbook(data, stage / "windows.xlsx")
            changes = changes_since(release, data) if release is not None else None
            if changes is not None:
                (stage / "changes.csv").write_bytes(csv_of(changes.cells))
            editions = print_editions(data, stage, _data_files(stage), changes)
            bar.update()
    counts = data.manifest["counts"]["windows"]
    return BuildReport(
        target, counts["rows"], counts["open"], data.fingerprint, tuple(data.manifest["warnings"]), editions
    )


def _data_files(folder: Path) -> dict[str, bytes]:
    """The data set as it stands on disk, by file name."""
    names = [*(f"{name}.csv" for name in FRAMES), "changes.csv", "manifest.json"]
    return {name: (folder / name).read_bytes() for name in names if (folder / name).exists()}
