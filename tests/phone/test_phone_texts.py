"""Texts of the phone page: all of them in the wording package, each used, with the placeholders that the script fills."""

import re
from importlib import resources

import pytest

from tablegen.report.phone.phone_page import SCRIPTS
from tablegen.wording.message import Message, placeholders
from tablegen.wording.phone import TEXTS

PAGE = resources.files("tablegen.report.phone") / "page"
SOURCES = {name: (PAGE / name).read_text(encoding="utf-8") for name in SCRIPTS}
SCRIPT = "".join(SOURCES.values())
# Named where the script does not call for them by name.
CHOSEN = {"and", "or"}
# Placeholders of the page that are no text of the wording package.
OWN = {
    "logo",
    "language",
    "script_hash",
    "style_hash",
    "style",
    "tables",
    "script",
    "title",
    "company",
    "notice",
    "page_title",
    "back",
    "call",
    "call_button",
    "whose",
    "revision",
}


def split(arguments: str) -> list[str]:
    """Arguments, or entries of an object, as they are separated at the outer level, up to its end."""
    depth, found = 0, [""]
    for sign in arguments:
        depth += (sign in "([{") - (sign in ")]}")
        if depth < 0:
            break
        if sign == "," and depth == 0:
            found.append("")
        else:
            found[-1] += sign
    return [one.strip() for one in found if one.strip()]


def calls():
    """Each text that the script fills with an object written at the call: its key, and the names of the object."""
    for match in re.finditer(r"\b(?:say|count)\(", SCRIPT):
        key, *rest = split(SCRIPT[match.end() :])
        values = [one for one in rest if one.startswith("{")]
        if key.startswith('"') and (values or not rest):
            entries = split(values[0][1:]) if values else []
            yield key.strip('"'), {re.match(r"[\w.]+", entry)[0] for entry in entries}


def test_page_and_script_use_every_text_and_no_other():
    filled = set(re.findall(r"{{(\w+)}}", (PAGE / "page.html").read_text(encoding="utf-8"))) - OWN
    assert filled | CHOSEN | set(re.findall(r"\b(?:say|count)\(\"(\w+)\"", SCRIPT)) == set(TEXTS)


def test_the_script_fills_the_placeholders_of_its_texts():
    found = [(key, names) for key, names in calls() if not any(name.startswith("...") for name in names)]
    for key, names in found:
        message = TEXTS[key]
        wanted = placeholders(message.text if isinstance(message, Message) else message.one + message.many)
        assert names == wanted - {"count"}, key
    assert len(found) > 70


@pytest.mark.parametrize("name", SCRIPTS)
def test_scripts_contain_no_sentence(name):
    code = re.sub(r"/\*.*?\*/|(?m://.*$)", "", SOURCES[name], flags=re.DOTALL)
    texts = ["".join(found) for found in re.findall(r'"([^"\n]*)"|`([^`]*)`', code)]
    assert not [text for text in texts if re.search(r"[A-Za-z]{2,} [a-z]{2,} [a-z]{2,}", text)]
