"""What is costly is done once: calls counted, not seconds, which depend on the machine."""

from __future__ import annotations

import functools
import io
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from types import ModuleType

import pandas as pd
import pytest

from tablegen.confidence import confident_limits, draws
from tablegen.confidence.confident_limits import REPLICATES
from tablegen.dataset import dataset
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.model.inputs import Catalogue
from tablegen.physics import conditions
from tablegen.report.graphs import family_graphs
from tablegen.report.pages import opener
from tablegen.report.pdf import page
from tablegen.report.pdf.table_flowable import PageTable
from tablegen.report.publications.booklet import print_booklet
from tablegen.report.publications.printed_data import PrintedData
from tests.demo import demo_catalogue


def counted(monkeypatch: pytest.MonkeyPatch, calls: Counter[str], module: ModuleType, name: str) -> None:
    """Count the calls of a function by the name that its module, and who imported it from there, know it by."""
    original: Callable[..., object] = getattr(module, name)

    @functools.wraps(original)
    def counting(*args: object, **kwargs: object) -> object:
        calls[name] += 1
        return original(*args, **kwargs)

    for other in [m for m in sys.modules.values() if m.__name__.startswith("tablegen.")]:
        if getattr(other, name, None) is original:
            monkeypatch.setattr(other, name, counting)


def counted_method(patch: pytest.MonkeyPatch, calls: Counter[str], kind: type, name: str) -> None:
    """Count the calls of a method."""
    original: Callable[..., object] = getattr(kind, name)

    def counting(*args: object, **kwargs: object) -> object:
        calls[name] += 1
        return original(*args, **kwargs)

    patch.setattr(kind, name, counting)


def with_booklets(data: DataSet, settings: list[tuple[str, str]]) -> DataSet:
    """The data set with a booklet of everything for each paper and system of units."""
    own = demo_catalogue().booklets[0]
    booklets = tuple(
        replace(
            own,
            combinations=data.catalogue.combinations,
            printed=replace(own.printed, name=f"booklet-{paper}-{units}", paper=paper, units=units),
        )
        for paper, units in settings
    )
    return replace(data, catalogue=replace(data.catalogue, booklets=booklets))


def few_of_the_demo() -> Catalogue:
    """Two families in one application, printed nowhere."""
    demo = demo_catalogue()
    few = [c for c in demo.combinations if c.family in ("alder", "rowan") and c.application == "walk_in_medium"]
    return replace(demo, combinations=tuple(few), booklets=(), charts=(), handouts=())


@pytest.fixture(scope="module")
def computed() -> Iterator[tuple[DataSet, Counter[str]]]:
    """A data set and what was called for it, which is counted as long as the fixture is there."""
    calls: Counter[str] = Counter()
    for kept in (draws.normal_draws, confident_limits.few_draws, confident_limits.two_level_draws):
        kept.cache_clear()
    with pytest.MonkeyPatch.context() as patch:
        for module, name in (
            (dataset, "csv_of"),
            (dataset, "written_and_read"),
            (draws, "scrambled_points"),
            (conditions, "solve_liquids"),
            (confident_limits, "confident_limits"),
        ):
            counted(patch, calls, module, name)
        yield compute(few_of_the_demo()), calls


@pytest.mark.slow
def test_each_frame_is_written_and_read_back_once(computed, tmp_path):
    data, calls = computed
    data.write(tmp_path)
    data.write(tmp_path, {"booklet": "a reason"})
    # Beside the frames the description of their columns, which a build writes again with what was not printed.
    assert calls["csv_of"] == 2
    assert calls["written_and_read"] == len(FRAMES)
    assert {path.name for path in tmp_path.glob("*.csv")} == {"columns.csv", *(f"{name}.csv" for name in FRAMES)}


@pytest.mark.slow
def test_draws_are_made_once_for_each_seed(computed):
    data, calls = computed
    assert len(data.drivers)
    assert calls["scrambled_points"] == REPLICATES


@pytest.mark.slow
def test_the_conversion_table_of_a_system_is_solved_at_once(computed):
    data, calls = computed
    assert calls["solve_liquids"] == len(data.conversion.groupby(["refrigerant", "application"]))
    assert len(data.conversion) == 33 * calls["solve_liquids"]


@pytest.mark.slow
def test_limits_of_a_valve_are_computed_once_for_its_windows_and_once_or_twice_for_its_drivers(computed):
    data, calls = computed
    valves = len(data.windows.groupby(["family", "refrigerant", "application"]))
    binding = len(data.drivers.groupby(["family", "refrigerant", "application", "group"]))
    # Of a valve that sets a limit also for each further set of draws.
    assert calls["confident_limits"] == 2 * valves + (REPLICATES - 1) * binding


@pytest.fixture(scope="module")
def printed(computed) -> Iterator[tuple[DataSet, Counter[str], list[int]]]:
    """The data set as booklets on two papers in either system of units; what was called, and pages of each booklet."""
    calls: Counter[str] = Counter()
    data = with_booklets(computed[0], [("letter", "IP"), ("letter", "SI"), ("a4", "IP"), ("a4", "SI")])
    with pytest.MonkeyPatch.context() as patch:
        for module, name in (
            (opener, "opener_graph"),
            (family_graphs, "superheat_graph"),
        ):
            counted(patch, calls, module, name)
        for kind, name in ((page._Template, "build"), (PageTable, "_set_head"), (pd.DataFrame, "_getitem_bool_array")):
            counted_method(patch, calls, kind, name)
        shared = PrintedData(data)
        pages = [print_booklet(shared, own.printed.name, io.BytesIO()) for own in data.catalogue.booklets]
        yield data, calls, pages


@pytest.mark.slow
def test_a_drawing_is_made_once_for_each_system_of_units(printed):
    _, calls, _ = printed
    assert calls["opener_graph"] == 2
    # One for each family.
    assert calls["superheat_graph"] == 4


@pytest.mark.slow
def test_pages_are_set_twice_and_tables_drawn_once(printed):
    """The first pass counts pages and finds headings; it draws nothing that takes time."""
    _, calls, pages = printed
    assert calls["build"] == 2 * len(pages)
    assert 2 * sum(pages) > calls["_set_head"] > sum(pages) / 4


@pytest.mark.slow
def test_frames_are_grouped_once_and_not_filtered_for_each_cell(printed):
    _, calls, pages = printed
    assert calls["_getitem_bool_array"] < 2 * sum(pages)
