"""The printed booklet, read back."""

import hashlib
import io
import itertools
import json
import math
import re
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import pytest
from pypdf import PdfReader

from tablegen.dataset.csv_files import frame_of
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.model.printed_tables import destination_of
from tablegen.model.publications import Combination
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.publication import Publication
from tablegen.report.window_texts import safety_texts
from tests.demo import FEW_SETTINGS, demo_booklet, demo_data, page_texts, part_of_booklet, short_booklet
from tests.us_units import W_PER

DASH, MINUS = "\N{EN DASH}", "\N{MINUS SIGN}"


@pytest.fixture
def data() -> DataSet:
    return demo_data()


@pytest.fixture(params=FEW_SETTINGS)
def printed(request) -> tuple[Publication, bytes]:
    return demo_booklet(*request.param)


def three_figures(value: float, rounding: str) -> Decimal:
    """Rounding of its own, not the package's: the value as 12 figures, then three in the given direction."""
    clean = Decimal(f"{value:.11e}")
    step = Decimal(1).scaleb(clean.adjusted() - 2)
    return (clean / step).to_integral_value(rounding) * step


def box_temperatures(page_text: str) -> dict[str, str]:
    """By the suction temperature beside it."""
    pairs = [line.replace(MINUS, "-").split() for line in page_text.splitlines()]
    return {words[1]: words[0] for words in pairs if len(words) > 3 and words[1] == words[-1]}


def table_rows(page_text: str, sizes: int) -> dict[str, list[str]]:
    rows = {}
    for line in page_text.splitlines():
        # Before the suction temperature is that of the box.
        words = line.split()[1:]
        is_cell = [DASH in w or (len(w) == 1 and w.islower()) for w in words[1:-1]]
        if len(words) == sizes + 2 and words[0] == words[-1] and all(is_cell):
            rows[words[0].replace(MINUS, "-")] = words[1:-1]
    return rows


def test_every_printed_cell_is_the_rounded_data(printed):
    publication, pdf = printed
    reader = PdfReader(io.BytesIO(pdf))
    data, units = publication.data, publication.formatter.system
    cells = 0
    outline = {}
    for item in (i for entry in reader.outline if isinstance(entry, list) for i in entry):
        outline.setdefault(item.title, reader.get_destination_page_number(item))
    for part in publication.parts:
        page = reader.pages[outline[publication.full_title(part)]]
        across_sizes = publication.rows(data.group_windows, part)
        text_of_page = page.extract_text(extraction_mode="layout")
        found = table_rows(text_of_page, across_sizes["size"].nunique())
        boxes = box_temperatures(text_of_page)
        for sst_k, across in across_sizes.groupby("sst_k"):
            degrees = sst_k * 1.8 - 459.67 if units == "IP" else sst_k - 273.15
            label = next(k for k in found if abs(float(k) - degrees) < 0.051)
            td = data.catalogue.applications[part.application].coil_temperature_difference_k
            assert abs(float(boxes[label]) - degrees - td * (1.8 if units == "IP" else 1.0)) < 0.051
            for text, (_, row) in zip(found[label], across.iterrows(), strict=True):
                cells += 1
                if math.isnan(row["max_load_w"]):
                    assert text.isalpha()
                    continue
                minimum = three_figures(row["min_load_w"] / W_PER[units], ROUND_CEILING)
                maximum = three_figures(row["max_load_w"] / W_PER[units], ROUND_FLOOR)
                if minimum >= maximum:
                    # Open, but narrower than what is printed.
                    assert text.isalpha()
                    continue
                assert tuple(map(Decimal, text.split(DASH))) == (minimum, maximum)
    assert cells == sum(len(publication.rows(data.group_windows, part)) for part in publication.parts) > 2000


def test_a_printed_window_never_promises_more(printed):
    publication, _ = printed
    formatter = publication.formatter
    scale = W_PER[formatter.system]
    for _, row in publication.data.group_windows.dropna(subset="max_load_w").iterrows():
        minimum, maximum = formatter.window(row["min_load_w"], row["max_load_w"])
        assert float(minimum) * scale >= row["min_load_w"] * (1 - 1e-11)
        assert float(maximum) * scale <= row["max_load_w"] * (1 + 1e-11)


@pytest.mark.slow
def test_same_data_same_bytes(data, tmp_path):
    print_booklet(part_of_booklet(data, "alder"), "booklet", tmp_path / "again.pdf")
    # Maybe printed by another worker, whose sets and hashes have another order.
    assert (tmp_path / "again.pdf").read_bytes() == short_booklet("IP", "letter")


@pytest.mark.slow
def test_same_data_same_bytes_of_the_whole_booklet(data, tmp_path):
    print_booklet(data, "booklet", tmp_path / "again.pdf")
    assert (tmp_path / "again.pdf").read_bytes() == demo_booklet("IP", "letter")[1]


def test_notice_cautions_and_fingerprint_are_printed(printed):
    publication, pdf = printed
    notice = publication.catalogue.printing.notice
    texts = page_texts(pdf)
    assert all(notice in text for text in texts)
    assert publication.data.fingerprint in texts[0]
    assert "Local codes, the equipment" in " ".join(" ".join(texts).split())
    for index, text in enumerate(texts, start=1):
        assert f"Page {index} of {len(texts)}" in text


def test_worked_example_figures_are_in_the_data_set(printed):
    publication, pdf = printed
    page = next(text for text in page_texts(pdf) if "has the largest margin" in text)
    text = " ".join(page.replace("\N{NO-BREAK SPACE}", " ").split())
    formatter = publication.formatter
    example = publication.data.example.iloc[:3]
    assert formatter.load(float(example["load_w"].iloc[0])) in text
    for _, row in example.iterrows():
        for figure in (
            formatter.load(row["capacity_w"]),
            formatter.drop(row["pressure_drop_pa"], 1 if formatter.system == "IP" else 0).replace(
                "\N{NO-BREAK SPACE}", " "
            ),
            formatter.mass_flow(row["mass_flow_kg_s"]).replace("\N{NO-BREAK SPACE}", " "),
        ):
            assert figure in text


def test_a_data_set_reads_back_as_it_was(data, tmp_path):
    data.write(tmp_path)
    record = json.loads((tmp_path / "manifest.json").read_text(encoding="utf-8"))
    assert record["fingerprint"] == data.fingerprint
    for name in FRAMES:
        written = (tmp_path / f"{name}.csv").read_bytes()
        again = frame_of(written)
        # In a long frame text is categorical.
        assert again.equals(getattr(data, name).astype(again.dtypes.to_dict()))
        assert record["files_sha256"][f"{name}.csv"] == hashlib.sha256(written).hexdigest()


def test_only_embedded_fonts(printed):
    _, pdf = printed
    for page in PdfReader(io.BytesIO(pdf)).pages:
        for font in page["/Resources"]["/Font"].values():
            descriptor = font.get_object()["/FontDescriptor"].get_object()
            assert "/FontFile2" in descriptor


def test_a_link_from_outside_leads_to_the_page_of_each_table(printed):
    publication, pdf = printed
    reader, texts = PdfReader(io.BytesIO(pdf)), page_texts(pdf)
    places = reader.named_destinations
    names = {part: destination_of(part) for part in publication.parts}
    assert names[Combination("alder", "R448A-family", "walk_in_medium")] == "table.alder.R448A-family.walk_in_medium"
    assert len(set(names.values())) == len(publication.parts) > 15
    pages = set()
    for part, name in names.items():
        assert re.fullmatch(r"[A-Za-z0-9._-]+", name)
        number = reader.get_destination_page_number(places[f"/{name}"])
        # The page begins with the heading, and cautions and the caption of the table follow it: no other page does.
        begins = " ".join([publication.full_title(part), *safety_texts(publication, part.group), "Minimum"])
        assert " ".join(texts[number].split()).startswith(begins)
        assert places[f"/{name}"].top > float(reader.pages[number].mediabox.top) - 100
        pages.add(number)
    assert len(pages) == len(names)


def test_names_that_differ_lead_to_places_that_differ():
    """Whatever a name may contain is in one of these, at an end and in the middle."""
    names = ["a", "a.b", "a_b", "a-b", "a.", "a(", "a)", "a_", "a-", "a(b)", "a._b", "a.-b", "a..b", "b", "b.a"]
    parts = [Combination(*own) for own in itertools.product(names, repeat=3)]
    found = {destination_of(part) for part in parts}
    assert len(found) == len(parts)
    assert all(re.fullmatch(r"[A-Za-z0-9._-]+", name) for name in found)
