"""The chapter on scatter and confidence, and what every table says of its confidence."""

from __future__ import annotations

import collections
import dataclasses
import functools
import io

import numpy as np
import pandas as pd
import pytest
from pypdf import PdfReader

from tablegen.answers.case import Case
from tablegen.answers.pick import pick
from tablegen.answers.trace import trace
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.model.inputs import Confidence
from tablegen.model.publications import Combination
from tablegen.report.formatter import DASH
from tablegen.report.publications.booklet import print_booklet
from tests.demo import (
    booklet_publication,
    demo_booklet,
    demo_data,
    page_texts,
    part_of_booklet,
    with_inputs,
)
from tests.worked import worked_catalogue

PART = Combination("alder", "R448A-family", "walk_in_medium")


def text_of(pdf: bytes) -> str:
    return " ".join(" ".join(page_texts(pdf)).replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.mark.parametrize("units", ["IP", pytest.param("SI", marks=pytest.mark.slow)])
def test_chapter_prints_the_windows_of_the_group_as_in_the_data_set(units):
    """Not those of one member: Alder 45 in R404A and R507A, Rowan none."""
    publication, pdf = demo_booklet(units, "letter")
    text, frame, grouped = text_of(pdf), publication.data.drivers, publication.data.group_windows
    chapter = text[text.index("Two kinds of uncertainty are separated") :]
    checked = lost = 0
    for part in publication.parts:
        rows = publication.rows(frame, part)
        if not len(rows):
            continue
        own = publication.rows(grouped, part)
        own = own[(own["size"] == rows["size"].iloc[0]) & np.isclose(own["sst_k"], rows["sst_k"].iloc[0])].iloc[0]
        printed = []
        for kind in ("nominal", "confident"):
            window = publication.formatter.readable_window(own[f"{kind}_min_load_w"], own[f"{kind}_max_load_w"])
            printed.append(DASH.join(window) if window else "none")
        sst = publication.formatter.degrees(own["sst_k"]).replace("\N{NO-BREAK SPACE}", " ")
        place = chapter.index(f" {own['size']}, {sst} {printed[0]} ")
        # Up to the next row of the table.
        assert f" {printed[1]} " in chapter[place : place + 140]
        for side in ("min", "max"):
            limit = rows[rows["limit"] == side].iloc[0]
            assert limit["confident_load_w"] == pytest.approx(own[f"confident_{side}_load_w"], rel=1e-9, nan_ok=True)
            # Where there is no window, the data set names the member that has none.
            assert printed[1] == "none" or limit["refrigerant"] == own[f"confident_{side}_member"]
        lost += printed[1] == "none"
        checked += 1
    assert checked > 10
    assert lost > 0


def test_no_window_at_confidence_is_wider_than_that_of_any_member():
    grouped, windows = demo_data().group_windows, demo_data().windows
    one, group = (
        frame[(frame["family"] == "alder") & (frame["application"] == "walk_in_medium") & (frame["size"] == "45")]
        for frame in (windows, grouped)
    )
    group = group[group["group"] == "R404A-R507A"]
    members = one[one["refrigerant"].isin(["R404A", "R507A"])].groupby("sst_k")
    low = members["confident_min_load_w"].agg(lambda own: own.max(skipna=False)).to_numpy()
    high = members["confident_max_load_w"].agg(lambda own: own.min(skipna=False)).to_numpy()
    is_open = low < high
    assert is_open.any()
    for side, limits in (("min", low), ("max", high)):
        expected = np.where(is_open, limits, np.nan)
        assert group[f"confident_{side}_load_w"].to_numpy() == pytest.approx(expected, nan_ok=True)


def test_a_group_without_a_window_at_confidence_says_why():
    grouped = demo_data().group_windows
    rowan = grouped[(grouped["family"] == "rowan") & (grouped["application"] == "walk_in_medium")]
    is_nominal = rowan["nominal_max_load_w"].notna()
    assert len(rowan) == 192
    assert rowan["confident_max_load_w"].isna().all()
    assert set(rowan.loc[is_nominal, "confident_reason"]) == {"confidence"}
    # What is empty nominally has that reason.
    assert list(rowan.loc[~is_nominal, "confident_reason"]) == list(rowan.loc[~is_nominal, "max_reason"])
    has_window = grouped["confident_max_load_w"].notna()
    assert (grouped.loc[has_window, "confident_reason"] == "").all()
    assert (grouped.loc[~has_window, "confident_reason"] != "").all()


def test_chapter_says_of_what_ninety_five_in_a_hundred_are_meant():
    _, pdf = demo_booklet("IP", "letter")
    text = text_of(pdf)
    assert (
        "With 95 % confidence in the data that all valves share, at least 95 of 100 installed valves cover the min"
        in text
    )
    assert (
        "An error in the property data, or in a family\N{RIGHT SINGLE QUOTATION MARK}s measured figures, is the same for"
        in text
    )
    assert "low head 3.0 psi, high head 1.0 °F, inlet subcooling 1.0 °F" in text


def test_every_table_says_which_confidence_it_is_at():
    _, pdf = demo_booklet("IP", "letter")
    publication = demo_booklet("IP", "letter")[0]
    text, grouped = text_of(pdf), publication.data.group_windows
    lost = {
        part: (int((rows["confident_reason"] == "confidence").sum()), int(rows["max_load_w"].notna().sum()))
        for part in publication.parts
        if len(rows := publication.rows(grouped, part))
    }
    emptied = [pair for pair in lost.values() if pair[0]]
    assert 0 < len(emptied) < len(publication.parts)
    page = _page_of_chapter(pdf)
    said = [f"{count} of the {total}" if count < total else "all" for count, total in emptied]
    for some, tables in collections.Counter(said).items():
        sentence = (
            f"at 95 % confidence, {some} windows of these sizes are empty. Have the valve sized for your "
            f"case (see Scatter and confidence, page {page})."
        )
        # Under each table and above its map.
        assert text.count(sentence) == 2 * tables
    others = len(publication.parts) - len(emptied)
    last_row = f"last row: the framed row at 95 % confidence, to choose inside if you can (see Scatter and confidence, page {page})."
    assert text.count(last_row) == others
    # Above each map, and once on the back cover.
    sentence = f"Limits are nominal; for those at 95 % confidence see Scatter and confidence, page {page}."
    assert text.count(sentence) == others + 1


def _page_of_chapter(pdf: bytes) -> int:
    """The page that the chapter's bookmark leads to."""
    reader = PdfReader(io.BytesIO(pdf))
    outline = (item for item in reader.outline if not isinstance(item, list))
    [bookmark] = [item for item in outline if item.title == "Scatter and confidence"]
    number = reader.get_destination_page_number(bookmark)
    assert number is not None
    return number + 1


def test_the_last_row_of_a_table_has_the_limits_at_confidence_of_its_framed_row():
    publication, pdf = demo_booklet("IP", "letter")
    text = text_of(pdf)
    seen = 0
    for part in publication.parts:
        rows = publication.rows(publication.data.group_windows, part)
        example_k = publication.catalogue.applications[part.application].example_sst_k
        rows = rows[(rows["sst_k"] - example_k).abs() < 1e-6]
        windows = [
            publication.formatter.readable_window(low, high)
            for low, high in zip(rows["confident_min_load_w"], rows["confident_max_load_w"], strict=True)
        ]
        cells = " ".join(DASH.join(window) if window else "none" for window in windows)
        at = f"at {publication.formatter.temperature(example_k)}"
        assert f"95 % {at} {cells} {at}" in text, part
        seen += sum(window is not None for window in windows)
    assert seen > 20


def test_the_selector_marks_tables_of_which_scatter_empties_half_or_more():
    publication, pdf = demo_booklet("IP", "letter")
    page = next(text for text in page_texts(pdf) if "Which table for which system" in text and "Pictograms" in text)
    grouped = publication.data.group_windows
    expected = 0
    for part in publication.parts:
        rows = publication.rows(grouped, part)
        expected += 2 * int((rows["confident_reason"] == "confidence").sum()) >= int(rows["max_load_w"].notna().sum())
    assert 0 < expected < len(publication.parts)
    # One for each, one at the note.
    assert page.count("*") == expected + 1
    page = " ".join(page.replace("\N{NO-BREAK SPACE}", " ").split())
    assert "Rowan*, Hazel" in page
    assert "* Nominal limits only: with scatter, at 95 % confidence, half or more" in page


@pytest.mark.slow
def test_a_catalogue_without_confidence_says_that_scatter_is_not_in_its_limits():
    data = with_inputs(part_of_booklet(demo_data(), "alder"), confidence=None)
    target = io.BytesIO()
    print_booklet(data, "booklet", target)
    text = text_of(target.getvalue())
    assert "Limits are nominal: scatter of valves is not included." in text
    assert "Scatter and confidence" not in text


def small(is_printed: bool):
    """A catalogue with one part, its tables at confidence or nominal."""
    catalogue = worked_catalogue()
    booklets = tuple(dataclasses.replace(b, combinations=(PART,)) for b in catalogue.booklets)
    return dataclasses.replace(
        catalogue,
        combinations=(PART,),
        booklets=booklets,
        charts=(),
        handouts=(),
        confidence=Confidence(share=0.95, level=0.95, samples=512, seed=1, is_printed=is_printed),
    )


@functools.cache
def small_data(is_printed: bool) -> DataSet:
    return compute(small(is_printed))


@pytest.mark.slow
def test_tables_are_at_confidence_where_the_catalogue_says_so():
    nominal, confident = small_data(False), small_data(True)
    for frame in ("windows", "group_windows"):
        nominal_frame, own = getattr(nominal, frame), getattr(confident, frame)
        for side in ("min", "max"):
            pd.testing.assert_series_equal(
                nominal_frame[f"{side}_load_w"], nominal_frame[f"nominal_{side}_load_w"], check_names=False
            )
            pd.testing.assert_series_equal(own[f"{side}_load_w"], own[f"confident_{side}_load_w"], check_names=False)
            pd.testing.assert_series_equal(own[f"nominal_{side}_load_w"], nominal_frame[f"nominal_{side}_load_w"])
        is_open = own["max_load_w"].notna()
        assert is_open.mean() > 0.9
        assert (own["max_load_w"] < nominal_frame["max_load_w"])[is_open].all()
        assert (own["min_load_w"] > nominal_frame["min_load_w"])[is_open].all()
    target = io.BytesIO()
    print_booklet(confident, "booklet", target)
    assert "Limits are at 95 % confidence (see Scatter and confidence, page" in text_of(target.getvalue())
    row = confident.group_windows.iloc[40]
    formatter = booklet_publication(confident).formatter
    window = formatter.readable_window(row["min_load_w"], row["max_load_w"])
    assert DASH.join(window) in text_of(target.getvalue())


@pytest.mark.slow
def test_a_pick_is_at_the_confidence_of_the_tables():
    catalogue, data = small(True), small_data(True)
    checked = 0
    for _, row in data.group_windows.iloc[::29].iterrows():
        found = pick(catalogue, Case("R448A-family", float(row["sst_k"]), 5000.0, "walk_in_medium"), "alder")
        candidate = next(c for c in found.candidates if c.size == row["size"])
        if np.isnan(row["max_load_w"]):
            assert candidate.verdict == "no_window"
            assert candidate.maximum.reason == row["max_reason"]
            continue
        assert candidate.minimum.load_w == pytest.approx(row["min_load_w"], rel=1e-9)
        assert candidate.maximum.load_w == pytest.approx(row["max_load_w"], rel=1e-9)
        checked += 1
    assert checked > 3


@pytest.mark.slow
def test_a_trace_at_the_confidence_comes_to_the_cell_too():
    catalogue, data = small(True), small_data(True)
    rows = data.group_windows[data.group_windows["max_load_w"].notna()]
    for _, row in rows.iloc[::37].iterrows():
        found = trace(catalogue, Case("R448A-family", float(row["sst_k"]), 1.0, "walk_in_medium"), "alder", row["size"])
        assert found.minimum.load_w == pytest.approx(row["min_load_w"], rel=1e-9)
        assert found.maximum.load_w == pytest.approx(row["max_load_w"], rel=1e-9)
        assert found.maximum.size.lines[-1].formula == "k * Kv * Q_1"
