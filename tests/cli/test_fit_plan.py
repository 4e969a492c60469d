"""`tablegen fit --plan`: the rows that it asks for, and what it refuses."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import numpy as np
import pytest

from tablegen.bench.readings import BenchRows
from tablegen.cli.main import main
from tests.bench.demo_data import CHARGE, alder_element, alder_rows, alder_truth, as_si_csv
from tests.bench.invented import Noise, balance_plan, joined, readings
from tests.bench.test_specimens import rows_of
from tests.registry import refrigerant

HEAD = (
    "refrigerant,size,charge,inlet_pressure [psi_absolute],inlet_temperature [degF],outlet_pressure [psi_absolute],"
    "opening [percent],evaporator_pressure [psi_absolute]\n"
)


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def plan_of(capsys, *arguments: str) -> dict:
    assert main(["fit", *arguments, "--json"]) == 0
    return json.loads(capsys.readouterr().out)["sections"]["plan"]


def test_the_plan_says_what_to_measure_and_what_it_brings(capsys):
    plan = plan_of(capsys, "--demo", "--plan", "opening_superheat")
    facts, rows = plan["facts"], plan["tables"]["planned"]
    assert (facts["quantity"], facts["of"], facts["specimens"]) == ("opening_superheat", CHARGE, 0)
    assert 0.45 * facts["before"] < facts["after"] <= 0.5 * facts["before"]
    # The opening superheat is a slope over the opening: it is measured at the ends.
    assert sorted(round(row["opening"], 1) for row in rows) == [0.1, 1.1]
    # The evaporator was at 10 or 25 degF; the bulb is warmer by the superheat, from static to that at the stop.
    truth = alder_truth()
    low, high = (truth.static_superheat_k + share * truth.opening_superheat_k for share in (0.0, 1.2))
    assert all(260.9 + low < row["bulb_temperature_k"] < 269.3 + high for row in rows)
    assert main(["fit", "--demo", "--plan", "opening_superheat"]) == 0
    shown = " ".join(capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ").split())
    count = sum(row["times"] for row in rows)
    assert f"Measure {count} further rows: the bound of opening superheat of charge {CHARGE} falls from" in shown
    assert f"R404A, size 45, charge {CHARGE} at 10 % opening: inlet" in shown


@pytest.mark.slow
def test_conditions_are_those_of_a_file(capsys):
    rows = [f"R404A,45,{CHARGE},{inlet},60,100,{opening},75" for inlet in (180, 250) for opening in (20, 60, 90)]
    Path("bench.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    plan = plan_of(capsys, "--demo", "--plan", f"static_superheat {CHARGE}", "--conditions", "bench.csv")
    assert {round(row["opening"], 2) for row in plan["tables"]["planned"]} <= {0.2, 0.6, 0.9}
    flow = plan_of(capsys, "--demo", "--plan", "kv:45", "--conditions", "bench.csv")
    # Where the reading of the stroke is the smallest share of it.
    assert {round(row["opening"], 2) for row in flow["tables"]["planned"]} == {0.9}


def test_specimens_ask_for_specimens(capsys):
    Path("alder.csv").write_text(as_si_csv(rows_of(3)), encoding="utf-8")
    plan = plan_of(capsys, "alder.csv", "--demo", "--plan", "static_superheat")
    # By hand, Student's t(6) / sqrt(7) = 0.925: half of it is 0.462, t(19) / sqrt(20) = 0.468, t(20) / sqrt(21) = 0.455.
    assert plan["facts"]["specimens"] == 14 and plan["tables"]["planned"] == []


def without_openings(*, flow: bool, bulb: bool) -> str:
    """The demo's bench file of alder without the openings of some rows."""
    rows = alder_rows()
    is_bulb = np.isfinite(rows.bulb_temperature_k)
    lacks = (is_bulb & bulb) | (~is_bulb & flow)
    return as_si_csv(dataclasses.replace(rows, opening=np.where(lacks, np.nan, rows.opening)))


@pytest.mark.parametrize("parameter", ["static_superheat", "opening_superheat", "unbalance", "kv 45"])
def test_openings_that_the_fit_inferred_are_those_of_the_plan(parameter, capsys):
    Path("alder.csv").write_text(without_openings(flow=False, bulb=True), encoding="utf-8")
    plan = plan_of(capsys, "alder.csv", "--demo", "--plan", parameter)
    assert plan["facts"]["after"] <= 0.5 * plan["facts"]["before"]
    assert all(0.0 < row["opening"] <= 1.2 for row in plan["tables"]["planned"])


def test_a_kv_from_rows_without_an_opening_cannot_be_planned(capsys):
    rows = joined(
        alder_rows(),
        readings(
            alder_truth(),
            balance_plan("90"),
            Noise(),
            7,
            refrigerant("R404A"),
            alder_element().actuator.balance.charge,
            CHARGE,
        ),
    )
    is_flow = np.isnan(rows.bulb_temperature_k)
    of_90 = rows.size == "90"
    rows = dataclasses.replace(
        rows,
        opening=np.where(of_90, np.nan, rows.opening),
        flow_kg_s=np.where(of_90 | is_flow, rows.flow_kg_s, np.nan),
    )
    keep = ~is_flow
    rows = BenchRows(**{own.name: getattr(rows, own.name)[keep] for own in dataclasses.fields(rows)})
    Path("alder.csv").write_text(as_si_csv(rows), encoding="utf-8")
    assert main(["fit", "alder.csv", "--demo", "--plan", "kv 90"]) == 2
    err = capsys.readouterr().err
    assert "comes from rows without an opening" in err and err.count("\n") == 1


REFUSED = {
    "no such parameter": (("--plan", "kv 46"), "'kv 46' is not allowed; a parameter that these rows determine must be"),
    "which of them": (("--plan", "kv"), "one of kv 32, kv 45, kv 90, unbalance"),
    "off the law": (("--plan", "kv 45", "--law", "choked"), "while rows are off the law (lack of fit under drop"),
    "conditions alone": (("--conditions", "none.csv"), "--conditions: it goes with --plan"),
    "no file": (("--plan", "kv 45", "--conditions", "none.csv"), "none.csv: "),
    "none to set": (("--plan", "kv 45", "--conditions", "warm.csv"), "none of them can be set for Kv of size 45"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_planned_is_one_line(name, capsys):
    # Liquid that flashes before the valve.
    Path("warm.csv").write_text(f"{HEAD}R404A,45,{CHARGE},150,95,100,50,75\n", encoding="utf-8")
    arguments, said = REFUSED[name]
    assert main(["fit", "--demo", *arguments]) == 2
    out, err = capsys.readouterr()
    assert out == "" and said in err and err.count("\n") == 1
