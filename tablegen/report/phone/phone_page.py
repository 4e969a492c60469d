"""`lookup.html`: the windows of a data set as one page for a phone's browser, without any network.

Where that would be too large there is a page for each application, and `lookup.html` links to them.
"""

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
from tablegen.errors import PublishError
from tablegen.model.company import Logo, Wholesaler
from tablegen.model.names import phone_page_name
from tablegen.report.application_part import part_of_application
from tablegen.report.logo_image import data_uri
from tablegen.report.phone.phone_data import origin, phone_data, texts
from tablegen.wording import company as company_wording
from tablegen.wording import phone as wording
from tablegen.wording.language import language

SCRIPTS = (
    *("texts.js", "figures.js", "answer.js", "stock.js", "ask.js", "order.js"),
    *("verdict.js", "view.js", "fields.js", "state.js"),
)
# What mail takes as an attachment with room to spare, and an older phone opens in a few seconds.
MOST_BYTES = 5_000_000
# Two limits of three figures, each with a space after it, in both systems of units; an empty window is a dash in each.
_LEAST_BYTES, _LEAST_BYTES_EMPTY = 16, 4
# Limits further apart than this are no empty window, however they are rounded.
_APART = 1.03
# Digits as people group them.
_TELEPHONE = re.compile(r"\+?\(?[0-9][0-9 \N{NO-BREAK SPACE}().\-/]*[0-9]")
_PLACEHOLDER = re.compile(r"\{\{(\w+)\}\}")
# How a browser counts sheets of paper.
_COUNTERS = {"page": "counter(page)", "pages": "counter(pages)"}


def write_phone_page(data: DataSet, target: Path) -> None:
    """Write the page, or one for each application beside one that links to them; the same data give the same bytes.

    Raises
    ------
    PublishError
        If the page of one application alone is too large.
    """
    whole = _page_that_fits(data)
    if whole is not None:
        target.write_bytes(whole)
        return
    links = []
    for name, application in data.catalogue.applications.items():
        page = _page_that_fits(part_of_application(data, name), application.title)
        if page is None:
            raise PublishError(wording.PAGE_TOO_LARGE(application=application.title, most=f"{MOST_BYTES / 1e6:g}"))
        file = phone_page_name(name)
        target.with_name(file).write_bytes(page)
        links.append(
            _filled(_part("link.html"), _escaped(file=file, name=name, title=application.title, note=application.note))
        )
    style = _filled(_part("look.css"), _paper_parts(data))
    index = {"style": style, "style_hash": _hash(style), "links": "".join(links)}
    shown = {**_heading(data), "choose": wording.CHOOSE_PAGE(), "folder": wording.SAME_FOLDER(), "origin": origin(data)}
    index["logo"] = _logo_part(data.catalogue.printing.company.logo, data.catalogue.printing.company.name)
    target.write_text(_filled(_part("index.html"), _escaped(**shown) | index), encoding="utf-8", newline="\n")


def _page_that_fits(data: DataSet, page_of: str = "") -> bytes | None:
    """The page as `phone_page` makes it; None where it is too large."""
    # Not even made where its windows alone are too large.
    minimum, maximum = data.windows["min_load_w"], data.windows["max_load_w"]
    read = int(((minimum > 0.0) & (maximum > _APART * minimum)).sum())
    if read * _LEAST_BYTES + (len(data.windows) - read) * _LEAST_BYTES_EMPTY > MOST_BYTES:
        return None
    page = phone_page(data, page_of).encode("utf-8")
    return page if len(page) <= MOST_BYTES else None


def phone_page(data: DataSet, page_of: str = "") -> str:
    """The page with its tables, style and script in it, both allowed by their hashes in the content security policy.

    `page_of` is the title of the application that it is for, where others have pages of their own.
    """
    script = "".join(map(_part, SCRIPTS))
    style = _filled(_part("look.css"), _paper_parts(data))
    shown = {key: text for key, text in texts().items() if isinstance(text, str)}
    tables = phone_data(data)
    if page_of:
        tables = {**tables, "texts": {**texts(), **{key: text.pattern for key, text in wording.OTHER_PAGES.items()}}}
    back = _filled(_part("back.html"), _escaped(file=phone_page_name(), text=wording.ALL_PAGES())) if page_of else ""
    parts = {
        **_escaped(**shown, **_heading(data, page_of)),
        "back": back,
        "logo": _logo_part(data.catalogue.printing.company.logo, data.catalogue.printing.company.name),
        **_call_parts(data.catalogue.wholesaler),
        "script_hash": _hash(script),
        "style_hash": _hash(style),
        "style": style,
        "tables": _inert(json.dumps(tables, ensure_ascii=False, separators=(",", ":"), allow_nan=False)),
        "script": script,
    }
    return _filled(_part("page.html"), parts)


def _heading(data: DataSet, page_of: str = "") -> dict[str, str]:
    """What stands at the head of a page."""
    printing = data.catalogue.printing
    title = wording.PAGE_TITLE(title=page_of or printing.title)
    return {
        "language": language(),
        "title": printing.title,
        "company": printing.company.name,
        "revision": wording.REVISION(revision=printing.revision),
        "notice": printing.notice,
        "page_title": title,
    }


def _logo_part(logo: Logo | None, of: str) -> str:
    """The logo of a company within the page; nothing without one."""
    if logo is None:
        return ""
    return _filled(_part("logo.html"), _escaped(source=data_uri(logo), alt=company_wording.LOGO_ALT(company=of)))


def _call_parts(wholesaler: Wholesaler | None) -> dict[str, str]:
    """The wholesaler with the number to call, in the text and as a button; nothing where there is no wholesaler."""
    if wholesaler is None:
        return {"whose": "", "call": "", "call_button": ""}
    name, telephone = wholesaler.name, wholesaler.telephone
    link = call_link(telephone)
    number = (
        _filled(_part("call_link.html"), _escaped(link=link, telephone=telephone)) if link else html.escape(telephone)
    )
    text = _filled(
        _part("call.html"), {**_escaped(name=name), "number": number, "logo": _logo_part(wholesaler.logo, name)}
    )
    call, whom = wording.CALL(telephone=telephone), wording.CALL_WHOM(telephone=telephone, name=name)
    button = _filled(_part("call_button.html"), _escaped(link=link, call=call, whom=whom)) if link else ""
    return {"whose": f"{html.escape(name)}, ", "call": text, "call_button": button}


def call_link(telephone: str) -> str:
    """A telephone number as a link that a telephone calls; empty where there is none in the text.

    Only its first digits count, not an extension; nor does the zero that is dialed inside a country alone.

    References
    ----------
    RFC 3966.

    >>> call_link("555 0100"), call_link("+49 (0)30 123-45 ext. 6"), call_link("ask at the desk")
    ('tel:5550100', 'tel:+493012345', '')
    """
    found = _TELEPHONE.search(telephone)
    if found is None:
        return ""
    number = found[0].replace("(0)", "") if found[0].startswith("+") else found[0]
    return "tel:" + re.sub(r"[^+0-9]", "", number)


def _escaped(**texts: str) -> dict[str, str]:
    return {key: html.escape(text) for key, text in texts.items()}


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
