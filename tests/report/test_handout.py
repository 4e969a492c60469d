"""The classroom handout and its answer key, read back from the pages."""

import dataclasses
import io
import re

import pypdfium2
import pytest
from pypdf import PdfReader

from tablegen.dataset.csv_files import csv_of, frame_of
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.errors import PublishError
from tablegen.report.publications.documents import documents
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.report.publications.print_all import write_documents
from tablegen.report.rounding import decimals, round_down, round_half_even, round_up
from tablegen.tables.exercises import exercise_frame
from tablegen.wording import terms
from tests.demo import FEW_SETTINGS, SETTINGS, demo_catalogue, demo_data, demo_handout, with_inputs
from tests.us_units import W_PER_KBTU

LB_PER_KG = 1.0 / 0.45359237


def of_seed(seed: int, name: str = "handout", **other: object) -> DataSet:
    """The demo with its handout drawn by another seed, or for another part."""
    data, catalogue = demo_data(), demo_catalogue()
    first = next(h for h in catalogue.handouts if h.printed.name == name)
    printed = {f.name for f in dataclasses.fields(first.printed)}
    own = dataclasses.replace(first.printed, **{k: v for k, v in other.items() if k in printed})
    rest = {k: v for k, v in other.items() if k not in printed}
    handout = dataclasses.replace(first, printed=own, seed=seed, **rest)
    frames = {name: getattr(data, name) for name in FRAMES}
    made = exercise_frame(dataclasses.replace(catalogue, handouts=(handout,)), frames)
    own = dataclasses.replace(data, exercises=frame_of(csv_of(made)))
    return with_inputs(own, handouts=(handout,))


def both(data: DataSet, name: str = "handout") -> tuple[bytes, bytes]:
    handout, key = io.BytesIO(), io.BytesIO()
    print_handout(data, name, handout)
    print_answer_key(data, name, key)
    return handout.getvalue(), key.getvalue()


@pytest.fixture(scope="module")
def printed() -> tuple[bytes, bytes]:
    return demo_handout("handout")


def pages(pdf: bytes) -> list[str]:
    texts = [p.extract_text().replace("\N{NO-BREAK SPACE}", " ") for p in PdfReader(io.BytesIO(pdf)).pages]
    return [" ".join(text.split()) for text in texts]


def answers(pdf: bytes) -> list[str]:
    lines = "\n".join(p.extract_text() for p in PdfReader(io.BytesIO(pdf)).pages)
    return re.findall(r"^Answer: (.*)$", lines.replace("\N{NO-BREAK SPACE}", " "), re.MULTILINE)


def window(row, units: str) -> str:
    watt, name = {"IP": (W_PER_KBTU, "kBtu/h"), "SI": (1000.0, "kW")}[units]
    return f"{round_up(row['min_load_w'] / watt)} to {round_down(row['max_load_w'] / watt)} {name}"


def flow(kg_s: float, units: str) -> str:
    scale, name = {"IP": (3600.0 * LB_PER_KG, "lb/h"), "SI": (3600.0, "kg/h")}[units]
    return f"{round_half_even(kg_s * scale)} {name}"


def step(kelvin: float, units: str) -> str:
    return f"{decimals(kelvin * (1.8 if units == 'IP' else 1.0), 1)} {'°F' if units == 'IP' else 'K'}"


def expected(row, units: str = "IP") -> str:
    """The printed answer of a row, put together here from its figures."""
    kind = row["exercise_kind"]
    if kind == "pick":
        return f"Size {row['first_size']}, {window(row, units)}"
    if kind == "rounding":
        return window(row, units)
    if kind == "mass_flow":
        rated, low = (flow(row[f"{name}mass_flow_kg_s"], units) for name in ("rated_", ""))
        return f"{rated} at the rating point, {low} {terms.at_condition(row['condition'])}"
    if kind in ("required_kv", "worked"):
        share = f"{decimals(100 * row['kv_share'], 0)} % of size {row['size']}"
        last = "; of the three conditions, low head needs the largest port" if kind == "worked" else ""
        return f"Kv {round_half_even(row['required_kv_m3h'])} m³/h, {share}{last}"
    if kind == "binding":
        return f"{window(row, units)}; minimum set by {row['min_member']}, maximum by {row['max_member']}"
    if kind == "between":
        return {"yes": "Yes, both rows cover it", "no": "No, one of the two rows does not cover it"}[row["verdict"]]
    if kind == "static":
        return step(row["static_superheat_k"], units)
    if kind == "zone":
        return f"{step(row['superheat_k'], units)}; {terms.ZONES_EXPLAINED[row['zone']]()}"
    assert kind == "heads"
    return f"{decimals(row['load_ratio'], 2)} times as much"


@pytest.mark.parametrize(
    ("seed", "setting"), [(2026, ("IP", "letter")), (2026, ("SI", "a4")), (1, ("SI", "letter")), (2, ("IP", "a4"))]
)
def test_printed_answers_are_those_of_the_frame(seed, setting):
    name = f"handout{SETTINGS[setting]}"
    data = demo_data() if seed == 2026 else of_seed(seed, name)
    rows = data.exercises[data.exercises["publication"] == name]
    asked = rows[(rows["exercise"] > 0) | (rows["condition"] == "high_head")]
    found = answers((demo_handout(name) if seed == 2026 else both(data, name))[1])
    assert len(found) == len(asked) == 13
    for text, (_, row) in zip(found, asked.iterrows(), strict=True):
        assert text == expected(row, setting[0])


def test_the_calculation_is_in_the_key_and_not_in_the_handout(printed):
    handout, key = (" ".join(pages(pdf)) for pdf in printed)
    rows = demo_data().exercises
    rows = rows[rows["publication"] == "handout"]
    for _, row in rows[rows["exercise_kind"].isin(["mass_flow", "required_kv"])].iterrows():
        value = round_half_even(row["required_kv_m3h"])
        line = f"{flow4(row['mass_flow_kg_s'])}" if row["exercise_kind"] == "mass_flow" else f"= {value} m³/h"
        assert line in key
        assert line not in handout
    assert "Answer" not in handout
    assert key.count("Answer: ") == 13


def flow4(kg_s: float) -> str:
    return f"= {round_half_even(kg_s * 3600.0 * LB_PER_KG, 4)} lb/h"


def test_worked_example_prints_each_step_with_its_units(printed):
    text = pages(printed[0])[5]
    rows = demo_data().exercises
    low = rows[(rows["exercise"] == 0) & (rows["condition"] == "low_head")].iloc[0]
    btu_lb, psi, lb_ft3 = 2326.0, 6894.757293168361, 16.018463373960142
    mass = round_half_even(low["mass_flow_kg_s"] * 3600 * LB_PER_KG, 4)
    density = round_half_even(low["liquid_density_kg_m3"] / lb_ft3, 4)
    drop = round_half_even(low["pressure_drop_pa"] / psi, 3)
    kv = round_half_even(low["required_kv_m3h"])
    for line in (
        f"= {round_half_even(low['rating_effect_j_kg'] / btu_lb, 4)} Btu/lb",
        f"= {round_half_even(low['rated_mass_flow_kg_s'] * 3600 * LB_PER_KG, 4)} lb/h (1 kBtu/h is 1000 Btu/h)",
        f"= {decimals(low['flow_ratio'], 3)} × ",
        f"Kv = ṁ ÷ (N √(ρ Δp)) = {mass} lb/h ÷ (73.27 × √({density} lb/ft³ × {drop} psi)) = {kv} m³/h",
    ):
        assert line in text
    # The constant of the printed units gives the Kv to a per mille.
    by_hand = float(mass) / (73.27 * (float(density) * float(drop)) ** 0.5)
    assert by_hand == pytest.approx(low["required_kv_m3h"], rel=1e-3)


def test_pages_notice_and_cautions(printed):
    notice = demo_data().catalogue.printing.notice
    handout, key = (pages(pdf) for pdf in printed)
    # Three of them are the lesson.
    assert 7 <= len(handout) <= 11
    assert 2 <= len(key) <= 6
    assert all(notice in page for page in handout + key)
    for title in (
        "What a system asks of its expansion valve",
        "Why a valve has two limits",
        "One valve at both limits",
        "The forces on the diaphragm",
        "The flow equation, step by step",
        "Size range, to read with a ruler",
        "12 Between two rows",
        "Terms, symbols and units",
        "Cautions",
        "Class 2B, fall term",
    ):
        assert any(title in page for page in handout)
    # At the foot of every page, and once more among the cautions.
    assert [page.count(notice) for page in handout if "Cautions" in page] == [2]


@pytest.mark.parametrize("setting", FEW_SETTINGS)
def test_size_range_prints_every_size_with_its_window(setting):
    page = PdfReader(io.BytesIO(demo_handout(f"handout{SETTINGS[setting]}")[0])).pages[6]
    lines = [line.split() for line in page.extract_text(extraction_mode="layout").splitlines()]
    data, row = demo_data(), demo_data().exercises.iloc[0]
    own = data.group_windows[(data.group_windows["family"] == "alder") & (data.group_windows["group"] == row["group"])]
    own = own[(own["application"] == row["application"]) & ((own["sst_k"] - row["sst_k"]).abs() < 1e-6)]
    assert len(own) == 9
    for _, bar in own.iterrows():
        minimum, _, maximum, _ = window(bar, setting[0]).split()
        assert [minimum, bar["size"], maximum] in lines


def test_no_text_leaves_the_page_margins(printed):
    for pdf in printed:
        for page in pypdfium2.PdfDocument(pdf):
            text = page.get_textpage()
            boxes = [text.get_charbox(i) for i in range(text.count_chars()) if text.get_text_range(i, 1).strip()]
            assert min(b[0] for b in boxes) > 50.0
            assert max(b[2] for b in boxes) < page.get_width() - 50.0


def test_same_seed_same_bytes_and_another_seed_another_handout(printed):
    # The demo's seed, drawn and printed again.
    assert demo_catalogue().handouts[0].seed == 2026
    assert both(of_seed(2026)) == printed
    other, _ = both(of_seed(2027))
    assert other != printed[0]
    first, second = (" ".join(pages(pdf)) for pdf in (printed[0], other))
    given = re.compile(r"rated (?:load Q = )?([0-9.]+) kBtu/h")
    assert given.findall(first)[2:] != given.findall(second)[2:]


@pytest.mark.parametrize(
    ("group", "units", "load_unit", "paper"),
    [
        ("R134a", "SI", "kW", "a4"),
        pytest.param("R404A-R507A", "IP", "ton_refrigeration", "letter", marks=pytest.mark.slow),
    ],
)
def test_other_groups_units_and_papers_fit(group, units, load_unit, paper):
    factor = {"kW": 1000.0, "ton_refrigeration": 12000.0 * 1055.05585262 / 3600.0}[load_unit]
    data = of_seed(5, group=group, units=units, load_unit=load_unit, load_unit_w=factor, paper=paper)
    handout, key = both(data)
    assert 7 <= len(pages(handout)) <= 11
    assert len(answers(key)) == 13


def test_a_part_without_example_is_refused():
    data = demo_data()
    empty = dataclasses.replace(data, exercises=data.exercises.iloc[:0])
    with pytest.raises(PublishError, match="handout: R448A-family has no window of alder"):
        print_handout(empty, "handout", io.BytesIO())


def test_a_build_prints_both_documents(tmp_path, printed):
    first = demo_data().catalogue.handouts[0]
    data = with_inputs(demo_data(), booklets=(), charts=(), handouts=(first,))
    data.write(tmp_path)
    both = [own for own in documents(data, tmp_path, None) if own.name in ("handout", "handout-answers")]
    begun: list[str] = []
    made = write_documents(both, tmp_path, begin=begun.append).made
    assert begun == ["printing handout", "printing handout-answers"]
    assert tuple(made[own.name].pages for own in both) == tuple(len(pages(pdf)) for pdf in printed)
    assert all(own.is_whole(tmp_path) for own in made.values())
    # It is printed from what it shows, so that only the code of its data is another.
    for pdf, own in zip(printed, both, strict=True):
        here, there = (
            [re.sub("[0-9a-f]{12}", "code", page) for page in pages(of)]
            for of in ((tmp_path / own.file).read_bytes(), pdf)
        )
        assert here == there
    graphs = {path.name for path in (tmp_path / "graphs" / "handout").iterdir()}
    assert len(graphs) == 11
    assert {
        "opening.svg",
        "superheat-in-time.svg",
        "refrigerating-capacity.svg",
        "superheat.svg",
        "The-forces-on-the-diaphragm.svg",
    } <= graphs


def test_graphs_are_files_where_the_catalogue_asks_for_them(tmp_path):
    """Of the demo's prints one booklet and one handout ask."""
    demo_data().write(tmp_path)
    asked = [own.name for own in documents(demo_data(), tmp_path, None) if own.graph_files]
    assert asked == ["booklet", "handout"]
