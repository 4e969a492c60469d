"""Publications in other languages: nothing untranslated, no text too long for its place, the same figures."""

import dataclasses
import gettext
import io
import re
from collections import Counter

import pytest
from pypdf import PdfReader

from tablegen.calculation.symbols import FUNCTIONS, SYMBOLS
from tablegen.model.company import Company
from tablegen.model.own_texts import PLACES, in_language
from tablegen.report.phone.phone_page import phone_page
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.wording import language
from tests.demo import demo_data, page_texts, part_of_booklet, with_inputs
from tests.wording.translations import read

OTHERS = language.languages()[1:]
# A load window as it is printed, in any language.
WINDOW = re.compile(r"\d[\d.,]*\N{EN DASH}\d[\d.,]*")


# A word of three letters and more; a figure, an exponent or a unit beside it is none.
WORD = re.compile(r"[^\W\d_\N{SUPERSCRIPT TWO}\N{SUPERSCRIPT THREE}]{3,}")
# What stays as it is in every language, and why.
UNTRANSLATED = {
    "names of persons, programs and standards in sources": "Baehr CoolProp CYCLE_D issues NIST numpy pandas Roth scipy Tillner Wagner "
    "usnistgov WebBook",
    "the name of a charge, as part numbers have it": "cross medium",
    "units": "kmol MPa psi",
    "names of files and columns of the data set": "windows confident",
}


class Missing(gettext.NullTranslations):
    """Notes what a language has no text for."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[str] = set()

    def gettext(self, message: str) -> str:
        self.found.add(message)
        return message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        self.found.add(msgid1)
        return super().ngettext(msgid1, msgid2, n)


@pytest.fixture
def missing(monkeypatch, code) -> set[str]:
    """The texts that a language has no translation of, of those asked for."""
    texts, noted = language._translations(code), Missing()
    monkeypatch.setattr(texts, "_fallback", noted)
    return noted.found


def printed(code: str, make, name: str) -> tuple[list[str], bytes]:
    """The pages of a document in a language."""
    data = (
        part_of_booklet(demo_data(), "alder", "hazel", name="booklet-a4-si") if make is print_booklet else demo_data()
    )
    data = with_inputs(
        data,
        **{place: getattr(in_language(data.catalogue, code), place) for place in PLACES},
    )
    target = io.BytesIO()
    with language.speaking(code):
        make(data, name, target)
    return page_texts(target.getvalue()), target.getvalue()


def words(text: str) -> set[str]:
    """The words of a text in small letters."""
    return {word.lower() for word in WORD.findall(text)}


def foreign_words(pages: list[str], code: str) -> dict[str, int]:
    """Words that are of no text in a language, with the page (from 1) where each is first: English ones, and broken ones."""
    catalogue, printing = demo_data().catalogue, demo_data().catalogue.printing
    firms = [*vars_of(printing.company), *(chart.wholesaler for chart in catalogue.charts)]
    signs = [sign.replace("_", "") for sign in (*(own.sign for own in SYMBOLS.values()), *FUNCTIONS.values())]
    with language.speaking(code):
        known = words(" ".join([*UNTRANSLATED.values(), *firms, *signs, language.date_text(printing.date)]))
    for entry in read(code):
        known |= (
            words(" ".join([entry.string] if isinstance(entry.string, str) else entry.string)) if entry.id else set()
        )
    known |= words(" ".join(catalogue.translations[code].values()))
    found: dict[str, int] = {}
    for number, page in enumerate(pages, start=1):
        # The fingerprint of the data has letters.
        for word in words(page.replace(demo_data().fingerprint, "")) - known:
            found.setdefault(word, number)
    return found


def vars_of(company: Company) -> list[str]:
    """The name and the address of a company."""
    return [company.name, *company.address, *(text for line in company.contact for text in line)]


def windows(pages: list[str]) -> Counter[str]:
    """Every window that is printed, with points as decimal signs."""
    return Counter(text.replace(",", ".") for page in pages for text in WINDOW.findall(page))


@pytest.mark.parametrize("code", OTHERS)
def test_a_booklet_has_every_text_and_the_same_figures(code, missing):
    pages, pdf = printed(code, print_booklet, "booklet-a4-si")
    assert not missing
    assert not foreign_words(pages, code)
    for text in (
        "bar gauge",
        "kPa absolute",
        "Equation",
        "not checked against",
        "invented for this",
        "our estimate",
        "24.3",
    ):
        assert not any(text in page for page in pages), text
    english, _ = printed(language.ENGLISH, print_booklet, "booklet-a4-si")
    assert len(windows(english)) > 400
    assert windows(pages) == windows(english)
    assert PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/Lang"] == code


@pytest.mark.parametrize("code", OTHERS)
@pytest.mark.parametrize("name", ["counter", "counter-a4-si"])
def test_a_counter_chart_has_every_text_and_the_same_figures(code, missing, name):
    pages, _ = printed(code, print_counter_chart, name)
    assert not missing
    assert not foreign_words(pages, code)
    english, _ = printed(language.ENGLISH, print_counter_chart, name)
    # Longer words may take more pages.
    found = [{text.replace(",", ".") for text in re.findall(r"\d+[.,]\d+", " ".join(of))} for of in (pages, english)]
    assert len(found[1]) > 20 and found[0] == found[1]


@pytest.mark.slow
@pytest.mark.parametrize("code", OTHERS)
def test_the_page_for_a_phone_has_every_text_and_plain_figures(code, missing):
    english = phone_page(demo_data())
    with language.speaking(code):
        page = phone_page(demo_data())
    assert not missing
    assert f'<html lang="{code}">' in page and '"decimal":","' in page

    def rows(text: str) -> list[str]:
        return re.findall(r'"SI":"([0-9. -]{9,})"', text)

    # What the script reads as numbers.
    assert len(rows(page)) > 100 and rows(page) == rows(english)


@pytest.mark.parametrize("code", OTHERS)
def test_the_own_texts_of_a_catalogue_take_the_place_of_the_english_ones(code):
    catalogue = demo_data().catalogue
    other = in_language(catalogue, code)
    assert other.families["alder"].title == catalogue.translations[code][catalogue.families["alder"].title]
    assert other.families["alder"].display_name == "Alder"
    own, printed_as = "walk_in_medium_lift", catalogue.translations[code]
    sources = catalogue.applications[own].sources
    assert other.applications[own].sources == {part: printed_as[text] for part, text in sources.items()}
    assert other.combinations == catalogue.combinations and list(other.families) == list(catalogue.families)
    assert dataclasses.replace(other, translations={}) != dataclasses.replace(catalogue, translations={})
