"""A case that is loaded alone has the answer, and the errors, of the whole catalogue."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from tablegen.answers.case import Case
from tablegen.answers.in_print import in_print
from tablegen.answers.pick import pick
from tablegen.cli.main import main
from tablegen.config.case_catalogue import load_with
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import Override, Selection, override_document
from tablegen.dataset.manifest import plain
from tablegen.errors import ConfigError, RequestError
from tablegen.model.inputs import Catalogue
from tablegen.model.property_store import PropertyStore
from tablegen.physics.definition import RefrigerantDefinition
from tablegen.physics.refrigerants import Refrigerant
from tests.demo import CATALOGUE, demo_catalogue
from tests.properties.test_one_offer import APPLICATIONS, OVERRIDES, sound

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


@pytest.mark.slow
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
        assert answers(own, name, application) == answers(demo_catalogue(), name, application), (name, application)


def answers(catalogue: Catalogue, name: str, application: str) -> list[object]:
    """The answers for some loads in the middle of an application's grid, or why there are none."""
    found: list[object] = []
    for load_w in (2e3, 6e3, 20e3):
        sst_k = float(catalogue.applications[application].sst_k.mean())
        try:
            case = Case(name, sst_k, load_w, application)
            found.append(plain(pick(catalogue, case)))
            found += [in_print(catalogue, case, family, "SI", False) for family in catalogue.families]
        except RequestError as error:
            found.append(str(error))
    return found


def selected_agrees(folder: Path, seed: int) -> None:
    """Every case of a random catalogue, as its files are and with an override, loaded alone and as a whole."""
    chance = random.Random(seed)
    path, whole = sound(folder, chance)
    for application in APPLICATIONS:
        override = Override(application, override_document([chance.choice(OVERRIDES)]))
        changed = load_catalogue(path, Selection(override=override))
        for name in (*whole.refrigerants, *whole.groups):
            own = load_catalogue(path, Selection(refrigerant=name, application=application))
            assert answers(own, name, application) == answers(whole, name, application), (seed, name, application)
            assert own.files == whole.files
            assert own.left_out == whole.left_out
            other = load_catalogue(path, Selection(refrigerant=name, application=application, override=override))
            assert answers(other, name, application) == answers(changed, name, application), (seed, name, application)


@pytest.mark.parametrize("seed", range(1))
def test_a_case_loaded_alone_has_the_answer_of_the_whole_catalogue(seed, tmp_path):
    selected_agrees(tmp_path, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 30))
def test_a_case_loaded_alone_has_the_answer_of_the_whole_catalogue_in_more_catalogues(seed, tmp_path):
    selected_agrees(tmp_path, seed)


BROKEN = [
    ("catalogue.yaml", "families: [alder", "families: [aldar"),
    ("catalogue.yaml", "group: R407C\n", "group: R407\n"),
    ("catalogue.yaml", "revisions:\n", "  - {group: R134a, application: walk_in_low, why: Twice.}\nrevisions:\n"),
    ("groups.yaml", "members: [R404A, R507A]", "members: [R404A, R507B]"),
    ("groups.yaml", "members: [R513A]", "members: [R513A, R290]"),
    ("families/alder.yaml", "working_pressure: 450 psi_gauge", "working_pressure: 150 psi_gauge"),
    ("families/alder.yaml", "approved: {safety_groups: [A1, A2L]}", "approved: {safety_groups: [A2L]}"),
    ("families/rowan.yaml", "name: Rowan", "name: Alder"),
    ("applications/walk_in_medium.yaml", "head_pressure: 135 psi_gauge", "head_pressure: 335 psi_gauge"),
    ("applications/walk_in_medium.yaml", "  R513A:\n", "  R513B:\n"),
    ("refrigerants/R448A.yaml", "R32: 26 percent", "R32: 25 percent"),
    ("part_numbers.csv", "71-0101,Alder,", "71-0101,Aldr,"),
]


@pytest.mark.parametrize(("file", "old", "new"), BROKEN, ids=[f"{file}: {new.strip()}" for file, _, new in BROKEN])
def test_what_is_wrong_with_a_case_is_reported_as_for_the_whole_catalogue(file, old, new, tmp_path):
    folder = shutil.copytree(CATALOGUE.parent, tmp_path / "mine")
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    found = []
    for selection in (Selection(), Selection(refrigerant="R448A", application="walk_in_medium")):
        with pytest.raises(ConfigError) as caught:
            load_catalogue(folder / "catalogue.yaml", selection)
        found.append({(problem.file, problem.line, problem.key) for problem in caught.value.problems})
    assert found[1] <= found[0]


def test_only_what_the_case_asks_for_is_read_and_computed():
    store = Watched()
    catalogue = load_catalogue(CATALOGUE, Selection(refrigerant="R448A", application="walk_in_medium"), store)
    # The setting of its charges is on itself; the nominal capacities of families are on R404A and R744.
    assert store.asked == {"R448A", *(family.rating.refrigerant.name for family in catalogue.families.values())}
    assert len(store.asked) < len(demo_catalogue().refrigerants)
    assert set(catalogue.refrigerants) == {"R448A"}
    # Of the others' files the hashes alone, for the fingerprint is that of the whole.
    assert list(catalogue.applications) == ["walk_in_medium"]
    assert catalogue.files == demo_catalogue().files
    charges = [element for name in ("alder", "rowan") for element in catalogue.families[name].elements]
    assert {element.name for element in charges} == {"cross-448-medium", "cross-448-low"}


@pytest.mark.parametrize(
    "asked",
    [
        Selection(refrigerant="R22"),
        Selection(refrigerant="R448A", application="walk_in"),
        Selection(refrigerant="Shop-1"),
    ],
)
def test_what_the_catalogue_does_not_list_is_refused_as_by_the_whole(asked):
    catalogue = load_catalogue(CATALOGUE, asked)
    assert list(catalogue.refrigerants) == list(demo_catalogue().refrigerants)
    assert list(catalogue.applications) == list(demo_catalogue().applications)


def test_a_catalogue_of_ones_own_is_checked_by_every_rule(tmp_path, monkeypatch, capsys):
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
    shown = capsys.readouterr().err
    assert main(["check", "--catalogue", "mine/catalogue.yaml"]) == 2
    assert capsys.readouterr().err == shown
    assert shown.startswith("mine/families/alder.yaml:")
    assert "with R513A the static superheat falls to" in shown


def test_a_problem_in_an_override_has_the_same_message(tmp_path):
    shutil.copytree(CATALOGUE.parent, tmp_path / "mine")
    shown = []
    for path in (CATALOGUE, tmp_path / "mine" / "catalogue.yaml"):
        with pytest.raises(Exception, match="overrides: ") as caught:
            load_with(path, "walk_in_medium", ["losses.lift=20 psi", "superheat.maximum=5 degF"], refrigerant="R448A")
        shown.append(str(caught.value))
    assert shown[0] == shown[1]
    assert shown[0].count("\n") == 1
