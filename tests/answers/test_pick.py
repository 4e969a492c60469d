"""Picks against the tables of the demo, against a scan of every load by the valve itself, and beyond the tables."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import numpy as np
import pytest

from tablegen.answers.case import Case
from tablegen.answers.pick import Candidate, Picked, pick
from tablegen.cli.main import main
from tablegen.errors import RequestError
from tablegen.model.solving import law_of, solve
from tablegen.physics.operating import Zone, operating_point
from tablegen.physics.system import Side
from tablegen.wording import terms
from tests.demo import CATALOGUE, demo_catalogue, demo_data
from tests.us_units import W_PER_KBTU
from tests.worked import copy_of_worked, worked_catalogue

KELVIN_24F = (24.0 + 459.67) / 1.8
KEYS = ["refrigerant", "application", "sst_k"]


def of(refrigerant: str, kbtu_h: float, application: str = "walk_in_medium", sst_k: float = KELVIN_24F) -> Picked:
    return pick(demo_catalogue(), Case(refrigerant, sst_k, kbtu_h * W_PER_KBTU, application))


def agree(candidate: Candidate, row) -> None:
    if math.isnan(row["max_load_w"]):
        assert candidate.verdict == "no_window"
        assert candidate.maximum.reason == row["max_reason"]
        return
    # The data set carries twelve figures, of suction temperatures too.
    assert candidate.minimum.load_w == pytest.approx(row["min_load_w"], rel=1e-9)
    assert candidate.maximum.load_w == pytest.approx(row["max_load_w"], rel=1e-9)
    assert (candidate.minimum.reason, candidate.maximum.reason) == (row["min_reason"], row["max_reason"])
    assert (candidate.minimum.condition, candidate.maximum.condition) == (row["min_condition"], row["max_condition"])


def agree_with_windows(every: int) -> int:
    checked = 0
    for number, (keys, rows) in enumerate(demo_data().windows.groupby(KEYS, sort=False)):
        if number % every:
            continue
        refrigerant, application, sst_k = keys
        by = {(c.family, c.size): c for c in of(refrigerant, 10.0, application, sst_k).candidates}
        for _, row in rows.iterrows():
            agree(by[row["family"], row["size"]], row)
            checked += 1
    return checked


def test_a_pick_is_the_cell_of_the_table():
    assert agree_with_windows(every=9) > 1000


@pytest.mark.slow
def test_a_pick_is_the_cell_of_the_table_in_every_cell():
    assert agree_with_windows(every=1) == len(demo_data().windows)


def test_a_group_is_picked_for_by_the_common_part_of_its_members():
    grouped = demo_data().group_windows
    checked = 0
    for keys, rows in list(grouped.groupby(["group", "application", "sst_k"], sort=False))[::17]:
        group, application, sst_k = keys
        by = {(c.family, c.size): c for c in of(group, 10.0, application, sst_k).candidates}
        for _, row in rows.iterrows():
            candidate = by[row["family"], row["size"]]
            agree(candidate, row)
            if not math.isnan(row["max_load_w"]):
                assert (candidate.minimum.member, candidate.maximum.member) == (row["min_member"], row["max_member"])
            checked += 1
    assert checked > 100


def scan(
    refrigerant: str, application_name: str, sst_index: int, loads_w: np.ndarray
) -> dict[tuple[str, str], np.ndarray]:
    """Which loads each size passes without hunting at every head: the valve's own opening against its limits there."""
    catalogue = demo_catalogue()
    application = catalogue.applications[application_name]
    own = demo_data().windows
    offered = own[(own["refrigerant"] == refrigerant) & (own["application"] == application_name)]["family"].unique()
    families = [catalogue.families[name] for name in offered]
    solved = solve(catalogue.refrigerants[refrigerant], application, [law_of(f) for f in families])
    limits = application.systems[refrigerant].superheat
    found = {}
    for family in families:
        valve = family.valve(
            family.element_for(refrigerant, application.temperature_range), application.site_pressure_pa
        )
        required_kvs = solved.required_kvs[law_of(family).key]
        for size in family.sizes:
            holds = np.ones(len(loads_w), dtype=bool)
            for index, item in enumerate(solved.states):
                for j, load in enumerate(loads_w):
                    per_kv = np.full(required_kvs[index].shape, load / size.kv_rated_m3h)
                    opened = solved.opened_at(item.condition, valve, law_of(family))
                    point = operating_point(valve, item, required_kvs[index], per_kv, limits, opened)
                    zone = point.zone[sst_index]
                    # A state of less flow or more subcooling bears on one end of the window alone.
                    holds[j] &= zone != Zone.NOT_WORKING
                    holds[j] &= not (item.side.serves_max and zone == Zone.STARVED)
                    holds[j] &= not (item.side != Side.MAX and zone in (Zone.HUNTS, Zone.FLOODING))
            found[family.name, size.name] = holds
    return found


def test_a_thousand_random_picks_agree_with_a_scan_of_the_valve():
    """Steady at every head is what a window promises; the scan knows nothing of windows."""
    random = np.random.default_rng(6)
    parts = demo_data().windows[["refrigerant", "application"]].drop_duplicates().to_numpy().tolist()
    asked = fitted = 0
    while asked < 1000:
        refrigerant, application_name = parts[int(random.integers(len(parts)))]
        application = demo_catalogue().applications[application_name]
        index = int(random.integers(len(application.sst_k)))
        loads = np.exp(random.uniform(np.log(0.5), np.log(100.0), 5)) * W_PER_KBTU
        steady = scan(refrigerant, application_name, index, loads)
        for j, load in enumerate(loads):
            picked = pick(
                demo_catalogue(), Case(refrigerant, float(application.sst_k[index]), float(load), application_name)
            )
            fits = {(c.family, c.size) for c in picked.fitting}
            assert fits == {key for key, holds in steady.items() if holds[j]}, (
                refrigerant,
                application_name,
                index,
                load,
            )
            asked += len(picked.candidates)
            fitted += len(fits)
    assert 0.05 < fitted / asked < 0.6


def test_the_recommendation_has_the_max_smaller_margin():
    picked = of("R448A", 20.0)
    margins = {
        (c.family, c.size): min(20.0 * W_PER_KBTU / c.minimum.load_w, c.maximum.load_w / (20.0 * W_PER_KBTU))
        for c in picked.candidates
    }
    best = max(margins, key=margins.__getitem__)
    assert (picked.first.family, picked.first.size) == best
    assert [c.margin for c in picked.fitting] == sorted((m for m in margins.values() if m >= 1.0), reverse=True)
    assert picked.tied == (picked.first,)
    for candidate in picked.fitting:
        assert 0.0 <= candidate.position <= 1.0
        assert {h.condition for h in candidate.heads} == {"low_head", "rating", "high_head"}
        assert all(h.zone == "steady" for h in candidate.heads)


def test_equal_valves_tie_and_are_all_named():
    import dataclasses

    catalogue = demo_catalogue()
    alder = catalogue.families["alder"]
    twin = dataclasses.replace(alder, name="twin")
    own = [c for c in catalogue.combinations if c.family == "alder"]
    of_twin = [dataclasses.replace(c, family="twin") for c in own]
    both = dataclasses.replace(catalogue, families={"alder": alder, "twin": twin}, combinations=(*own, *of_twin))
    case = Case("R448A", KELVIN_24F, 20.0 * W_PER_KBTU, "walk_in_medium")
    size = pick(catalogue, case, "alder").first.size
    assert [(c.family, c.size) for c in pick(both, case).tied] == [("alder", size), ("twin", size)]


def test_neighbors_say_what_stops_them():
    case = Case("R448A", KELVIN_24F, 20.0 * W_PER_KBTU, "walk_in_medium")
    small, large = pick(worked_catalogue(), case).neighbors("alder")
    assert (small.size, large.size) == ("45", "180")
    assert (small.maximum.condition, small.maximum.reason) == ("low_head", "stop")
    # Against the valve itself: the load drives it beyond its stop there, and below its minimum stable opening.
    assert next(h for h in small.heads if h.condition == "low_head").zone == "starved"
    assert next(h for h in large.heads if h.condition == "high_head").zone == "hunts"


def test_between_two_rows_the_answer_lies_between_theirs():
    for size in ("32", "63", "125"):
        ends = []
        for sst_k in (KELVIN_24F, KELVIN_24F + 0.5 / 0.9, KELVIN_24F + 1.0 / 0.9):
            candidates = of("R404A", 10.0, sst_k=sst_k).candidates
            ends.append(next(c for c in candidates if (c.family, c.size) == ("alder", size)))
        for limit in ("minimum", "maximum"):
            low, middle, high = (getattr(c, limit).load_w for c in ends)
            assert min(low, high) <= middle <= max(low, high)


@pytest.mark.parametrize(
    ("case", "message"),
    [
        (Case("R448", 270.0, 1e3, "walk_in_medium"), "did you mean R448A?"),
        (Case("R448A", 270.0, 1e3, "walk_in_medum"), "did you mean walk_in_medium?"),
        (Case("R448A", 270.0, 0.0, "walk_in_medium"), "must be above zero"),
        (Case("R448A", 270.0, math.nan, "walk_in_medium"), "must be above zero"),
    ],
)
def test_what_is_not_in_the_catalogue_is_reported(case, message):
    with pytest.raises(RequestError, match=message.replace("?", r"\?")):
        pick(demo_catalogue(), case)


def run(capsys, *arguments: str) -> tuple[int, str, str]:
    where = [] if "--application" in arguments else ["--application", "walk_in_medium"]
    code = main(["pick", *arguments, *where, "--catalogue", str(CATALOGUE)])
    out, err = capsys.readouterr()
    return code, out, err


def test_the_command_answers_in_words(capsys):
    code, out, err = run(capsys, "R448A", "--sst", "24 degF", "--load", "20 kBtu/h")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "R448A at SST 24 °F (dew), 20.0 kBtu/h"
    assert re.search(r"(?m)^Application +Walk-in cooler, floating head pressure$", out)
    picked = of("R448A", 20.0)
    size = next(c.size for c in picked.fitting if c.family == "alder")
    row = next(line.split() for line in lines if line.startswith(f"Alder   {size} "))
    window = demo_data().windows
    own = window[(window["refrigerant"] == "R448A") & (window["application"] == "walk_in_medium")]
    own = own[(own["family"] == "alder") & (own["size"] == size) & ((own["sst_k"] - KELVIN_24F).abs() < 1e-6)].iloc[0]
    # Three figures, the minimum rounded up and the maximum down.
    low, high = (float(word) for word in row[2].split("–"))
    assert (
        1.0 <= low / (own["min_load_w"] / W_PER_KBTU) < 1.01 and 0.99 < high / (own["max_load_w"] / W_PER_KBTU) <= 1.0
    )
    assert f"First choice: {demo_data().catalogue.valve_name(picked.first.family, picked.first.size)}, " in out
    small = picked.neighbors("alder")[0]
    # Its line may be folded.
    near = " ".join(out.split()).partition(f"Alder {small.size} too small up to ")[2]
    assert terms.reason(small.maximum.reason) in near.partition(" Alder ")[0]
    assert "not for the selection of real equipment" in out and "licensed technicians" in out


def test_json_is_the_whole_answer_in_si(capsys):
    code, out, _ = run(capsys, "R404A", "--sst", "-5 degC", "--load", "5 kW", "--json")
    record = json.loads(out)
    assert code == 0
    facts, tables = record["facts"], record["tables"]
    assert facts["load_w"] == 5000.0 and facts["sst_k"] == pytest.approx(268.15)
    best = tables["fitting"][0]
    assert (facts["first_family"], facts["first_size"]) == (best["family"], best["size"])
    assert {c["verdict"] for c in tables["sizes"]} == {"fits", "too_small", "too_large"}
    picked = pick(demo_catalogue(), Case("R404A", facts["sst_k"], 5000.0, "walk_in_medium"))
    for row, candidate in zip(tables["sizes"], picked.candidates, strict=True):
        assert (row["family"], row["size"], row["margin"]) == (candidate.family, candidate.size, candidate.margin)
        assert row["min_load_w"] == candidate.minimum.load_w and row["max_reason"] == candidate.maximum.reason
        opening = candidate.heads[0].opening
        assert row["low_head_opening"] == (None if math.isnan(opening) else opening)


def test_of_one_family_no_other_is_said_not_to_cover(capsys):
    code, out, _ = run(capsys, "R404A", "--sst", "24 degF", "--load", "400 kBtu/h", "--family", "alder")
    assert code == 1 and "No Alder valve in the catalogue covers this load." in out


def test_no_valve_fits_is_an_answer_of_its_own(capsys):
    code, out, _ = run(capsys, "R404A", "--sst", "24 degF", "--load", "2000 kBtu/h")
    assert code == 1
    assert "No valve in the catalogue covers this load." in out
    assert re.search("Alder 180 +too small", out)


def test_a_charge_above_its_mop_is_reported(capsys):
    code, out, _ = run(
        capsys, "R407C", "--sst", "-2 degF", "--load", "5 kBtu/h", "--application", "walk_in_low", "--family", "alder"
    )
    assert code == 1
    assert re.search("Alder, all sizes +no load window +", out) and "above its MOP" in out


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["R448A", "--sst", "24 A", "--load", "20 kBtu/h"], "--sst: '24 A' is not allowed"),
        (["R448A", "--sst", "24 degF", "--load", "20 ton_refr"], "did you mean tons?"),
        (["R448A", "--sst", "24 degF", "--load", "13.85k"], "takes one of the units kW, W, kBtu/h, Btu/h, tons\n"),
        (["R448A", "--sst", "24 degF", "--load", "20 degF"], "--load: '20 degF' is not allowed"),
        (["R448A", "--sst", "240 degF", "--load", "20 kW"], "it must be at least -76 degF and at most 86 degF"),
        (
            ["R22", "--sst", "24 degF", "--load", "20 kW"],
            "R22 is in no group of this catalogue; a refrigerant or group must be one of",
        ),
        (["R448A", "--sst", "24 degF", "--load", "5 kW", "--family", "aldr"], "did you mean alder?"),
        (["R448A", "--sst", "24 degF", "--load", "5 kW", "--set", "lift"], "it takes KEY=VALUE"),
        (["R448A", "--sst", "24 degF", "--load", "5 kW", "--set", "losses.lift=20 psi"], "--set: losses.lift: '20"),
        (["R448A", "--sst", "24 degF", "--load", "5 kW", "--set", "losses.lfit=20 ft"], "did you mean lift?"),
    ],
)
def test_bad_input_is_one_sentence_and_code_2(arguments, message, capsys):
    code, out, err = run(capsys, *arguments)
    assert (code, out) == (2, "")
    assert message in err
    assert "Traceback" not in err


def test_overrides_are_the_same_as_another_application_file(capsys, tmp_path: Path):
    """What --set says must give what a file with these values gives, to the last figure."""
    own, other = (copy_of_worked(tmp_path / name) for name in ("own", "other"))
    path = other.parent / "applications" / "walk_in_medium.yaml"
    text = path.read_text(encoding="utf-8")
    # Another kind of head and of liquid: the keys that they exclude must go.
    for old, new in (
        (
            "  head_pressure: 135 psi_gauge\n  inlet_subcooling: 5 delta_degF\n",
            "  condensing_temperature: 70 degF\n  basis: bubble\n  liquid_temperature: 60 degF\n",
        ),
        ("lift: 0 ft", "lift: 10 ft"),
        # What is given for a case applies to the refrigerants that have values of their own as well.
        (
            "head_pressure: 75 psi_gauge",
            "condensing_temperature: 70 degF\n      basis: bubble\n      liquid_temperature: 60 degF",
        ),
        (
            "head_pressure: 80 psi_gauge",
            "condensing_temperature: 70 degF\n      basis: bubble\n      liquid_temperature: 60 degF",
        ),
    ):
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    asked = ["R448A", "--sst", "24 degF", "--load", "20 kBtu/h", "--application", "walk_in_medium", "--json"]
    assert main(["pick", *asked, "--catalogue", str(other)]) == 0
    by_file = json.loads(capsys.readouterr().out)
    sets = [
        "low_head.condensing_temperature=70 degF",
        "low_head.basis=bubble",
        "low_head.liquid_temperature=60 degF",
        "losses.lift=10 ft",
    ]
    assert main(["pick", *asked, *(word for s in sets for word in ("--set", s)), "--catalogue", str(own)]) == 0
    out = capsys.readouterr().out
    # Another file makes another catalogue of it; the answer is the same.
    found = json.loads(out)
    prints = [record["sections"]["order"]["facts"].pop("fingerprint") for record in (by_file, found)]
    assert prints[0] != prints[1]
    for record in (by_file, found):
        del record["sections"]["order"]["summary"]
        # A table is printed of what a file says; of what a case says there is none.
        assert record["sections"]["order"].pop("references")[0].startswith("Computed, not printed in a booklet (t")
        has_booklet = [
            bool(record["sections"]["order"]["facts"].pop(f"booklet_{key}")) for key in ("file", "destination")
        ]
        assert has_booklet == [record is by_file] * 2
    assert found == by_file
    assert json.loads(out) != json.loads(run(capsys, *asked)[1])


def test_an_internal_equalizer_is_refused_with_a_distributor_that_a_case_sets(capsys, tmp_path: Path):
    """In a file it is an error of the catalogue; set for one case it takes the family out of that answer alone."""
    copy_of_worked(tmp_path / "configs")
    family = tmp_path / "configs" / "families" / "rowan.yaml"
    family.write_text(family.read_text("utf-8").replace("equalizer: external", "equalizer: internal"), "utf-8")
    catalogue = tmp_path / "configs" / "catalogue.yaml"
    assert main(["check", "--catalogue", str(catalogue)]) == 2
    assert "rowan.yaml" in capsys.readouterr().err
    for path in (tmp_path / "configs" / "applications").glob("walk_in_*.yaml"):
        text = re.sub(r"distributor: \d+ psi", "distributor: 0 psi", path.read_text("utf-8"))
        path.write_text(text, "utf-8")
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
        str(catalogue),
    ]
    assert main(asked) == 0
    assert "Rowan 10 " in capsys.readouterr().out
    assert main([*asked, "--set", "losses.distributor=25 psi", "--json"]) == 0
    others = json.loads(capsys.readouterr().out)["sections"]["others"]["tables"]["others"]
    assert [(row["verdict"], row["because"]) for row in others if row["family"] == "rowan"] == [
        ("not_offered", "This system has a distributor, so the valve needs an external equalizer.")
    ]


def test_a_group_says_which_refrigerant_opening_and_superheat_are_of(capsys):
    """They differ between members: the row shows the one nearest to a limit, and names it."""
    out = run(capsys, "R448A-family", "--sst", "24 degF", "--load", "20 kBtu/h", "--family", "alder")[1]
    header, *rows = [line for line in out.splitlines() if line.startswith(("Family", "Alder "))]
    assert header.endswith("Refrigerant")
    found = of("R448A-family", 20.0)
    for candidate in (c for c in found.fitting if c.family == "alder"):
        row = next(line for line in rows if line.split()[1] == candidate.size)
        assert row.endswith(candidate.heads_member)
        alone = {c.size: c for c in of(candidate.heads_member, 20.0).candidates if c.family == "alder"}
        assert [h.superheat_k for h in candidate.heads] == [h.superheat_k for h in alone[candidate.size].heads]
    alone = run(capsys, "R448A", "--sst", "24 degF", "--load", "20 kBtu/h")[1]
    assert not next(line for line in alone.splitlines() if line.startswith("Family")).endswith("Refrigerant")
