"""The picture of the cover: a thread for every open window, from its minimum to its maximum load, and few paths."""

import itertools
import math
import re
from collections import Counter

import pytest

from tablegen.report.formatter import Formatter
from tablegen.report.graphs.weave import Band, lowest_weave, phases, weave
from tablegen.report.pages.cover import cover
from tablegen.report.pdf import design
from tablegen.report.pdf.drawing import Drawing, DrawingFlowable
from tablegen.report.pdf.paragraphs import Tagged
from tablegen.report.rows import WindowRow
from tests.demo import booklet_publication, demo_data, part_of_booklet
from tests.report.drawings import shapes, texts

WIDTH, HEIGHT = design.FIGURE_WIDTH, 320.0
THREAD = re.compile(r"^([\d.]+) ([\d.]+) m ([\d.]+) \2 l$")


def row(size: int, sst_k: float, low_w: float, high_w: float) -> WindowRow:
    return WindowRow(str(size), sst_k, low_w, high_w, "", "", "", "", "", "")


def band(sizes: int, factor: float, wide: float, suctions: int = 5) -> Band:
    """Windows in even steps; the smallest is closed at the coldest suction temperature."""
    rows = [
        row(i + 1, 250.0 + k, math.nan if i + k == 0 else 1000.0 * factor**i, 1000.0 * wide * factor**i)
        for k in range(suctions)
        for i in range(sizes)
    ]
    return Band("An application", "SST 0 to 5", (), rows)


def threads(drawing: Drawing) -> list[list[tuple[float, float, float]]]:
    """Left, right and height of each thread, by phase."""
    own = [shape for shape in shapes(drawing) if shape.name.startswith("phase")]
    found = [[THREAD.fullmatch(line) for line in shape.path.split("\n")] for shape in own]
    return [[(float(m[1]), float(m[3]), float(m[2])) for m in lines if m] for lines in found]


@pytest.mark.parametrize(("factor", "wide", "count"), [(4.0, 2.0, 2), (1.5, 1.6, 2), (1.5, 2.4, 3), (1.2, 9.0, 4)])
def test_threads_of_one_phase_lie_apart_as_far_as_phases_go(factor, wide, count):
    own = band(9, factor, wide)
    assert phases([own]) == count
    by_phase = threads(weave([own], Formatter("SI"), WIDTH, HEIGHT))
    assert len(by_phase) == count
    assert sum(map(len, by_phase)) == 9 * 5 - 1
    heights = [{y for *_, y in phase} for phase in by_phase]
    assert not set.intersection(*heights) and all(len(own) == 5 for own in heights)
    if count < 4:
        for phase in by_phase:
            ends = sorted((y, left, right) for left, right, y in phase)
            assert all(a[0] != b[0] or a[2] < b[1] for a, b in itertools.pairwise(ends))


def test_equal_ratios_of_loads_are_equal_lengths():
    lengths = [
        right - left
        for phase in threads(weave([band(6, 1.5, 2.0)], Formatter("IP"), WIDTH, HEIGHT))
        for left, right, _ in phase
    ]
    assert max(lengths) - min(lengths) < 0.25
    assert lengths[0] > 20.0


def test_one_window_is_drawn_and_a_name_of_many_words_makes_room():
    alone = Band("An application", "SST 20", (), [row(1, 250.0, 1000.0, 3000.0)])
    [[(left, right, _)]] = threads(weave([alone], Formatter("SI"), WIDTH, 90.0))
    assert right > left + 100.0
    wordy = Band("An application whose name goes on and on " * 3, "SST 20", (), alone.rows)
    assert lowest_weave([wordy], WIDTH) > lowest_weave([alone], WIDTH) + 10.0
    with_sst = texts(weave([alone], Formatter("SI"), WIDTH, 90.0))
    assert "An application" in with_sst and "SST 20" in with_sst


def drawn(story: object) -> list[DrawingFlowable]:
    assert isinstance(story, list)
    return [item for item in story if isinstance(item, DrawingFlowable)]


def test_the_cover_draws_every_open_window_of_what_has_most_tables():
    publication = booklet_publication(demo_data())
    [picture] = drawn(cover(publication, 500.0, 670.0))
    parts = [p for p in publication.parts if (p.family, p.group) == ("alder", "R448A-family")]
    # No other family and group has as many tables.
    tables = Counter((p.family, p.group) for p in publication.parts).most_common(2)
    assert tables[0][1] == len(parts) > 4 and tables[0][1] >= tables[1][1]
    count = sum(not math.isnan(own.min_load_w) for part in parts for own in publication.windows(part))
    assert sum(map(len, threads(picture.drawing))) == count > 500
    size = len("\n".join(shape.path for shape in shapes(picture.drawing)))
    assert size < 60e3
    for part in parts:
        title = publication.catalogue.applications[part.application].title
        assert title in picture.alt


def test_a_cover_without_room_has_no_picture_but_names_the_applications():
    publication = booklet_publication(part_of_booklet(demo_data(), "hazel"))
    assert len(drawn(cover(publication, 500.0, 670.0))) == 1
    assert not drawn(cover(publication, 500.0, 300.0))


def test_a_booklet_of_one_family_names_it_under_its_title():
    def texts_of(publication: object) -> list[str]:
        return [item.text for item in cover(publication, 500.0, 670.0) if isinstance(item, Tagged)]

    data = demo_data()
    [title, family, *_] = texts_of(booklet_publication(part_of_booklet(data, "hazel")))
    assert (title, family) == (data.catalogue.printing.title, data.catalogue.families["hazel"].title)
    assert data.catalogue.families["hazel"].title not in texts_of(booklet_publication(data))
