"""A PDF whose small objects are packed: thousands of structure elements, uncompressed, outweigh the pages.

References
----------
ISO 32000-1, 7.5.7 object streams, 7.5.8 cross-reference streams.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFDocument, PDFFile
from reportlab.pdfbase.pdfdoc import format as _format

# Objects in one stream: a reader unpacks them all to get at one.
_A_STREAM = 500
# The first version with object streams.
_VERSION = (1, 5)


class PackedDocument(PDFDocument):
    """The library's document, written with object streams and a cross-reference stream."""

    def format(self) -> bytes:
        """All objects, those that are streams by themselves, the others packed."""
        document: Any = self
        root, info = document.Reference(document.Catalog), document.Reference(document.info)
        bodies: dict[int, bytes] = {}
        # Formatting one object may enter more.
        while len(bodies) < len(document.numberToId):
            number = len(bodies) + 1
            bodies[number] = _format(document.idToObject[document.numberToId[number]], self, toplevel=1).strip()
        file: Any = PDFFile(max(document._pdfVersion, _VERSION))
        # Kind and two fields of each object's entry; number 0 heads the list of free ones.
        entries = [(0, 0, 65535)] + [(0, 0, 0)] * len(bodies)
        packed = [number for number, body in bodies.items() if not body.endswith(b"endstream")]
        for number in bodies.keys() - set(packed):
            entries[number] = (1, _add(file, number, bodies[number]), 0)
        for start in range(0, len(packed), _A_STREAM):
            numbers = packed[start : start + _A_STREAM]
            for index, number in enumerate(numbers):
                entries[number] = (2, len(entries), index)
            entries.append((1, _add(file, len(entries), _packed(numbers, bodies)), 0))
        head = b"/Root %s/Info %s/ID %s" % (root.format(self), info.format(self), document.ID().split(b"%")[0].strip())
        entries.append((1, file.offset, 0))
        place = _add(file, len(entries) - 1, _cross_references(entries, head))
        file.add(b"startxref\n%d\n%%%%EOF\n" % place)
        return bytes(file.format(self))


def _add(file: Any, number: int, body: bytes) -> int:
    return int(file.add(b"%d 0 obj\n%s\nendobj\n" % (number, body)))


def _packed(numbers: Sequence[int], bodies: dict[int, bytes]) -> bytes:
    """An object stream: a list of number and place, then the objects."""
    places, place = [], 0
    for number in numbers:
        places.append(b"%d %d" % (number, place))
        place += len(bodies[number]) + 1
    index = b" ".join(places) + b"\n"
    content = index + b"\n".join(bodies[number] for number in numbers)
    return _stream(b"/Type/ObjStm/N %d/First %d" % (len(numbers), len(index)), content)


def _cross_references(entries: Sequence[tuple[int, int, int]], head: bytes) -> bytes:
    """Where every object is, itself included."""
    wide = max(place for _, place, _ in entries).bit_length() // 8 + 1
    content = b"".join(
        bytes([kind]) + place.to_bytes(wide, "big") + index.to_bytes(2, "big") for kind, place, index in entries
    )
    return _stream(b"/Type/XRef/Size %d/W[1 %d 2]%s" % (len(entries), wide, head), content)


def _stream(head: bytes, content: bytes) -> bytes:
    content = zlib.compress(content, 9)
    return b"<<%s/Filter/FlateDecode/Length %d>>\nstream\n%s\nendstream" % (head, len(content), content)
