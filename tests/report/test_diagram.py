"""`diagram`: what is drawn, read back from the files, against the property library and for readers."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from CoolProp.CoolProp import PropsSI
from PIL import Image

import tablegen
from tablegen.errors import RequestError
from tablegen.report.graphs.sketch import ABOVE, SIZE
from tablegen.report.graphs.svg import FOOT, MARGIN
from tests.demo import page_texts
from tests.registry import registry
from tests.report.text_boxes import problems

SYSTEM = {"application": "walk_in_medium", "sst": "24 degF"}
VALVE = {**SYSTEM, "family": "alder", "size": "90", "load": "20 kBtu/h"}
_PATH = re.compile(r'<path d="([^"]*)"[^>]*data-part="([^"]*)"')
_TEXT = re.compile(
    r'<text transform="matrix\([-\d ]* ([-\d.]+) ([-\d.]+)\)"[^>]*textLength="([\d.]+)"[^>]*>([^<]*)</text>'
)


class Read:
    """A diagram of a web page, read back: points of its lines in printed units."""

    def __init__(self, answer: tablegen.Answer, folder: Path) -> None:
        answer.write(folder / "diagram.html")
        page = (folder / "diagram.html").read_text(encoding="utf-8")
        self.texts = [(float(x), float(y), float(w), text) for x, y, w, text in _TEXT.findall(page)]
        self.parts = [(name, path) for path, name in _PATH.findall(page)]
        axis = min(y for _, y, _, text in self.texts if text.isdigit() and y < 60.0)
        across = {float(text): x + 0.5 * w for x, y, w, text in self.texts if abs(y - axis) < 0.1 and text.isdigit()}
        left = min(x for x, y, _, text in self.texts if y > axis + 5.0 and re.fullmatch(r"[\d.]+", text))
        up = {
            float(text): y + 0.5 * ABOVE * SIZE
            for x, y, w, text in self.texts
            if y > axis + 5.0 and re.fullmatch(r"[\d.]+", text) and x < left + 12.0
        }
        assert len(across) > 3 and len(up) > 3
        self.across, self.up = (
            np.polyfit([*across.values()], [*across], 1),
            np.polyfit([*up.values()], np.log([*up]), 1),
        )

    def lines(self, name: str) -> list[np.ndarray]:
        """Enthalpy and pressure of the points of each line of a name."""
        found = []
        for own, path in self.parts:
            if own == name:
                points = np.array(re.findall(r"[ML]([-\d.]+) ([-\d.]+)", path), dtype=np.float64)
                found.append(
                    np.column_stack([np.polyval(self.across, points[:, 0]), np.exp(np.polyval(self.up, points[:, 1]))])
                )
        return found


@pytest.fixture(scope="module")
def cycle(tmp_path_factory) -> Read:
    answer = tablegen.diagram("R134a", **SYSTEM, units="SI")
    return Read(answer, tmp_path_factory.mktemp("cycle"))


def of_ours(name: str, *state: object) -> float:
    """A printed enthalpy [kJ/kg] by the property library alone."""
    zero = PropsSI("H", "T", 273.15, "Q", 0, name) - 200e3
    return (PropsSI("H", *state, name) - zero) / 1000.0


def test_points_of_the_cycle_are_where_the_property_library_has_them(cycle):
    answer = tablegen.diagram("R134a", **SYSTEM, units="SI")
    rows = answer.frame("cycles").set_index("condition")
    [evaporator] = cycle.lines("evaporator")
    # The dew temperature of the evaporator is 24 degF (-4.44 degC) at its outlet pressure, the bulb is superheated.
    dew = PropsSI("P", "T", 268.7056, "Q", 1, "R134a") / 1e5
    assert evaporator[:, 1] == pytest.approx(dew, rel=0.01)
    condensers = sorted(cycle.lines("condenser"), key=lambda line: line[0, 1])
    for line, condition in zip(condensers, ("low_head", "rating", "high_head"), strict=True):
        row = rows.loc[condition]
        assert line[:, 1] == pytest.approx(row["head_pressure_pa"] / 1e5, rel=0.01)
        liquid = of_ours("R134a", "T", row["liquid_temperature_k"], "P", row["head_pressure_pa"])
        assert line[:, 0].min() == pytest.approx(liquid, abs=1.0)
        assert row["effect_j_kg"] / 1000.0 == pytest.approx(evaporator[:, 0].max() - liquid, abs=1.5)
    [compression] = cycle.lines("compression")
    zero = PropsSI("H", "T", 273.15, "Q", 0, "R134a") - 200e3
    entropy = PropsSI("S", "P", 1e5 * compression[:, 1], "H", 1000.0 * compression[:, 0] + zero, "R134a")
    assert np.ptp(entropy) < 6.0


def test_the_dome_is_that_of_the_property_library(cycle):
    for name, share in (("bubble", 0), ("dew", 1)):
        [line] = cycle.lines(name)
        line = line[line[:, 1] < 35.0]
        theirs = [of_ours("R134a", "P", 1e5 * pressure, "Q", share) for pressure in line[:, 1]]
        assert line[:, 0] == pytest.approx(theirs, abs=1.2)


def test_a_blank_diagram_has_the_axes_of_the_solved_one_and_no_cycle(cycle, tmp_path):
    answer = tablegen.diagram("R134a", **SYSTEM, units="SI", blank=True)
    blank = Read(answer, tmp_path)
    assert {name for name, _ in blank.parts} == {"bubble", "dew"}
    assert (blank.across, blank.up) == (pytest.approx(cycle.across), pytest.approx(cycle.up))
    assert [path for name, path in blank.parts] == [path for name, path in cycle.parts if name in ("bubble", "dew")]
    [to_fill_in] = [table for table in answer.tables if table.is_printed]
    assert [any(cell.strip() for cell in row[1:]) for row in to_fill_in.cells()] == [False, False, False]
    assert "cycles" not in {table.key for table in answer.tables}
    assert set(answer.frame()["line"]) == {"bubble", "dew"}
    assert any("200 kJ/kg for saturated liquid at 0 °C" in text for *_, text in blank.texts)


def figures_on(pdf: bytes) -> set[tuple[str, float, float]]:
    """Whole numbers of a page, each with the lower left corner of its text [pt]."""
    document = pypdfium2.PdfDocument(pdf)
    reader = document[0].get_textpage()
    rects = [reader.get_rect(i) for i in range(reader.count_rects())]
    texts = [(reader.get_text_bounded(*rect).strip(), round(rect[0], 1), round(rect[1], 1)) for rect in rects]
    document.close()
    return {own for own in texts if own[0].isdigit()}


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize(
    ("name", "asked"), [("R448A", SYSTEM), ("R290", SYSTEM), ("R448A", {}), ("R448A", {**VALVE, "kind": "superheat"})]
)
def test_a_blank_sheet_is_on_the_scale_of_the_solved_one(name, asked, paper, tmp_path):
    """One can be laid over the other."""
    found = {}
    for blank in (False, True):
        target = tmp_path / f"{blank}.pdf"
        tablegen.diagram(name, **asked, blank=blank).write(target, paper)
        found[blank] = figures_on(target.read_bytes())
    # The blank one has only the numbers of its axes.
    assert len(found[True]) >= 8
    assert found[True] <= found[False]


def test_what_is_exported_is_what_is_drawn():
    frame = tablegen.diagram("R134a", units="SI").frame()
    dew = frame[frame["line"] == "dew"]
    assert np.interp(292.8e3, dew["pressure_pa"], dew["enthalpy_j_kg"]) == pytest.approx(398.6e3, abs=100.0)
    assert set(frame["line"]) == {"bubble", "dew", "temperature", "entropy", "density", "quality"}
    # Steps are round in the reader's units.
    us = tablegen.diagram("R134a", units="IP").frame()
    fahrenheit = us[us["line"] == "temperature"]["value_si"].unique() * 1.8 - 459.67
    assert fahrenheit / 20.0 == pytest.approx(np.round(fahrenheit / 20.0))


def draws(name: str, units: str, paper: str, folder: Path, **asked: object) -> str:
    """The text of the one page of a diagram, on which no text lies on another."""
    target = folder / "diagram.pdf"
    tablegen.diagram(name, units=units, **asked).write(target, paper)
    assert problems(target.read_bytes()) == []
    [text] = page_texts(target.read_bytes())
    return " ".join(text.split())


@pytest.mark.parametrize(
    ("name", "units", "paper"),
    [("R448A", "IP", "letter"), ("R744", "SI", "a4"), ("R717", "SI", "letter"), ("R290", "IP", "a4")],
)
def test_a_chart_is_one_readable_page_with_its_cautions(name, units, paper, tmp_path):
    text = draws(name, units, paper, tmp_path)
    group = registry().records[name].safety_group
    assert f"{name} ({group})" in text and "critical point" in text
    assert ("Flammable" in text, "Toxic" in text) == (group[1] != "1", group[0] == "B")
    assert ("Inside the dome" in text) == (name == "R448A")


@pytest.mark.slow
@pytest.mark.parametrize("units", ["IP", "SI"])
@pytest.mark.parametrize("name", list(registry()))
def test_every_refrigerant_has_a_readable_chart(name, units, tmp_path):
    draws(name, units, "letter" if units == "IP" else "a4", tmp_path)
    draws(name, units, "letter" if units == "IP" else "a4", tmp_path, blank=True)


def test_cycles_of_ammonia_and_a_blend_are_readable(tmp_path):
    draws("R717", "SI", "a4", tmp_path, **SYSTEM)
    text = draws("R455A", "IP", "letter", tmp_path, **SYSTEM)
    assert "Refrigerating" in text and "Flammable" in text


@pytest.mark.parametrize("kind", ["balance", "superheat"])
def test_axes_of_a_valve_are_those_of_its_graph(kind, tmp_path):
    solved = draws("R448A", "IP", "letter", tmp_path, kind=kind, **VALVE)
    blank = draws("R448A", "IP", "letter", tmp_path, kind=kind, blank=True, **VALVE)
    curve = {"balance": "fully open", "superheat": "low head"}[kind]
    assert curve in solved and curve not in blank
    assert "20" in blank and "kBtu/h" in blank


@pytest.mark.slow
def test_files_of_a_figure_are_the_same_each_time_and_are_what_they_say(tmp_path):
    for ending in (".svg", ".png"):
        first, second = tmp_path / f"a{ending}", tmp_path / f"b{ending}"
        for target in (first, second):
            tablegen.diagram("R290", units="SI").write(target)
        assert first.read_bytes() == second.read_bytes()
    assert (tmp_path / "a.png").read_bytes().startswith(b"\x89PNG\r\n")
    svg = (tmp_path / "a.svg").read_text(encoding="utf-8")
    # Notice and cautions go with the file.
    assert "Flammable (safety group A3)" in svg and "Computed from equations of state" in svg
    # And some of them are seen: one line under the drawing, which makes it as much higher.
    answer = tablegen.diagram("R290", units="SI")
    assert answer.imprint is not None and answer.imprint.caution == (
        "A3: flammable. Licensed technicians only; follow codes and the equipment manufacturer."
    )
    high = float(re.search(r'height="([0-9.]+)pt"', svg)[1])
    [figure] = answer.figures
    bare = figure.draw(690.0, 0.5 * sum(figure.heights(690.0)))
    assert high == pytest.approx(bare.height + 2 * MARGIN + FOOT, abs=0.01)
    foot = np.asarray(Image.open(tmp_path / "a.png").convert("L"))[-round((MARGIN + FOOT) * 200 / 72) :]
    assert (foot < 128).any()


def test_ammonia_attacks_copper():
    for answer in (tablegen.diagram("R717"), tablegen.states("R717")):
        assert "Ammonia attacks copper and brass" in " ".join(answer.imprint.cautions)
    assert "B2L: flammable, toxic. Ammonia attacks copper" in tablegen.diagram("R717").imprint.caution
    assert "Ammonia" not in " ".join(tablegen.diagram("R290").imprint.cautions)


def test_an_answer_of_no_figure_or_several_is_not_written_as_one(tmp_path):
    with pytest.raises(RequestError, match=r"must end in \.pdf, \.html, \.txt, \.json or \.csv$"):
        tablegen.states("R134a").write(tmp_path / "a.svg")
    assert not (tmp_path / "a.svg").exists()


@pytest.mark.parametrize(
    ("name", "asked", "message"),
    [
        ("R448", {}, "'R448' is not a known refrigerant (did you mean R448A?)"),
        ("R448A", {"sst": "24 degF"}, "sst: only with application"),
        ("R448A", {"family": "alder"}, "family: only for the kinds 'balance' and 'superheat'"),
        ("R448A", {"kind": "superheat", "family": "alder"}, "kind: superheat needs size, load"),
        ("R448A", {"kind": "cycle"}, "it must be one of pressure-enthalpy, balance, superheat"),
        (
            "R448A",
            {**VALVE, "kind": "superheat", "family": "hazel", "size": "250"},
            "sets superheat, so there is no superheat curve",
        ),
        ("R744", SYSTEM, "just under the critical point: subcritical systems only"),
        ("R448A", {**SYSTEM, "sst": "90 degF"}, "sst: '90 degF' is not allowed"),
    ],
)
def test_what_cannot_be_drawn_is_refused_with_its_reason(name, asked, message):
    with pytest.raises(RequestError) as found:
        tablegen.diagram(name, **asked)
    assert message in str(found.value)


def test_a_head_pressure_that_is_meant_for_others_is_said_to_be():
    """135 psig is R404A's low head; R290 condenses warmer under it. With what the note says it is silent."""
    found = tablegen.diagram("R290", **SYSTEM)
    [note] = [own for own in found.notes if "To condense at" in own]
    assert re.match(
        r"Low head, 135.psig: with R290 .* at 8\d.°F, with R4.* at 6\d.°F\. To condense at 6\d.°F, R290 needs", note
    )
    [key] = re.findall(r"(low_head\.head_pressure)='", note)
    [value] = re.findall(r"='([^']*)'", note)
    set_so = tablegen.diagram("R290", **SYSTEM, overrides=[f"{key}={value}"])
    assert not any("To condense at" in own for own in set_so.notes)
    rows = set_so.frame("cycles").set_index("condition")
    theirs = tablegen.diagram("R404A", **SYSTEM).frame("cycles").set_index("condition")
    ours = PropsSI("T", "P", float(rows.loc["low_head", "head_pressure_pa"]), "Q", 0, "R290")
    reference = PropsSI("T", "P", float(theirs.loc["low_head", "head_pressure_pa"]), "Q", 0, "R404A")
    assert ours == pytest.approx(reference, abs=0.3)
    # Those of the tables share the setting.
    assert not any("To condense at" in own for own in tablegen.diagram("R448A", **SYSTEM).notes)
