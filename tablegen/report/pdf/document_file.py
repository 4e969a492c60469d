"""The file of a PDF: its small objects packed, and files attached, so that a booklet contains its own numbers.

Thousands of structure elements, uncompressed, would outweigh the pages.

References
----------
ISO 32000-1, 7.4.4.4 predictors, 7.5.7 object streams, 7.5.8 cross-reference streams, 7.11.4 embedded file streams, 7.7.4 name dictionary;
ISO 32000-2, 14.13 associated files (not checked against the source).
"""

from __future__ import annotations

import datetime
import hashlib
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFFile, PDFName, PDFStream, PDFString
from reportlab.pdfbase.pdfdoc import format as _format
from reportlab.pdfgen.canvas import Canvas

# Objects in one stream: a reader unpacks them all to read one.
_A_STREAM = 500
# The first versions with object streams and with associated files.
_PACKED_VERSION, _ATTACHED_VERSION = (1, 5), (1, 7)
# As PDF names, in which a slash is written by its number.
_MEDIA_TYPES = {".csv": "/text#2Fcsv", ".json": "/application#2Fjson"}


@dataclass(frozen=True, slots=True)
class _Attached:
    """A file as documents carry it."""

    name: str
    size: int
    checksum: str
    packed: bytes


class Attachments:
    """Files for PDFs, compressed once for all documents and all passes of the page setting.

    Parameters
    ----------
    files : dict
        Contents by name.
    date : datetime.date or None
        What is stated as the date of each.
    """

    def __init__(self, files: Mapping[str, bytes], date: datetime.date | None) -> None:
        self._stamp = date.strftime("D:%Y%m%d000000+00'00'") if date else ""
        # A name tree is in the order of its names.
        self._files = [
            _Attached(
                name,
                len(content),
                hashlib.md5(content, usedforsecurity=False).hexdigest(),
                zlib.compress(content, 9),
            )
            for name, content in sorted(files.items())
        ]

    def embed(self, canvas: Canvas) -> None:
        """Enter every file into a canvas's document, as data that belongs to the whole of it."""
        if not self._files:
            return
        document: Any = getattr(canvas, "_doc")  # noqa: B009 (private to the library)
        document._pdfVersion = max(document._pdfVersion, _ATTACHED_VERSION)
        names: list[object] = []
        for file in self._files:
            parameters = {"Size": file.size, "ModDate": PDFString(self._stamp), "CheckSum": f"<{file.checksum}>"}
            head = {
                "Type": PDFName("EmbeddedFile"),
                "Subtype": _MEDIA_TYPES[Path(file.name).suffix],
                "Filter": PDFName("FlateDecode"),
                "Params": PDFDictionary(parameters),
            }
            stream = document.Reference(PDFStream(PDFDictionary(head), file.packed))
            entry = {
                "Type": PDFName("Filespec"),
                "F": PDFString(file.name),
                "UF": PDFString(file.name),
                "AFRelationship": PDFName("Data"),
                "EF": PDFDictionary({"F": stream, "UF": stream}),
            }
            names += [PDFString(file.name), document.Reference(PDFDictionary(entry))]
        catalog = document.Catalog
        catalog.Names = PDFDictionary({"EmbeddedFiles": PDFDictionary({"Names": PDFArray(names)})})
        catalog.__Defaults__ = {**catalog.__Defaults__, "AF": PDFArray(names[1::2])}


NOTHING_ATTACHED = Attachments({}, None)


def packed(document: Any) -> bytes:
    """The library's document as a file with object streams and a cross-reference stream."""
    root, info = document.Reference(document.Catalog), document.Reference(document.info)
    bodies: dict[int, bytes] = {}
    # Formatting one object may enter more.
    while len(bodies) < len(document.numberToId):
        number = len(bodies) + 1
        bodies[number] = _format(document.idToObject[document.numberToId[number]], document, toplevel=1).strip()
    file: Any = PDFFile(max(document._pdfVersion, _PACKED_VERSION))
    # Kind and two fields of each object's entry; number 0 heads the list of free ones.
    entries = [(0, 0, 65535)] + [(0, 0, 0)] * len(bodies)
    small = [number for number, body in bodies.items() if not body.endswith(b"endstream")]
    for number in bodies.keys() - set(small):
        entries[number] = (1, _add(file, number, bodies[number]), 0)
    for start in range(0, len(small), _A_STREAM):
        numbers = small[start : start + _A_STREAM]
        for index, number in enumerate(numbers):
            entries[number] = (2, len(entries), index)
        entries.append((1, _add(file, len(entries), _object_stream(numbers, bodies)), 0))
    identifier = document.ID().split(b"%")[0].strip()
    head = b"/Root %s/Info %s/ID %s" % (root.format(document), info.format(document), identifier)
    entries.append((1, file.offset, 0))
    offset = _add(file, len(entries) - 1, _cross_references(entries, head))
    file.add(b"startxref\n%d\n%%%%EOF\n" % offset)
    return bytes(file.format(document))


def _add(file: Any, number: int, body: bytes) -> int:
    return int(file.add(b"%d 0 obj\n%s\nendobj\n" % (number, body)))


def _object_stream(numbers: Sequence[int], bodies: Mapping[int, bytes]) -> bytes:
    """An object stream: a list of numbers and offsets, then the objects."""
    offsets, offset = [], 0
    for number in numbers:
        offsets.append(b"%d %d" % (number, offset))
        offset += len(bodies[number]) + 1
    index = b" ".join(offsets) + b"\n"
    content = index + b"\n".join(bodies[number] for number in numbers)
    return _stream(b"/Type/ObjStm/N %d/First %d" % (len(numbers), len(index)), content)


def _cross_references(entries: Sequence[tuple[int, int, int]], head: bytes) -> bytes:
    """Where every object is, itself included."""
    wide = max(offset for _, offset, _ in entries).bit_length() // 8 + 1
    rows = b"".join(
        bytes([kind]) + offset.to_bytes(wide, "big") + index.to_bytes(2, "big") for kind, offset, index in entries
    )
    length = wide + 3
    # Each row as its difference from the one above: they hardly differ, and take a tenth of the space.
    above = bytes(length) + rows
    differences = bytes((own - last) & 255 for own, last in zip(rows, above, strict=False))
    content = b"".join(b"\2" + differences[i : i + length] for i in range(0, len(differences), length))
    predictor = b"/DecodeParms<</Predictor 12/Columns %d>>" % length
    return _stream(b"/Type/XRef/Size %d/W[1 %d 2]%s%s" % (len(entries), wide, predictor, head), content)


def _stream(head: bytes, content: bytes) -> bytes:
    content = zlib.compress(content, 9)
    return b"<<%s/Filter/FlateDecode/Length %d>>\nstream\n%s\nendstream" % (head, len(content), content)
