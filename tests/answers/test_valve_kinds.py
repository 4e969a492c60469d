"""Valves of one kind: what is compared, what is said where none covers the load, and what is refused, in one case and in a list."""

from __future__ import annotations

import pytest

import tablegen
from tablegen.api.jobs import pick_job_file
from tablegen.cli.main import main
from tablegen.config.family_model import FAMILY_KINDS
from tablegen.model.valve_kinds import VALVE_KINDS
from tests.demo import CATALOGUE, demo_catalogue
from tests.web.desks import client

CASE = {"sst": "24 degF", "load": "20 kBtu/h", "application": "walk_in_medium", "catalogue": CATALOGUE}
AT_TERMINAL = ["pick", "R448A", "--sst", "24F", "--load", "20 kBtu/h", "--application", "walk_in_medium", "--demo"]


def test_each_kind_of_family_has_a_name():
    assert set(FAMILY_KINDS) <= VALVE_KINDS.keys()
    assert {kind for kinds in VALVE_KINDS.values() for kind in kinds} == set(FAMILY_KINDS)


@pytest.mark.parametrize(
    ("asked", "kinds"),
    [
        ("TXV", {"thermostatic"}),
        ("thermostatic valves", {"thermostatic"}),
        ("Electronic", {"stepper", "pulse_modulated"}),
        ("eev", {"stepper", "pulse_modulated"}),
        ("Stepper", {"stepper"}),
        ("pulse-modulated", {"pulse_modulated"}),
    ],
)
def test_valves_of_one_kind_are_compared_as_among_all(asked, kinds):
    every, own = tablegen.pick("R448A", **CASE), tablegen.pick("R448A", **CASE, valve_kind=asked)
    families = demo_catalogue().families
    is_of_kind = every.frame()["family"].map(lambda name: families[name].kind in kinds)
    assert own.frame().equals(every.frame()[is_of_kind].reset_index(drop=True)) and is_of_kind.any()
    assert own.record()["valve_kind"] in VALVE_KINDS and "valve_kind" not in every.record()


def test_families_of_other_kinds_are_not_listed_as_not_offered():
    shown = str(tablegen.pick("R448A", **CASE, valve_kind="TXV"))
    assert "Hazel" not in shown and "Larch" not in shown and "Valve kind" in shown


def test_where_none_of_the_kind_covers_the_load_the_kind_is_named(tmp_path):
    asked = {**CASE, "load": "60 kBtu/h"}
    assert tablegen.pick("R448A", **asked).passed
    answer = tablegen.pick("R448A", **asked, valve_kind="thermostatic")
    assert answer.summary[0] == "No thermostatic valve in the catalogue covers this load."
    stock = tmp_path / "stock.csv"
    stock.write_text("family,size\nHazel,250\n", encoding="utf-8")
    answer = tablegen.pick("R448A", **CASE, valve_kind="thermostatic", stock=stock)
    assert answer.summary[0] == "No thermostatic valve in stock covers this load."


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (["elektronic"], "'elektronic' is not allowed; a kind of valve must be one of thermostatic, electronic, "),
        (["elektronic"], "(did you mean electronic?)"),
        (["EEV", "--family", "Alder"], "the valve kind asked for is electronic, but Alder is thermostatic"),
        (["EEV", "--family", "Aldr"], "'Aldr' is not allowed; a family must be one of"),
    ],
)
def test_what_cannot_be_is_refused(more, message, capsys):
    assert main([*AT_TERMINAL, "--valve-kind", *more]) == 2
    assert message in capsys.readouterr().err


def test_where_no_valve_of_the_kind_is_offered_those_that_are_are_named():
    with pytest.raises(tablegen.RequestError, match=r"no thermostatic valve is offered for .* offered: "):
        tablegen.pick(
            "R744", sst="24F", load="20 kBtu/h", application="walk_in_r744", valve_kind="TXV", catalogue=CATALOGUE
        )


def test_a_list_of_jobs_has_a_column_for_it():
    rows = ("TXV,20", "EEV,20", ",20", "TXV,60", "tvx,20")
    text = "refrigerant,SST [degF],application,Valve type,load [kBtu/h]\n"
    text += "".join(f"R448A,24,walk_in_medium,{row}\n" for row in rows)
    answer = pick_job_file(text.encode(), "jobs.csv", catalogue=CATALOGUE)
    found = answer.frame()
    single = [tablegen.pick("R448A", **CASE, valve_kind=kind).record() for kind in ("TXV", "EEV", None)]
    assert found["family"].tolist()[:3] == [own["first_family"] for own in single]
    assert found["size"].tolist()[:3] == [own["first_size"] for own in single]
    assert found["reason"][3].startswith("No valve covers this load; the closest is Rowan 16")
    [problem] = answer.problems
    assert problem.startswith("jobs.csv:6: Valve type: 'tvx' is not allowed; a kind of valve must be one of")
    assert "(did you mean TXV?)" in problem


def test_the_desk_offers_the_kinds_that_the_catalogue_has():
    page = client().get("/pick").text
    field = page.split('name="valve_kind"')[1].split("</select>")[0]
    assert field.count("<option") == 5 and "electronic (EEV)" in field
    asked = {"refrigerant": "R448A", "load": "20", "sst": "24", "application": "walk_in_medium"}
    shown = client().get("/answer/pick", params={**asked, "valve_kind": "electronic"}).text
    assert "Hazel" in shown and "Alder" not in shown
