"""The two pages that open an application: figures of the data set, a verdict that the curves bear out, tables on left pages."""

import io
import itertools
import math
import re

import numpy as np
import pytest
from pypdf import PdfReader

from tablegen.report.pages.application_page import application_page
from tablegen.report.pages.opener import opener, pressure_budget
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import DrawingFlowable
from tablegen.report.rows import CurveCase, ExampleRow, rows_of
from tests.demo import booklet_publication, demo_booklet, demo_data, page_texts
from tests.report.drawings import box_of, labels

W_PER_KBTU_H, PSI_PA = 293.0710702, 6894.757
NBSP = "\N{NO-BREAK SPACE}"


def story_of(publication, application: str):
    parts = dict(publication.applications())[application]
    return parts, opener(publication, parts, ((), ()), (493.0, design.LOWEST_PAGE))


def words_of(story) -> str:
    facts = [item for item in story if hasattr(item, "rows")]
    return " ".join(" ".join(lines) for table in facts for row in table.rows for lines in row).replace(NBSP, " ")


@pytest.mark.parametrize("name", ["booklet", "booklet-a4-si"])
def test_the_picture_has_the_figures_of_the_example_and_no_two_lie_on_each_other(name):
    publication = booklet_publication(demo_data(), name)
    formatter = publication.formatter
    for application in publication.catalogue.applications:
        parts, story = story_of(publication, application)
        part, _ = publication.first_example(parts)
        rows = rows_of(publication.rows(publication.data.example, part), ExampleRow)
        [drawing] = [item.drawing for item in story if isinstance(item, DrawingFlowable)]
        printed = [label.text for label in labels(drawing)]
        site = publication.catalogue.applications[application].site_pressure_pa
        for row in rows:
            # As in the table of worked examples.
            drop = formatter.drop(row.pressure_drop_pa, 1 if formatter.system == "IP" else 0).partition(NBSP)[0]
            expected = (
                formatter.gauge(row.head_pressure_pa, site),
                formatter.temperature(row.liquid_temperature_k, 0),
                drop,
            )
            assert all(figure in printed for figure in expected)
        for a, b in itertools.combinations(labels(drawing), 2):
            one, other = box_of(a), box_of(b)
            wide = min(one.right, other.right) - max(one.left, other.left)
            high = min(one.top, other.top) - max(one.bottom, other.bottom)
            assert wide <= 0.5 or high <= 0.5, (application, a.text, b.text)
        assert all(box_of(label).left >= 0.0 and box_of(label).right <= drawing.width for label in labels(drawing))


def test_the_verdict_is_what_the_curves_do():
    publication = booklet_publication(demo_data())
    starving = 0
    for application in publication.catalogue.applications:
        parts, story = story_of(publication, application)
        part, curve = publication.first_example(parts)
        case = rows_of(curve, CurveCase)[0]
        words = words_of(story)
        example = publication.rows(publication.data.example, part).set_index("condition")
        share = example.loc["low_head", "pressure_drop_pa"] / example.loc["rating", "pressure_drop_pa"]
        assert f"{share * 100:.0f} % of the" in words
        own = publication.rows(publication.data.group_windows, part)
        own = own[(own["size"] == case.size) & ((own["sst_k"] - case.sst_k).abs() < 1e-6)].iloc[0]
        low, high = map(float, re.search(r"covers ([\d.]+) to ([\d.]+) kBtu/h", words).groups())
        assert low == pytest.approx(own["min_load_w"] / W_PER_KBTU_H, rel=0.01)
        assert high == pytest.approx(own["max_load_w"] / W_PER_KBTU_H, rel=0.01)
        assert low <= case.load_w / W_PER_KBTU_H <= high
        if (said := re.search(r"but below (\d+) psig", words)) is None:
            continue
        starving += 1
        rows = curve.sort_values("head_pressure_pa")
        short = (rows["compressor_capacity_w"] > rows["smaller_max_w"]).to_numpy()
        gauge = (rows["head_pressure_pa"].to_numpy() - 101325.0) / PSI_PA
        border = float(said[1])
        assert np.all(gauge[short] < border + 1.0) and np.all(gauge[~short] > border - 1.0)
        assert not math.isnan(case.smaller_crossing_pa)
    assert starving >= 4


def test_openers_and_tables_are_on_left_pages_and_maps_opposite():
    publication, pdf = demo_booklet("IP", "letter")
    reader = PdfReader(io.BytesIO(pdf))
    places: dict[str, int] = {}
    for item in reader.outline:
        for entry in item if isinstance(item, list) else [item]:
            places.setdefault(entry.title, reader.get_destination_page_number(entry) + 1)
    texts = page_texts(pdf)
    for application in publication.catalogue.applications.values():
        assert places[application.title] % 2 == 0
        opposite = "\n".join(texts[places[application.title]].replace(NBSP, " ").splitlines())
        assert "Sources of the conditions" in opposite
        listed = dict(re.findall(r"^(.+?)(?: \.)+ ?(\d+)$", opposite, re.MULTILINE))
        own = [publication.full_title(part) for part in publication.parts if part.application == application.name]
        assert {title.strip(): int(page) for title, page in listed.items()} == {title: places[title] for title in own}
    for part in publication.parts:
        title = publication.full_title(part)
        assert places[title] % 2 == 0
        assert texts[places[title]].startswith(f"Size for a load – {title}"[:40])


def test_what_differs_between_tables_says_for_which():
    publication = booklet_publication(demo_data())
    parts = dict(publication.applications())["walk_in_medium"]
    words = words_of(application_page(publication, "walk_in_medium", parts, 493.0))
    assert "Alder: R134a; Alder: R513A: liquid line 5 psi, evaporator 2 psi, distributor 15 psi" in words
    assert "liquid line 5 psi, evaporator 2 psi, distributor 25 psi" in words


@pytest.mark.parametrize("name", ["booklet", "booklet-a4-si"])
def test_the_drops_between_head_and_evaporator_add_up_and_stand_apart(name):
    publication = booklet_publication(demo_data(), name)
    states = publication.data.states
    unit = PSI_PA if publication.formatter.system == "IP" else 1000.0
    for application, parts in publication.applications():
        caption, graph = pressure_budget(publication, parts)
        _, curve = publication.first_example(parts)
        case = rows_of(curve, CurveCase)[0]
        assert ("lift" in caption.text) == (application == "walk_in_medium_lift")
        own = states[(states["application"] == application) & (states["refrigerant"] == case.refrigerant)]
        own = own[(own["sst_k"] - case.sst_k).abs() < 1e-6].groupby("condition").first()
        said = [re.findall(r"[\d.]+", bar) for bar in graph.alt.rpartition(". low head")[2].split(";")]
        printed = [label.text for label in labels(graph.drawing)]
        for condition, drops in zip(("low_head", "rating", "high_head"), said, strict=True):
            state = own.loc[condition]
            line, valve, coil = map(float, drops)
            assert set(drops) <= set(printed)
            assert line == pytest.approx((state["head_pressure_pa"] - state["inlet_pressure_pa"]) / unit, abs=0.51)
            assert valve == pytest.approx(state["pressure_drop_pa"] / unit, abs=0.51)
            whole = (state["head_pressure_pa"] - state["evaporating_pressure_pa"]) / unit
            assert line + valve + coil == pytest.approx(whole, abs=1.6)
        for a, b in itertools.combinations(labels(graph.drawing), 2):
            one, other = box_of(a), box_of(b)
            wide = min(one.right, other.right) - max(one.left, other.left)
            high = min(one.top, other.top) - max(one.bottom, other.bottom)
            assert wide <= 0.5 or high <= 0.5, (application, a.text, b.text)
