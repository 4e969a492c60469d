"""Translations: every message of a publication has a text in each language, with its placeholders and terms."""

import csv
import re

import pytest
from babel.messages.catalog import Message as Entry

from tablegen.wording.language import FOLDER, languages
from tests.wording.translations import read, stated

OTHERS = languages()[1:]


def placeholders(text: str) -> set[str]:
    return set(re.findall(r"{[^}]*}", text))


def texts(entry: Entry) -> list[tuple[str, str]]:
    """An English text and its translation, for one and for many."""
    if isinstance(entry.id, str):
        return [(entry.id, entry.string)]
    one, many = entry.id
    return [(one, entry.string[0]), *((many, text) for text in entry.string[1:])]


@pytest.mark.parametrize("code", OTHERS)
def test_every_message_has_a_text_and_no_text_is_without_a_message(code):
    entries = {entry.id: entry for entry in read(code) if entry.id}
    assert set(entries) == {key for key, _ in stated()}
    lacking = [entry.id for entry in entries.values() if entry.fuzzy or not all(text for _, text in texts(entry))]
    assert not lacking


@pytest.mark.parametrize("code", OTHERS)
def test_placeholders_and_edges_are_those_of_the_english_text(code):
    for entry in read(code):
        for english, text in texts(entry) if entry.id else ():
            # One of a thing may be said without its number.
            assert placeholders(text) ^ placeholders(english) <= {"{count}"}, english
            assert text.strip(" \n") == text or english.strip(" \n") != english, english
            # A figure does not part from its unit at the end of a line.
            assert text.count("\N{NO-BREAK SPACE}") >= english.count("\N{NO-BREAK SPACE}"), english


@pytest.mark.parametrize("code", OTHERS)
def test_a_language_has_its_terms_of_the_trade_and_uses_them(code):
    with (FOLDER / code / "terms.csv").open(encoding="utf-8", newline="") as file:
        terms = {row["english"]: row[code] for row in csv.DictReader(file)}
    wanted = {"superheat", "subcooling", "thermostatic expansion valve", "load window", "liquid line"}
    assert wanted <= set(terms) and len(terms) >= 50
    used = " ".join(text for entry in read(code) if entry.id for _, text in texts(entry)).lower()
    for term in wanted:
        # By its beginning: cases and plurals change the end.
        assert terms[term].lower()[:8] in used, term
