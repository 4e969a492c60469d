"""A catalogue of an earlier format brought to today's."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import ExitStack, suppress
from dataclasses import dataclass
from pathlib import Path

from tablegen.api._changed_files import ChangedFiles
from tablegen.api._inputs import path_of
from tablegen.api.catalogues import check
from tablegen.config import packaged_configs
from tablegen.config._catalogue_model import FORMAT
from tablegen.config._input_files import shown_name
from tablegen.config.upgrade import NewName, upgrade_of
from tablegen.errors import ConfigError, FileProblem, RequestError
from tablegen.files import locked
from tablegen.wording import upgrade as wording


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeReport:
    """What has another name today, and what was written.

    `differences` has how each file changes, by its name, as a unified diff; `files` are those that were written, none of a
    dry run. `problems` are what is wrong in the catalogue afterwards; a dry run does not look for them.
    """

    catalogue: Path
    format: int | None
    renamings: tuple[NewName, ...]
    differences: Mapping[str, str]
    files: tuple[Path, ...]
    problems: tuple[FileProblem, ...]

    @property
    def is_current(self) -> bool:
        """Whether there was nothing to change."""
        return self.format == FORMAT and not self.renamings

    def lines(self) -> list[str]:
        """Each change, a line each."""
        shown = shown_name(self.catalogue)
        if self.is_current:
            return [wording.CURRENT(file=shown, number=FORMAT)]
        found = []
        if self.format is None:
            found.append(wording.FORMAT_ADDED(file=shown, number=FORMAT))
        elif self.format != FORMAT:
            found.append(wording.FORMAT_CHANGED(file=shown, was=self.format, number=FORMAT))
        return [*found, *map(_line, self.renamings)]


def _line(own: NewName) -> str:
    if not own.line:
        return wording.FOLDER(file=own.file, now=own.now)
    if not own.key:
        return wording.COLUMN(file=own.file, line=own.line, was=own.was, now=own.now)
    if own.is_value:
        return wording.VALUE(file=own.file, line=own.line, key=own.key, was=own.was, now=own.now)
    return wording.KEY(file=own.file, line=own.line, key=own.key, now=own.now)


def upgrade(catalogue: str | Path | None = None, *, dry_run: bool = False) -> UpgradeReport:
    """Bring the config files of a catalogue to the format of this version.

    Keys, values, folders and columns get their names of today, the catalogue its format number. Comments, order and line
    ends stay.

    Parameters
    ----------
    catalogue : path
        A catalogue file or its folder; the packaged demo is not changed.
    dry_run : bool
        Whether nothing is written.

    Returns
    -------
    UpgradeReport
        What changes, the files that were written, and what is wrong in the catalogue afterwards.

    Raises
    ------
    RequestError
        If it is the packaged demo.
    ConfigError
        If a file cannot be read, is no YAML, or has a format that this version does not know.
    OutputError
        If a file cannot be written, or another run is changing them; run it again, and it goes on.

    Examples
    --------
    >>> import shutil, tempfile
    >>> from tablegen.config import packaged_configs
    >>> folder = Path(tempfile.mkdtemp())
    >>> configs = Path(shutil.copytree(packaged_configs(), folder / "configs"))
    >>> file = configs / "catalogue.yaml"
    >>> count = file.write_text(file.read_text().replace("format:", "# format:"))
    >>> report = upgrade(configs, dry_run=True)
    >>> report.format, report.renamings, list(report.differences)
    (None, (), ['catalogue.yaml'])
    >>> shutil.rmtree(folder)
    """
    path = path_of(catalogue)
    if catalogue is None or path.parent.resolve() == packaged_configs().resolve():
        raise RequestError(wording.NOT_THE_DEMO())
    with ExitStack() as stack:
        if not dry_run:
            # Where no file can be made, that is said of the first that is to be written.
            with suppress(OSError):
                lock = path.parent / f".{path.name}.lock"
                stack.enter_context(locked(lock, wording.OTHER_RUN(file=shown_name(path))))
        found = upgrade_of(path)
        files = ChangedFiles(path.parent)
        for own, content in found.contents.items():
            files.put(own, content)
        written = () if dry_run else files.write(path, wording.AGAIN(), found.folders.items())
        return UpgradeReport(
            catalogue=path,
            format=found.format,
            renamings=found.renamings,
            differences=files.differences(),
            files=written,
            problems=() if dry_run else _problems(path),
        )


def _problems(path: Path) -> tuple[FileProblem, ...]:
    try:
        check(path)
    except ConfigError as error:
        return tuple(error.problems)
    return ()
