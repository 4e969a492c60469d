"""Fitted values written into the family's file: what changes, whether the catalogue stays sound, and the writing."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tablegen.api._changed_files import ChangedFiles
from tablegen.api.catalogues import check
from tablegen.config import packaged_configs
from tablegen.config._input_files import in_place_of, shown_name
from tablegen.config.bench_family import pasted
from tablegen.config.document import read_file, spell
from tablegen.config.yaml_edit import Change, edited, in_text_of
from tablegen.config.yaml_text import as_yaml
from tablegen.errors import ConfigError, FileProblem, RequestError
from tablegen.report.answer import BLANK, AnswerColumn, AnswerTable, Fact, Value
from tablegen.wording import fit as wording

if TYPE_CHECKING:
    from tablegen.api._fit_fragment import Fragment
    from tablegen.config.document import Yaml


@dataclass(frozen=True, slots=True)
class FileToApply:
    """A file as it was when the fit began."""

    path: Path
    content: bytes

    @classmethod
    def read(cls, catalogue: str | Path | None, path: Path, name: str, folder: str = "families") -> FileToApply:
        """The file of a family, or another one of a folder, in the folder of the catalogue at `path`.

        Raises
        ------
        RequestError
            If it is a file of the packaged demo.
        ConfigError
            If it cannot be read.
        """
        if catalogue is None or path.resolve().parent == packaged_configs().resolve():
            raise RequestError(wording.APPLY_TO_DEMO())
        # A link stays a link.
        own = (path.parent / folder / f"{name}.yaml").resolve()
        return cls(own, read_file(own, shown_name(own)))

    @property
    def shown(self) -> str:
        """The file's name in messages."""
        return shown_name(self.path)

    @property
    def text(self) -> str:
        """What it says, with line breaks of one character."""
        return self.content.decode("utf-8-sig").replace("\r\n", "\n")

    def with_values(self, fragment: Fragment, catalogue: Path) -> ChangedFile:
        """The file with the keys of a fragment in it.

        Raises
        ------
        RequestError
            If sizes would be lost.
        ConfigError
            If the catalogue would not be sound, with what would be wrong in it.
        """
        if fragment.omitted:
            raise RequestError(wording.APPLY_LOSES_SIZES(len(fragment.omitted), sizes=", ".join(fragment.omitted)))
        return self.with_data(pasted(fragment.bench.document, fragment.keys).data, catalogue)

    def with_data(self, wanted: Mapping[str, Yaml], catalogue: Path) -> ChangedFile:
        """The file with other data.

        Raises
        ------
        ConfigError
            If the catalogue would not be sound, with what would be wrong in it.
        """
        lines = self.text
        made, changes = edited(lines, wanted, self.shown)
        new = in_text_of(self.content, lambda _: made)
        try:
            with in_place_of({self.path: new}):
                check(catalogue)
        except ConfigError as error:
            refusal = FileProblem(self.shown, 0, "", wording.APPLY_UNSOUND())
            raise ConfigError([refusal, *error.problems]) from None
        difference = difflib.unified_diff(
            lines.splitlines(), made.splitlines(), self.shown, wording.FITTED_FILE(file=self.shown), lineterm=""
        )
        return ChangedFile(self, new, tuple(changes), "\n".join(difference))


@dataclass(frozen=True, slots=True)
class ChangedFile:
    """A file with fitted values, and how it differs from the file as it is."""

    old: FileToApply
    content: bytes
    changes: tuple[Change, ...]
    difference: str

    def write(self) -> None:
        """Put it in the place of the file.

        Raises
        ------
        OutputError
            If the file was changed meanwhile, or cannot be written; it is then as it was.
        """
        files = ChangedFiles(self.old.path.parent)
        files.put(self.old.path, self.content, self.old.content)
        files.write(self.old.path, wording.AGAIN())

    def facts(self, is_written: bool) -> tuple[Fact, ...]:
        """The difference and whether it is written, for export."""
        return (Fact.exported("difference", self.difference), Fact.exported("applied", is_written))

    def table(self) -> AnswerTable:
        """Every key with what the file has and what it gets."""
        columns = (
            AnswerColumn(("key",), wording.KEY()),
            AnswerColumn(("was",), wording.FILE_HAS()),
            AnswerColumn(("becomes",), wording.FITTED_VALUE()),
        )
        rows = tuple((Value.of(spell(change.path)), _value(change.was), _value(change.now)) for change in self.changes)
        title = wording.CHANGES_IN(file=self.old.shown)
        return AnswerTable(key="changes", columns=columns, rows=rows, title=title)


def _value(value: Yaml) -> Value:
    if value is None:
        return Value(BLANK, ("",))
    if isinstance(value, dict | list):
        return Value.of(as_yaml({"": value}, is_flow=True).strip()[1:-1].partition(":")[2].strip())
    return Value.of(str(value))
