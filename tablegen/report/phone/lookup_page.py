"""`lookup.html`: the windows of a data set as one page for a browser, without any network."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
from importlib import resources
from pathlib import Path
from typing import Any

from tablegen.dataset.dataset import DataSet
from tablegen.report.phone.lookup_record import lookup_record

SCRIPTS = ("answer.js", "strip.js", "ask.js", "order.js", "view.js", "state.js")
_PLACE = re.compile(r"\{\{(\w+)\}\}")
# Each script says it for itself; together they are one.
_STRICT = '"use strict";\n'


def write_lookup(data: DataSet, target: Path) -> None:
    """Write the page; the same data, the same bytes."""
    target.write_text(lookup_page(data), encoding="utf-8", newline="\n")


def lookup_page(data: DataSet) -> str:
    """The page with its tables, style and script in it, each known to the content security policy by its hash."""
    record = lookup_record(data)
    script = _STRICT + "".join(_part(name).removeprefix(_STRICT) for name in SCRIPTS)
    style = _part("look.css") + _page_rule(record)
    policy = (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
    parts = {
        "policy": policy,
        "title": html.escape(record["title"]),
        "company": html.escape(record["company"]),
        "notice": html.escape(record["notice"]),
        "style": style,
        "tables": _inert(json.dumps(record, ensure_ascii=False, separators=(",", ":"), allow_nan=False)),
        "script": script,
    }
    # In one pass, so that nothing that a config says is taken for a place.
    return _PLACE.sub(lambda match: parts[match[1]], _part("page.html"))


def _page_rule(record: dict[str, Any]) -> str:
    """What stands at the foot of every page of paper; in the style, for only there can a browser repeat it."""
    origin = f"{record['company']}, revision {record['revision']} of {record['date']}, data {record['data']}."
    foot = _quoted(f"{record['notice']} {origin}")
    return (
        "@page { margin: 14mm 14mm 20mm; "
        f"@bottom-left {{ content: {foot}; width: 85%; text-align: left; vertical-align: top; font: 8pt sans-serif }} "
        '@bottom-right { content: "Page " counter(page) " of " counter(pages); vertical-align: top; '
        "font: 8pt sans-serif } }\n"
    )


def _quoted(text: str) -> str:
    """A text as CSS takes it, every sign that is no letter, digit or space by its number and the space that ends it."""
    signs = (sign if sign.isascii() and (sign.isalnum() or sign == " ") else f"\\{ord(sign):06x} " for sign in text)
    return f'"{"".join(signs)}"'


def _part(name: str) -> str:
    return (resources.files("tablegen.report.phone") / "page" / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _inert(text: str) -> str:
    """JSON that no parser of HTML takes for the end of its element, or for a comment."""
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
