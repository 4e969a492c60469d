"""`tablegen fit` with rows of a discharge coefficient: what it says, writes into the family's file and plans."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from tablegen.cli.main import main
from tablegen.config.loader import load_catalogue
from tablegen.physics.flow import FlowLaw
from tests.bench.demo_data import FOLDER, as_si_csv
from tests.bench.invented import Noise, Plan, readings
from tests.bench.valves import FLUID, truth

LIQUIDS, OUTLETS = (60.0, 80.0, 92.0, 98.6), (22.0, 60.0, 110.0, 200.0)


@pytest.fixture
def sizes(tmp_path, monkeypatch) -> dict[str, float]:
    """The demo and, beside it, rows of every size at rated stroke, and of one at several openings."""
    monkeypatch.chdir(tmp_path)
    shutil.copytree(FOLDER.parent, "configs")
    alder = load_catalogue(Path("configs/catalogue.yaml")).families["alder"]
    kv = {size.name: 1.01 * size.kv_rated_m3h for size in alder.sizes}
    openings = dict.fromkeys(kv, (1.0,)) | {"45": (0.1, 0.3, 0.6, 1.0, 1.2)}
    plan = Plan(
        [
            (size, phi, 250.0, p2, t)
            for size, phis in openings.items()
            for phi in phis
            for t in LIQUIDS
            for p2 in OUTLETS
        ]
    )
    made = replace(truth(), kv_m3h=kv, exponents=(0.06, -0.12))
    Path("alder.csv").write_text(as_si_csv(readings(made, plan, Noise(), 4, FLUID)), encoding="utf-8")
    return kv


@pytest.mark.slow
def test_the_law_is_written_with_its_range_and_read_again(sizes, capsys):
    assert main(["fit", "alder.csv", "--date", "2026-11-20", "--catalogue", "configs/catalogue.yaml", "--apply"]) == 0
    shown = " ".join(capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ").split())
    assert "describes the rows better than the two other laws" in shown
    own = load_catalogue(Path("configs/catalogue.yaml")).families["alder"]
    assert own.flow_law is FlowLaw.DISCHARGE_COEFFICIENT
    found = own.discharge
    assert found.subcooling_exponent == pytest.approx(0.06, abs=0.01)
    assert found.drop_exponent == pytest.approx(-0.12, abs=0.02)
    # From 250 psi the drops go from 50 to 228 psi: 20 to 91 % of the inlet pressure.
    assert found.drop == pytest.approx((0.20, 0.912), abs=0.005)
    for size in own.sizes:
        # Kv at the reference point of the file, from the truth's at 5 % and 50 %.
        kv = sizes[size.name] * (found.reference_subcooling / 0.05) ** 0.06 * (found.reference_drop / 0.5) ** -0.12
        assert size.kv_rated_m3h == pytest.approx(kv, rel=0.02)
    capsys.readouterr()
    assert main(["check", "--catalogue", "configs/catalogue.yaml"]) == 0
    # The rows say the same of the file that was made of them.
    assert main(["fit", "alder.csv", "--date", "2026-11-20", "--catalogue", "configs/catalogue.yaml", "--apply"]) == 0
    assert capsys.readouterr().out.endswith("not changed, because it has these values already\n")


@pytest.mark.slow
def test_a_plan_narrows_the_bound_of_an_exponent_by_rows_at_the_ends_of_its_readings(sizes, capsys):
    asked = ["fit", "alder.csv", "--catalogue", "configs/catalogue.yaml", "--plan", "drop_exponent", "--json"]
    assert main(asked) == 0
    plan = json.loads(capsys.readouterr().out)["sections"]["plan"]
    # So many rows are there already that 200 more do not quite halve it.
    assert plan["facts"]["after"] <= 0.6 * plan["facts"]["before"]
    drops = {
        round((row["inlet_pressure_pa"] - row["outlet_pressure_pa"]) / 6894.757) for row in plan["tables"]["planned"]
    }
    assert min(drops) < 55 and max(drops) > 220
