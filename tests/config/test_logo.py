"""Logos: what an SVG or PNG file may have in it, and what is drawn of it."""

import io
import math
import re
import struct
import zlib

import pytest
from PIL import Image

from tablegen.config.logo_file import read_logo
from tablegen.config.path_data import path_segments
from tablegen.errors import ConfigError


def svg(inside: str, head: str = 'viewBox="0 0 40 20"') -> bytes:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>\n{inside}\n</svg>'.encode()


def png(width: int, height: int, mode: str = "RGBA", color: object = (10, 20, 30, 0)) -> bytes:
    target = io.BytesIO()
    Image.new(mode, (width, height), color).save(target, "PNG")
    return target.getvalue()


def problem(data: bytes) -> str:
    with pytest.raises(ConfigError) as caught:
        read_logo(data, "logo.svg")
    [found] = caught.value.problems
    return str(found)


BOX = '<rect width="40" height="20"/>'
# What is refused, by what is in it, with the line and what the message says.
HOSTILE = {
    "script": ("<script>alert(1)</script>", "logo.svg:2: script: the element is not allowed in a logo"),
    "script in a note": ("<metadata><script>x</script></metadata>", "logo.svg:2: script: the element"),
    "handler": ('<rect width="4" height="4" onload="x()"/>', "logo.svg:2: rect.onload: the attribute is not allowed"),
    "image": ('<image href="http://example.invalid/x.png"/>', "logo.svg:2: image: the element is not allowed"),
    "text": ("<text>Acme</text>", "logo.svg:2: text: the element is not allowed"),
    "use": ('<use xlink:href="file:///etc/passwd#a"/>', "logo.svg:2: use: the element is not allowed"),
    "link": ('<a href="http://example.invalid"><rect/></a>', "logo.svg:2: a: the element is not allowed"),
    "style sheet": ("<style>@import url(http://example.invalid);</style>", "logo.svg:2: style: the element"),
    "fill elsewhere": ('<rect width="4" height="4" fill="url(#a)"/>', "logo.svg:2: fill: 'url(#a)' is not allowed"),
    "style elsewhere": ('<rect style="fill:url(http://example.invalid)"/>', "'url(http://example.invalid)'"),
    "reference": ('<rect xlink:href="http://example.invalid" xmlns:xlink="x"/>', "logo.svg:2: rect.xlink:href:"),
    "base": ('<g xml:base="http://example.invalid"/>', "logo.svg:2: g.xml:base: the attribute is not allowed"),
    "filter": ('<g filter="url(#f)"/>', "logo.svg:2: g.filter: the attribute is not allowed"),
    "foreign": ("<foreignObject/>", "logo.svg:2: foreignObject: the element is not allowed"),
    "inner svg": ("<svg/>", "logo.svg:2: svg: the file must have one element svg"),
    "stroke": ('<rect stroke="black"/>', "logo.svg:2: rect.stroke: 'black' is not allowed; must be none"),
    "half seen": ('<rect opacity="0.5"/>', "logo.svg:2: rect.opacity: '0.5' is not allowed; must be 1"),
    "no path": ('<path d="L1 1"/>', "logo.svg:2: path.d: 'L' is not allowed; the numbers or commands"),
    "no number": ('<path d="M1 1 L one 1"/>', "'one 1' is not allowed"),
    "no finite number": ('<path d="M1 1 L1e999 1"/>', "logo.svg:2: path.d:"),
    "no arc": ('<path d="M0 0A1e300 1e300 0 1 1 1e-300 1e-300z"/>', "logo.svg:2: path.d: 'M0 0A1e300 1e300"),
    "no circle": ('<circle r="1e400"/>', "logo.svg:2: circle.cx/cy/r: '1e400' is not allowed"),
    "no transformation": ('<g transform="skewX(3)"/>', "logo.svg:2: transform: 'skewX(3)' is not allowed"),
    "odd points": ('<polygon points="1 1 2"/>', "logo.svg:2: polygon.points: '1 1 2' is not allowed"),
    "not closed": ("<g>", "it is not valid XML"),
    "deep": ("<g>" * 30 + "</g>" * 30, "nested at most 20 deep"),
    "many": ("<rect/>" * 2_001, "at most 2000 shapes"),
    "nothing": ("<g/>", "it has no filled area"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_whatever_is_no_filled_shape_is_refused(name):
    inside, message = HOSTILE[name]
    assert message in problem(svg(inside))


@pytest.mark.parametrize(
    "before",
    [
        '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>',
        '<!DOCTYPE svg SYSTEM "http://example.invalid/x.dtd">',
        '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>',
        '<?xml-stylesheet href="http://example.invalid/x.css"?>',
    ],
)
def test_declarations_and_instructions_are_refused_unread(before):
    data = before.encode() + svg(BOX)
    assert "a document type or a processing instruction is not allowed in a logo" in problem(data)


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (svg(BOX, 'viewBox="0 0 62 20"'), "62 x 20 is not allowed; must be at most 3 times as wide as high"),
        (svg(BOX, 'viewBox="0 0 20 62"'), "20 x 62 is not allowed"),
        (svg(BOX, ""), "logo.svg:1: viewBox: a viewBox of four numbers"),
        (svg(BOX, 'viewBox="0 0 0 20"'), "logo.svg:1: viewBox: a viewBox of four numbers"),
        (svg(BOX, 'viewBox="0 0 nan 20"'), "logo.svg:1: viewBox: a viewBox of four numbers"),
        (b"<html/>", "logo.svg:1: html: the file must have one element svg"),
        (b"", "logo.svg: the file cannot be read: a logo is a PNG or an SVG file"),
        (b"GIF89a", "a logo is a PNG or an SVG file"),
        (b"\xff\xd8\xff\xe0JFIF", "a logo is a PNG or an SVG file"),
        (b"  \n<", "it is not valid XML"),
        (svg(f'<path d="M0 0{"a1 1 0 0 1 1 1" * 6_500}"/>'), "the drawing has too many curves for a logo"),
        ('<svg viewBox="0 0 9 9"/>'.encode("utf-16"), "it is UTF-16; save it as SVG in UTF-8"),
        (svg("<!--" + "x" * 100_000 + "-->"), "the file is larger than 100 kB; no logo needs that"),
        (png(40, 20)[:60], "the PNG image is damaged"),
        (png(40, 20)[:20], "the PNG image is damaged"),
        (png(40, 20)[:33] + png(3_000, 3_000)[8:], "the PNG image is damaged"),
        (png(62, 20), "62 x 20 is not allowed; must be at most 3 times"),
        (png(1, 1, "I;16", 3), "1 x 1 x 16 is not allowed; a PNG logo has at most 2000 x 2000 pixels of 8 bits"),
    ],
)
def test_other_files_are_refused(data, message):
    assert message in problem(data)


def test_a_png_that_would_unpack_to_gigabytes_is_refused_by_its_header():
    header = b"IHDR" + struct.pack(">IIBBBBB", 60_000, 60_000, 8, 6, 0, 0, 0)
    data = png(1, 1)[:8] + struct.pack(">I", 13) + header + struct.pack(">I", zlib.crc32(header)) + png(1, 1)[33:]
    assert "60000 x 60000 x 8 is not allowed" in problem(data)


def drawn(inside: str, head: str = 'viewBox="0 0 40 20"') -> str:
    return read_logo(svg(inside, head), "logo.svg").content.decode("ascii")


def test_shapes_become_areas_in_a_square_with_its_origin_below():
    assert drawn('<rect x="10" y="5" width="20" height="10" fill="#f00"/>').splitlines() == [
        "1 0 0 rg",
        "0.25 0.375 m",
        "0.75 0.375 l",
        "0.75 0.125 l",
        "0.25 0.125 l",
        "h",
        "f",
    ]


def test_groups_pass_on_fill_rule_and_transformation():
    inside = (
        '<g fill="#0000FF" style="fill-rule:evenodd; stroke:none" transform="translate(10 0) scale(2)">'
        '<g transform="rotate(90 0 0)"><polygon points="0,0 1,0 1,1"/></g></g>'
    )
    assert drawn(inside).splitlines() == ["0 0 1 rg", "0.25 0.5 m", "0.25 0.45 l", "0.2 0.45 l", "h", "f*"]


def test_a_drawing_of_editors_is_taken_without_their_notes():
    head = 'width="40mm" height="20mm" xmlns:ink="http://example.com/ink" ink:version="1" id="a" data-name="b"'
    inside = f'<title>T</title><ink:view ink:zoom="2"/><defs id="d"/>{BOX}<path d="" fill="none"/>'
    assert drawn(inside, head).startswith("0 0 0 rg\n0 0.5 m")


def test_every_command_of_path_data_ends_where_it_says():
    text = "M1 1h2v2H1V1l1 1-1,1zm4 0c1 0 1 1 2 1s1-1 2-1q1-1 2 0t2 0C1 2 3 4 5 6S7 8 9 10Q1 1 2 2T3 3a1 1 0 013 0A2 2 0 1 0 9 9Z"
    ends = [points[-1] for _, points in path_segments(text) if points]
    assert (3.0, 1.0) in ends and (5.0, 1.0) in ends and (7.0, 2.0) in ends and (9.0, 10.0) in ends
    assert ends[-1] == (9.0, 9.0)


@pytest.mark.parametrize("flags", ["0 0", "0 1", "1 0", "1 1"])
def test_an_arc_stays_on_its_ellipse(flags):
    """Ends and middles of the curves satisfy the equation of a turned ellipse around one of two centers."""
    rx, ry, turn, start, end = 5.0, 3.0, 30.0, (1.0, 2.0), (6.0, 4.0)
    path = f"M{start[0]} {start[1]}A{rx} {ry} {turn} {flags} {end[0]} {end[1]}"
    at, points = start, []
    for kind, own in path_segments(path):
        if kind == "c":
            curve = (at, *own)
            points += [
                tuple(sum(w * p[i] for w, p in zip(weights, curve, strict=True)) for i in (0, 1))
                for weights in ((0.421875, 0.421875, 0.140625, 0.015625), (0.125, 0.375, 0.375, 0.125))
            ]
        at = own[-1]
    assert at == end
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    flat = [((cos * x + sin * y) / rx, (cos * y - sin * x) / ry) for x, y in (start, end, *points)]
    (ax, ay), (bx, by) = flat[0], flat[1]
    half = math.hypot(bx - ax, by - ay) / 2
    off = math.sqrt(1.0 - half * half)
    sides = [
        ((ax + bx) / 2 + side * off * (ay - by) / (2 * half), (ay + by) / 2 + side * off * (bx - ax) / (2 * half))
        for side in (-1, 1)
    ]
    assert any(all(abs(math.hypot(x - cx, y - cy) - 1.0) < 1e-3 for x, y in flat) for cx, cy in sides)


def test_a_circle_is_as_wide_as_it_says():
    code = drawn('<circle cx="20" cy="10" r="10"/>')
    values = [float(v) for line in code.splitlines() if line[-1] in "mc" for v in line.split()[:-1]]
    assert (min(values[0::2]), max(values[0::2])) == pytest.approx((0.25, 0.75), abs=1e-4)
    assert (min(values[1::2]), max(values[1::2])) == pytest.approx((0.0, 0.5), abs=1e-4)


def test_only_numbers_and_operators_are_left():
    inside = f'<title>(secret) Tj</title><g id="x) Tj"><desc>/JS</desc>{BOX}<ellipse rx="3" ry="2"/></g>'
    assert re.fullmatch(r"(?:(?:-?[0-9.]+ )*(?:rg|m|l|c|h|f)\n?)+", drawn(inside))


def test_what_is_see_through_in_a_png_is_white():
    logo = read_logo(png(30, 60), "logo.png")
    assert (logo.width, logo.height, logo.is_png) == (0.5, 1.0, True)
    image = Image.open(io.BytesIO(logo.content))
    assert (image.mode, image.size, image.getpixel((3, 3))) == ("RGB", (30, 60), (255, 255, 255))
    palette = read_logo(png(4, 4, "P", 0), "logo.png")
    assert palette.content == read_logo(png(4, 4, "P", 0), "logo.png").content
