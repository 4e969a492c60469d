"""Labels for the shelf, read back: figures, the grid on the paper, sizes of type, what does not fit, other languages."""

import dataclasses
import io

import pytest

from tablegen.dataset.dataset import DataSet
from tablegen.dataset.shown import shown_by
from tablegen.errors import PublishError
from tablegen.model.publications import LabelSheet, ShelfLabels
from tablegen.report.formatter import Formatter
from tablegen.report.pdf import design
from tablegen.report.publications.publication import named
from tablegen.report.publications.shelf_labels import print_shelf_labels
from tablegen.wording.language import languages, speaking
from tests.demo import SETTINGS, page_texts, with_inputs
from tests.report.tagged_text import Tagged, faults
from tests.report.test_structure import headings, outline
from tests.report.text_boxes import runs_of_page
from tests.worked import worked_data

INCH, MM = 72.0, 72.0 / 25.4
SHEET = LabelSheet(
    columns=2,
    rows=4,
    label_width_m=0.1016,
    label_height_m=0.0635,
    left_margin_m=0.00381,
    top_margin_m=0.0127,
    column_gap_m=0.00508,
)
SSTS_K = ((14.0 + 459.67) / 1.8, (24.0 + 459.67) / 1.8)


def labeled(setting: tuple[str, str] = ("IP", "letter"), **changes: object) -> DataSet:
    """The demo with labels for the stock and the groups of its counter chart."""
    chart = named(worked_data().catalogue.charts, f"counter{SETTINGS[setting]}")
    own = ShelfLabels(
        printed=dataclasses.replace(chart.printed, name="labels", publication="labels"),
        wholesaler=chart.wholesaler,
        family=chart.family,
        application=chart.application,
        groups=chart.groups,
        stock=chart.stock,
        sst_k=SSTS_K,
        sheet=SHEET,
    )
    return with_inputs(worked_data(), labels=(dataclasses.replace(own, **changes),))


def printed(data: DataSet) -> tuple[bytes, list[str]]:
    target = io.BytesIO()
    count = print_shelf_labels(data, "labels", target)
    texts = [" ".join(text.replace("\N{NO-BREAK SPACE}", " ").split()) for text in page_texts(target.getvalue())]
    assert len(texts) == count
    return target.getvalue(), texts


@pytest.mark.parametrize("setting", [("IP", "letter"), ("SI", "a4")], ids="-".join)
def test_every_label_has_the_windows_of_its_size_and_its_part_number(setting):
    data = labeled(setting)
    [own], formatter = data.catalogue.labels, Formatter(setting[0])
    text, at = " ".join(printed(data)[1]), 0
    for group, size in [(g, size) for g in own.groups for size in own.stock[g]]:
        g = data.group_windows
        rows = g[(g["family"] == "alder") & (g["group"] == group) & (g["application"] == own.application)]
        for sst_k in own.sst_k:
            row = rows[(rows["size"].astype(str) == size) & ((rows["sst_k"] - sst_k).abs() < 1e-6)].iloc[0]
            window = formatter.readable_window(row["min_load_w"], row["max_load_w"])
            box = formatter.degrees(sst_k + 10.0 / 1.8)
            load = f"{window[0]}–{window[1]} {formatter.load_label}"
            line = f"{load} at box {box}, SST {formatter.degrees(sst_k)}".replace("\N{NO-BREAK SPACE}", " ")
            # In the order of groups and sizes.
            at = text.index(line, at)
        trade = ", ".join(data.catalogue.groups[group].members)
        charge = {"R404A-R507A": "404", "R448A-family": "448", "R407C": "407C", "R134a": "134", "R513A": "513"}[group]
        [number] = [
            own.number
            for own in data.catalogue.part_numbers
            if (own.family, own.size, own.charge) == ("alder", size, f"cross-{charge}-medium")
        ]
        own_line = f"Part number {number} · charge for {trade}, medium temp."
        # A dot is not left hanging at the end of a line.
        at = text.index(own_line, at) if own_line in text else text.index(own_line.replace(" ·", ""), at)
        at = text.index(f"Data {data.fingerprint}", at)
    assert text.count("not for the selection of real equipment") == sum(map(len, own.stock.values())) == 30


def test_every_text_is_inside_its_label_and_no_smaller_than_it_may_be():
    data = labeled()
    pdf, texts = printed(data)
    cells = [
        (x, y - 2.5 * INCH, x + 4.0 * INCH, y)
        for y in ((11.0 - 0.5 - 2.5 * row) * INCH for row in range(4))
        for x in (0.15 * INCH, 4.35 * INCH)
    ]
    counts = []
    for number in range(1, len(texts) + 1):
        runs = runs_of_page(pdf, number)
        placed = []
        for run in runs:
            found = [
                i
                for i, (left, bottom, right, top) in enumerate(cells)
                if run.box.left >= left + 3.0 * MM
                and run.box.right <= right - 3.0 * MM
                and run.box.bottom >= bottom + 2.5 * MM
                and run.box.top <= top - 3.0 * MM
            ]
            assert len(found) == 1, (run.text, run.box)
            placed += found
            assert run.box.left >= 5.0 * MM and run.box.right <= 8.5 * INCH - 5.0 * MM
        counts.append(len(set(placed)))
        for size in [run for run in runs if run.text.strip() in ("16", "22", "32", "45", "90", "125")]:
            # What is read at 1 m.
            assert size.box.top - size.box.bottom >= 4.7 * MM
    assert counts == [8, 8, 8, 6]
    assert min(*design.LABEL_NOTE, *design.LABEL_ORDER, *design.LABEL_WORD) >= 8.0


def test_every_label_says_whose_work_it_is():
    _, texts = printed(labeled())
    own = "Licensed technicians only; follow codes and the equipment manufacturer."
    assert sum(text.count(own) for text in texts) == sum(text.count("Check the superheat") for text in texts) > 0


def test_a_partly_used_sheet_begins_at_its_first_free_label():
    data = labeled(groups=("R407C",), sheet=dataclasses.replace(SHEET, first=6))
    pdf, texts = printed(data)
    assert [text.count("Part number") for text in texts] == [3, 3]
    # The sixth of eight labels is the right one of the third row.
    [size] = [run for run in runs_of_page(pdf, 1) if run.text.strip() == "16"]
    assert size.box.left >= 4.35 * INCH and (11.0 - 0.5 - 7.5) * INCH <= size.box.bottom <= (11.0 - 0.5 - 5.0) * INCH
    [size] = [run for run in runs_of_page(pdf, 2) if run.text.strip() == "45"]
    assert size.box.right <= 4.2 * INCH and size.box.top >= 8.0 * INCH


def test_a_label_is_tagged_with_its_size_and_refrigerants_as_heading():
    document = Tagged(printed(labeled())[0])
    assert faults(document) == []
    assert headings(document) == outline(document)
    assert ("H1", "45 Alder R448A, R449A, R407A, R407F") in headings(document)


def test_an_empty_window_says_why_and_a_freezer_is_told():
    data = labeled(groups=("R404A-R507A",), stock={"R404A-R507A": ("45",)})
    g = data.group_windows
    is_own = (g["group"] == "R404A-R507A") & ((g["sst_k"] - SSTS_K[1]).abs() < 1e-6)
    empty = g.assign(
        max_load_w=g["max_load_w"].mask(is_own),
        max_reason=g["max_reason"].astype(str).mask(is_own, "over_differential"),
    )
    [text] = printed(dataclasses.replace(data, group_windows=empty))[1]
    assert "4.50–9.91 kBtu/h at box 24 °F, SST 14 °F" in text
    assert "no load at box 34 °F, SST 24 °F: differential too high" in text
    cold = tuple((f + 459.67) / 1.8 for f in (-20.0, -10.0))
    freezer = labeled(application="walk_in_low", groups=("R404A-R507A",), stock={"R404A-R507A": ("45",)}, sst_k=cold)
    [text] = printed(freezer)[1]
    assert "Walk-in freezer" in text and "charge for R404A, R507A, low temp." in text and "71-0305" in text


def test_what_does_not_fit_is_refused_by_text_and_space():
    wide = dataclasses.replace(SHEET, label_width_m=0.045)
    with pytest.raises(PublishError) as refused:
        printed(labeled(sheet=wide, groups=("R448A-family",)))
    text = str(refused.value)
    assert text.startswith("the label of size 16 for R448A, R449A, R407A and R407F: ")
    assert "in the smallest type, but there is 1.52 in (38.6 mm)" in text and "\n" not in text
    low = dataclasses.replace(SHEET, label_height_m=0.030)
    with pytest.raises(PublishError, match=r"its texts are .* high in the smallest type, but there is 0\.93 in"):
        printed(labeled(sheet=low))


def test_a_sheet_of_small_labels_takes_a_smaller_step_for_all():
    small = dataclasses.replace(SHEET, rows=5, label_height_m=0.0508)
    heights = []
    for sheet in (SHEET, small):
        pdf, texts = printed(labeled(sheet=sheet))
        runs = [run for number in range(1, len(texts) + 1) for run in runs_of_page(pdf, number)]
        found = {run.box.top - run.box.bottom for run in runs if run.text.strip() in ("22", "90")}
        assert max(found) - min(found) < 1.0
        heights.append(min(found))
    assert heights[0] > heights[1] >= 4.7 * MM


@pytest.mark.parametrize("code", languages()[1:])
def test_labels_in_another_language_have_the_same_figures(code):
    data = labeled(groups=("R448A-family",))
    english = printed(data)[1]
    with speaking(code):
        other = printed(data)[1]
    assert "at box" not in " ".join(other) and "Part number" not in " ".join(other)

    def windows(texts: list[str]) -> list[str]:
        return [word.replace(",", ".") for text in texts for word in text.split() if "–" in word and word[0].isdigit()]

    assert windows(other) == windows(english) and len(windows(english)) >= 12


def test_labels_are_printed_from_their_own_data_alone():
    data = labeled(groups=("R407C",))
    part = shown_by(data, "labels")
    assert set(part.group_windows["group"]) == {"R407C"} and set(part.catalogue.families) == {"alder"}
    assert part.catalogue.charts == () and part.catalogue.labels == data.catalogue.labels
    assert printed(part)[1][0].count(part.fingerprint) == 6
    # Another table moves, a label's own does.
    g = data.group_windows
    for group, is_same in (("R134a", True), ("R407C", False)):
        moved = g.assign(max_load_w=g["max_load_w"].where(g["group"] != group, g["max_load_w"] * 0.9))
        assert (shown_by(dataclasses.replace(data, group_windows=moved), "labels").fingerprint == part.fingerprint) is (
            is_same
        )
