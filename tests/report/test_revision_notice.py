"""The revision notice, read back: ranges that are lost, sizes to take instead, and what a build does with it."""

import dataclasses
import io
import re

import numpy as np
import pandas as pd
import pytest

from tablegen.dataset.comparison import changed_windows
from tablegen.dataset.dataset import Changes, DataSet
from tablegen.model.company import ChangeReason, Revision
from tablegen.report.formatter import Formatter
from tablegen.report.graphs.lost_range_graph import LostBar, lost_range_graph
from tablegen.report.lost_ranges import LostRange, TableLosses, table_losses
from tablegen.report.publications.documents import document_names
from tablegen.report.publications.publication import Publication
from tablegen.report.publications.revision_notice import notice_booklets, print_revision_notice
from tablegen.wording.revision_notice import MARK
from tests.demo import page_texts, with_inputs
from tests.report.drawings import shapes
from tests.report.tagged_text import Tagged, faults
from tests.report.text_boxes import problems, runs_of_page
from tests.us_units import W_PER
from tests.worked import worked_catalogue, worked_data

DASH = "\N{EN DASH}"
SST_24_F_K = (24.0 + 459.67) / 1.8
TABLE = ("alder", "R404A-R507A", "walk_in_medium")


def of_table(frame: pd.DataFrame) -> pd.Series:
    return (frame[["family", "group", "application"]] == list(TABLE)).all(axis=1)


def earlier(minimum: float = 1.0, maximum: float = 1.0) -> pd.DataFrame:
    """Windows of an earlier release, the limits of one table other than now."""
    old = worked_data().group_windows.copy()
    rows = of_table(old)
    old.loc[rows, "min_load_w"] *= minimum
    old.loc[rows, "max_load_w"] *= maximum
    return old


def since(old: pd.DataFrame) -> Changes:
    return Changes(
        revision="0",
        date="2026-01-31",
        fingerprint="0123456789ab",
        cells=changed_windows(old, worked_data().group_windows),
    )


def own_booklet(which: int = 0):
    return notice_booklets(worked_catalogue())[which]


def notice(old: pd.DataFrame, which: int = 0) -> tuple[bytes, str]:
    target = io.BytesIO()
    print_revision_notice(worked_data(), own_booklet(which), since(old), target)
    text = " ".join(" ".join(page_texts(target.getvalue())).split())
    return target.getvalue(), text.replace("\N{NO-BREAK SPACE}", " ")


def losses(old: pd.DataFrame) -> list[TableLosses]:
    return table_losses(Publication.of(worked_data(), own_booklet()), since(old))


def test_every_lost_range_is_printed_and_what_to_take_covers_it_at_every_sst():
    old = earlier(minimum=0.966, maximum=1.2)
    [table] = losses(old)
    pdf, text = notice(old)
    now = worked_data().group_windows[of_table(worked_data().group_windows)].set_index(["size", "sst_k"])
    was = old[of_table(old)].set_index(["size", "sst_k"])
    formatter, watt = Formatter("IP"), W_PER["IP"]
    assert len(table.upper) == len(table.lower) == len(now)
    for (size, sst_k), row in now.iterrows():
        (new_min, new_max), (old_min, old_max) = (
            formatter.window(float(own["min_load_w"]), float(own["max_load_w"])) for own in (row, was.loc[size, sst_k])
        )
        assert f"{new_max}{DASH}{old_max}" in text and f"{old_min}{DASH}{new_min}" in text
    for lost in (table.upper, table.lower):
        for size in table.sizes:
            other = table.instead(size, lost)
            for (name, sst_k), own in lost.items():
                if other and name == size:
                    window = now.loc[other].iloc[np.abs(now.loc[other].index - sst_k).argmin()]
                    assert window["min_load_w"] <= float(own.start) * watt
                    assert window["max_load_w"] >= float(own.end) * watt
    sizes = list(table.sizes)
    assert [table.instead(size, table.upper) for size in sizes] == [*sizes[1:], ""]
    assert [table.instead(size, table.lower) for size in sizes] == ["", *sizes[:-1]]
    assert f"Take instead {' '.join(sizes[1:])} ask" in text
    assert f"Take instead ask {' '.join(sizes[:-1])}" in text
    assert problems(pdf) == [] and faults(Tagged(pdf)) == []


def test_the_notice_says_what_changed_what_to_do_and_gives_an_example():
    _, text = notice(earlier(maximum=1.2))
    for words in (
        "QB-11 \N{MIDDLE DOT} revision 0 (2026-01-31) is replaced by revision A (2026-11-25)",
        "144 of the 2567 printed windows that are also in revision 0 have changed. Minimum loads",
        "maximum loads by \N{MINUS SIGN}16.7 %",
        "Replace counter charts made with revision 0: QB-21.",
        "SST 24 °F: no longer covered, by size",
        "Example: SST 24 °F, load 11.4 kBtu/h. With revision 0 size 45 covered it (up to 12.5). With revision A it covers "
        "up to 10.4: take 63 (from 6.24).",
        f"Data 0123456789ab (old), {worked_data().fingerprint} (new)",
        "Application engineering 555 0142",
    ):
        assert words in text, words
    assert "Lower ranges" not in text


def test_windows_of_a_new_table_are_not_counted_as_changed():
    now = worked_data().group_windows
    is_new = (now["family"] == "alder") & (now["group"] == "R513A")
    old = earlier(maximum=1.2)[~is_new]
    _, text = notice(old)
    count, total = int(is_new.sum()), 2567
    assert f"144 of the {total - count} printed windows that are also in revision 0 have changed." in text
    assert f"{count} windows are new." in text
    # Where no load is lost, the tables are those that changed.
    of_new = is_new & (now["application"] == now["application"][is_new].iloc[0])
    _, text = notice(earlier(maximum=0.99)[~of_new])
    assert "Tables that changed" in text and "no longer covered" not in text
    assert re.search(r"Alder: R513A\S*[^0-9]* new ", text)


def test_a_next_size_that_covers_only_part_of_the_range_is_not_named():
    """The next size ends within the range, the one after it covers all of it."""
    old, now = earlier(maximum=1.9), worked_data().group_windows
    # The warmest suction temperatures, where none covers all of it, are as they were.
    warm = of_table(old) & (old["sst_k"] > 270.0)
    old.loc[warm, "max_load_w"] = now.loc[warm, "max_load_w"]
    [table] = losses(old)
    assert [table.instead(size, table.upper) for size in table.sizes] == [*table.sizes[2:], "", ""]
    [table] = losses(earlier(maximum=3.0))
    assert {table.instead(size, table.upper) for size in table.sizes} == {""}
    assert MARK not in notice(earlier(maximum=3.0))[1]


def one_open_cell() -> tuple[pd.DataFrame, float]:
    """Maximum loads a fifth higher, of size 45 at the example's SST so much that only the size after the next covers it."""
    old = earlier(maximum=1.2)
    sst_k = float(old.loc[(old["sst_k"] - SST_24_F_K).abs().idxmin(), "sst_k"])
    old.loc[of_table(old) & (old["size"] == "45") & (old["sst_k"] == sst_k), "max_load_w"] *= 1.9 / 1.2
    return old, sst_k


def test_a_size_that_covers_most_of_a_column_is_named_and_the_rest_is_marked():
    old, open_k = one_open_cell()
    [table] = losses(old)
    assert table.instead("45", table.upper) == "63"
    assert table.instead_at("45", table.upper, round(open_k, 6)) == "90"
    pdf, text = notice(old)
    now = worked_data().group_windows[of_table(worked_data().group_windows)].set_index(["size", "sst_k"])["max_load_w"]
    formatter = Formatter("IP")
    marked = [
        f"{formatter.window(1.0, float(now[cell]))[1]}{DASH}{formatter.window(1.0, factor * float(now[cell]))[1]}"
        for cell, factor in ((("45", open_k), 1.9),)
    ]
    assert re.findall(rf"[\d.]+{DASH}[\d.]+(?=\*)", text) == marked
    sizes = [f"{size}{MARK if size == '63' else ''}" for size in table.sizes[1:]]
    assert f"Take instead {' '.join(sizes)} ask" in text
    assert (
        "names a size that covers every range listed for a size with revision A, except ranges with *. Ask about"
        in text
    )
    assert problems(pdf) == [] and faults(Tagged(pdf)) == []


def test_what_is_named_is_proven_wherever_no_mark_is():
    """Each maximum higher by its own factor: what the table says of a range holds by the windows of the data set."""
    old, now = earlier(), worked_data().group_windows
    rows = of_table(old)
    old.loc[rows, "max_load_w"] *= np.random.default_rng(7).uniform(1.1, 2.4, int(rows.sum()))
    [table] = losses(old)
    windows, watt = now[rows].set_index(["size", "sst_k"]), W_PER["IP"]
    by_cell = {(size, round(sst_k, 6)): row for (size, sst_k), row in windows.iterrows()}

    def is_covered(size: str, sst_k: float, own: LostRange) -> bool:
        row = by_cell[size, sst_k]
        return bool(row["min_load_w"] <= float(own.start) * watt and row["max_load_w"] >= float(own.end) * watt)

    marks = 0
    for (size, sst_k), own in table.upper.items():
        other, there = table.instead(size, table.upper), table.instead_at(size, table.upper, sst_k)
        assert not there or is_covered(there, sst_k, own)
        if other and table.covers(other, own, sst_k):
            assert is_covered(other, sst_k, own) and there == other
        marks += bool(other) and not table.covers(other, own, sst_k)
    assert marks
    text = notice(old)[1]
    assert len(re.findall(rf"{DASH}[\d.]+\*", text)) == marks


def test_the_example_is_answered_at_its_own_sst():
    """Every size is open at the example's SST, where the one after the next covers the range."""
    old, open_k = one_open_cell()
    now = worked_data().group_windows
    here = of_table(old) & (old["sst_k"] == open_k)
    old.loc[here, "max_load_w"] = now.loc[here, "max_load_w"] * np.where(old.loc[here, "size"] == "45", 1.9, 1.0)
    _, text = notice(old)
    assert re.search(r"Example: SST 24 °F, load [\d.]+ kBtu/h\. With revision 0 size 45 .*: take 90 \(from", text)


def test_windows_that_closed_are_lost_whole_and_opened_ones_are_none():
    data, old = worked_data(), earlier()
    rows = old.index[of_table(old)]
    old.loc[rows[0], ["min_load_w", "max_load_w"]] = np.nan
    now = data.group_windows.copy()
    now.loc[rows[1], ["min_load_w", "max_load_w"]] = np.nan
    changes = Changes(revision="0", date="2026-01-31", fingerprint="0123456789ab", cells=changed_windows(old, now))
    shown = dataclasses.replace(data, group_windows=now)
    [table] = table_losses(Publication.of(shown, own_booklet()), changes)
    [((size, sst_k), own)] = table.upper.items()
    closed = data.group_windows.loc[rows[1]]
    assert (size, round(float(closed["sst_k"]), 6)) == (str(closed["size"]), sst_k)
    assert (own.start, own.end) == Formatter("IP").window(float(closed["min_load_w"]), float(closed["max_load_w"]))
    target = io.BytesIO()
    assert print_revision_notice(shown, own_booklet(), changes, target) == 1
    assert problems(target.getvalue()) == []


def test_where_nothing_is_lost_the_new_revision_is_to_be_used():
    pdf, text = notice(earlier(minimum=1.05, maximum=0.9))
    assert "Every load that revision 0 covered with a size is still covered by that size. Use revision A." in text
    assert "Take instead" not in text and len(page_texts(pdf)) == 1


@pytest.mark.slow
@pytest.mark.parametrize("which", [0, pytest.param(3, marks=pytest.mark.slow)])
def test_many_tables_have_a_page_each_after_a_summary(which):
    old = worked_data().group_windows.copy()
    old["max_load_w"] *= 1.15
    pdf, text = notice(old, which)
    count = len(page_texts(pdf))
    assert count == 1 + len(losses(old)) > 15
    assert problems(pdf) == []
    assert "Tables with ranges that are no longer covered" in text
    title = worked_catalogue().applications["walk_in_low_fixed"].title
    assert text.count(title) >= 2


@pytest.mark.parametrize("which", [0, 3])
def test_tables_in_which_one_size_changed_share_pages(which):
    """One port smaller by 3 %: the SSTs are across, each table is whole on its page, and no page but the last is half empty."""
    old = worked_data().group_windows.copy()
    of_size = (old["family"] == "alder") & (old["size"] == "45")
    old.loc[of_size, ["min_load_w", "max_load_w"]] *= 1.03
    pdf, text = notice(old, which)
    pages = page_texts(pdf)
    tables = len(losses(old))
    found = [len(re.findall(r"no longer covered, by size", page)) for page in pages]
    assert tables > 10 and sum(found) == tables and len(pages) <= 1 + -(-tables // 3)
    assert all(page.count("Hatched:") == own for page, own in zip(pages, found, strict=True))
    assert "16 of 144" in text and text.count("Example:") == 1
    for number in range(1, len(pages)):
        # Over the foot of the page.
        bottoms = [run.box.bottom for run in runs_of_page(pdf, number)]
        assert min(bottom for bottom in bottoms if bottom > 60.0) < 0.45 * 792.0
    assert problems(pdf) == [] and faults(Tagged(pdf)) == []


def test_lost_ranges_are_hatched_to_scale():
    bars = [LostBar("45", ("4.46", "8.68"), [(8.68, 10.4)]), LostBar("63", None, [(6.2, 14.0)])]
    drawing = lost_range_graph(bars, Formatter("IP"), 480.0)
    widths = [
        float(shape.path.split()[2])
        for name in ("45", "63")
        for shape in shapes(drawing, name)
        if shape.path.endswith("re") and shape.pen is not None
    ]
    lost, window, whole = widths
    # On a scale of powers equal ratios are equal lengths.
    assert window / lost == pytest.approx(np.log(8.68 / 4.46) / np.log(10.4 / 8.68), rel=0.01)
    assert whole / lost == pytest.approx(np.log(14.0 / 6.2) / np.log(10.4 / 8.68), rel=0.01)
    assert sum(bool(shape.clips) for shape in drawing.items if hasattr(shape, "clips")) >= 2


def test_a_notice_is_a_document_only_since_an_earlier_release():
    catalogue = worked_catalogue()
    names = {
        "revision-notice",
        "revision-notice-letter-si-kw",
        "revision-notice-a4-ip-kbtuh",
        "revision-notice-a4-si-kw",
    }
    assert not names & set(document_names(catalogue))
    assert names <= set(document_names(catalogue, with_notices=True))
    without = dataclasses.replace(catalogue, booklets=())
    assert document_names(without, with_notices=True) == document_names(without)


def test_booklets_of_single_families_share_one_notice():
    booklets = worked_catalogue().booklets[:1]
    own = [
        dataclasses.replace(
            booklets[0],
            series="guide",
            family=family,
            printed=dataclasses.replace(booklets[0].printed, name=f"guide-{family}", publication=f"guide-{family}"),
            combinations=tuple(c for c in booklets[0].combinations if c.family == family),
        )
        for family in ("alder", "rowan")
    ]
    catalogue = with_inputs(worked_data(), booklets=tuple(own)).catalogue
    [found] = notice_booklets(catalogue)
    assert found.printed.name == "revision-notice"
    assert {part.family for part in found.combinations} == {"alder", "rowan"}


def revised(*reasons: ChangeReason) -> DataSet:
    """The demo's data under revision B, with the reasons for it."""
    printing = worked_catalogue().printing
    later = Revision("B", printing.date, "Alder revised.", reasons)
    own = dataclasses.replace(printing, revision="B", revisions=(*printing.revisions, later))
    return with_inputs(worked_data(), printing=own)


def text_of(data: DataSet, changes: Changes) -> str:
    target = io.BytesIO()
    print_revision_notice(data, own_booklet(), changes, target)
    assert problems(target.getvalue()) == [] and faults(Tagged(target.getvalue())) == []
    return " ".join(" ".join(page_texts(target.getvalue())).split()).replace("\N{NO-BREAK SPACE}", " ")


def test_reasons_are_printed_in_the_customers_words_and_for_the_tables_that_they_bear_on():
    stop = ChangeReason("families/alder.yaml", "opening.stop", "The stop was measured on six more valves.")
    other = ChangeReason("families/rowan.yaml", "", "Rowan has a new spring.")
    changes = dataclasses.replace(since(earlier(maximum=1.2)), revision="A", reasons={TABLE: (stop,)})
    text = text_of(revised(stop, other), changes)
    assert "Alder revised. Why: The stop was measured on six more valves. Rowan has a new spring." in text
    # Once in the record, and once where the ranges of its table are.
    assert text.count(stop.why) == 2 and text.count(other.why) == 1
    assert not any(key in text for key in ("opening.stop", "alder.yaml", "kv_rated"))


def test_reasons_of_many_changes_go_on_over_pages():
    reasons = [
        ChangeReason("families/alder.yaml", f"sizes.{i}", f"Reason {i}: {'measured anew ' * 12}") for i in range(60)
    ]
    changes = dataclasses.replace(since(earlier(maximum=1.2)), revision="A")
    text = text_of(revised(*reasons), changes)
    assert all(f"Reason {i}: measured" in text for i in range(60))


def test_tables_that_are_no_longer_printed_are_named():
    changes = dataclasses.replace(since(earlier(maximum=1.2)), gone=(("Maple", "R22 (drop-in)", "Ice machine"),))
    text = text_of(worked_data(), changes)
    assert "Tables no longer printed Ask about valves that were selected from these tables: Maple: R22" in text
    assert "Ice machine" in text


def test_a_table_of_many_sizes_has_every_lost_range():
    """Forty sizes: more than a graph has bars, and than a page has columns."""
    data = worked_data()
    own = of_table(data.group_windows)
    first = data.group_windows[own & (data.group_windows["size"] == "45")]
    family = data.catalogue.families["alder"]
    names = [f"{100 + i}" for i in range(40)]
    frames = [
        first.assign(size=name, min_load_w=first["min_load_w"] * 1.1**i, max_load_w=first["max_load_w"] * 1.1**i)
        for i, name in enumerate(names)
    ]
    now = pd.concat([data.group_windows[~own], *frames], ignore_index=True)
    old = now.copy()
    old.loc[of_table(old), "max_load_w"] *= 1.2
    [size] = [size for size in family.sizes if size.name == "45"]
    sizes = tuple(dataclasses.replace(size, name=name, display_name=name) for name in names)
    families = {**data.catalogue.families, "alder": dataclasses.replace(family, sizes=sizes)}
    shown = dataclasses.replace(with_inputs(data, families=families), group_windows=now)
    changes = dataclasses.replace(since(old), cells=changed_windows(old, now))
    text, formatter = text_of(shown, changes), Formatter("IP")
    rows = now[of_table(now)]
    assert len(rows) == 40 * len(first)
    for low, high in zip(rows["max_load_w"], old[of_table(old)]["max_load_w"], strict=True):
        start, end = (formatter.window(1.0, float(load))[1] for load in (low, high))
        assert f"{start}{DASH}{end}" in text
