"""The printed verification section: every figure is the frame's, every count is right, a failure cannot be missed."""

import dataclasses
import io
import itertools
import re

import pandas as pd
import pytest
from pypdf import PdfReader

from tablegen.dataset.dataset import DataSet
from tablegen.report.pages.verification_page import verification
from tablegen.report.pdf.page import Document
from tablegen.report.publications.publication import Publication
from tests.demo import demo_data, page_texts, short_booklet

MINUS, DAGGER = "\N{MINUS SIGN}", "†"


def section(data: DataSet) -> str:
    """The section by itself, as text with ordinary spaces, columns separate."""
    publication, target = Publication.of(data), io.BytesIO()
    document = Document(target, "Letter", "Check", date=publication.date)
    document.build(
        verification(publication.data.verification, list(publication.catalogue.records), document.frame_width, {})
    )
    pages = [page.extract_text(extraction_mode="layout") for page in PdfReader(target).pages]
    return "\n".join(pages).replace("\N{NO-BREAK SPACE}", " ")


def flat(text: str) -> str:
    return " ".join(text.split())


def with_checks(frame: pd.DataFrame) -> DataSet:
    return dataclasses.replace(demo_data(), verification=frame)


@pytest.fixture(scope="module")
def text() -> str:
    return section(demo_data())


def lines(frame: pd.DataFrame) -> list[pd.Series]:
    """Of each quantity and source the row nearest to its limit, with the number of rows."""
    share = frame["deviation"].abs() / frame["allowed_deviation"]
    own = frame.assign(share=share)
    # Of two that are outside a band, of which no deviation is allowed, the one farther outside.
    own = own.assign(away=own["deviation"].abs()).sort_values(["share", "away"], ascending=False)
    groups = own.groupby(["kind", "quantity", "source"], sort=False)
    return [rows.iloc[0].copy() for _, rows in groups]


def decimal_places(figure: str) -> int:
    return len(figure.partition(".")[2])


def test_each_line_prints_published_and_computed_figure(text):
    frame = demo_data().verification
    # A line starts at the figures; what is left of them may have wrapped.
    printed = [row.split() for row in text.splitlines()]
    for row in lines(frame):
        # Of a band its upper end is beside ours.
        published = row["published_text"].replace("-", MINUS).split()[-1]
        # A decimal more than the source has, and half-way figures may be rounded either way.
        places = decimal_places(row["published_text"]) + 1
        ours, half = row["computed_value"], 0.51 * 10.0**-places
        sign = "+" if row["deviation"] > 0 else MINUS
        off = f"{abs(row['deviation']):.2g}" if row["deviation"] else ""
        match = [
            words
            for words in printed
            if any(
                a == published and is_number(b.lstrip(MINUS)) and abs(number(b) - ours) <= half
                for a, b in itertools.pairwise(words)
            )
            and (not off or any(w[0] == sign and float(w[1:]) == float(off) for w in words if w[1:2].isdigit()))
        ]
        assert match, (row["quantity"], row["source"], published, ours, off)
        allowed = float(f"{row['allowed_deviation']:.2g}")
        # Half-way figures may be rounded either way.
        assert any(abs(number(w) - allowed) <= 0.06 * allowed for words in match for w in words if is_number(w))


def is_number(word: str) -> bool:
    """A figure, or one with its power of ten."""
    return word.replace(".", "", 1).replace(f"e{MINUS}", "", 1).isdigit()


def number(word: str) -> float:
    return float(word.replace(MINUS, "-"))


def test_counts_of_kinds_lines_and_sources_are_those_of_the_frame(text):
    frame = demo_data().verification
    published = frame[frame["kind"] == "published"]
    seen = (published["provenance"] == "checked").sum()
    assert f"Published values: all {len(published)} pass; {seen} of the {len(published)} were checked" in flat(text)
    for kind, rows in frame.groupby("kind"):
        assert f"{kind.replace('self_', 'self-').replace('_', ' ').capitalize()} ({len(rows)} checks): " in flat(text)
    titles = {
        "checked": "Checked against the source",
        "not_checked": "Not checked against the source",
        "no_source": "No outside source",
    }
    for provenance, rows in frame.groupby("provenance"):
        mark = " †" if provenance.startswith("not") else ""
        assert f"{titles[provenance]}{mark} ({len(rows)} checks)" in flat(text)
    handbook = frame[(frame["quantity"] == "latent heat")]
    assert f"{len(handbook)} (R134a)" in text
    masses = set(frame[frame["quantity"] == "molar mass"]["refrigerant"])
    without = [name for name in members() if name not in masses]
    assert masses and without and f"{len(masses)} (all but {', '.join(without)})" in flat(text)


def members() -> list[str]:
    """The refrigerants of the demo's groups."""
    return [name for group in demo_data().catalogue.groups.values() for name in group.members]


def test_published_values_come_first_and_self_checks_last(text):
    heads = [
        flat(text).index(f"{kind} (") for kind in ("Published", "Rule of thumb", "Second implementation", "Self-check")
    ]
    assert heads == sorted(heads)


def test_what_is_outside_its_band_is_stated_with_its_reason_above_the_tables(text):
    printed = flat(text)
    stated = "OUTSIDE ITS BAND, EXPLAINED: R507A compressor loss, SST 25 °F, 105 to 115 °F: rule of thumb 5 to 9 %"
    assert printed.index("Published values:") < printed.index(stated) < printed.index("Published (")
    assert "Why: 8.4 % is lost by the enthalpy of warmer liquid alone" in printed
    assert "2 OUTSIDE" in printed


def test_every_source_and_reason_is_printed(text):
    frame = demo_data().verification
    printed = flat(text)
    for source in set(frame["source"]):
        assert source.replace("degC", "°C").replace("degF", "°F") in printed
    for why in set(frame["why_allowed"]):
        assert why in printed


def test_what_was_not_checked_against_its_source_is_marked(text):
    frame = demo_data().verification
    expected = frame["provenance"] == "not_checked"
    assert text.count(f"{DAGGER}]") == frame[expected].groupby(["kind", "quantity", "source"]).ngroups
    assert "Not checked against the source †" in flat(text)
    assert "memory" not in text and "stored" not in text


def test_a_check_that_fails_is_stated_twice_and_counted():
    frame = demo_data().verification.copy()
    at = frame.index[frame["published_text"] == "0.770"][0]
    frame.loc[at, ["computed_value", "deviation", "verdict"]] = [0.774, 0.004, "fails"]
    printed = flat(section(with_checks(frame)))
    stated = "FAILS: R134a saturation pressure, 30 °C: second implementation 0.770 MPa, ours 0.7740, off by +0.0040"
    assert stated in printed
    same = frame[(frame[["kind", "quantity", "source"]] == frame.loc[at, ["kind", "quantity", "source"]]).all(axis=1)]
    named = [name for name in members() if name in set(same["refrigerant"])]
    # A cell of two lines has the rest of its row between them.
    count = re.escape(f"{len(same)} ({', '.join(named)}):")
    assert re.search(rf"{count}(?: R134a, 30 °C 0\.770 0\.7740 [^()]{{,40}})? 1 FAILS", printed)
    second = (frame["kind"] == "second_implementation").sum()
    assert f"second implementation ({second - 1} of {second} pass, 1 FAILS)" in printed


def test_a_value_of_ours_that_is_missing_fails_in_print():
    frame = demo_data().verification.copy()
    frame.loc[0, ["computed_value", "deviation", "verdict"]] = [float("nan"), float("nan"), "fails"]
    printed = flat(section(with_checks(frame)))
    figure = frame.loc[0, "published_text"].replace("-", MINUS)
    assert f"published {figure} °C, ours none" in printed
    assert "1 FAILS" in printed


def test_many_failures_do_not_leave_the_heading_alone():
    frame = demo_data().verification.assign(verdict="fails")
    publication, target = Publication.of(with_checks(frame)), io.BytesIO()
    document = Document(target, "Letter", "Check", date=publication.date)
    document.build(
        verification(publication.data.verification, list(publication.catalogue.records), document.frame_width, {})
    )
    pages = [page.extract_text() for page in PdfReader(target).pages]
    assert "FAILS:" in pages[0]
    assert sum(page.count("FAILS:") for page in pages) == len(frame)


def test_the_first_table_begins_on_the_page_of_the_heading():
    publication, target = Publication.of(demo_data()), io.BytesIO()
    document = Document(target, "Letter", "Check", date=publication.date)
    document.build(
        verification(publication.data.verification, list(publication.catalogue.records), document.frame_width, {})
    )
    first = PdfReader(target).pages[0].extract_text().replace("\N{NO-BREAK SPACE}", " ")
    assert "Verification" in first
    assert "Published (" in first and re.search(r"bubble\s+temperature\s+\[\d", first)


def test_a_data_set_without_checks_has_no_section():
    assert verification(demo_data().verification.iloc[:0], [], 400.0, {}) == []


@pytest.mark.parametrize(("units", "paper"), [("IP", "letter"), ("SI", "a4")])
def test_the_section_is_in_the_booklet_between_method_and_refrigerants(units, paper):
    pdf = short_booklet(units, paper)
    reader = PdfReader(io.BytesIO(pdf))
    pages = [i for i, page in enumerate(page_texts(pdf)) if "Nearest to its limit" in page]
    assert 1 <= len(pages) <= 3
    titles = [item.title for item in reader.outline if not isinstance(item, list)]
    assert titles.index("Method") < titles.index("Verification") < titles.index("Refrigerants")
