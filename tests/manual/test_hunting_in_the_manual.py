"""What the manual says of hunting is what `hunt` answers: every figure of its section is computed again."""

import functools
import re
import shlex
from pathlib import Path

import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.physics.coil_cells import CELLS
from tablegen.report.answer import Answer
from tests.demo import demo_data
from tests.manual.test_manual import prompted
from tests.physics.test_valve_in_time import CASES, onset
from tests.us_units import W_PER_KBTU

PAGE = Path(tablegen.__file__).parent / "manual" / "teacher.md"
TEXT = " ".join(PAGE.read_text(encoding="utf-8").split())
SECTION = PAGE.read_text(encoding="utf-8").split("## Hunting to look at")[1].split("\n## ")[0]
ROWS = re.findall(r"^\| (nothing|`.*`) \| ([\d.]+) \| (\d+ %) \|$", SECTION, re.M)


@functools.cache
def answered(options: str = "") -> Answer:
    words = shlex.split(options)
    given = {name.lstrip("-").replace("-", "_"): value for name, value in zip(words[::2], words[1::2], strict=True)}
    if "box" not in given:
        given["sst"] = "24 degF"
    return tablegen.hunt("alder", "45", "R448A", application="walk_in_medium", **given)  # type: ignore[arg-type]


def limit_w(options: str = "") -> float:
    return float(answered(options).record()["limit_load_w"])  # type: ignore[arg-type]


def said(answer: Answer) -> str:
    return " ".join(str(answer).split())


def test_there_are_rows():
    assert len(ROWS) == 6


@pytest.mark.slow
@pytest.mark.parametrize(("changed", "load", "opening"), ROWS)
def test_a_row_is_what_the_command_answers(changed, load, opening):
    text = said(answered("" if changed == "nothing" else changed.strip("`")))
    assert f"It hunts below {load} kBtu/h, an opening of {opening} of the stroke" in text


@pytest.mark.slow
def test_what_the_text_concludes():
    rated, low, high = limit_w(), limit_w("--condition low_head"), limit_w("--condition high_head")
    # A slower bulb is more stable, a larger temperature difference slightly less; the rating point has the largest load.
    assert limit_w("--bulb-time-constant '120 s'") < rated < limit_w("--bulb-time-constant '30 s'")
    assert 1.0 < limit_w("--box '39 degF' --coil-difference '15 delta_degF'") / rated < 1.15
    assert high < low < rated
    at_low, at_rating = (answered(f"--load '6 kBtu/h' --condition {own}") for own in ("low_head", "rating"))
    assert _runs(at_low)[0]["opening"] > _runs(at_rating)[0]["opening"]
    assert at_low.record()["delay_s"] > at_rating.record()["delay_s"]  # type: ignore[operator]
    assert "halving the bulb's time constant raises the limit by about 70 percent" in TEXT
    assert limit_w("--bulb-time-constant '30 s'") / rated == pytest.approx(1.7, abs=0.05)
    assert "At low head, with a 15 s bulb, it hunts at every opening, and the answer says so." in TEXT
    assert "It hunts at every opening" in said(answered("--bulb-time-constant '15 s' --condition low_head"))


@pytest.mark.slow
def test_the_windows_and_stated_limits_that_the_text_names():
    own = answered()
    assert "the window of the tables is 5.28 to 11.6 kBtu/h" in TEXT
    assert "hunts below 8.96 kBtu/h in winter and below 9.57 kBtu/h at the rating point" in TEXT
    assert "a minimum stable opening, 20 % here, and a minimum stable superheat, 3 °F here" in TEXT
    text = said(own)
    assert "load window of 5.28 to 11.6" in text and "minimum opening of 20 %" in text and "superheat of 3 °F" in text
    assert (
        "It hunts below 8.96 kBtu/h" in said(answered("--condition low_head")) and "It hunts below 9.57 kBtu/h" in text
    )
    assert own.record()["stability"] == "constant"
    assert {"bulb_time_constant": 60.0}.items() <= {
        row["input"]: row["value_si"] for t in own.tables if t.key == "inputs" for row in t.records()
    }.items()


def test_the_commands_do_what_the_text_says():
    """Over six minutes, in the first command; the load of the second is steady; loads above and below the limit."""
    assert "over twenty periods of hunting, some six minutes in the first of these commands" in TEXT
    first = answered("--bulb-time-constant '120 s'")
    assert first.frame()["time_s"].max() == pytest.approx(360.0, abs=30.0)
    assert first.record()["limit_period_s"] * 20.0 == pytest.approx(360.0, abs=60.0)  # type: ignore[operator]
    loads = [row["load_w"] / limit_w("--bulb-time-constant '120 s'") for row in _runs(first)]
    assert loads == pytest.approx([1.25, 0.9])
    second = answered("--load '12 kBtu/h' --bulb-time-constant '60 s'")
    assert [row["hunts"] for row in _runs(second)] == [False]


def _runs(answer: Answer) -> list[dict[str, float]]:
    return next(table for table in answer.tables if table.key == "runs").records()  # type: ignore[return-value]


def test_what_it_says_of_the_simulation():
    assert f"cut into {CELLS} cells" in TEXT
    assert "In eleven comparisons the simulation began to hunt at openings from 6 % below to 9 % above" in TEXT
    assert len(CASES) == 11


@pytest.mark.slow
def test_the_eleven_comparisons():
    found = [onset(case) for case in CASES.values()]
    assert round(min(found), 2) == 0.94 and round(max(found), 2) == 1.09


def test_the_loop_is_shown_by_trace(capsys):
    [line] = [own for own in prompted(PAGE) if "stability.method=loop" in own]
    words = shlex.split(line)[1:]
    assert main([*words[: words.index("--catalogue")], "--demo"]) == 0
    assert "9.57–11.6" in capsys.readouterr().out


@pytest.mark.slow
def test_the_handout_is_contradicted_as_the_text_says():
    """Of the handout's own load, and of the one that its page calls steady in winter."""
    assert "at either load, in winter too" in TEXT
    for options in (
        "--load '8.17 kBtu/h'",
        "--load '8.17 kBtu/h' --condition low_head",
        "--load '4 kBtu/h' --condition low_head",
    ):
        assert [row["hunts"] for row in _runs(answered(options))] == [True]
    rows = demo_data().example
    rows = rows[
        (rows["family"] == "alder") & (rows["refrigerant"] == "R448A") & (rows["application"] == "walk_in_medium")
    ]
    assert set(rows["size"]) == {"45"} and f"{rows['load_w'].iloc[0] / W_PER_KBTU:.3g}" == "8.17"
