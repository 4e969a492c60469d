"""Files inside a PDF, so that a printed booklet carries its own numbers.

References
----------
ISO 32000-1, 7.11.4 embedded file streams, 7.7.4 name dictionary; ISO 32000-2, 14.13 associated files (from
memory).
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFStream, PDFString

# As PDF names, in which a slash is written by its number.
_MEDIA_TYPES = {".csv": "/text#2Fcsv", ".json": "/application#2Fjson"}


class Attachments:
    """Files for the insides of a PDF, compressed once for all passes of the page setting."""

    def __init__(self, files: Mapping[str, bytes], stamp: str) -> None:
        self._stamp = stamp
        # A name tree is in the order of its names.
        self._files = [(name, files[name], zlib.compress(files[name], 9)) for name in sorted(files)]

    def embed(self, canvas: Any) -> None:
        """Enter every file into a canvas's document, as data that belongs to the whole of it."""
        if not self._files:
            return
        document = canvas._doc
        # Associated files are younger than the version that the library writes by itself.
        document._pdfVersion = max(document._pdfVersion, (1, 7))
        names: list[Any] = []
        for name, content, packed in self._files:
            parameters = PDFDictionary(
                {
                    "Size": len(content),
                    "ModDate": PDFString(self._stamp),
                    "CheckSum": f"<{hashlib.md5(content, usedforsecurity=False).hexdigest()}>",
                }
            )
            head = {
                "Type": PDFName("EmbeddedFile"),
                "Subtype": _MEDIA_TYPES[Path(name).suffix],
                "Filter": PDFName("FlateDecode"),
                "Params": parameters,
            }
            stream = document.Reference(PDFStream(PDFDictionary(head), packed))
            file = {
                "Type": PDFName("Filespec"),
                "F": PDFString(name),
                "UF": PDFString(name),
                "AFRelationship": PDFName("Data"),
                "EF": PDFDictionary({"F": stream, "UF": stream}),
            }
            names += [PDFString(name), document.Reference(PDFDictionary(file))]
        catalog = document.Catalog
        catalog.Names = PDFDictionary({"EmbeddedFiles": PDFDictionary({"Names": PDFArray(names)})})
        catalog.__Defaults__ = {**catalog.__Defaults__, "AF": PDFArray(names[1::2])}
