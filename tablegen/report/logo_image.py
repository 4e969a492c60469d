"""A company's logo for a page in black alone, and as an image within a page of a browser."""

from __future__ import annotations

import base64
import io
import re
from collections.abc import Iterator
from dataclasses import replace

from tablegen.model.company import Logo

# The longer side of a PNG in a page [pixels], and of the square that an SVG is drawn in.
_PIXELS, _SQUARE = 192, 100
# What makes a gray of red, green and blue (ITU-R BT.601, not checked against the source).
_GRAY = (0.299, 0.587, 0.114)
_COLOR = re.compile(r"^(\S+) (\S+) (\S+) rg$", re.MULTILINE)
# Operators of PDF as commands of SVG.
_COMMANDS = {"m": "M", "l": "L", "c": "C", "h": "Z"}


def in_gray(logo: Logo) -> Logo:
    """A logo whose colors are grays as light as they are."""
    if not logo.is_png:
        code = _COLOR.sub(lambda match: f"{_light(match)} g", logo.content.decode("ascii"))
        return replace(logo, content=code.encode("ascii"))
    # Here: a catalogue without such a logo needs no image library.
    from PIL import Image

    written = io.BytesIO()
    with Image.open(io.BytesIO(logo.content), formats=["PNG"]) as image:
        image.convert("L").save(written, "PNG")
    return replace(logo, content=written.getvalue())


def data_uri(logo: Logo) -> str:
    """A logo as the address of an image that has it within: a small PNG, or an SVG of nothing but filled paths."""
    if logo.is_png:
        return f"data:image/png;base64,{base64.b64encode(_small(logo)).decode('ascii')}"
    wide, tall = logo.width * _SQUARE, logo.height * _SQUARE
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.6g} {tall:.6g}">'
        f'<g transform="matrix({_SQUARE} 0 0 -{_SQUARE} 0 {tall:.6g})">{"".join(_paths(logo))}</g></svg>'
    )
    return f"data:image/svg+xml;base64,{base64.b64encode(text.encode('ascii')).decode('ascii')}"


def _light(match: re.Match[str]) -> str:
    return f"{sum(weight * float(part) for weight, part in zip(_GRAY, match.groups(), strict=True)):.4g}"


def _small(logo: Logo) -> bytes:
    from PIL import Image

    written = io.BytesIO()
    with Image.open(io.BytesIO(logo.content), formats=["PNG"]) as image:
        image.thumbnail((_PIXELS, _PIXELS), Image.Resampling.LANCZOS)
        image.save(written, "PNG", optimize=True)
    return written.getvalue()


def _paths(logo: Logo) -> Iterator[str]:
    """The areas of a logo, each a path with its fill."""
    fill, path = "", ""
    for line in logo.content.decode("ascii").splitlines():
        *values, operator = line.split(" ")
        if operator == "rg":
            fill = "".join(f"{round(255 * float(value)):02x}" for value in values)
        elif operator in _COMMANDS:
            path += _COMMANDS[operator] + " ".join(values)
        else:
            rule = ' fill-rule="evenodd"' if operator == "f*" else ""
            yield f'<path fill="#{fill}"{rule} d="{path}"/>'
            path = ""
