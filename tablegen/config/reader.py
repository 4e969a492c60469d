"""Reads config files one after the other and keeps what is wrong, so that one run tells it all."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import TypeVar

from tablegen.config._validation import validate
from tablegen.config.fields import Model
from tablegen.config.folder import config_files
from tablegen.config.source import LARGEST_FILE_BYTES, Document, document_of, read_file
from tablegen.config.text_file import read_limited
from tablegen.errors import ConfigError, Problem, unknown

M = TypeVar("M", bound=Model)


class Reader:
    """Files read so far with their SHA-256, by path below `folder`, and the problems found in them."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.problems: list[Problem] = []
        self.files: dict[str, str] = {}

    def document(self, path: Path) -> Document | None:
        """A file as a document; None, and the problem kept, if it cannot be read."""
        shown = shown_name(path)
        try:
            content = read_file(path, shown)
            document = document_of(content, shown)
        except ConfigError as error:
            self.problems += error.problems
            return None
        self._note(path, content)
        return document

    def bytes_of(self, path: Path, most_bytes: int = LARGEST_FILE_BYTES, rule: str = "") -> bytes | None:
        """A file's bytes, for one that is no document; None, and the problem kept, if it cannot be read.

        `rule` says why no such file needs more than `most_bytes`.
        """
        try:
            content = read_limited(path, shown_name(path), most_bytes, rule or "no config file needs that", True)
        except ConfigError as error:
            self.problems += error.problems
            return None
        self._note(path, content)
        return content

    def _note(self, path: Path, content: bytes) -> None:
        try:
            key = path.relative_to(self.folder).as_posix()
        except ValueError:
            key = f"packaged/{path.parent.name}/{path.name}"
        self.files[key] = hashlib.sha256(content).hexdigest()

    def model(self, model: type[M], document: Document | None) -> M | None:
        """A document as a model; None, and the problems kept, if it is none."""
        if document is None:
            return None
        try:
            return validate(model, document)
        except ConfigError as error:
            self.problems += error.problems
            return None

    def files_in(self, name: str) -> list[Path]:
        """The config files of a folder; what else is there is kept as a problem."""
        folder = self.folder / name
        found, problems = config_files(folder, shown_name(folder))
        self.problems += problems
        return found

    def by_kind(self, folder: str, key: str, kinds: Mapping[str, type[M]]) -> dict[str, tuple[Document, M]]:
        """Every sound file of a folder by the name under `key`; its `kind` tells which model it is."""
        found: dict[str, tuple[Document, M]] = {}
        for path in self.files_in(folder):
            document = self.document(path)
            if document is None:
                continue
            kind = document.data.get("kind")
            if not isinstance(kind, str) or kind not in kinds:
                missing = "the key is missing; it is required"
                text = missing if kind is None else unknown("kind", str(kind), kinds)
                self.problems.append(document.problem(("kind",), text))
                continue
            model = self.model(kinds[kind], document)
            if model is not None:
                name = getattr(model, key)
                self.check_stem(document, key, name, path.stem)
                found[name] = (document, model)
        return found

    def check_stem(self, document: Document, key: str, name: str, stem: str) -> None:
        """A file is called as what it describes."""
        if name != stem:
            text = f"{name!r} is not allowed; it must be {stem!r}, as the file is called"
            self.problems.append(document.problem((key,), text))

    def stop_if_wrong(self) -> None:
        """Raise ConfigError with every problem so far, if there is any."""
        if self.problems:
            raise ConfigError(self.problems)


def shown_name(path: Path) -> str:
    """A path as a person at the prompt would write it."""
    relative = os.path.relpath(path)
    return str(path) if relative.startswith("..") else Path(relative).as_posix()
