"""A face of a company's typeface: a TrueType file, checked, and scaled so that its capitals are as high as the built-in ones.

What is read here is enough to know that pages can be set with it: that it is whole, may be embedded, and which
characters it draws.

References
----------
ISO/IEC 14496-22 (OpenType): 4.3 table directory, 5.2 `cmap`, `head`, `maxp`, `OS/2` (`fsType`), 5.3 `glyf`, `loca`.
"""

from __future__ import annotations

import io
import itertools
import struct
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from tablegen.errors import BadValue
from tablegen.wording import typeface as wording

MAX_BYTES = 2_000_000
# Height of capitals of the built-in faces, in type sizes; `tests/report/test_typeface.py` compares it with them.
CAP_HEIGHT = 0.655
_TRUETYPE = (b"\x00\x01\x00\x00", b"true")
_NEEDED = ("OS/2", "cmap", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name", "post")
# Bits of fsType: no embedding without permission (alone), no parts of the face, bitmaps only.
_RESTRICTED, _USAGE, _NO_PARTS = 0x0002, 0x000E, 0x0300
_UNITS = (16, 16384)
# A part of a glyph made of others: words for its place, scales, more parts follow.
_WORDS, _SCALE, _MORE, _TWO_SCALES, _MATRIX = 0x0001, 0x0008, 0x0020, 0x0040, 0x0080


# What the width of a face is measured by.
_SAMPLE = "0123456789 abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True)
class TrueType:
    """A face as pages are set with it, the characters that it draws, and how wide digits and letters are [type sizes]."""

    content: bytes
    characters: frozenset[str]
    width: float


class _Unusable(ValueError):
    """What is wrong with a file."""


def read_truetype(content: bytes, shown: str) -> TrueType:
    """The face in the bytes of a file called `shown`.

    Raises
    ------
    BadValue
        It is no TrueType file, is damaged, may not be embedded, or has no capital H to scale it by.
    """
    try:
        return _read(content)
    except _Unusable as error:
        raise BadValue(shown, str(error)) from None
    except (struct.error, IndexError):
        raise BadValue(shown, wording.DAMAGED()) from None


def _read(content: bytes) -> TrueType:
    if content[:4] not in _TRUETYPE:
        raise _Unusable(wording.NO_TRUETYPE())
    tables = _tables(content)
    long_places, glyphs, usage = _word(tables["head"], 50), _word(tables["maxp"], 4), _word(tables["OS/2"], 8)
    if usage & _USAGE == _RESTRICTED or usage & _NO_PARTS:
        raise _Unusable(wording.NOT_EMBEDDABLE(bits=f"{usage:04X}"))
    places = _places(tables["loca"], glyphs, bool(long_places))
    if any(later < place for place, later in itertools.pairwise(places)) or places[-1] > len(tables["glyf"]):
        raise _Unusable(wording.DAMAGED())
    for number in range(glyphs):
        if any(part >= glyphs for part in _parts(tables["glyf"][places[number] : places[number + 1]])):
            raise _Unusable(wording.DAMAGED())
    found = {code: glyph for code, glyph in _characters(tables["cmap"]) if 0 < glyph < glyphs}
    high = _capital(tables["glyf"], places, found.get(ord("H"), 0))
    # As many units a type size as make capitals so high, however many there were.
    scaled = round(high / CAP_HEIGHT)
    if not high or not _UNITS[0] <= scaled <= _UNITS[1]:
        raise _Unusable(wording.NO_CAPITALS())
    drawn = frozenset(chr(code) for code in found)
    widths = [_advance(tables, found.get(ord(sign), 0)) for sign in _SAMPLE]
    whole = _with_units(content, scaled)
    _embed(whole, found)
    return TrueType(whole, drawn, sum(widths) / len(widths) / scaled)


def _embed(content: bytes, codes: Iterable[int]) -> None:
    """Have the library that sets the pages read it and take its characters out of it, as it will do for a page."""
    # Here: a catalogue without a typeface of its own needs no library for pages to be checked.
    from reportlab.pdfbase.ttfonts import TTFError, TTFontFile

    try:
        TTFontFile(io.BytesIO(content)).makeSubset(sorted(codes))
    except (TTFError, struct.error, ArithmeticError, LookupError, TypeError, ValueError):
        raise _Unusable(wording.DAMAGED()) from None


def _tables(content: bytes) -> Mapping[str, bytes]:
    """The tables by name, each whole."""
    found: dict[str, bytes] = {}
    for number in range(_word(content, 4)):
        name, _, offset, length = struct.unpack_from(">4sIII", content, 12 + 16 * number)
        table = content[offset : offset + length]
        if len(table) != length:
            raise _Unusable(wording.DAMAGED())
        found[name.decode("latin-1").strip()] = table
    missing = [name for name in _NEEDED if name not in found]
    if missing:
        raise _Unusable(wording.NO_OUTLINES() if "glyf" in missing else wording.DAMAGED())
    return found


def _word(table: bytes, offset: int) -> int:
    return int(struct.unpack_from(">H", table, offset)[0])


def _places(loca: bytes, glyphs: int, is_long: bool) -> list[int]:
    """Where the outline of each glyph begins, and where the last one ends."""
    places = struct.unpack_from(f">{glyphs + 1}{'I' if is_long else 'H'}", loca)
    return [place if is_long else 2 * place for place in places]


def _parts(outline: bytes) -> Iterator[int]:
    """The glyphs that an outline is made of, if it is made of others."""
    if len(outline) < 10 or struct.unpack_from(">h", outline)[0] >= 0:
        return
    offset, flags = 10, _MORE
    while flags & _MORE:
        flags, part = struct.unpack_from(">HH", outline, offset)
        yield part
        offset += 8 if flags & _WORDS else 6
        offset += 2 if flags & _SCALE else 4 if flags & _TWO_SCALES else 8 if flags & _MATRIX else 0


def _capital(glyf: bytes, places: list[int], glyph: int) -> int:
    """The height of a capital [units]; 0 without one."""
    if not glyph or places[glyph] == places[glyph + 1]:
        return 0
    return max(0, int(struct.unpack_from(">h", glyf, places[glyph] + 8)[0]))


def _advance(tables: Mapping[str, bytes], glyph: int) -> int:
    """From one glyph to the next [units]; glyphs behind the last that states it have the same."""
    return _word(tables["hmtx"], 4 * min(glyph, _word(tables["hhea"], 34) - 1))


def _characters(cmap: bytes) -> Iterator[tuple[int, int]]:
    """Codes with their glyphs, of the tables for Unicode."""
    for number in range(_word(cmap, 2)):
        platform, encoding, offset = struct.unpack_from(">HHI", cmap, 4 + 8 * number)
        if platform == 0 or (platform, encoding) in ((3, 1), (3, 10)):
            kind = _word(cmap, offset)
            if kind == 4:
                yield from _segments(cmap, offset)
            elif kind == 12:
                yield from _groups(cmap, offset)


def _segments(cmap: bytes, offset: int) -> Iterator[tuple[int, int]]:
    """Format 4: segments with a shift, or with places of their glyphs."""
    count = _word(cmap, offset + 6) // 2
    ends, starts = offset + 14, offset + 16 + 2 * count
    shifts, ranges = starts + 2 * count, starts + 4 * count
    for i in range(count):
        first, last = _word(cmap, starts + 2 * i), _word(cmap, ends + 2 * i)
        shift, place = _word(cmap, shifts + 2 * i), _word(cmap, ranges + 2 * i)
        for code in range(first, min(last, 0xFFFE) + 1):
            glyph = code if not place else _word(cmap, ranges + 2 * i + place + 2 * (code - first))
            yield code, (glyph + shift) & 0xFFFF if glyph or not place else 0


def _groups(cmap: bytes, offset: int) -> Iterator[tuple[int, int]]:
    """Format 12: runs of codes with runs of glyphs."""
    (count,) = struct.unpack_from(">I", cmap, offset + 12)
    if 12 * count > len(cmap):
        raise _Unusable(wording.DAMAGED())
    for i in range(count):
        first, last, glyph = struct.unpack_from(">III", cmap, offset + 16 + 12 * i)
        for code in range(first, min(last, 0x10FFFF) + 1):
            yield code, glyph + code - first


def _with_units(content: bytes, units: int) -> bytes:
    """The file with so many units a type size."""
    for number in range(_word(content, 4)):
        name, _, offset, _ = struct.unpack_from(">4sIII", content, 12 + 16 * number)
        if name == b"head":
            return content[: offset + 18] + struct.pack(">H", units) + content[offset + 20 :]
    raise _Unusable(wording.DAMAGED())
