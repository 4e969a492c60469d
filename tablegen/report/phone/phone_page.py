"""`lookup.html`: the windows of a data set as one page for a phone's browser, without any network."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from string import Formatter as Braces

from tablegen.dataset.dataset import DataSet
from tablegen.report.phone.phone_data import origin, phone_data, texts
from tablegen.wording import phone as wording

SCRIPTS = ("texts.js", "answer.js", "ask.js", "order.js", "view.js", "state.js")
_PLACEHOLDER = re.compile(r"\{\{(\w+)\}\}")
# How a browser counts sheets of paper.
_COUNTERS = {"page": "counter(page)", "pages": "counter(pages)"}


def write_phone_page(data: DataSet, target: Path) -> None:
    """Write the page; the same data give the same bytes."""
    target.write_text(phone_page(data), encoding="utf-8", newline="\n")


def phone_page(data: DataSet) -> str:
    """The page with its tables, style and script in it, both allowed by their hashes in the content security policy."""
    printing = data.catalogue.printing
    script = "".join(map(_part, SCRIPTS))
    style = _filled(_part("look.css"), _paper_parts(data))
    shown = {key: text for key, text in texts().items() if isinstance(text, str)}
    shown |= {"title": printing.title, "company": printing.company.name, "notice": printing.notice}
    shown["page_title"] = wording.PAGE_TITLE(title=printing.title)
    parts = {
        **{key: html.escape(text) for key, text in shown.items()},
        "script_hash": _hash(script),
        "style_hash": _hash(style),
        "style": style,
        "tables": _inert(json.dumps(phone_data(data), ensure_ascii=False, separators=(",", ":"), allow_nan=False)),
        "script": script,
    }
    return _filled(_part("page.html"), parts)


def _filled(text: str, parts: Mapping[str, str]) -> str:
    """A text with its placeholders filled in one pass, so that nothing that a config contains is taken for one."""
    return _PLACEHOLDER.sub(lambda match: parts[match[1]], text)


def _paper_parts(data: DataSet) -> dict[str, str]:
    """The foot of every printed sheet, as CSS: only there can a browser repeat it."""
    number = [
        piece
        for text, name, _, _ in Braces().parse(wording.PAGE_NUMBER.pattern)
        for piece in ([_quoted(text)] if text else []) + ([_COUNTERS[name]] if name else [])
    ]
    foot = wording.PAPER_FOOT(notice=data.catalogue.printing.notice, origin=origin(data))
    return {"paper_foot": _quoted(foot), "page_number": " ".join(number)}


def _quoted(text: str) -> str:
    """A text as CSS takes it: every character that is no letter, digit or space by its number, ended by a space."""
    signs = (sign if sign.isascii() and (sign.isalnum() or sign == " ") else f"\\{ord(sign):06x} " for sign in text)
    return f'"{"".join(signs)}"'


def _part(name: str) -> str:
    return (resources.files("tablegen.report.phone") / "page" / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _inert(text: str) -> str:
    """JSON that no HTML parser takes for the end of its element, or for a comment."""
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
