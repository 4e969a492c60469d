"""The revision record, read back: the cells that print otherwise, and no others."""

import io
import re

import pandas as pd
import pytest
from pypdf import PdfReader

from tablegen.dataset.comparison import changed_windows
from tablegen.dataset.dataset import Changes
from tablegen.report.publications.booklet import print_booklet
from tests.demo import booklet_publication, demo_data, part_of_booklet

DASH, MINUS = "\N{EN DASH}", "\N{MINUS SIGN}"


def small():
    return part_of_booklet(demo_data(), "alder")


def record_of(changes: Changes | None) -> str:
    target = io.BytesIO()
    print_booklet(small(), "booklet", target, changes=changes)
    reader = PdfReader(io.BytesIO(target.getvalue()))
    first = next(i for i in reader.outline if not isinstance(i, list) and i.title == "Revision record")
    pages = reader.pages[reader.get_destination_page_number(first) :]
    text = "\n".join(page.extract_text(extraction_mode="layout") for page in pages)
    return text.replace("\N{NO-BREAK SPACE}", " ")


def since(old) -> Changes:
    return Changes(
        revision="0",
        date="2026-01-31",
        fingerprint="0123456789ab",
        cells=changed_windows(old, demo_data().group_windows),
    )


@pytest.mark.slow
def test_a_first_release_has_a_record_without_changes():
    text = record_of(None)
    assert "First issue." in text
    assert "Changed cells" not in text


def test_cells_that_print_otherwise_are_named_with_both_windows():
    data = demo_data()
    old = data.group_windows.copy()
    of_alder = (old["family"] == "alder") & (old["application"] == "walk_in_medium") & (old["size"] == "45")
    three = old.index[of_alder & (old["group"] == "R134a")][:3]
    old.loc[three, "max_load_w"] *= 0.9
    # Below the last printed figure, and in a table that this booklet does not print.
    unseen = old.index[of_alder & (old["group"] == "R404A-R507A")][0]
    old.loc[unseen, "max_load_w"] *= 1.0 - 1e-7
    elsewhere = old.index[(old["family"] == "hazel") & old["max_load_w"].notna()][0]
    old.loc[elsewhere, "max_load_w"] *= 0.5
    publication = booklet_publication(small())
    total = sum(len(publication.rows(data.group_windows, part)) for part in publication.parts)
    text = record_of(since(old))
    plain = " ".join(text.split())
    assert "Compared with revision 0 of 2026-01-31 (data 0123456789ab)" in plain
    assert f"3 of the {total} windows printed here have changed and 0 are new; 0 windows" in plain
    assert "+11.1 %" in plain
    formatter = publication.formatter
    for index in three:
        now, was = data.group_windows.loc[index], old.loc[index]
        shown = [DASH.join(formatter.window(float(r["min_load_w"]), float(r["max_load_w"]))) for r in (was, now)]
        line = rf"{formatter.temperature(float(now['sst_k']))}\s+45\s+{shown[0]}\s+{shown[1]}"
        assert re.search(line, text), line
    assert len(re.findall(r"[0-9]\N{EN DASH}[0-9.]+ +[0-9.]+\N{EN DASH}[0-9]", text)) == 3


@pytest.mark.slow
def test_new_and_closed_windows_and_a_long_list():
    data = demo_data()
    old = data.group_windows.copy()
    of_alder = (old["family"] == "alder") & (old["application"] == "walk_in_medium")
    opened = old.index[of_alder & (old["group"] == "R404A-R507A")][:2]
    old.loc[opened, ["min_load_w", "max_load_w"]] = float("nan")
    gone = old.index[of_alder & (old["group"] == "R407C")][0]
    old = old.drop(index=gone)
    text = record_of(since(old))
    assert len(re.findall(r"\snone\s+[0-9.]+–", text)) == 2
    assert len(re.findall(r"\snew\s+[0-9.]+–", text)) == 1
    # What moved comes before what is new.
    old.loc[of_alder & (old["group"] == "R513A"), "min_load_w"] *= 0.97
    text = record_of(since(old))
    assert re.search(r"\s(none|new)\s+[0-9.]+–", text) is None
    assert re.search(r"Shown are the 90 that changed most; \d+ more are in changes\.csv\.", " ".join(text.split()))


@pytest.mark.slow
def test_a_table_that_is_new_is_one_line():
    data = demo_data()
    is_new = (data.group_windows["family"] == "alder") & (data.group_windows["group"] == "R513A")
    old = data.group_windows[~is_new].copy()
    moved = old.index[(old["family"] == "alder") & (old["group"] == "R404A-R507A")][0]
    old.loc[moved, "max_load_w"] *= 0.9
    text = record_of(since(old))
    publication = booklet_publication(small())
    printed = [part for part in publication.parts if part.group == "R513A"]
    count = sum(len(publication.windows(part)) for part in printed)
    assert printed and f"1 have changed and {count} are new" in " ".join(text.split())
    assert len(re.findall(r"Alder: R513A.* [0-9]+ +new +new$", text, re.M)) == len(printed)
    assert re.search(r"\snew\s+[0-9.]+–", text) is None
    assert len(re.findall(r"[0-9]\N{EN DASH}[0-9.]+ +[0-9.]+\N{EN DASH}[0-9]", text)) == 1


@pytest.mark.slow
def test_closed_windows_are_counted():
    data = demo_data()
    extra = data.group_windows.iloc[:4].assign(size="999")
    text = record_of(since(pd.concat([data.group_windows, extra], ignore_index=True)))
    assert "4 windows of that release are no longer in the data set" in " ".join(text.split())
    assert "0 have changed and 0 are new" in " ".join(text.split())
