"""What a browser gets of an answer: semantic, escaped, complete."""

from html.parser import HTMLParser

import pytest

from tablegen.report.answer import AnswerColumn, AnswerTable, ColumnStyle, Fact, TableLayout, Value
from tablegen.report.html.answer_page import fragment, page
from tests.report.test_answer import HOSTILE, answer, sizes_table

VOID = {"meta"}


class Outline(HTMLParser):
    """Elements with their attributes, their texts, and whether all are closed in order."""

    def __init__(self, text):
        super().__init__()
        self.open, self.starts, self.texts = [], [], {}
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.starts.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open:
            self.texts.setdefault(self.open[-1], []).append(data)


def test_fragment_is_well_formed_and_has_every_printed_text():
    outline = Outline(fragment(answer(sections=(answer(key="first", imprint=None),))))
    assert outline.open == []
    assert outline.texts["h2"] == ["R448A at SST −4\N{NO-BREAK SPACE}°C"] == outline.texts["h3"]
    assert outline.texts["dt"] == ["SST", "Application"] * 2
    assert [d.get("scope") for tag, d in outline.starts if tag == "th"] == (["col"] * 4 + ["row"] * 2) * 2
    assert outline.texts["td"][:3] == ["2.25 to 16.1", "2.50", "as printed"]
    assert "Invented data." in outline.texts["p"] and "Follow the codes." in outline.texts["p"]


def test_figures_are_set_flush_right_in_head_and_body():
    outline = Outline(fragment(answer()))
    assert [tag for tag, d in outline.starts if d.get("class") == "figures"] == ["th", "td", "td"]


@pytest.mark.parametrize("text", [HOSTILE, "<script>alert(1)</script>", '" onmouseover="x', "</section><img src=x>"])
def test_hostile_text_stays_text_everywhere(text):
    made = answer(
        heading=text,
        summary=(text,),
        notes=(text,),
        facts=(Fact(("name",), text, Value.of(text)),),
        tables=(sizes_table([text], title=text, printed_rows=0, more=text), sizes_table_named("other", text)),
    )
    plain, hostile = Outline(page(answer())), Outline(page(made))
    allowed = {tag for tag, _ in plain.starts} | {"caption"}
    assert {tag for tag, _ in hostile.starts} <= allowed
    assert all(not name.startswith("on") for _, attributes in hostile.starts for name in attributes)
    assert "\u202e" not in page(made) and "\x1b" not in page(made)


def sizes_table_named(key, text):
    columns = (AnswerColumn(("a",), text), AnswerColumn(("b",), text, ColumnStyle.FORMULA))
    return AnswerTable(key=key, title=text, columns=columns, rows=((Value.of(text), Value.of(text)),))


def test_page_loads_nothing_and_names_its_language():
    outline = Outline(page(answer(), "es"))
    assert ("html", {"lang": "es"}) in outline.starts
    policy = next(d["content"] for tag, d in outline.starts if d.get("http-equiv") == "Content-Security-Policy")
    assert policy.startswith("default-src 'none'")
    assert not {tag for tag, _ in outline.starts} & {"script", "link", "iframe", "img"}


def test_indices_of_symbols_are_lowered_in_formulas_alone():
    columns = (
        AnswerColumn(("n",), "No."),
        AnswerColumn(("f",), "Equation", ColumnStyle.FORMULA),
        AnswerColumn(("k",), "Key"),
    )
    rows = ((Value.of(1), Value.of("φ_max = min(φ_SH, φ_stop) < 2"), Value.of("low_head.pressure")),)
    for layout in TableLayout:
        shown = fragment(answer(tables=(AnswerTable(key="t", columns=columns, rows=rows, layout=layout),)))
        assert "φ<sub>max</sub> = min(φ<sub>SH</sub>, φ<sub>stop</sub>) &lt; 2" in shown
        assert "low_head.pressure" in shown


def test_notebook_shows_the_fragment():
    assert answer()._repr_html_() == fragment(answer())


def test_short_cells_stay_on_a_line_and_sentences_get_a_wide_column():
    columns = tuple(AnswerColumn((key,), key) for key in ("size", "window", "because"))
    rows = tuple(
        tuple(map(Value.of, (size, "2.25–16.1", "the valve is open as far as it goes. " * 3))) for size in "12"
    )
    outline = Outline(fragment(answer(tables=(AnswerTable(key="t", columns=columns, rows=rows),))))
    classes = [attributes.get("class") for tag, attributes in outline.starts if tag in ("th", "td")]
    assert classes == ["short", "short", "long"] * 3


def test_only_the_answer_itself_is_bold():
    section = answer(key="order", heading="To order", summary=("A line for the order.",), imprint=None)
    shown = fragment(answer(summary=("Covers the load.", "Also in the old system."), sections=(section,)))
    assert shown.count('class="summary"') == 1 and '<p class="summary">Covers the load.</p>' in shown
