"""Files as people, editors, disks and bad will break them: strategies for config files and bench data."""

from __future__ import annotations

import re

from hypothesis import strategies as st

# A value after a key, in block or flow style, and an item of a flow list.
_VALUE = re.compile(r"(?<=: )[^\s,\[\]{}#][^,\n\]}#]*")
_KEY = re.compile(r"[A-Za-z_][\w-]*(?=:(?: |$))", re.MULTILINE)
_CELL = re.compile(r"[^,\n]+")
VALUES = (
    "",
    "~",
    "null",
    "true",
    "0",
    "-1",
    "1",
    "5",
    "3.7",
    "1e999",
    "-1e999",
    ".nan",
    ".inf",
    "-.inf",
    "1e308",
    "1e-320",
    "99999999999999999999999999",
    "-0.0",
    "0x1F",
    "0o17",
    "1_000",
    "1:30:00",
    "2026-02-30",
    "2026-13-01",
    "0001-01-01",
    "nan psi",
    "inf degF",
    "-460 degF",
    "-1e9 degC",
    "1e308 kW",
    "5 parsecs",
    "5 psi psi",
    "psi",
    "12 degF",
    "12 delta_degF",
    "-5 psi_gauge",
    "1e12 psi_gauge",
    "0 percent",
    "200 percent",
    "-3 percent",
    "1e-300 m",
    "1e300 ft",
    "0 K",
    "1/0 m",
    "5 m^2",
    "5 kg*m/s**2",
    "٣ psi",
    "5\xa0psi",
    "1,5 bar",
    "[]",
    "{}",
    "[1, 2]",
    "[[], [[]]]",
    "{a: b}",
    "[a, a]",
    "{a: {b: {c: [1]}}}",
    '"\\0"',
    '"\\u0007"',
    '"a\\nb"',
    "'=1+1'",
    '"@SUM(A1)"',
    "'+cmd'",
    "'-2+3'",
    '"\\t=1"',
    "'<b>bold'",
    "'<img src=\"file:///etc/passwd\"/>'",
    "'&amp; &#0; &bogus;'",
    "../../outside",
    "/etc/passwd",
    ".hidden",
    "con",
    "a/b",
    "'..'",
    "'.'",
    "!!python/object/apply:os.system [ls]",
    "!!binary aGk=",
    "!own x",
    "&a 1",
    "*a",
    "*nobody",
    "\u202eabc",
    "\ufeff",
    "é",
    "💥",
    "\x07",
    "x" * 3000,
    "R404A",
    "alder",
    "walk_in_medium",
    "linear",
    "choked",
    "IP",
    "SI",
    "letter",
    "10 mm",
    "100000000 W",
    "1 W",
    "0.5",
    "2 delta_degC",
    "yes",
    "'",
    '"',
    "|",
    ">",
    "- x",
    "? x",
    "%YAML 1.1",
    "<<",
    "`x`",
)
_MARKS = ("\t", "\0", "\r", "\x85", "\u2028", "\ufeff", ":", "- ", *"#'\"{}[]&*!|,")


@st.composite
def broken(draw: st.DrawFn, text: str, is_table: bool = False) -> bytes:
    """A file's text with one to three things wrong with it, as bytes; some may be right all the same."""
    for _ in range(draw(st.integers(1, 3))):
        text = draw(_edited(text, is_table))
    content = text.encode("utf-8", "surrogatepass")
    kind = draw(st.sampled_from(("",) * 20 + ("utf-16", "latin-1", "bom", "flip", "cut", "crlf")))
    if kind in ("utf-16", "latin-1"):
        return text.encode(kind, "replace")
    if kind == "bom":
        return b"\xef\xbb\xbf" + content
    if kind == "flip" and content:
        at = draw(st.integers(0, len(content) - 1))
        return content[:at] + bytes([content[at] ^ draw(st.integers(1, 255))]) + content[at + 1 :]
    if kind == "cut":
        return content[: draw(st.integers(0, len(content)))]
    return content.replace(b"\n", b"\r\n") if kind == "crlf" else content


@st.composite
def _edited(draw: st.DrawFn, text: str, is_table: bool) -> str:
    kind = draw(st.sampled_from(("value",) * 6 + ("swap", "key", "drop", "double", "move", "indent", "mark")))
    places = list((_CELL if is_table else _VALUE).finditer(text))
    lines = text.split("\n")
    if kind in ("value", "swap") and places:
        place = draw(st.sampled_from(places))
        new = draw(st.sampled_from(VALUES)) if kind == "value" else draw(st.sampled_from(places))[0]
        return text[: place.start()] + new + text[place.end() :]
    if kind == "key" and (keys := list(_KEY.finditer(text))):
        place, other = draw(st.sampled_from(keys)), draw(st.sampled_from(keys))
        own = place[0]
        new = draw(st.sampled_from((other[0], own[:-1], own + "x", own.upper(), "x" * 200, "'=1'", "1", "~")))
        return text[: place.start()] + new + text[place.end() :]
    at, to = draw(st.integers(0, len(lines) - 1)), draw(st.integers(0, len(lines) - 1))
    if kind == "drop":
        del lines[at]
    elif kind == "double":
        lines.insert(to, lines[at])
    elif kind == "move":
        lines.insert(to, lines.pop(at))
    elif kind == "indent":
        lines[at] = " " * draw(st.integers(0, 6)) + lines[at].lstrip()
    else:
        column = draw(st.integers(0, len(lines[at])))
        lines[at] = lines[at][:column] + draw(st.sampled_from(_MARKS)) + lines[at][column:]
    return "\n".join(lines)
