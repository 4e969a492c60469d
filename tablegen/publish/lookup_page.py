"""`lookup.html`: the windows of a data set as one page for a browser, without any network."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import re
from importlib import resources
from pathlib import Path

from tablegen.catalogue.dataset import DataSet
from tablegen.publish.lookup_record import lookup_record

SCRIPTS = ("answer.js", "strip.js", "view.js", "state.js")
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
    style = _part("look.css")
    policy = (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
    parts = {
        "policy": policy,
        "title": html.escape(record["title"]),
        "house": html.escape(record["house"]),
        "notice": html.escape(record["notice"]),
        "style": style,
        "tables": _inert(json.dumps(record, ensure_ascii=False, separators=(",", ":"), allow_nan=False)),
        "script": script,
    }
    # In one pass, so that nothing that a config says is taken for a place.
    return _PLACE.sub(lambda match: parts[match[1]], _part("page.html"))


def _part(name: str) -> str:
    return (resources.files("tablegen.publish") / "lookup" / name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _inert(text: str) -> str:
    """JSON that no parser of HTML takes for the end of its element, or for a comment."""
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
