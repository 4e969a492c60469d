"""Tolerances beside measured values: read, checked by their rules, carried into the inputs."""

from __future__ import annotations

from pathlib import Path

import pytest
from scipy import stats

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tests.worked import copy_of_worked

ROOT = Path(__file__).resolve().parents[2]
SIZE = "{size: 45, kv: 45.0 L/h}"
GIVEN = "{plus_minus: 0.3 L/h, confidence: 95 percent, source: A bench}"
LARCH = "pressure_recovery: 90 percent"


@pytest.fixture
def configs(tmp_path, monkeypatch) -> Path:
    copy_of_worked(tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    return Path("configs")


def change(configs: Path, family: str, *pairs: tuple[str, str]) -> None:
    path = configs / "families" / f"{family}.yaml"
    text = path.read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8")


def test_every_tolerance_becomes_a_standard_deviation_in_si(configs):
    change(
        configs,
        "alder",
        (SIZE, SIZE[:-1] + f", kv_tolerance: {GIVEN}}}"),
        (
            "unbalance: 0.2 percent",
            "unbalance: 0.2 percent\n  unbalance_tolerance: {standard_deviation: 0.05 percent, source: S}",
        ),
        (
            "static_superheat: 3 delta_degF",
            "static_superheat: 3 delta_degF\n      static_superheat_tolerance: "
            "{plus_minus: 0.18 delta_degF, confidence: 90 percent, source: S}",
        ),
        (
            "opening_superheat: 4 delta_degF",
            "opening_superheat: 4 delta_degF\n      opening_superheat_tolerance: "
            "{standard_deviation: 0.1 K, source: S}",
        ),
    )
    one_percent = "{standard_deviation: 1 percent, source: S}"
    change(configs, "larch", (LARCH, f"{LARCH}\npressure_recovery_tolerance: {one_percent}"))
    families = load_catalogue(configs / "catalogue.yaml").families
    alder = families["alder"]
    size = next(s for s in alder.sizes if s.name == "45")
    assert size.kv_tolerance is not None and size.kv_tolerance.source == "A bench"
    assert size.kv_tolerance.standard_deviation == pytest.approx(0.3e-3 / stats.norm.ppf(0.975))
    assert [s.kv_tolerance for s in alder.sizes if s.name != "45"] == [None] * 8
    assert alder.unbalance_tolerance is not None
    assert alder.unbalance_tolerance.standard_deviation == pytest.approx(0.0005)
    element = alder.elements[0]
    assert element.static_superheat_tolerance is not None and element.opening_superheat_tolerance is not None
    assert element.static_superheat_tolerance.standard_deviation == pytest.approx(0.1 / stats.norm.ppf(0.95))
    assert element.opening_superheat_tolerance.standard_deviation == pytest.approx(0.1)
    assert alder.elements[1].static_superheat_tolerance is None
    recovery = families["larch"].pressure_recovery_tolerance
    assert recovery is not None and recovery.standard_deviation == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("family", "old", "new", "key", "part"),
    [
        (
            "alder",
            GIVEN,
            "{plus_minus: 0.3 L/h, source: S}",
            "sizes[4].kv_tolerance.confidence",
            "required with plus_minus",
        ),
        (
            "alder",
            GIVEN,
            "{standard_deviation: 0.3 L/h, confidence: 95 percent, source: S}",
            "sizes[4].kv_tolerance.confidence",
            "and allowed only with it",
        ),
        ("alder", GIVEN, "{source: S}", "sizes[4].kv_tolerance", "keys is required: plus_minus, standard_deviation"),
        (
            "alder",
            GIVEN,
            "{plus_minus: 0.3 L/h, standard_deviation: 0.3 L/h, confidence: 95 percent, source: S}",
            "sizes[4].kv_tolerance",
            "exactly one of",
        ),
        (
            "alder",
            GIVEN,
            "{plus_minus: 0.3 K, confidence: 95 percent, source: S}",
            "sizes[4].kv_tolerance.plus_minus",
            "a flow coefficient takes one of the units",
        ),
        (
            "alder",
            GIVEN,
            "{plus_minus: 0.3 L/h, confidence: 100 percent, source: S}",
            "sizes[4].kv_tolerance.confidence",
            "at least 50 and below 100 percent",
        ),
        (
            "alder",
            GIVEN,
            "{plus_minus: 0 L/h, confidence: 95 percent, source: S}",
            "sizes[4].kv_tolerance.plus_minus",
            "no measured value is exact",
        ),
        ("alder", GIVEN, "{plus_minus: 0.3 L/h, confidence: 95 percent}", "sizes[4].kv_tolerance.source", "is missing"),
        (
            "alder",
            GIVEN,
            "{plus_minus: 0.3 L/h, confidence: 95 percent, sorce: S}",
            "sizes[4].kv_tolerance.sorce",
            "did you mean source?",
        ),
        (
            "rowan",
            'size: "1.6"',
            'size: "1.6", kv_tolerance: ' + GIVEN,
            "sizes[0].kv_tolerance",
            "it is the tolerance of kv, which is not given",
        ),
        (
            "alder",
            "flow_law: orifice",
            "flow_law: orifice\npressure_recovery_tolerance: {standard_deviation: 1 percent, source: S}",
            "pressure_recovery_tolerance",
            "pressure_recovery, which is not given",
        ),
    ],
)
def test_problem_in_a_tolerance_is_reported_at_its_key(family, old, new, key, part, configs, capsys):
    if old == GIVEN:
        change(configs, family, (SIZE, SIZE[:-1] + f", kv_tolerance: {GIVEN}}}"))
    change(configs, family, (old, new))
    assert main(["check", "--catalogue", str(configs / "catalogue.yaml")]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert any(f": {key}: " in line and part in line for line in lines)
