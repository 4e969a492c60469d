"""What `check` passes `build` builds: charts and handouts that would be empty are refused, empty tables are printed."""

import re
from pathlib import Path
from typing import Any

import pandas as pd
import pypdf
import pytest

from tablegen.cli.main import main
from tablegen.dataset import empty_charts
from tablegen.dataset.compute import compute_windows
from tablegen.dataset.empty_charts import _why
from tests.small import small_catalogue
from tests.worked import WORKED

MEDIUM, ALDER = "applications/walk_in_medium.yaml", "families/alder.yaml"
GROUPS = {"R404A-R507A": ["R404A", "R507A"], "R134a": ["R134a"]}
# Reasons by which every window is empty: a valve that may not bear its head, states off the compressor's description.
EMPTYING = {
    "over_differential": (ALDER, "allowed_differential: 350 psi", "allowed_differential: 10 psi"),
    "compressor_map": (MEDIUM, "clearance: 4 percent", "clearance: 100 percent"),
    "flashing": (MEDIUM, "liquid_line: 5 psi", "liquid_line: 200 psi"),
}


def catalogue(folder: Path, publication: str, *edits: tuple[str, str, str]) -> Path:
    """Alder alone in one application, with one publication printed once."""
    path = small_catalogue(
        folder / "c", ["alder"], GROUPS, ["walk_in_medium"], edits, WORKED.parent, f"publications: [{publication}]\n"
    )
    path.write_text(
        re.sub(r"(?m)^(confidence|part_numbers): .*\n", "", path.read_text(encoding="utf-8")), encoding="utf-8"
    )
    own = path.parent / "publications" / f"{publication}.yaml"
    text = own.read_text(encoding="utf-8").split("\nleave_out:")[0]
    text = re.sub(r"prints:\n(  - .*\n)+", "prints:\n  - {paper: letter, units: IP}\n", text)
    text = re.sub(r"(?m)^groups: .*$", "groups: [R404A-R507A, R134a]", text)
    text = re.sub(r"(?m)^group: .*$", "group: R404A-R507A", text)
    own.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("command", ["check", "build"])
@pytest.mark.parametrize("reason", EMPTYING)
def test_a_chart_whose_every_cell_is_empty_is_refused_by_line(command, reason, tmp_path, monkeypatch, capsys):
    path = catalogue(tmp_path, "counter", EMPTYING[reason])
    monkeypatch.chdir(tmp_path)
    assert main([command, "--catalogue", str(path)]) == 2
    err = capsys.readouterr().err.splitlines()
    text = (path.parent / "publications" / "counter.yaml").read_text(encoding="utf-8")
    line = text[: text.index("groups:")].count("\n") + 1
    assert len(err) == 2
    for shown, place, group in zip(err, ("groups[0]", "groups[1]"), GROUPS, strict=True):
        assert f"publications/counter.yaml:{line}: {place}: '{group}' is not allowed; its chart would be empty" in shown
    assert not (tmp_path / "output").exists()


def test_stock_that_covers_no_row_is_refused(tmp_path, monkeypatch, capsys):
    path = catalogue(tmp_path, "counter")
    own = path.parent / "publications" / "counter.yaml"
    own.write_text(re.sub(r"(?m)^stock: .*$", "stock: [11]", own.read_text(encoding="utf-8")), encoding="utf-8")
    # Windows that hardly open: no row of the chart lies within one.
    narrow = path.parent / ALDER
    text = narrow.read_text(encoding="utf-8").replace("minimum_stable: 25 percent", "minimum_stable: 97 percent")
    narrow.write_text(text, encoding="utf-8")
    assert main(["check", "--catalogue", str(path)]) == 2
    assert "'R404A-R507A' is not allowed; its chart would be empty: " in capsys.readouterr().err


def test_a_handout_without_an_open_window_is_refused(tmp_path, capsys):
    path = catalogue(tmp_path, "handout", EMPTYING["over_differential"])
    assert main(["check", "--catalogue", str(path)]) == 2
    err = capsys.readouterr().err
    assert "publications/handout.yaml:" in err
    assert ": group: 'R404A-R507A' is not allowed; the handout would have nothing to teach: every window is" in err


def test_a_handout_without_a_window_for_its_example_is_refused(tmp_path, capsys):
    """Windows are open at other temperatures, but what the handout teaches with is the example."""
    rows = "{minimum: 10 degF, maximum: 40 degF, step: 2 delta_degF}\n"
    cold = (MEDIUM, rows, "{minimum: -40 degF, maximum: 40 degF, step: 2 delta_degF}\n")
    path = catalogue(tmp_path, "handout", cold, (MEDIUM, "example_sst: 24 degF", "example_sst: -40 degF"))
    assert main(["check", "--catalogue", str(path)]) == 2
    err = capsys.readouterr().err
    assert ": group: 'R404A-R507A' is not allowed; the handout would have nothing to teach: its example, size" in err
    assert (
        "-40.0 degF (-40.0 degC) (walk_in_medium: suction.example_sst), has no window, because the evaporating" in err
    )
    assert err.count("\n") == 1


@pytest.mark.slow
def test_a_booklet_of_empty_tables_says_why(tmp_path, capsys):
    """Nothing of these states can be computed, which was once a nan that could not be printed."""
    path = catalogue(tmp_path, "booklet", EMPTYING["compressor_map"])
    assert main(["check", "--catalogue", str(path)]) == 0
    assert main(["build", "--catalogue", str(path), "--output", str(tmp_path / "out"), "--workers", "1"]) == 0
    text = "\n".join(page.extract_text() for page in pypdf.PdfReader(tmp_path / "out" / "demo" / "booklet.pdf").pages)
    assert "outside the range of the compressor data" in " ".join(text.split())
    # The liquid on the axis of heads is a dash.
    assert "nan" not in text.lower().split()
    assert not re.search(r"\bnan\b", text)


def test_windows_that_are_narrower_than_a_row_are_said_to_be_with_what_sets_them():
    windows = pd.DataFrame(
        {"min_load_w": [100.0, 100.0], "max_load_w": [129.0, 110.0], "max_reason": ["superheat"] * 2}
    )
    why = _why(windows)
    assert "the maximum load of the widest window is only 1.29 times its minimum load" in why
    assert "because at maximum superheat the valve opens no further" in why


def test_what_charts_show_is_computed_again_only_where_a_limit_may_have_changed(tmp_path, monkeypatch):
    computed = []

    def compute(*args: Any, **named: Any) -> Any:
        computed.append(args)
        return compute_windows(*args, **named)

    monkeypatch.setattr(empty_charts, "compute_windows", compute)
    monkeypatch.setenv("TABLEGEN_CACHE", str(tmp_path / "cache"))
    path = catalogue(tmp_path, "counter")
    for file, old, new, count in (
        (path, "revision: A", "revision: A", 1),
        (path, "revision: A", "revision: B", 1),
        (path.parent / ALDER, "16.0 L/h", "16.1 L/h", 2),
        (path.parent / ALDER, "16.1 L/h", "16.0 L/h", 2),
        (path.parent / MEDIUM, "liquid_line: 5 psi", "liquid_line: 6 psi", 3),
    ):
        text = file.read_text(encoding="utf-8")
        assert old in text
        file.write_text(text.replace(old, new), encoding="utf-8")
        assert main(["check", "--catalogue", str(path)]) == 0
        assert len(computed) == count
