"""A company's logo: a PNG or SVG file, checked and brought into a form that pages draw without reading it again."""

from __future__ import annotations

import io
import re
import struct
import zlib
from collections.abc import Iterator

from tablegen.config._input_files import as_text
from tablegen.config.svg_areas import NotDrawn, svg_areas
from tablegen.errors import BadValue, ConfigError, FileProblem
from tablegen.model.company import Logo
from tablegen.wording import config_errors as wording
from tablegen.wording import input_errors

MAX_BYTES, _MAX_SVG = 500_000, 100_000
MAX_SIDE, MAX_RATIO = 2_000, 3.0
# Operators of PDF that a curve becomes may be many times as long; what has more of them no phone should load.
_MAX_CODE = 250_000
# How XML may begin, in UTF-8 or UTF-16.
_SVG = re.compile(rb"(\xef\xbb\xbf)?\s*<|\xff\xfe|\xfe\xff")
_PNG = b"\x89PNG\r\n\x1a\n"
# Signature, length and name of the header, then width, height and bits a sample.
_HEADER = struct.Struct(">8s4x4sIIB")
# Length and name of a part.
_PART = struct.Struct(">I4s")


def read_logo(data: bytes, shown: str) -> Logo:
    """The logo in the bytes of a file called `shown`.

    Raises ConfigError if it is neither a PNG nor an SVG file, has anything in it that a logo may not have, or is more
    than three times as wide as high or as high as wide.
    """
    is_png = data.startswith(_PNG)
    try:
        if not is_png and len(data) > _MAX_SVG:
            size, rule = f"{_MAX_SVG // 1000} kB", input_errors.LOGOS_ARE_SMALL()
            raise NotDrawn(0, "", input_errors.FILE_TOO_LARGE(size=size, rule=rule))
        if not is_png and not _SVG.match(data):
            raise NotDrawn(0, "", wording.LOGO_NEITHER())
        width, height, content = _png(data) if is_png else svg_areas(as_text(data, shown, "SVG"))
        if not is_png and len(content) > _MAX_CODE:
            raise NotDrawn(0, "", wording.LOGO_TOO_MANY_CURVES())
        if max(width, height) > MAX_RATIO * min(width, height):
            rule = wording.LOGO_RATIO(most=f"{MAX_RATIO:g}")
            raise NotDrawn(0, "", str(BadValue(f"{width:g} x {height:g}", rule)))
    except NotDrawn as error:
        raise ConfigError([FileProblem(shown, error.line, error.key, error.text)]) from None
    longer = max(width, height)
    return Logo(width=width / longer, height=height / longer, content=content, is_png=is_png)


def _png(data: bytes) -> tuple[int, int, bytes]:
    """Width and height in pixels, and the image on white, without what else the file has in it."""
    if len(data) < _HEADER.size or (header := _HEADER.unpack_from(data))[1] != b"IHDR":
        raise NotDrawn(0, "", wording.LOGO_DAMAGED())
    width, height, bits = header[2:]
    if not 0 < min(width, height) <= max(width, height) <= MAX_SIDE or bits > 8:
        shown = f"{width} x {height} x {bits}"
        raise NotDrawn(0, "", str(BadValue(shown, wording.LOGO_PIXELS(most=MAX_SIDE))))
    if sum(name == b"IHDR" for name in _parts(data)) != 1:
        # The image library obeys the last header, however large an image it announces.
        raise NotDrawn(0, "", wording.LOGO_DAMAGED())
    # Here: a catalogue without such a logo needs no image library.
    from PIL import Image

    try:
        with Image.open(io.BytesIO(data), formats=["PNG"]) as image:
            own = image.convert("RGBA")
    except (OSError, SyntaxError, ValueError, EOFError, struct.error, zlib.error):
        raise NotDrawn(0, "", wording.LOGO_DAMAGED()) from None
    flat = Image.new("RGB", own.size, "white")
    flat.paste(own, mask=own.getchannel("A"))
    written = io.BytesIO()
    flat.save(written, "PNG")
    return width, height, written.getvalue()


def _parts(data: bytes) -> Iterator[bytes]:
    """The names of the parts of a PNG file."""
    place = len(_PNG)
    while place + _PART.size <= len(data):
        length, name = _PART.unpack_from(data, place)
        yield name
        # Its sum follows it.
        place += _PART.size + length + 4
