"""What printed sentences state: their units, what they refer to, and US spelling."""

import functools
import re
from itertools import product, starmap

import pandas as pd
import pytest

from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Combination
from tablegen.report.formatter import Formatter
from tablegen.report.pages.application_page import application_page
from tablegen.report.pages.confidence_page import confidence_chapter
from tablegen.report.publications.printed_data import PrintedData
from tablegen.report.publications.publication import Publication
from tablegen.report.table_conditions import charge_text, reserve_text, valve_text
from tests.demo import demo_booklet, demo_chart, demo_data, demo_handout, page_texts, short_booklet
from tests.wording.vocabulary import BRITISH
from tests.worked import worked_catalogue

GROUP = "R448A-family"


def flat(pdf: bytes) -> str:
    return " ".join(" ".join(page_texts(pdf)).replace("\N{NO-BREAK SPACE}", " ").split())


def texts_of(story: list) -> str:
    inner = [part for one in story for part in getattr(one, "_content", [one])]
    found = (one.getPlainText() for one in inner if hasattr(one, "getPlainText"))
    return " ".join(" ".join(found).replace("\N{NO-BREAK SPACE}", " ").split())


def publication(system: str = "IP") -> Publication:
    return Publication(PrintedData(demo_data()), Formatter(system, None))


@functools.cache
def chapter() -> list:
    return confidence_chapter(publication(), 500.0)


def test_print_spells_as_the_united_states_do():
    for pdf in (demo_booklet("IP", "letter")[1], *demo_handout("handout"), demo_chart("counter")):
        text = flat(pdf).lower()
        assert not BRITISH.search(text)


def test_the_share_of_valves_is_stated_for_each_limit_and_for_both():
    """Bonferroni: of 95 and 95 in 100, at least 90 are in both."""
    text = texts_of(chapter())
    assert "at least 95 of 100 installed valves cover the minimum load, and at least 95 of 100 cover the max" in text
    assert "each limit taken separately" in text and "covered by at least 90 of 100" in text
    assert "The last column of the table “Windows of each group at its example row” in this chapter" in text
    assert "one-sided confidence in each direction" in text
    assert "setting refrigerant (named above each table)" in text


def test_what_scatters_says_of_what_it_is_a_share():
    text = flat(demo_booklet("IP", "letter")[1])
    assert "unbalance 0.05 % of diaphragm area" in text
    assert "compressor flow 10 % of its change from the rating point" in text
    assert "Shared, minimum" in text and "Shared, maximum" in text and "Property data, min; max" not in text


def test_what_is_left_out_is_named_where_it_is_not_all():
    """Hazel is computed with R407C for the cooler alone: the freezer is not computed, which the next table says."""
    text = flat(demo_booklet("IP", "letter")[1])
    assert "Hazel R407C; R134a; R513A Walk-in cooler, floating head pressure 3 Printed for" in text
    catalogue = demo_data().catalogue
    assert f"Rowan R407C; R134a; R513A all {first_left_out(catalogue, 'No bulb charge is offered.')} No bulb" in text


def first_left_out(catalogue: Catalogue, why: str) -> int:
    """How many tables are left out by the line with a reason and by none above it."""
    place = next(i for i, rule in enumerate(catalogue.left_out) if rule.why == why)
    names = catalogue.families, catalogue.groups, catalogue.applications
    first = (
        next((i for i, rule in enumerate(catalogue.left_out) if rule.takes(part)), None)
        for part in starmap(Combination, product(*names))
    )
    return sum(number == place for number in first)


def test_the_lift_of_the_tables_with_a_riser_is_named():
    text = flat(demo_booklet("IP", "letter")[1])
    assert "each for one lift: Walk-in cooler high above its condensing unit, 66 ft." in text


def test_every_application_states_its_liquid():
    pages = [" ".join(page.split()) for page in page_texts(demo_booklet("IP", "letter")[1])]
    conditions = [page for page in pages if "Conditions of the tables" in page]
    assert len(conditions) == len(list(publication().applications()))
    assert all(re.search(r"Liquid (subcooled|at the temp)", page) for page in conditions)


def test_the_graph_of_drivers_says_where_no_load_is_covered_at_confidence():
    own = publication()
    crossed = 0
    for flowable in chapter():
        inner = getattr(flowable, "_content", [])
        words = texts_of(inner)
        if "What moves the limits most" not in words:
            continue
        # Of a family it is the table whose window they narrow most.
        part = next(p for p in own.parts if f"most: {own.full_title(p)}, size" in words)
        rows = own.rows(own.data.drivers, part)
        low, high = (rows.loc[rows["limit"] == side, "confident_load_w"].iloc[0] for side in ("min", "max"))
        is_none = own.formatter.readable_window(float(low), float(high)) is None
        assert ("All sources together leave no load that is covered" in words) == is_none
        crossed += is_none
    assert crossed >= 1


def test_a_pulse_modulated_table_carries_its_caveat():
    pages = [p for p in page_texts(demo_booklet("IP", "letter")[1]) if re.search(r"^Larch: R.*", p, re.M)]
    tables = [" ".join(p.split()) for p in pages if "Box: SST" in p]
    assert tables
    assert all("the maximum loads are on the high side" in page for page in tables)


@pytest.mark.parametrize(
    ("system", "limits"),
    [
        ("IP", "working pressure 450 psig, allowed differential 350 psi"),
        ("SI", "working pressure 31.03 bar gauge, allowed differential 24.13 bar"),
    ],
)
def test_the_pressure_limits_of_a_valve_have_one_unit(system, limits):
    text = valve_text(publication(system), Combination("alder", GROUP, "walk_in_medium")).replace(
        "\N{NO-BREAK SPACE}", " "
    )
    pressures, reserve = text.split(". ")
    assert pressures.endswith(limits)
    assert reserve.startswith("Maximum loads end at rated stroke")


def test_whether_maximum_loads_use_the_reserve_is_stated_as_it_is_in_the_family():
    """The demo keeps it for pull-down, the other catalogue does not."""
    for catalogue, said in (
        (demo_data().catalogue, "end at rated stroke"),
        (worked_catalogue(), "use the whole reserve"),
    ):
        assert f"Maximum loads {said}" in reserve_text(catalogue.families["alder"])


def test_a_maximum_operating_pressure_is_stated_absolute_and_gauge():
    own = publication()
    texts = [charge_text(own, part).replace("\N{NO-BREAK SPACE}", " ") for part in own.parts]
    found = [re.search(r"MOP (\S+) psia \((\S+) psig\)", text) for text in texts]
    assert any(found)
    assert all(match or "MOP" not in text for match, text in zip(found, texts, strict=True))
    for match in filter(None, found):
        assert float(match[1]) - float(match[2]) == pytest.approx(14.7, abs=1.0)


@pytest.mark.parametrize("name", ["walk_in_medium", "walk_in_low", "walk_in_medium_fixed"])
def test_a_valve_is_said_to_pass_less_only_below_the_head_where_it_passes_most(name):
    own = publication()
    parts = dict(own.applications())[name]
    text = texts_of(application_page(own, name, parts, 500.0))
    curve = own.rows(own.data.balance, parts[0]).sort_values("head_pressure_pa").reset_index()
    most = int(pd.Series(curve["valve_max_w"]).idxmax())
    site = own.catalogue.applications[name].site_pressure_pa
    if most == len(curve) - 1:
        assert "As the head pressure falls, the system needs more and the valve passes less" in text
    else:
        head = own.formatter.gauge(float(curve.loc[most, "head_pressure_pa"]), site)
        assert f"As the head pressure falls below about {head} psig, the system needs more and the valve passes" in text


def test_prose_in_degrees_names_both_scales():
    text = flat(short_booklet("SI", "a4"))
    assert re.search(r"115 °F \(46 °C\) is only 47 °F \(26 K\) below the critical temperature", text)


def test_symbols_with_an_index_are_not_raw_in_the_table_of_checks():
    checks = demo_data().verification
    for column in ("quantity", "condition"):
        assert not [t for t in checks[column] if re.search(r"\b[A-Za-z]_[A-Za-z]", t)]
