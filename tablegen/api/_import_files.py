"""The files that an import writes: what they become, whether the catalogue can be used with them, and the writing."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path
from typing import ParamSpec

from tablegen.api._changed_files import ChangedFiles
from tablegen.api.catalogues import check
from tablegen.config._input_files import SCHEMA_LINE, SUFFIX, in_place_of, read_limited, shown_name
from tablegen.config._part_numbers import MAX_BYTES
from tablegen.config._validation import validate
from tablegen.config.bench_family import bench_family
from tablegen.config.bench_file import read_bench
from tablegen.config.document import (
    ConfigDocument,
    Place,
    Yaml,
    document_of,
    mappings,
    read_document,
    read_file,
    spell,
)
from tablegen.config.family_model import FAMILY_KINDS
from tablegen.config.fields import DEVICE, NAME
from tablegen.config.import_columns import SheetKind, headings_for
from tablegen.config.import_family import FamilyFromSheets
from tablegen.config.import_sheets import ImportSheet, read_import_sheets
from tablegen.config.json_schema import said_of
from tablegen.config.refrigerant_files import load_registry
from tablegen.config.sheet import cell_text, folded, sheet_of, table_in
from tablegen.config.starter import SCHEMAS
from tablegen.config.yaml_edit import edited, in_text_of
from tablegen.config.yaml_text import as_yaml
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.wording import config_errors, input_errors
from tablegen.wording import imports as wording

P = ParamSpec("P")
_LIST = "part_numbers.csv"
# What is given of a key that has keys below it.
_BELOW = {
    "approved": ("approved.safety_groups",),
    "opening": ("opening.stop", "opening.minimum_stable"),
    "port": ("port.unbalance",),
}


class ImportedFiles:
    """The files of a catalogue with what sheets give: nothing is written until `write`."""

    def __init__(
        self,
        *,
        catalogue: Path,
        family: str,
        sheets: Sequence[ImportSheet],
        keys: Iterable[tuple[str, str]],
        may_delete_sizes: bool = False,
    ) -> None:
        self.may_delete_sizes = may_delete_sizes
        self.catalogue, self.folder, self.family, self.sheets = catalogue, catalogue.parent, family, sheets
        self.notes: tuple[str, ...] = ()
        self._found: list[FileProblem] = []
        self.designs: Mapping[str, tuple[Sequence[str], Sequence[str]]] = {}
        self.document: ConfigDocument | None = None
        # Where each line of the list of part numbers comes from, and the number in it.
        self._listed: dict[int, Place] = {}
        self._numbers: dict[int, str] = {}
        self._list_name = ""
        self._files = ChangedFiles(self.folder)
        changed = read_document(catalogue)
        listed = dict(changed.data)
        if family:
            self._noting(self._add_family, dict(keys))
            names = listed.get("families")
            if isinstance(names, list) and family not in names:
                listed["families"] = [*names, family]
        for sheet in sheets:
            if sheet.kind is SheetKind.PART_NUMBERS:
                listed = _with_list(listed)
                self._noting(self._add_part_numbers, sheet, self.folder / str(listed["part_numbers"]))
            elif sheet.kind is SheetKind.BENCH:
                self._noting(self._add_bench, sheet)
        if self._found:
            raise ConfigError(self._found)
        if listed != changed.data:
            self._files.put(
                catalogue, _with(read_file(catalogue, shown_name(catalogue)), listed, shown_name(catalogue))
            )

    def _noting(self, step: Callable[P, None], *given: P.args, **named: P.kwargs) -> None:
        """Take a step, so that what is wrong in it is reported with what is wrong in the others."""
        try:
            step(*given, **named)
        except ConfigError as error:
            self._found += error.problems

    def _add_family(self, keys: Mapping[str, str]) -> None:
        refused = "" if NAME.fullmatch(self.family) else config_errors.NAME_CHARACTERS()
        if DEVICE.fullmatch(self.family):
            refused = config_errors.DEVICE_NAME()
        if refused:
            raise ConfigError([self._problem("family", str(BadValue(repr(self.family), refused)))])
        path = self.folder / "families" / f"{self.family}{SUFFIX}"
        old = read_document(path) if path.exists() else None
        of_family = [own for own in self.sheets if own.kind not in (SheetKind.PART_NUMBERS, SheetKind.BENCH)]
        if not of_family and not keys:
            return
        made = FamilyFromSheets(old=old, file=shown_name(path), may_delete_sizes=self.may_delete_sizes)
        at = Place(wording.SET_OPTION(), 0)
        made.set_key("family", self.family, at)
        for key, value in keys.items():
            made.set_key(key, value, at)
        made.add(of_family)
        for key, value in keys.items():
            made.set_key(key, value, at)
        self.document, self.designs = made.document(), made.made
        self.notes = tuple(made.notes)
        self._found += made.problems
        try:
            self._check_family(self.document)
        except ConfigError as error:
            # What sheets contradict would be found again in its row.
            self._found += [own for own in error.problems if not (made.problems and own.line)]
            return
        if old is None:
            self._files.put(path, self._family_text(self.document, of_family).encode())
        elif old.data != self.document.data:
            self._files.put(path, _with(read_file(path, shown_name(path)), self.document.data, shown_name(path)))

    def _family_text(self, document: ConfigDocument, sheets: Sequence[ImportSheet]) -> str:
        schema = self.folder / SCHEMAS / "family.schema.json"
        first = f"{SCHEMA_LINE}../{SCHEMAS}/{schema.name}\n" if schema.exists() else ""
        names = ", ".join(dict.fromkeys(sheet.path.name for sheet in sheets))
        return first + wording.FROM_SHEETS(files=names) + "\n" + as_yaml(document.data)

    def _check_family(self, document: ConfigDocument) -> None:
        """What is wrong in the family alone, by sheet and row; of what is missing what it means."""
        kind = document.data.get("kind")
        if not isinstance(kind, str) or kind not in FAMILY_KINDS:
            if kind is None:
                meaning = config_errors.ONE_OF(allowed=", ".join(FAMILY_KINDS))
                text = wording.STILL_NEEDED(meaning=f"{meaning}.", key="kind")
            else:
                text = str(BadValue(repr(kind), config_errors.ONE_OF(allowed=", ".join(FAMILY_KINDS))))
            raise ConfigError([document.problem(("kind",), text), *self._missing_of_any(document)])
        if found := self._wrong_in(document, kind):
            raise ConfigError(found)

    def _missing_of_any(self, document: ConfigDocument) -> list[FileProblem]:
        """What is still needed whatever the family's kind is."""
        data = dict(document.data)
        of_kinds = [self._wrong_in(replace(document, data={**data, "kind": kind}), kind) for kind in FAMILY_KINDS]
        return [own for own in of_kinds[0] if all(own in others for others in of_kinds[1:])]

    def _wrong_in(self, document: ConfigDocument, kind: str) -> list[FileProblem]:
        try:
            validate(FAMILY_KINDS[kind], document)
        except ConfigError as error:
            return [self._explained(problem, kind) for problem in error.problems]
        return []

    def _explained(self, problem: FileProblem, kind: str) -> FileProblem:
        if problem.text != config_errors.KEY_MISSING():
            return problem
        if problem.key == "sizes":
            return self._problem("sizes", wording.NO_SIZES())
        if "[" in problem.key:
            text = wording.STILL_NEEDED_ROW(headings=", ".join(headings_for(problem.key)))
            return FileProblem(problem.file, problem.line, problem.key, text)
        said = said_of(FAMILY_KINDS[kind], problem.key)
        meaning = said() if said else ""
        if problem.key == "charges":
            return self._problem(problem.key, wording.STILL_NEEDED_SHEET(meaning=meaning))
        below = _BELOW.get(problem.key, (problem.key,))
        keys = wording.KEY_AND_KEY(first=below[0], second=below[1]) if len(below) > 1 else below[0]
        text = wording.STILL_NEEDED(meaning=meaning, key=keys) if meaning else wording.STILL_NEEDED_BARE(key=keys)
        return self._problem(problem.key, text)

    def _problem(self, key: str, text: str) -> FileProblem:
        return FileProblem(shown_name(self.folder / "families" / f"{self.family}{SUFFIX}"), 0, key, text)

    def _add_part_numbers(self, sheet: ImportSheet, path: Path) -> None:
        """The rows of a sheet behind those of the catalogue's list; a number that its family has already is replaced."""
        if path.suffix.lower() != ".csv":
            text = wording.NOT_A_CSV_LIST(file=shown_name(path))
            raise ConfigError([FileProblem(sheet.shown, 0, "", text)])
        rule = input_errors.PART_NUMBER_LISTS_ARE_SMALL()
        content = self._files.contents.get(
            path, read_limited(path, shown_name(path), MAX_BYTES, rule) if path.exists() else b""
        )
        old = table_in(sheet_of(content, shown_name(path), 20_000, rule)) if content else []
        before = [self._listed.get(line, Place(shown_name(path), line)) for line, _ in old]
        added = [Place(sheet.shown, 1), *(row.place for row in sheet.rows)]
        rows = [_by_heading(*own) for own in ((before, [row for _, row in old]), (added, sheet.cells)) if own[1]]
        names = list(dict.fromkeys(name for _, of_sheet in rows for name in of_sheet))
        if self.family and "family" not in names:
            names.insert(1, "family")
        keys = self._family_keys()
        found: dict[tuple[str, str, int], tuple[Place, dict[str, str]]] = {}
        for is_added, (entries, _) in zip((False, True) if old else (True,), rows, strict=True):
            seen: Counter[tuple[str, str]] = Counter()
            for place, entry in entries:
                own = {"family": self.family, **entry} if is_added and self.family else entry
                number, family = own.get("part_number", ""), own.get("family", "").casefold()
                # Of two rows with one number the second is no new version of the first; whether both may be is checked later.
                key = (number, "" if (number, "", 0) in found else keys.get(family, family))
                found[*key, seen[key]] = place, own
                seen[key] += 1
        stream = io.StringIO()
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(names)
        self._listed, self._numbers, line = {}, {}, 2
        for place, entry in found.values():
            writer.writerow([entry.get(name, "") for name in names])
            self._listed[line] = place
            self._numbers[line] = repr(entry.get("part_number", ""))
            line += 1 + sum(text.count("\n") for text in entry.values())
        self._list_name = shown_name(path)
        self._files.put(path, stream.getvalue().encode())

    def _family_keys(self) -> dict[str, str]:
        """The keys of the catalogue's families by key and name in print, in lower case."""
        listed = read_document(self.catalogue).data.get("families")
        found: dict[str, str] = {}
        for key in listed if isinstance(listed, list) else ():
            path = self.folder / "families" / f"{key}{SUFFIX}"
            name = read_document(path).data.get("name", key) if path.is_file() else key
            found |= {str(key).casefold(): str(key), str(name).casefold(): str(key)}
        return found

    def _add_bench(self, sheet: ImportSheet) -> None:
        """Readings as a bench file, with decimal points and commas between cells."""
        path = self.folder / "bench" / f"{self.family}.csv"
        if path.exists() and not self.may_delete_sizes:
            self._refuse_fewer_sizes(sheet, path)
        stream = io.StringIO()
        stream.writelines(f"{remark}\n" for remark in sheet.remarks)
        writer = csv.writer(stream, lineterminator="\n")
        header, *rows = sheet.cells
        writer.writerow([cell_text(cell) for cell in header])
        for row in rows:
            texts = [cell_text(cell) for cell in row]
            writer.writerow([text.replace(",", ".") if sheet.has_decimal_comma else text for text in texts])
        content = stream.getvalue().encode()
        self._files.put(path, content)

    def _refuse_fewer_sizes(self, sheet: ImportSheet, path: Path) -> None:
        """Raise ConfigError if the bench file has readings of sizes of which the sheet, which takes its place, has none."""
        try:
            (old,) = read_import_sheets([path])
        except ConfigError:
            # What cannot be read may be replaced.
            return
        names = self._size_names()
        before, now = (Counter(names.get(size, size) for size in _sizes_of_rows(own)) for own in (old, sheet))
        missing = [size for size in before if size not in now]
        # A sheet without a column of sizes is refused for that.
        if now and missing:
            rows = sum(before[size] for size in missing)
            file = path.relative_to(self.folder).as_posix()
            text = wording.READINGS_DELETED(rows, sizes=", ".join(missing), file=file)
            raise ConfigError([FileProblem(sheet.shown, 0, "", text)])

    def _size_names(self) -> dict[str, str]:
        """The names in print of the family's sizes, by key."""
        path = self.folder / "families" / f"{self.family}{SUFFIX}"
        document = self.document or (read_document(path) if path.exists() else None)
        sizes = mappings(document.data.get("sizes")) if document is not None else []
        return {str(own.get("size")): str(own.get("display", own.get("size"))) for own in sizes}

    def check(self) -> None:
        """See that the catalogue can be used with the files.

        Raises ConfigError with what is wrong and was not before, by sheet and row where it comes from one.
        """
        found = self._problems(self.catalogue, self._files.contents)
        if not found:
            return
        # Lines may have moved.
        before = {(own.file, own.key, own.text) for own in self._problems(self.catalogue, {})}
        caused = [own for own in found if (own.file, own.key, own.text) not in before]
        if caused:
            raise ConfigError([self._from_sheet(problem) for problem in caused])
        self.notes = (*self.notes, wording.OTHER_PROBLEMS())

    def _problems(self, path: Path, contents: Mapping[Path, bytes]) -> list[FileProblem]:
        with ExitStack() as stack:
            stack.enter_context(in_place_of(contents))
            try:
                own = check(path)
                bench = self.folder / "bench" / f"{self.family}.csv"
                if bench in contents:
                    family = bench_family(self.folder, own.families[self.family], own.settings)
                    read_bench(bench, family.expected(load_registry(self.folder), None))
            except ConfigError as error:
                return list(error.problems)
        return []

    def _from_sheet(self, problem: FileProblem) -> FileProblem:
        """A problem of the family's new file, or of the list of part numbers, at the row that it comes from."""
        if problem.file == self._list_name and problem.line in self._listed:
            at = self._listed[problem.line]
            same: dict[str, str] = {}
            for line, own in self._listed.items():
                number = self._numbers[line]
                same[input_errors.SAME_VALVE(line=line)] = wording.SAME_VALVE(line=own.line, file=own.file)
                taken = wording.NUMBER_TAKEN(line=own.line, file=own.file, number=number)
                same[input_errors.NUMBER_TAKEN(line=line, number=number)] = taken
            return FileProblem(at.file, at.line, problem.key, same.get(problem.text, problem.text))
        document = self.document
        if document is None or problem.file != document.file:
            return problem
        spelled = {spell(path): at for path, at in document.places.items()}
        key = problem.key
        while key and key not in spelled:
            key = max(key.rpartition(".")[0], key.rpartition("[")[0], key=len)
        at = spelled.get(key, Place(problem.file, 0))
        return FileProblem(at.file, at.line, problem.key, problem.text)

    def differences(self) -> dict[str, str]:
        """How each file changes, by its path below the catalogue's folder."""
        return self._files.differences()

    def write(self) -> tuple[Path, ...]:
        """Write the files, the catalogue's last, so that it never lists what is not there.

        Raises OutputError if one was changed meanwhile or cannot be written.
        """
        return self._files.write(self.catalogue, wording.AGAIN())


def _with_list(data: Mapping[str, Yaml]) -> dict[str, Yaml]:
    """The keys of a catalogue with a list of part numbers, below its publications."""
    if "part_numbers" in data:
        return dict(data)
    found: dict[str, Yaml] = {}
    for key, value in data.items():
        if key == "revisions":
            found["part_numbers"] = _LIST
        found[key] = value
    return {**found, "part_numbers": _LIST}


def _with(content: bytes, wanted: Mapping[str, Yaml], shown: str) -> bytes:
    """A config file with other data, its comments and line ends as they are."""
    document_of(content, "")

    def edit(text: str) -> str:
        had = document_of(text.encode(), "").data
        return edited(text, {**wanted, **{key: None for key in had if key not in wanted}}, shown)[0]

    return in_text_of(content, edit)


def _sizes_of_rows(sheet: ImportSheet) -> list[str]:
    """The sizes of a sheet's rows, "" where a row names none."""
    header, *rows = sheet.cells
    names = [folded(cell_text(cell)) for cell in header]
    if "size" not in names:
        return []
    at = names.index("size")
    return [cell_text(row[at]) if at < len(row) else "" for row in rows]


def _by_heading(
    places: Sequence[Place], rows: Sequence[Sequence[object]]
) -> tuple[list[tuple[Place, dict[str, str]]], list[str]]:
    """The rows below a header by the names of its columns, each with its place; and these names."""
    names = [folded(cell_text(cell)) for cell in rows[0]]
    entries = [{name: cell_text(cell) for name, cell in zip(names, row, strict=False) if name} for row in rows[1:]]
    filled = [own for own in zip(places[1:], entries, strict=True) if any(own[1].values())]
    return filled, [name for name in names if name]
