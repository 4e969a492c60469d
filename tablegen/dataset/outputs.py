"""What the last build wrote, and from what: the next one makes again only what has changed.

`outputs.json` in an output folder names each document with the hash of all that it was made from and of each of its
files, and ends with a hash of its own content.  A record that is missing, altered or of another layout only means to a
build that everything is made again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from tablegen.files import is_regular, read_regular

RECORD = "outputs.json"
# Raised whenever the format of the record changes.
_LAYOUT = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeDocument:
    """A document of an output folder.

    Attributes
    ----------
    made_from : str
        Hash of everything that its bytes follow from.
    figures : str
        Hash of what it shows of the data; empty where `made_from` says no more than that.
    pages : int
        Its pages; 0 for a file that has none.
    files : mapping of str to str
        SHA-256 of each of its files, by path below the folder.
    """

    made_from: str
    pages: int
    files: Mapping[str, str]
    figures: str = ""

    @classmethod
    def of(cls, folder: Path, paths: Iterable[Path], made_from: str, pages: int = 0, figures: str = "") -> MadeDocument:
        """A document of files that are in a folder."""
        files = {path.relative_to(folder).as_posix(): _sha256(path) for path in sorted(paths)}
        return cls(made_from=made_from, pages=pages, files=files, figures=figures)

    def is_whole(self, folder: Path) -> bool:
        """Whether every file is there and is as it was written."""
        return all(is_regular(folder / name) and _sha256(folder / name) == own for name, own in self.files.items())

    def put(self, source: Path, target: Path, by: Callable[[Path, Path], object]) -> None:
        """Put its files from one folder into another, by copying or moving each."""
        for name in self.files:
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            by(source / name, target / name)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputRecord:
    """All that a build wrote.

    Attributes
    ----------
    made_from : str
        Hash of everything that the whole output follows from.
    other_inputs : tuple of str
        Input files outside the folders of configs, by path below the catalogue's folder.
    documents : mapping of str to MadeDocument
        By name; the data set itself is one of them.
    left_out : tuple of str
        Documents that the catalogue has and the folder has not, for the build was asked for others only.
    stayed : tuple of str
        Documents of an earlier build that stay because they show the same figures, though a new one would name other data.
    fingerprint : str
        Twelve characters that identify the data.
    windows, open_windows : int
        Computed windows, and those that are not empty.
    warnings : tuple of str
        What the build warned of.
    """

    made_from: str
    other_inputs: tuple[str, ...]
    documents: Mapping[str, MadeDocument]
    left_out: tuple[str, ...]
    stayed: tuple[str, ...]
    fingerprint: str
    windows: int
    open_windows: int
    warnings: tuple[str, ...]

    def write(self, folder: Path) -> None:
        """Write it into its folder."""
        (folder / RECORD).write_text(self._text(), encoding="utf-8", newline="\n")

    def _text(self) -> str:
        record: dict[str, object] = {
            "layout": _LAYOUT,
            "made_from": self.made_from,
            "other_inputs": list(self.other_inputs),
            "left_out": list(self.left_out),
            "stayed": list(self.stayed),
            "fingerprint": self.fingerprint,
            "windows": self.windows,
            "open_windows": self.open_windows,
            "warnings": list(self.warnings),
            "documents": {
                name: {
                    "made_from": own.made_from,
                    "figures": own.figures,
                    "pages": own.pages,
                    "files": dict(own.files),
                }
                for name, own in sorted(self.documents.items())
            },
        }
        record["sha256"] = hashlib.sha256(_as_json(record).encode()).hexdigest()
        return _as_json(record) + "\n"

    @classmethod
    def read(cls, folder: Path) -> OutputRecord | None:
        """The record of a folder; None if there is none that can be used, or it is not as it was written."""
        try:
            text = read_regular(folder / RECORD).decode("utf-8")
            record = cls._of(text)
            # Its hash is part of the text.
            return record if record and record._text() == text else None
        except (OSError, ValueError, LookupError, TypeError, AttributeError, OverflowError, RecursionError):
            return None

    @classmethod
    def _of(cls, text: str) -> OutputRecord | None:
        record = json.loads(text)
        if record["layout"] != _LAYOUT:
            return None
        documents = {
            _plain_text(name): MadeDocument(
                made_from=_plain_text(own["made_from"]),
                figures=_plain_text(own["figures"]),
                pages=int(own["pages"]),
                files={_inside(path): _plain_text(digest) for path, digest in own["files"].items()},
            )
            for name, own in record["documents"].items()
        }
        return cls(
            made_from=_plain_text(record["made_from"]),
            other_inputs=tuple(_inside(path) for path in record["other_inputs"]),
            documents=documents,
            left_out=tuple(_plain_text(name) for name in record["left_out"]),
            stayed=tuple(_plain_text(name) for name in record["stayed"]),
            fingerprint=_plain_text(record["fingerprint"]),
            windows=int(record["windows"]),
            open_windows=int(record["open_windows"]),
            warnings=tuple(_plain_text(text) for text in record["warnings"]),
        )

    def others_in(self, folder: Path) -> Iterator[Path]:
        """The files in its folder, by path below it, that no build has written: a reader's notes, an answer, a signed chart."""
        written = {RECORD, *(name for own in self.documents.values() for name in own.files)}
        for path in sorted(folder.rglob("*")):
            own = path.relative_to(folder)
            if own.as_posix() not in written and (path.is_symlink() or not path.is_dir()):
                yield own

    def is_whole(self, folder: Path) -> bool:
        """Whether every document is there and is as it was written."""
        return all(own.is_whole(folder) for own in self.documents.values())


def _as_json(record: Mapping[str, object]) -> str:
    return json.dumps(record, indent=1, ensure_ascii=False)


def _plain_text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError(type(value).__name__)
    return value


def _inside(path: object) -> str:
    """A path that does not lead out of its folder."""
    found = PurePosixPath(_plain_text(path))
    if found.is_absolute() or ".." in found.parts or not found.parts:
        raise ValueError(path)
    return found.as_posix()


def _sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
