"""A case of the packaged catalogue, loaded for itself alone, has the answer of the whole catalogue."""

from __future__ import annotations

import shutil

import pytest

from tablegen.answers.case import Case
from tablegen.answers.pick import pick
from tablegen.cli.main import main
from tablegen.config.case_catalogue import load_with
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import Selection
from tablegen.dataset.to_json import plain
from tablegen.errors import RequestError
from tablegen.model.inputs import Catalogue
from tablegen.model.property_store import PropertyStore
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.refrigerants import Refrigerant
from tests.demo import CATALOGUE, demo_catalogue

EVERY = [
    (name, application)
    for application in demo_catalogue().applications
    for name in (*demo_catalogue().refrigerants, *demo_catalogue().groups)
]


class Watched(PropertyStore):
    """A store that says which refrigerants it was asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: set[str] = set()

    def refrigerant(self, definition: RefrigerantDefinition) -> Refrigerant:
        self.asked.add(definition.name)
        return super().refrigerant(definition)


def test_every_sixth_case_has_the_answer_of_the_whole_catalogue():
    agree(EVERY[::6])


@pytest.mark.slow
def test_every_case_has_the_answer_of_the_whole_catalogue():
    agree(EVERY)


def agree(cases: list[tuple[str, str]]) -> None:
    """To the last bit: it is the same inputs, fewer of them."""
    assert len(cases) > 10
    for name, application in cases:
        own = load_catalogue(CATALOGUE, Selection(refrigerant=name, application=application))
        assert list(own.applications) == [application]
        sst_k = float(own.applications[application].sst_k.mean())
        for load_w in (2e3, 6e3, 20e3):
            case = Case(name, sst_k, load_w, application)
            assert said(own, case) == said(demo_catalogue(), case), case


def said(catalogue: Catalogue, case: Case) -> object:
    """The answer, or why there is none."""
    try:
        return plain(pick(catalogue, case))
    except RequestError as error:
        return str(error)


def test_only_what_the_case_asks_for_is_read_and_computed():
    store = Watched()
    catalogue = load_catalogue(CATALOGUE, Selection(refrigerant="R448A", application="walk_in_medium"), store)
    # The setting of its charges is on itself; the nominal capacities of two families are on R404A.
    assert store.asked == {"R448A", "R404A"}
    assert set(catalogue.refrigerants) == {"R448A"}
    # Of the others' files the hashes alone, for the fingerprint is that of the whole.
    assert list(catalogue.applications) == ["walk_in_medium"]
    assert catalogue.files == demo_catalogue().files
    charges = [element for family in catalogue.families.values() for element in family.elements]
    assert {name for element in charges for name in element.refrigerants} == {"R448A"}


@pytest.mark.parametrize(
    "asked",
    [
        Selection(refrigerant="R22"),
        Selection(refrigerant="R448A", application="walk_in"),
        Selection(refrigerant="Shop-1"),
    ],
)
def test_what_the_catalogue_does_not_know_is_told_as_by_the_whole(asked):
    catalogue = load_catalogue(CATALOGUE, asked)
    assert list(catalogue.refrigerants) == list(demo_catalogue().refrigerants)
    assert list(catalogue.applications) == list(demo_catalogue().applications)


def test_a_catalogue_of_ones_own_is_held_to_every_rule(tmp_path, monkeypatch, capsys):
    """A charge for another refrigerant that is set wrongly stops the pick, as it stops a build."""
    shutil.copytree(CATALOGUE.parent, tmp_path / "mine")
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "mine" / "families" / "alder.yaml"
    text = path.read_text(encoding="utf-8")
    place = text.index("refrigerant: R513A")
    changed = text[place:].replace("static_superheat: 4 delta", "static_superheat: 0.5 delta", 1)
    assert changed != text[place:]
    path.write_text(text[:place] + changed, encoding="utf-8")
    asked = [
        "pick",
        "R448A",
        "--sst",
        "24 degF",
        "--load",
        "20 kBtu/h",
        "--application",
        "walk_in_medium",
        "--catalogue",
        "mine/catalogue.yaml",
    ]
    assert main(asked) == 2
    told = capsys.readouterr().err
    assert main(["check", "--catalogue", "mine/catalogue.yaml"]) == 2
    assert capsys.readouterr().err == told
    assert told.startswith("mine/families/alder.yaml:")
    assert "with R513A the static superheat falls to" in told


def test_a_problem_in_an_override_is_told_alike(tmp_path):
    shutil.copytree(CATALOGUE.parent, tmp_path / "mine")
    told = []
    for path in (CATALOGUE, tmp_path / "mine" / "catalogue.yaml"):
        with pytest.raises(Exception, match="--set: ") as caught:
            load_with(path, "walk_in_medium", ["losses.lift=20 psi", "superheat.maximum=5 degF"], refrigerant="R448A")
        told.append(str(caught.value))
    assert told[0] == told[1]
    assert told[0].count("\n") == 1
