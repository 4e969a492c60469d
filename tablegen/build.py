"""The main job: a catalogue file in, a folder with data set and editions out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tablegen.catalogue.build import compute
from tablegen.catalogue.compare import changes_since, read_release
from tablegen.catalogue.dataset import FRAMES, csv_of
from tablegen.catalogue.output import replaced_folder
from tablegen.catalogue.sweep import count_solutions
from tablegen.config.project import load_catalogue
from tablegen.progress import progress
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
    with replaced_folder(target) as stage, progress(count_solutions(catalogue) + 1, is_shown) as shown:
        data = compute(catalogue, shown.advance)
        shown.begin("editions")
        data.write(stage)
        write_workbook(data, stage / "windows.xlsx")
        changes = changes_since(release, data) if release is not None else None
        if changes is not None:
            (stage / "changes.csv").write_bytes(csv_of(changes.cells))
        editions = print_editions(data, stage, _data_files(stage), changes)
        shown.advance("editions")
    counts = data.manifest["counts"]["windows"]
    return BuildReport(
        target, counts["rows"], counts["open"], data.fingerprint, tuple(data.manifest["warnings"]), editions
    )


def _data_files(folder: Path) -> dict[str, bytes]:
    """The data set as it stands on disk, by file name."""
    names = [*(f"{name}.csv" for name in FRAMES), "changes.csv", "manifest.json"]
    return {name: (folder / name).read_bytes() for name in names if (folder / name).exists()}
