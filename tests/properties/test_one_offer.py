"""Windows, picks, the phone page, charts and Python offer the same valves, whatever a catalogue's rules are."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pandas as pd
import pytest

import tablegen
from tablegen.answers.case import Case
from tablegen.answers.convert import Stated, convert
from tablegen.answers.pick import pick
from tablegen.answers.trace import trace
from tablegen.config.case_catalogue import load_with
from tablegen.config.loader import load_catalogue
from tablegen.dataset.compute import compute
from tablegen.dataset.dataset import DataSet
from tablegen.errors import ConfigError, RequestError
from tablegen.model.inputs import Catalogue
from tablegen.model.offer import mixed_charges
from tablegen.physics.system import Basis
from tablegen.report.phone.phone_data import phone_data
from tests.small import small_catalogue

FAMILIES = ("alder", "rowan", "hazel", "larch")
APPLICATIONS = ("walk_in_medium", "walk_in_low", "walk_in_medium_line")
REFRIGERANTS = ("R404A", "R507A", "R448A", "R134a", "R454C", "R290")
APPROVALS = (
    "safety_groups: [A1]",
    "safety_groups: [A1, A2L]",
    "safety_groups: [A1, A2L, A3]",
    "refrigerants: [R404A, R507A, R290]",
)
# Settings and charges fit the heads of any refrigerant when they are condensing temperatures.
HEADS = [
    (
        "applications/walk_in_medium.yaml",
        "head_pressure: 135 psi_gauge",
        "condensing_temperature: 65 degF\n  basis: bubble",
    ),
    (
        "applications/walk_in_medium_line.yaml",
        "head_pressure: 135 psi_gauge",
        "condensing_temperature: 65 degF\n  basis: bubble",
    ),
    (
        "applications/walk_in_low.yaml",
        "head_pressure: 115 psi_gauge",
        "condensing_temperature: 55 degF\n  basis: bubble",
    ),
    ("applications/walk_in_medium.yaml", "step: 2 delta_degF", "step: 10 delta_degF"),
    ("applications/walk_in_medium.yaml", "example_sst: 24 degF", "example_sst: 20 degF"),
    ("applications/walk_in_low.yaml", "step: 2 delta_degF", "step: 10 delta_degF"),
]
OVERRIDES = ("losses.lift=15 ft", "low_head.condensing_temperature=75 degF", "superheat.maximum=9 delta_degF")
CHART = """publication: counter
kind: counter_chart
title: Which valve size
wholesaler: Invented
telephone: "555 0100"
prints: [{{paper: letter, units: IP}}]
family: {family}
application: {application}
groups: [{groups}]
stock: [{sizes}]
"""


def random_catalogue(folder: Path, chance: random.Random) -> Path:
    """The demo's families over random groups (a refrigerant may be in two), approvals and left-out rules."""
    groups = {f"G{i}": chance.sample(REFRIGERANTS, chance.randint(1, 2)) for i in range(chance.randint(2, 4))}
    families = chance.sample(FAMILIES, chance.randint(2, 4))
    rules = [f"  - {{{_rule(chance, families, list(groups))}, why: Rule {i}.}}\n" for i in range(chance.randint(1, 3))]
    edits = list(HEADS)
    approved = {"alder": "A1, A2L", "rowan": "A1, A2L", "hazel": "A1, A2L", "larch": "A1"}
    for family in ("hazel", "larch"):
        old = f"approved: {{safety_groups: [{approved[family]}]}}"
        edits.append((f"families/{family}.yaml", old, f"approved: {{{chance.choice(APPROVALS)}}}"))
    for family in ("alder", "rowan"):
        old = f"approved: {{safety_groups: [{approved[family]}]}}"
        edits.append((f"families/{family}.yaml", old, f"approved: {{{chance.choice(APPROVALS[:3])}}}"))
    more = f"leave_out:\n{''.join(rules)}"
    return small_catalogue(folder, families, groups, APPLICATIONS, edits, more=more)


def _rule(chance: random.Random, families: list[str], groups: list[str]) -> str:
    kinds = {"family": families, "group": groups, "application": list(APPLICATIONS)}
    chosen = chance.sample(sorted(kinds), chance.randint(1, 2))
    return ", ".join(f"{kind}: {chance.choice(kinds[kind])}" for kind in chosen)


def sound(folder: Path, chance: random.Random) -> tuple[Path, Catalogue]:
    """The first random catalogue that `check` calls sound: a rule may leave out nothing, or everything."""
    for attempt in range(50):
        path = random_catalogue(folder / str(attempt), chance)
        catalogue, why = loaded(path)
        if catalogue is not None and not mixed_charges(catalogue):
            return path, catalogue
        known = ("leaves out nothing", "nothing is left", "approved")
        assert catalogue is not None or any(text in why for text in known), why
    raise AssertionError("no sound catalogue in fifty")


def loaded(path: Path) -> tuple[Catalogue | None, str]:
    """A catalogue, or why it is not sound."""
    try:
        return load_catalogue(path), ""
    except ConfigError as error:
        return None, str(error)


def with_chart(path: Path, catalogue: Catalogue, chance: random.Random) -> Catalogue:
    """The catalogue with a counter chart of a table that it computes, if it has one for a chart."""
    fit = [c for c in catalogue.combinations if catalogue.families[c.family].kind != "pulse_modulated"]
    if not fit:
        return catalogue
    own = chance.choice(fit)
    sizes = ", ".join(f'"{size.name}"' for size in catalogue.families[own.family].sizes)
    text = CHART.format(family=own.family, application=own.application, groups=own.group, sizes=sizes)
    (path.parent / "publications" / "counter.yaml").write_text(text, encoding="utf-8")
    head = path.read_text(encoding="utf-8")
    path.write_text(head.replace("leave_out:", "publications: [counter]\nleave_out:"), encoding="utf-8")
    return load_catalogue(path)


def computed(data: DataSet, name: str, application: str) -> set[str]:
    """The families that have windows in the data set for a refrigerant or group."""
    by_group = name in data.catalogue.groups
    frame, column = (data.group_windows, "group") if by_group else (data.windows, "refrigerant")
    return set(frame[(frame[column] == name) & (frame["application"] == application)]["family"])


def picked(catalogue: Catalogue, case: Case) -> set[str]:
    try:
        return {c.family for c in pick(catalogue, case).candidates}
    except RequestError as error:
        return set() if "no valve is offered" in str(error) else {str(error)}


def refusal(ask: Callable[..., object], *asked: object) -> str:
    with pytest.raises(RequestError, match="offered") as caught:
        ask(*asked)
    return str(caught.value)


def agree(folder: Path, seed: int) -> None:
    chance = random.Random(seed)
    path, catalogue = sound(folder, chance)
    catalogue = with_chart(path, catalogue, chance)
    data = compute(catalogue)
    page = phone_data(data)
    refused = 0
    for application in APPLICATIONS:
        grid = catalogue.applications[application].sst_k
        for name in (*catalogue.refrigerants, *catalogue.groups):
            families = computed(data, name, application)
            case = Case(name, chance.uniform(float(grid[0]), float(grid[-1])), 5000.0, application)
            assert picked(catalogue, case) == families, (seed, name, application)
            other = load_with(path, application, [chance.choice(OVERRIDES)])
            assert picked(other, case) == families, (seed, name, application)
            offered = page["offered"][application][name]
            assert set(offered["families"]) == families, (seed, name, application)
            assert set(offered["families"]) | {f for f, _ in offered["refused"]} == set(catalogue.families)
            for family in catalogue.families:
                if family in families:
                    trace(catalogue, case, family, catalogue.families[family].sizes[0].name)
                    continue
                refused += 1
                # The page gives the reason that the command gives.
                [why] = [page["notes"][index] for own, index in offered["refused"] if own == family]
                for said in (refusal(trace, catalogue, case, family, "x"), refusal(pick, catalogue, case, family)):
                    assert why in said if families else "no valve is offered" in said, (seed, name, application, family)
            if name in catalogue.refrigerants:
                python_agrees(path, catalogue, name, application, families)
    assert refused > 0
    chart_agrees(data, catalogue, chance)


def python_agrees(path: Path, catalogue: Catalogue, name: str, application: str, families: set[str]) -> None:
    stated = Stated(
        sst_k=float(catalogue.applications[application].sst_k[0]),
        condensing_k=320.0,
        basis=Basis.BUBBLE,
        subcooling_k=5.0,
    )
    if families:
        assert set(tablegen.windows(name, application, catalogue=path)["family"]) == families
        assert convert(catalogue, name, application, stated.sst_k, stated).factor > 0.0
        return
    with pytest.raises(RequestError, match="no valve is offered"):
        tablegen.windows(name, application, catalogue=path)
    with pytest.raises(RequestError, match="no valve is offered"):
        convert(catalogue, name, application, stated.sst_k, stated)


def chart_agrees(data: DataSet, catalogue: Catalogue, chance: random.Random) -> None:
    """A size that a cell names is one that a pick finds to fit, at any row's temperature and load of the cell."""
    cells: pd.DataFrame = data.charts
    cells = cells[cells["first_size"] != ""] if len(cells) else cells
    for cell in cells.sample(min(len(cells), 12), random_state=chance.randint(0, 999)).itertuples():
        [chart] = catalogue.charts
        grid = catalogue.applications[chart.application].sst_k
        rows = [k for k in grid if cell.sst_from_k - 1e-6 <= k <= cell.sst_to_k + 1e-6]
        load = chance.uniform(cell.load_above_w * (1 + 1e-9), cell.load_upto_w)
        if not rows:
            continue
        found = pick(catalogue, Case(cell.group, chance.choice(rows), load, chart.application))
        assert (chart.family, cell.first_size) in {(c.family, c.size) for c in found.fitting}, cell


@pytest.mark.parametrize("seed", range(2))
def test_every_way_out_offers_the_same_valves(seed: int, tmp_path: Path) -> None:
    agree(tmp_path, seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2, 40))
def test_every_way_out_offers_the_same_valves_in_more_catalogues(seed: int, tmp_path: Path) -> None:
    agree(tmp_path, seed)
