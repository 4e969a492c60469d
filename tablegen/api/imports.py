"""Sheets of sizes, bulb charges, part numbers and bench readings read into a catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from tablegen.api._import_files import ImportedFiles
from tablegen.api._inputs import path_of
from tablegen.config import packaged_configs
from tablegen.config.import_columns import OPENING, PRESSURE, SHARE_OF_KV, TEMPERATURE, SheetKind
from tablegen.config.import_family import families_named
from tablegen.config.import_problems import joined_by_line
from tablegen.config.import_sheets import ImportSheet, read_import_sheets
from tablegen.errors import ConfigError, RequestError
from tablegen.wording import imports as wording


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportReport:
    """What sheets were taken for, and what was written.

    `differences` has how each file changes, by its name, as a unified diff; `files` are those that were written, none of a
    dry run.
    """

    family: str
    sheets: tuple[ImportSheet, ...]
    designs: Mapping[str, tuple[Sequence[str], Sequence[str]]]
    differences: Mapping[str, str]
    files: tuple[Path, ...]
    notes: tuple[str, ...]

    def lines(self) -> list[str]:
        """What was taken for what, a line for each sheet and each of its columns."""
        found = []
        for sheet in self.sheets:
            found.append(wording.SHEET_TAKEN(file=sheet.shown, what=wording.KINDS[sheet.kind](len(sheet.rows))))
            for column in sheet.columns:
                if sheet.kind is not SheetKind.KEYS:
                    key = column.column.key
                    if column.column in (TEMPERATURE, PRESSURE, OPENING, SHARE_OF_KV):
                        key = wording.POINT(key=key)
                    example = sheet.example(column)
                    if example:
                        found.append(wording.COLUMN_READ(heading=column.heading, key=key, example=example))
                    else:
                        found.append(wording.COLUMN_EMPTY(heading=column.heading, key=key))
            if sheet.has_decimal_comma:
                found.append(wording.DECIMAL_COMMA())
            if sheet.unused:
                found.append(wording.NOT_READ(headings=", ".join(sheet.unused)))
            if sheet.kind is SheetKind.SIZES:
                for design, (sizes, keys) in self.designs.items():
                    listed = ", ".join(keys)
                    found.append(wording.DESIGN_MADE(sizes=", ".join(sizes), keys=listed, design=design))
        return found


def import_tables(
    *files: str | Path,
    family: str | None = None,
    keys: Iterable[str] = (),
    delete_sizes: bool = False,
    dry_run: bool = False,
    catalogue: str | Path | None = None,
) -> ImportReport:
    """Read sizes, bulb charges, part numbers and bench readings from CSV or XLSX into a catalogue.

    A sheet is recognized by its headings.  A new family gets a file, one that the catalogue has is changed with its
    comments; the catalogue lists it.  Nothing is written unless the catalogue can be used with it.

    Parameters
    ----------
    *files : path
        CSV or XLSX files; a workbook may have a sheet of each kind.
    family : str, optional
        The key of the family; if it is not given, the one in the sheet of keys.
    keys : sequence of str
        Keys of the family's file, such as "title=Own valves"; they go before those of a sheet.
    delete_sizes : bool
        Whether a sheet of sizes deletes those that it does not have, and one of bench readings those of sizes that it does
        not have; without it such a sheet is refused.
    dry_run : bool
        Whether nothing is written.
    catalogue : path
        A catalogue file or its folder, which is not the packaged demo.

    Returns
    -------
    ImportReport
        What was taken for what, how files change, and which were written.

    Raises
    ------
    ConfigError
        If a sheet cannot be read, something is missing, or the catalogue could not be used; with every problem.
    RequestError
        If no family is named, or a value of `keys` is not of the form KEY=VALUE.
    OutputError
        If a file cannot be written.

    Examples
    --------
    >>> import shutil, tempfile
    >>> from tablegen.config import packaged_configs
    >>> folder = Path(tempfile.mkdtemp())
    >>> configs = Path(shutil.copytree(packaged_configs(), folder / "configs"))
    >>> sheet = "size;Kv [L/h]\\n20;20\\n32;32\\n50;50,5\\n80;80\\n125;125\\n200;200\\n"
    >>> count = (folder / "sizes.csv").write_text(sheet)
    >>> report = import_tables(folder / "sizes.csv", family="larch", dry_run=True, catalogue=configs)
    >>> print(report.lines()[2])
      Kv [L/h] -> kv, for example 20 L/h
    >>> sorted(report.differences), report.files
    (['families/larch.yaml'], ())
    >>> shutil.rmtree(folder)
    """
    if catalogue is None:
        raise RequestError(wording.NOT_THE_DEMO())
    path = path_of(catalogue)
    if path.parent.resolve() == packaged_configs().resolve():
        raise RequestError(wording.NOT_THE_DEMO())
    pairs = [_key_and_value(text) for text in keys]
    try:
        return _imported(path, [Path(file) for file in files], family, pairs, delete_sizes, dry_run)
    except ConfigError as error:
        raise ConfigError(joined_by_line(error.problems)) from error


def _imported(
    path: Path,
    files: Sequence[Path],
    family: str | None,
    pairs: Sequence[tuple[str, str]],
    may_delete_sizes: bool,
    dry_run: bool,
) -> ImportReport:
    sheets = read_import_sheets(files)
    names = list(dict.fromkeys([*([family] if family else []), *families_named(sheets)]))
    names += [value for key, value in pairs if key == "family" and value not in names]
    if len(names) > 1:
        raise RequestError(wording.TWO_FAMILIES(first=names[0], second=names[1]))
    if not names and any(sheet.kind is not SheetKind.PART_NUMBERS for sheet in sheets):
        raise RequestError(wording.NO_FAMILY())
    made = ImportedFiles(
        catalogue=path,
        family=names[0] if names else "",
        sheets=sheets,
        keys=pairs,
        may_delete_sizes=may_delete_sizes,
    )
    made.check()
    written = () if dry_run else made.write()
    return ImportReport(
        family=made.family,
        sheets=tuple(sheets),
        designs=made.designs,
        differences=made.differences(),
        files=written,
        notes=made.notes,
    )


def _key_and_value(text: str) -> tuple[str, str]:
    key, equals, value = text.partition("=")
    if not equals or not key.strip() or not value.strip():
        raise RequestError(wording.SET_RULE(value=repr(text)))
    return key.strip(), value.strip()
