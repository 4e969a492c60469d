"""Sentences of a data set said again in another language."""

import datetime

import pytest

from tablegen.wording import verification
from tablegen.wording.data_texts import translated_text, with_figures
from tablegen.wording.language import date_text, languages, speaking
from tablegen.wording.message import in_clauses

NBSP = "\N{NO-BREAK SPACE}"


def test_a_sentence_within_a_sentence_is_said_too():
    text = verification.HALF_DIGIT_AND(also=verification.SAME_EQUATION())
    assert translated_text(text, verification.STATED) == text
    with speaking("es"):
        assert translated_text(text, verification.STATED) == verification.HALF_DIGIT_AND(
            also=verification.SAME_EQUATION()
        )
        assert translated_text(text, verification.STATED) != text


def test_titles_and_figures_of_versions_stay_and_the_words_between_are_said():
    texts = {
        "usnistgov/REFPROP-issues #177 (REFPROP 9.1)": "usnistgov/REFPROP-issues #177 (REFPROP 9.1)",
        "ASHRAE Handbook Fundamentals 2021, ch. 2, Example 5": "ASHRAE Handbook Fundamentals 2021, Kap. 2, Beispiel 5",
        "Span and Wagner 1996, equation of state of carbon dioxide": "Span und Wagner 1996, Zustandsgleichung von Kohlendioxid",
    }
    with speaking("de"):
        assert {text: translated_text(text, verification.SOURCE_TEXTS) for text in texts} == texts


@pytest.mark.parametrize(
    ("text", "printed"),
    [("770.20 kPa, 33.6 degC", "770,20 kPa, 33,6 degC"), ("22120 kPa", "22\N{NARROW NO-BREAK SPACE}120 kPa")],
)
def test_figures_of_a_condition_have_the_decimal_comma(text, printed):
    assert with_figures(text) == text
    with speaking("de"):
        assert with_figures(text) == printed


def test_clauses_have_the_space_before_a_semicolon_that_french_wants():
    joined = {}
    for code in languages():
        with speaking(code):
            joined[code] = in_clauses(iter(["a", "b", "c"])), in_clauses([])
    assert joined == {
        "de": ("a; b; c", ""),
        "en": ("a; b; c", ""),
        "es": ("a; b; c", ""),
        "fr": (f"a{NBSP}; b{NBSP}; c", ""),
    }


def test_the_date_of_an_earlier_release_is_written_as_others_are():
    assert date_text("2026-11-25") == "2026-11-25"
    with speaking("es"):
        assert date_text("2026-11-25") == date_text(datetime.date(2026, 11, 25)) == "25 de noviembre de 2026"
        assert date_text("autumn") == "autumn"


def test_the_decimal_sign_of_spanish_follows_its_region():
    written = {}
    for code in ("es", "es-MX", "es-US"):
        with speaking(code):
            written[code] = with_figures("8.5 kW"), date_text("2026-11-25")
    date = "25 de noviembre de 2026"
    assert written == {"es": ("8,5 kW", date), "es-MX": ("8.5 kW", date), "es-US": ("8.5 kW", date)}
