"""The family pages of the booklet, read back."""

import io

import pytest
from pypdf import PdfReader

from tablegen.report.formatter import kv
from tablegen.unit_table import CV_PER_KV
from tests.demo import demo_booklet, page_texts

AXES = {
    "thermostatic": (
        "superheat, °F",
        "opening, share of rated stroke, %",
        "too large",
        "fits",
        "too small",
        "evaporator and spring",
        "static superheat",
    ),
    "stepper": ("share of travel, %", "500 full steps"),
    "pulse_modulated": ("duty cycle, %", "15 to 90 percent of the cycle"),
}


@pytest.fixture(scope="module")
def printed():
    publication, pdf = demo_booklet("IP", "letter")
    return publication, PdfReader(io.BytesIO(pdf))


@pytest.mark.parametrize("name", ["alder", "rowan", "hazel", "larch"])
def test_page_has_the_sizes_the_limits_and_the_graphs(printed, name):
    publication, reader = printed
    family = publication.catalogue.families[name]
    pages = {i.title: i for entry in reader.outline if isinstance(entry, list) for i in entry}
    number = reader.get_destination_page_number(pages[family.title])
    # A family begins where the one before ends, and may go on on the next page.
    own = reader.pages[number : number + 2]
    text = "\n".join(page.extract_text(extraction_mode="layout") for page in own).replace("\N{NO-BREAK SPACE}", " ")
    text = text[text.index(family.title) :]
    lines = [line.split() for line in text.splitlines()]
    sizes = publication.data.sizes[publication.data.sizes["family"] == name]

    def row(first: str) -> list[str]:
        count = len(sizes)
        return next(words[-count:] for words in lines if words[:1] == [first] and len(words) > count)

    assert row("Size") == [str(s) for s in sizes["size"]]
    assert row("Kv,") == [kv(float(v)) for v in sizes["kv_rated_m3h"]]
    assert row("Cv,") == [kv(float(v) * CV_PER_KV) for v in sizes["kv_rated_m3h"]]
    assert row("Nominal,") == [publication.formatter.load(float(v)) for v in sizes["nominal_capacity_w"]]
    plain = " ".join(text.split())
    for axis in AXES[family.kind]:
        assert axis in plain or any(axis in page.extract_text() for page in own)


def test_the_method_says_where_each_law_ends():
    text = " ".join(" ".join(page_texts(demo_booklet("IP", "letter")[1])).split())
    for part in ("Limits of the laws", "Kim and O’Neal 1995", "IEC 60534-2-1 for liquid alone"):
        assert part in text
