"""Texts that pages print are refused by file, line and key where the typeface cannot draw them."""

from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.fields import RANGES, undrawn
from tablegen.report.pdf import fonts
from tests.small import small_catalogue

# File, the line's text, the same with a character that the typeface lacks, and the key that is named.
PLACES = [
    ("catalogue.yaml", "notice: Demonstration with", "notice: Demonstration 例 with", "notice", "例' (U+4F8B)"),
    ("catalogue.yaml", "title: Expansion valves", "title: Expansion valves \N{SNOWFLAKE}", "title", "U+2744"),
    ("families/alder.yaml", "note: ", "note: \N{HEBREW LETTER ALEF} ", "note", "U+05D0"),
    (
        "families/alder.yaml",
        "flow_law_reason: ",
        "flow_law_reason: \N{THAI CHARACTER KO KAI} ",
        "flow_law_reason",
        "U+0E01",
    ),
    ("applications/walk_in_medium.yaml", "title: ", "title: \N{THERMOMETER} ", "title", "U+1F321"),
    (
        "publications/counter.yaml",
        "wholesaler: Tarnwick",
        "wholesaler: \N{ARMENIAN CAPITAL LETTER FEH}arnwick",
        "wholesaler",
        "U+0556",
    ),
    ("groups.yaml", "title: A", "title: \N{ROMAN NUMERAL TWO}A", "groups.A.title", "U+2161"),
]


@pytest.mark.parametrize(("file", "old", "new", "key", "sign"), PLACES, ids=[f"{p[0]}-{p[3]}" for p in PLACES])
def test_a_text_with_a_character_that_cannot_be_printed_is_refused_by_line(file, old, new, key, sign, tmp_path, capsys):
    path = small_catalogue(
        tmp_path / "own",
        ["alder"],
        {"A": ["R134a"]},
        ["walk_in_medium"],
        [(file, old, new)],
        more="publications: [booklet]\n",
    )
    assert main(["check", "--catalogue", str(path)]) == 2
    shown = capsys.readouterr().err
    line = next(
        i for i, text in enumerate((path.parent / file).read_text(encoding="utf-8").splitlines(), 1) if new in text
    )
    [own] = [text for text in shown.splitlines() if f"{file}:{line}:" in text]
    assert f"{key}: " in own
    assert "is not allowed; the pages cannot print '" in own and sign in own


def test_the_characters_are_those_of_the_faces():
    """On failure: put the text that is expected here into `RANGES`, broken into lines."""
    upright = [face.drawn for name, face in fonts._BUILT_IN.items() if name != fonts.ITALIC]
    shared = frozenset.intersection(*upright)
    drawn = {ord(sign) for sign in shared if sign.isprintable() or sign == "\N{NO-BREAK SPACE}"}
    ranges: list[list[int]] = []
    for point in sorted(drawn):
        if ranges and ranges[-1][1] == point - 1:
            ranges[-1][1] = point
        else:
            ranges.append([point, point])
    assert RANGES.split() == [f"{a:X}" if a == b else f"{a:X}-{b:X}" for a, b in ranges]


def test_formatter_of_the_trade_can_be_printed():
    assert undrawn("Größe 1/4″ × 3/8″ – 10 °F, ½ ton; ≥ 2 K, Δp, φ, m³/h, señal, Čerpadlo, Łódź") == ()
    assert undrawn("x\N{SNOWFLAKE}y\N{SNOWFLAKE}z例") == ("\N{SNOWFLAKE}", "例")


def test_every_text_of_the_demo_can_be_printed():
    for path in sorted((Path(__file__).resolve().parents[2] / "configs").rglob("*.yaml")):
        assert undrawn(path.read_text(encoding="utf-8").replace("\n", " ")) == (), path.name
