"""Frames as CSV and back: so many rows at a time that a frame of millions of them is never text as a whole."""

from __future__ import annotations

import csv
import hashlib
import io
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tablegen.sweep.frames import FLOAT_FORMAT
from tablegen.wording.columns import is_text

_ROWS = 2**16
# Packed in memory only: the fastest level leaves a sixth.
_LEVEL = 1


@dataclass(frozen=True, slots=True)
class CsvFile:
    """A frame as it is written, packed, and the SHA-256 of its bytes."""

    sha256: str
    packed: bytes

    @classmethod
    def of(cls, pieces: Iterable[bytes]) -> CsvFile:
        """A file of some pieces, one behind the other."""
        digest, press = hashlib.sha256(), zlib.compressobj(_LEVEL)
        packed = []
        for piece in pieces:
            digest.update(piece)
            packed.append(press.compress(piece))
        return cls(digest.hexdigest(), b"".join([*packed, press.flush()]))

    def content(self) -> bytes:
        """All of its bytes."""
        return zlib.decompress(self.packed)

    def write(self, path: Path) -> None:
        """Write it, without all of it in memory."""
        unpack = zlib.decompressobj()
        with path.open("wb") as file:
            for start in range(0, len(self.packed), _ROWS):
                file.write(unpack.decompress(self.packed[start : start + _ROWS]))
            file.write(unpack.flush())


def written_and_read(frame: pd.DataFrame) -> tuple[CsvFile, pd.DataFrame]:
    """A frame as its file, and as reading that file gives it, but for text that is categorical and stays so.

    The frame is used up: what is read takes the place of its numbers.
    """
    header, columns = _header(frame), {name: _ReadColumn(frame[name]) for name in frame.columns}
    wanted = [name for name, column in columns.items() if not column.is_coded]

    def pieces() -> Iterator[bytes]:
        for number, part in enumerate(_parts(frame)):
            own = frame_of(header + part, wanted)
            for name in own.columns:
                columns[name].take(own[name])
            yield part if number else header + part

    file = CsvFile.of(pieces())
    return file, pd.DataFrame({name: column.whole() for name, column in columns.items()}, copy=False)


class _ReadColumn:
    """A column of a frame that is replaced by what reading its file gives, part by part."""

    def __init__(self, column: pd.Series) -> None:
        self.is_coded = isinstance(column.dtype, pd.CategoricalDtype)
        self._column, self._count, self._parts, self._is_whole = column, 0, list[pd.Series](), True
        self._numbers: NDArray[Any] | None = None
        # A column of text without any is one of NaN.
        if column.dtype == np.float64 and not is_text(str(column.name)):
            self._numbers = column.to_numpy()
            # Of the library it may only be looked at.
            self._numbers.flags.writeable = True

    def take(self, part: pd.Series) -> None:
        """The next part as it was read."""
        self._is_whole &= part.dtype.kind == "i"
        if self._numbers is None:
            self._parts.append(part.copy())
        else:
            self._numbers[self._count : self._count + len(part)] = part.to_numpy()
        self._count += len(part)

    def whole(self) -> Any:
        """The column as it is read from the whole file."""
        if self.is_coded:
            return self._column
        if self._numbers is not None:
            # Numbers without any fraction are read as whole ones.
            return self._numbers.astype(np.int64) if self._is_whole and self._count else self._numbers
        return self._parts[0] if len(self._parts) == 1 else pd.concat(self._parts, ignore_index=True)


def csv_of(frame: pd.DataFrame) -> bytes:
    """A frame as it is written: twelve figures, no index."""
    return b"".join([_header(frame), *_parts(frame)])


def frame_of(data: bytes, wanted: list[str] | None = None) -> pd.DataFrame:
    """A written frame read back, or the columns wanted of it; names as text even where they look like numbers."""
    if not data.strip():
        return pd.DataFrame()
    columns = wanted if wanted is not None else pd.read_csv(io.BytesIO(data), nrows=0).columns
    text = {c: str for c in columns if is_text(c)}
    empty = {c: [""] for c in columns if c not in text}
    return pd.read_csv(io.BytesIO(data), dtype=text, usecols=wanted, keep_default_na=False, na_values=empty)


def _header(frame: pd.DataFrame) -> bytes:
    return (",".join(map(_quoted, frame.columns)) + "\n").encode("utf-8")


def _parts(frame: pd.DataFrame) -> Iterator[bytes]:
    """The rows in parts, at least one, which may be without any."""
    for start in range(0, max(len(frame), 1), _ROWS):
        part = frame.iloc[start : start + _ROWS]
        lines = map(",".join, zip(*(_texts(part[name]) for name in frame.columns), strict=True))
        yield "".join(f"{line}\n" for line in lines).encode("utf-8")


def _texts(column: pd.Series) -> list[str]:
    """The values of a column as they are written; of equal ones one is written for all."""
    if isinstance(column.dtype, pd.CategoricalDtype):
        return _spread(column.cat.codes.to_numpy(), map(_quoted, column.cat.categories))
    values = column.to_numpy()
    if values.dtype.kind == "f":
        # By their bits: a zero with a sign is written with it.
        codes, bits = pd.factorize(np.ascontiguousarray(values).view(np.int64))
        return _spread(codes, ("" if v != v else FLOAT_FORMAT % v for v in bits.view(np.float64).tolist()))
    if values.dtype.kind == "O":
        codes, found = pd.factorize(values)
        if all(isinstance(value, str) for value in found):
            return _spread(codes, map(_quoted, found))
    # What equals another of another kind, such as 1 and True, is written as it is.
    return ["" if value is None or value != value else _quoted(str(value)) for value in values.tolist()]


def _spread(codes: NDArray[Any], texts: Iterable[str]) -> list[str]:
    """A text for each code; the code -1 stands for no value."""
    found: list[str] = np.array([*texts, ""], dtype=object)[codes].tolist()
    return found


def _quoted(text: str) -> str:
    """A text as a field, in quotation marks where it needs them."""
    if text.isalnum():
        return text
    stream = io.StringIO()
    # With another field: alone, an empty one would be in quotation marks.
    csv.writer(stream, lineterminator="\n").writerow([text, ""])
    return stream.getvalue()[:-2]
