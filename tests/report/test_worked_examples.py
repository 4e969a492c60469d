"""Worked examples say in steps what a reader does with the printed cells; every step is done again from what is printed."""

from __future__ import annotations

import re

import pytest

from tablegen.report.rows import CurveCase, rows_of
from tests.demo import demo_booklet, page_texts, short_booklet

# What is given, the cells with what each means, and the size that is chosen.
STEPS = re.compile(
    r"Given: (?P<refrigerant>\S+), SST (?P<sst>\S+ \S+) \(dew\), load (?P<load>\S+) (?P<unit>\S+) \(gross capacity.*?"
    r"row of SST (?P=sst): Size (?P<sizes>.*?) Row of (?P=sst), (?P=unit) (?P<cells>.*?) Load (?P=load) (?P=unit) "
    r"(?P<verdicts>.*?) 2\. Choose the size\..*?[Ss]ize (?P<chosen>\S+), \S+ to \S+ (?P=unit)"
)
VERDICT = re.compile(r"too small|too large|covers|largest margin|none")


@pytest.mark.parametrize("print_of", ["letter", "a4"])
def test_each_cell_means_what_is_said_of_it(print_of: str) -> None:
    pdf = demo_booklet("IP", "letter")[1] if print_of == "letter" else short_booklet("SI", "a4")
    text = " ".join(" ".join(page_texts(pdf)).replace("\N{NO-BREAK SPACE}", " ").split())
    found = list(STEPS.finditer(text))
    assert len(found) == text.count("Given: ") >= 1
    for example in found:
        load, sizes = float(example["load"]), example["sizes"].split()
        windows = [tuple(map(float, cell.split("\N{EN DASH}"))) for cell in example["cells"].split()]
        said = dict(zip(sizes, VERDICT.findall(example["verdicts"]), strict=True))
        margins: dict[str, float] = {}
        for size, (minimum, maximum) in zip(sizes, windows, strict=True):
            if minimum <= load <= maximum:
                margins[size] = min(load / minimum, maximum / load)
                assert said[size] in ("covers", "largest margin")
            else:
                assert said[size] == ("too small" if load > maximum else "too large")
        best = max(margins, key=lambda size: margins[size])
        assert said[best] == "largest margin" and example["chosen"] == best


def test_the_three_heads_are_checked_with_the_figures_of_their_table() -> None:
    text = " ".join(" ".join(page_texts(demo_booklet("IP", "letter")[1])).replace("\N{NO-BREAK SPACE}", " ").split())
    steps = re.findall(
        r"At low head the port has a pressure drop of (\S+ psi), and the valve opens to (\d+ %); at high head the drop is "
        r"(\S+ psi), and the valve opens to (\d+ %)\. (.*?)High head (.*?°F)",
        text,
    )
    publication, _ = demo_booklet("IP", "letter")
    assert len(steps) == len(list(publication.applications()))
    for low_drop, low_opening, high_drop, high_opening, table, high in steps:
        low = table[table.index("Low head") : table.index("Rating point")]
        assert low_drop in low and low_opening in low
        assert high_drop in high and high_opening in high


def test_an_example_says_where_scatter_leaves_its_size_no_load() -> None:
    """Its table has no limits at confidence for it, those of the others contain their loads."""
    text = " ".join(" ".join(page_texts(demo_booklet("IP", "letter")[1])).replace("\N{NO-BREAK SPACE}", " ").split())
    examples = re.split(r"(?=Given: )", text)[1:]
    publication, _ = demo_booklet("IP", "letter")
    expected = []
    for part in publication.parts:
        shown = rows_of(publication.rows(publication.data.balance, part), CurveCase)
        if not shown:
            continue
        rows = publication.rows(publication.data.group_windows, part)
        own = rows[(rows["size"] == shown[0].size) & ((rows["sst_k"] - shown[0].sst_k).abs() < 1e-6)].iloc[0]
        if not own["confident_max_load_w"] > own["confident_min_load_w"]:
            load = publication.formatter.with_load_unit(publication.formatter.load(shown[0].load_w))
            expected.append((shown[0].size, load.replace("\N{NO-BREAK SPACE}", " ")))
    said = re.compile(
        r"load (\S+ kBtu/h).*?The load is inside the nominal limits of size (\S+) only: at 95 % confidence the size covers no "
        "load here"
    )
    found = [(match[2], match[1]) for example in examples if (match := said.search(example))]
    assert sorted(found) == sorted(own for own in expected if any(f"load {own[1]}" in example for example in examples))
    assert found and len(found) < len(examples)
