"""The classroom handout and its answer key, read back from the pages."""

import dataclasses
import io
import re

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader

from tablegen.dataset.csv_files import csv_of, frame_of
from tablegen.dataset.dataset import FRAMES, DataSet
from tablegen.errors import PublishError
from tablegen.report.publications.documents import documents
from tablegen.report.publications.handout import print_answer_key, print_handout
from tablegen.report.publications.print_all import write_documents
from tablegen.report.rounding import round_down, round_half_even, round_up
from tablegen.tables.exercises import exercise_frames
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
    exercises, tables = map(
        frame_of, map(csv_of, exercise_frames(dataclasses.replace(catalogue, handouts=(handout,)), frames))
    )
    own = dataclasses.replace(data, exercises=exercises, exercise_tables=tables)
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


@pytest.mark.parametrize(
    ("seed", "setting"), [(2026, ("IP", "letter")), (2026, ("SI", "a4")), (1, ("SI", "letter")), (2, ("IP", "a4"))]
)
def test_the_key_has_an_answer_to_each_exercise(seed, setting):
    """What the answers are is tested from the printed sheet, in `tests/handout`."""
    name = f"handout{SETTINGS[setting]}"
    data = demo_data() if seed == 2026 else of_seed(seed, name)
    rows = data.exercises[data.exercises["publication"] == name]
    found = answers((demo_handout(name) if seed == 2026 else both(data, name))[1])
    assert len(found) == 13
    for text, (_, row) in zip(found[1:], rows[rows["exercise"] > 0].iterrows(), strict=True):
        if row["exercise_kind"] in ("rounding", "binding", "pick"):
            assert window(row, setting[0]) in text


def test_the_calculation_is_in_the_key_and_not_in_the_handout(printed):
    handout, key = (" ".join(pages(pdf)) for pdf in printed)
    rows = demo_data().exercises
    rows = rows[rows["publication"] == "handout"]
    [exercise] = rows[rows["exercise_kind"] == "required_kv"].itertuples()
    line = f"{round_half_even(exercise.mass_flow_kg_s * 3600.0 * LB_PER_KG, 4)} lb/h ÷ (63.38 × "
    assert line in key
    assert line not in handout
    assert "Answer" not in handout
    assert key.count("Answer: ") == 13


def test_worked_example_prints_each_step_with_its_units(printed):
    """Each from the figures printed before it, as a calculator gives it; Cv with pounds, psi and cubic feet."""
    text = next(page for page in pages(printed[0]) if "The flow equation, step by step" in page)
    rows = demo_data().exercises
    low = rows[(rows["exercise"] == 0) & (rows["condition"] == "low_head")].iloc[0]
    btu_lb, psi, lb_ft3 = 2326.0, 6894.757293168361, 16.018463373960142
    vapor, liquid = (round(low[f"{end}_enthalpy_j_kg"] / btu_lb, 2) for end in ("vapor", "liquid"))
    effect = round(vapor - liquid, 2)
    inlet, outlet = (round(low[f"{end}_pressure_pa"] / psi, 2) for end in ("inlet", "outlet"))
    kbtu = float(f"{low['load_w'] / W_PER_KBTU:.3g}")
    rated = float(f"{1000.0 * kbtu / effect:.4g}")
    mass = float(f"{round(low['flow_ratio'], 3) * rated:.4g}")
    density, drop = float(f"{low['liquid_density_kg_m3'] / lb_ft3:.4g}"), round(inlet - outlet, 2)
    cv = mass / (63.38 * (density * drop) ** 0.5)
    for line in (
        f"{vapor:.2f} Btu/lb − {liquid:.2f} Btu/lb = {effect:.2f} Btu/lb",
        f"Q = {kbtu:g} kBtu/h = {1000.0 * kbtu:g} Btu/h (1 kBtu/h is 1000 Btu/h)",
        f"{1000.0 * kbtu:g} Btu/h ÷ {effect:.2f} Btu/lb = {rated:.1f} lb/h",
        f"{inlet:.2f} psia − {outlet:.2f} psia = {drop:.2f} psi",
        f"Cv = ṁ ÷ (N √(ρ Δp)) = {mass:.1f} lb/h ÷ (63.38 × √({density:.2f} lb/ft³ × {drop:.2f} psi)) = {cv:.4g}",
    ):
        assert line in text, line
    assert cv == pytest.approx(1.156 * low["required_kv_m3h"], rel=2e-3)


@pytest.mark.slow
def test_blank_axes_are_added_where_the_teacher_chooses_them(printed):
    data = demo_data()
    own = [dataclasses.replace(own, blank_diagrams=True) for own in data.catalogue.handouts]
    own_pages = pages(both(with_inputs(data, handouts=tuple(own)))[0])
    assert len(own_pages) == len(pages(printed[0])) + 2
    blank = [text for text in own_pages if "Axes to draw into" in text or "Superheat against load: axes" in text]
    assert len(blank) == 2
    # Enthalpies of the handout and of `states` are not for the same axes.
    first = " ".join(blank[0].replace("\N{NO-BREAK SPACE}", " ").split())
    assert "use a different zero, 0 Btu/lb for saturated liquid at −40 °F" in first
    # Axes, dome and heads; no curve, no cycle.
    assert not [word for word in ("refrigerating effect", "fully open", "hunts") if any(word in text for text in blank)]
    assert not [text for text in pages(printed[0]) if "Axes to draw into" in text]


def test_no_caution_is_alone_on_a_page():
    """Of the demo's handouts the one in SI units on letter paper has the longest page of terms."""
    found = [page for page in pages(demo_handout("handout-letter-si")[0]) if "come before any table" in page]
    assert [("Cautions" in page, "freeze skin" in page) for page in found] == [(True, True)]


def test_pages_notice_and_cautions(printed):
    notice = demo_data().catalogue.printing.notice
    handout, key = (pages(pdf) for pdf in printed)
    terms = next(page for page in handout if "Terms, symbols and units" in page)
    assert "Flow coefficient Cv US gal/min flow of water at a pressure drop of 1 psi" in " ".join(
        terms.replace("\N{NO-BREAK SPACE}", " ").split()
    )
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
        "12 Superheat from the graph",
        "Terms, symbols and units",
        "Cautions",
        "Class 2B, fall term",
    ):
        assert any(title in page for page in handout)
    # At the foot of every page, and once more among the cautions.
    assert [page.count(notice) for page in handout if "Cautions" in page] == [2]


@pytest.mark.slow
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


@pytest.mark.slow
def test_same_seed_same_bytes_and_another_seed_another_handout(printed):
    # The demo's seed, drawn and printed again.
    assert demo_catalogue().handouts[0].seed == 2026
    assert both(of_seed(2026)) == printed
    other, _ = both(of_seed(2027))
    assert other != printed[0]
    first, second = (" ".join(pages(pdf)) for pdf in (printed[0], other))
    given = re.compile(r"rated (?:load Q = )?([0-9.]+) kBtu/h")
    assert given.findall(first)[2:] != given.findall(second)[2:]


@pytest.mark.slow
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


@pytest.mark.slow
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
    graphs = {path.name for path in (tmp_path / "graphs" / "handout").glob("*.svg")}
    assert len(graphs) == 11
    assert {
        "opening.svg",
        "superheat-in-time.svg",
        "refrigerating-capacity.svg",
        "superheat.svg",
        "The-forces-on-the-diaphragm.svg",
    } <= graphs


@pytest.mark.slow
@pytest.mark.parametrize("units", ["IP", pytest.param("SI", marks=pytest.mark.slow)])
def test_every_figure_is_an_svg_and_a_png_wide_enough_for_a_slide(units, tmp_path):
    first = demo_data().catalogue.handouts[0]
    own = next(h for h in demo_data().catalogue.handouts if (h.printed.paper, h.printed.units) == ("letter", units))
    printed = dataclasses.replace(own.printed, graph_files=True, png_files=True)
    data = with_inputs(demo_data(), handouts=(dataclasses.replace(first, printed=printed),))
    print_handout(data, printed.name, io.BytesIO(), graphs=tmp_path)
    files = {path.name for path in tmp_path.iterdir()}
    assert {name for name in files if name.endswith(".png")} == {
        f"{name.removesuffix('.svg')}.png" for name in files if name.endswith(".svg")
    }
    assert {"Maximum-load.png", "Minimum-load.png", "refrigerating-capacity.png"} <= files
    for path in tmp_path.glob("*.png"):
        with Image.open(path) as image:
            assert image.width >= 1280 and image.getpixel((1, 1)) == (255, 255, 255)
            # Some of it is black.
            assert image.convert("L").getextrema()[0] < 20


@pytest.mark.slow
def test_graphs_are_files_where_the_catalogue_asks_for_them(tmp_path):
    """Of the demo's prints one booklet and one handout ask."""
    demo_data().write(tmp_path)
    asked = [own.name for own in documents(demo_data(), tmp_path, None) if own.graph_kinds]
    assert asked == ["booklet", "handout"]
