"""Reads config files one after the other and collects what is wrong, so that one run reports every error."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Mapping
from pathlib import Path

from tablegen.config._input_files import config_files, read_limited, shown_name
from tablegen.config._validation import M, validate
from tablegen.config.document import MAX_FILE_BYTES, ConfigDocument, KeyPath, document_of, read_file
from tablegen.errors import BadValue, ConfigError, FileProblem, unknown
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors


class Problems:
    """The problems found so far, so that one run reports every error."""

    def __init__(self) -> None:
        self.problems: list[FileProblem] = []

    def refuse(self, document: ConfigDocument, path: KeyPath, text: str) -> None:
        """Note a problem at a key of a document."""
        self.problems.append(document.problem(path, text))

    def refuse_unknown(
        self, document: ConfigDocument, path: KeyPath, what: str, name: str, known: Iterable[str], read: str = ""
    ) -> None:
        """Note a name that is none of the known ones, as it was `read`, which without that is the value at the key."""
        self.refuse(document, path, unknown(what, name, known, read or str(document.value(path))))

    def stop_if_wrong(self) -> None:
        """Raise ConfigError with every problem so far, if there is any."""
        if self.problems:
            raise ConfigError(self.problems)


class Reader(Problems):
    """Files read so far with their SHA-256, by path below `folder`, the documents in them, and the problems found."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self.folder = folder
        self.files: dict[str, str] = {}
        self.documents: list[ConfigDocument] = []

    def document(self, path: Path) -> ConfigDocument | None:
        """A file as a document; None, with the problem noted, if it cannot be read."""
        shown = shown_name(path)
        try:
            content = read_file(path, shown)
            document = document_of(content, shown)
        except ConfigError as error:
            self.problems += error.problems
            return None
        self._note(path, content)
        self.documents.append(document)
        return document

    def bytes_of(self, path: Path, max_bytes: int = MAX_FILE_BYTES, rule: str = "") -> bytes | None:
        """A file's bytes, for one that is no document; None, with the problem noted, if it cannot be read.

        `rule` is the reason for the maximum size.
        """
        try:
            content = read_limited(path, shown_name(path), max_bytes, rule or input_errors.CONFIGS_ARE_SMALL())
        except ConfigError as error:
            self.problems += error.problems
            return None
        self._note(path, content)
        return content

    def _note(self, path: Path, content: bytes) -> None:
        self.files[self.key_of(path)] = hashlib.sha256(content).hexdigest()

    def key_of(self, path: Path) -> str:
        """What a file is called in the catalogue: its path below the catalogue's folder, or that it is the program's."""
        try:
            return path.relative_to(self.folder).as_posix()
        except ValueError:
            return f"packaged/{path.parent.name}/{path.name}"

    def model(self, model: type[M], document: ConfigDocument | None) -> M | None:
        """A document as a model; None, with the problems noted, if it is none."""
        if document is None:
            return None
        try:
            return validate(model, document)
        except ConfigError as error:
            self.problems += error.problems
            return None

    def files_in(self, name: str) -> dict[str, Path]:
        """The config files of a folder by what they describe; what else is there is noted as a problem."""
        folder = self.folder / name
        found, problems = config_files(folder, shown_name(folder))
        self.problems += problems
        return {path.stem: path for path in found}

    def by_kind(
        self, paths: Mapping[str, Path], key: str, kinds: Mapping[str, type[M]], wanted: Collection[str]
    ) -> dict[str, tuple[ConfigDocument, M]]:
        """Every sound file that is wanted, by the name under `key`; its `kind` says which model it is.

        Of the others the hash alone is noted.
        """
        found: dict[str, tuple[ConfigDocument, M]] = {}
        for stem, path in paths.items():
            if stem not in wanted:
                self.bytes_of(path)
                continue
            document = self.document(path)
            model = None if document is None else self._kind(document, kinds)
            read = None if model is None else self.model(model, document)
            if document is not None and read is not None:
                self.check_stem(document, key, getattr(read, key), stem)
                found[stem] = (document, read)
        return found

    def _kind(self, document: ConfigDocument, kinds: Mapping[str, type[M]]) -> type[M] | None:
        kind = document.data.get("kind")
        if isinstance(kind, str) and kind in kinds:
            return kinds[kind]
        self.refuse(document, ("kind",), wording.KEY_MISSING() if kind is None else unknown("kind", str(kind), kinds))
        return None

    def check_stem(self, document: ConfigDocument, key: str, name: str, stem: str) -> None:
        """A file has the name of what it describes."""
        if name != stem:
            written = repr(str(document.value((key,))))
            self.refuse(document, (key,), str(BadValue(written, wording.NAME_OF_FILE(name=repr(stem)))))
