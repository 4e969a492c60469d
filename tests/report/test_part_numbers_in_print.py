"""Part numbers of the catalogue's list on the order guide, on counter charts and in the workbook."""

from __future__ import annotations

import contextlib
import dataclasses
import io

import openpyxl
import pytest

from tablegen.dataset.dataset import DataSet
from tablegen.model.part_numbers import PartNumber
from tablegen.report.pages.back import order_guide
from tablegen.report.pdf.page import Document
from tablegen.report.publications.counter_chart import print_counter_chart
from tablegen.report.publications.publication import Publication, named
from tablegen.report.workbook import write_workbook
from tests.demo import demo_booklet, demo_chart, demo_data, page_texts, part_of_booklet, with_inputs


def plain(texts: list[str]) -> list[str]:
    return [" ".join(text.replace("\N{NO-BREAK SPACE}", " ").split()) for text in texts]


def chart_of(data: DataSet) -> str:
    """The first page of its counter chart."""
    target = io.BytesIO()
    print_counter_chart(data, "counter", target)
    return plain(page_texts(target.getvalue()))[0]


def listed(*rows: PartNumber) -> DataSet:
    """The demo with another list."""
    return with_inputs(part_of_booklet(demo_data(), "alder"), part_numbers=rows)


def guide(texts: list[str]) -> str:
    [found] = [text for text in texts if "State on the order: manufacturer" in text]
    return found


def guide_of(data: DataSet) -> str:
    """The order guide alone, as the booklet lays it out."""
    target = io.BytesIO()
    document = Document(target, "Letter", "title", date=None)
    document.build(order_guide(Publication.of(data), document.frame_width))
    return " ".join(plain(page_texts(target.getvalue())))


def test_the_order_guide_says_what_is_offered_and_its_numbers():
    text = guide(plain(page_texts(demo_booklet("IP", "letter")[1])))
    assert "Connections sizes 45, 63, 90: 1/2 in x 5/8 in solder" in text
    assert "Capillary 5 ft or 10 ft" in text
    assert "Driver Stepper driver with superheat control" in text
    # A grid: charges down, sizes across.
    assert "Part numbers 11 16 22 32 45 63 90 125 180" in text
    numbers = " ".join(f"71-010{k}" for k in range(1, 10))
    assert f"Cross charge for R404A and R507A, medium temperature {numbers}" in text
    assert "73-0101 73-0102 73-0103 73-0104 73-0105 73-0106 73-0107" in text


def test_the_demo_lists_a_part_number_for_every_size_and_charge_that_is_printed():
    data = demo_data()
    listed = {(a.family, a.size, a.charge) for a in data.catalogue.part_numbers}
    for name, family in data.catalogue.families.items():
        charges = [element.name for element in family.elements] if family.kind == "thermostatic" else [""]
        assert {(name, size.name, charge) for size in family.sizes for charge in charges} <= listed


@pytest.mark.parametrize("number", range(2), ids=["R404A-R507A", "R448A-family"])
def test_a_counter_chart_has_the_numbers_of_its_charge(number):
    text = plain(page_texts(demo_chart("counter")))[number]
    prefix = ("71-01", "71-02")[number]
    catalogue = demo_data().catalogue
    stock = named(catalogue.charts, "counter").stock["R404A-R507A"]
    sizes = [size.name for size in catalogue.families["alder"].sizes]
    expected = "; ".join(f"{size}: {prefix}{sizes.index(size) + 1:02d}" for size in stock)
    assert f"Part number of size {expected}. Framed: call before selling; small figures" in text


def test_what_else_a_number_hangs_on_is_said():
    rows = (
        PartNumber(number="Z-1", family="alder", size="45", connections="1/2 in x 5/8 in solder"),
        PartNumber(number="Z-2", family="alder", size="45", capillary_m=3.048),
    )
    data = listed(*rows)
    said = "45: Z-1 (1/2 in x 5/8 in solder), Z-2 (capillary 10 ft)"
    assert said in guide_of(data)
    assert said in chart_of(data)


def test_without_a_list_nothing_is_said_of_part_numbers():
    data = listed()
    assert "Part numbers" not in guide_of(data)
    assert "Part number of size" not in chart_of(data)


def test_long_numbers_of_every_size_and_charge_fit_the_page():
    alder = demo_data().catalogue.families["alder"]
    rows = [
        PartNumber(number=f"{'N' * 36}{i:04d}", family="alder", size=size.name, charge=element.name)
        for i, (size, element) in enumerate((s, t) for t in alder.elements for s in alder.sizes)
    ]
    assert guide_of(listed(*rows)).count("N" * 36) == len(rows)


def test_the_workbook_s_sizes_have_their_numbers(tmp_path):
    data = demo_data()
    few = dataclasses.replace(data, group_windows=data.group_windows[:1], windows=data.windows[:1])
    write_workbook(few, tmp_path / "windows.xlsx")
    with contextlib.closing(openpyxl.load_workbook(tmp_path / "windows.xlsx", read_only=True)) as book:
        rows = list(book["Sizes"].iter_rows(values_only=True))
    at = rows[0].index("Part number")
    found = {(row[0], str(row[1])): row[at] for row in rows[1:]}
    assert found["Alder", "11"].startswith("71-0101; 71-0201; ")
    assert found["Hazel", "F"] == "73-0106"
    assert found["Larch", "20"] == "74-0101"
