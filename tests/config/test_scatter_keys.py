"""The scatter between installations: read from an application's file, refused by its line where it cannot be."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue

ROOT = Path(__file__).resolve().parents[2]
FILE = Path("configs") / "applications" / "walk_in_medium.yaml"


@pytest.fixture
def catalogue(tmp_path, monkeypatch) -> Path:
    shutil.copytree(ROOT / "configs", tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    return Path("configs") / "catalogue.yaml"


def write(old: str, new: str) -> int:
    """Put `new` for the one `old`; the line that it is on."""
    text = FILE.read_text(encoding="utf-8")
    assert text.count(old) == 1
    FILE.write_text(text.replace(old, new), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def test_every_key_becomes_a_standard_deviation_in_si(catalogue):
    write("  low_head: 3 psi\n  high_head: 1 delta_degF\n", "  low_head: 1.8 delta_degF\n  high_head: 20 kPa\n")
    write("  R134a:\n", "  R134a:\n    scatter: {distributor: 1 psi}\n")
    found = load_catalogue(catalogue).applications["walk_in_medium"].scatter
    own = found["R404A"]
    assert (own.low_head_pa, own.low_head_k) == (0.0, pytest.approx(1.0))
    assert (own.high_head_pa, own.high_head_k) == (pytest.approx(20e3), 0.0)
    assert own.inlet_subcooling_k == pytest.approx(5.0 / 9.0)
    assert (own.liquid_line_pa, own.distributor_pa) == (pytest.approx(6894.757), pytest.approx(3.0 * 6894.757))
    assert own.flow_change == pytest.approx(0.1)
    assert found["R134a"].distributor_pa == pytest.approx(6894.757)


def test_losses_and_subcooling_scatter_by_half_of_themselves_at_most(catalogue):
    """So that a case without a distributor can be asked for with one --set."""
    write("  liquid_line: 5 psi\n", "  liquid_line: 1 psi\n")
    write("  distributor: 25 psi\n", "  distributor: 0 psi\n")
    write("  inlet_subcooling: 1 delta_degF\n", "  inlet_subcooling: 8 delta_degF\n")
    application = load_catalogue(catalogue).applications["walk_in_medium"]
    own, system = application.scatter["R404A"], application.systems["R404A"]
    least_k = min(head.liquid.min_subcooling_k for head in (system.low_head, system.high_head))
    assert 0.0 < 0.5 * least_k < 8.0 * 5.0 / 9.0
    assert own.liquid_line_pa == pytest.approx(0.5 * 6894.757)
    assert own.distributor_pa == 0.0
    assert own.inlet_subcooling_k == pytest.approx(0.5 * least_k)


def test_an_application_without_scatter_has_none(catalogue):
    text = FILE.read_text(encoding="utf-8")
    start = text.index("scatter:\n")
    FILE.write_text(text[:start] + text[text.index("# What differs for some") :], encoding="utf-8")
    assert load_catalogue(catalogue).applications["walk_in_medium"].scatter == {}


@pytest.mark.parametrize(
    ("old", "new", "key", "part"),
    [
        (
            "low_head: 3 psi",
            "low_head: 3 psi_gauge",
            "low_head",
            "'3 psi_gauge' is not allowed; a difference of head pressure takes",
        ),
        ("low_head: 3 psi", "low_head: 3 degF", "low_head", "(did you mean delta_degF?)"),
        ("low_head: 3 psi", "low_head: 3", "low_head", "a difference of head pressure takes one of the units psi"),
        ("low_head: 3 psi", "low_head: -3 psi", "low_head", "must be at least 0"),
        ("low_head: 3 psi", "low_hed: 3 psi", "low_hed", "did you mean low_head?"),
        ("inlet_subcooling: 1 delta_degF", "inlet_subcooling: 1 degF", "inlet_subcooling", "did you mean delta_degF?"),
        ("liquid_line: 1 psi", "liquid_line: 1 bar_absolute", "liquid_line", "a pressure difference takes one of"),
        ("compressor_flow: 10 percent", "compressor_flow: 60 percent", "compressor_flow", "at most 50 percent"),
    ],
)
def test_problem_is_one_line_at_its_key(catalogue, capsys, old, new, key, part):
    line = write(old, new)
    assert main(["check", "--catalogue", str(catalogue)]) == 2
    shown = [text for text in capsys.readouterr().err.splitlines() if f"{FILE}:{line}: scatter.{key}: " in text]
    assert shown
    assert any(part in text for text in shown)


@pytest.mark.parametrize("key", ["share", "level"])
def test_share_and_level_of_a_confidence_have_bounds(catalogue, capsys, key):
    text = catalogue.read_text(encoding="utf-8")
    assert f"{key}: 95 percent" in text
    catalogue.write_text(text.replace(f"{key}: 95 percent", f"{key}: 40 percent"), encoding="utf-8")
    assert main(["check", "--catalogue", str(catalogue)]) == 2
    assert f": confidence.{key}: '40 percent' is not allowed; must be at least 50" in capsys.readouterr().err


def test_a_share_that_is_left_out_is_the_level(catalogue):
    text = catalogue.read_text(encoding="utf-8")
    catalogue.write_text(text.replace("share: 95 percent, level: 95 percent", "level: 90 percent"), encoding="utf-8")
    confidence = load_catalogue(catalogue).confidence
    assert confidence is not None
    assert (confidence.share, confidence.level) == (0.9, 0.9)
