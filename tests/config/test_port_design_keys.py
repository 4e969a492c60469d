"""Port designs, loss of connections and model codes in a family's file: what is wrong is named by line and key."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tablegen.answers.order import OrderRequest, order_line
from tablegen.answers.pick import Candidate, Limit
from tablegen.cli.main import main
from tablegen.config._validation import validate
from tablegen.config.bench_family import bench_family
from tablegen.config.document import read_document
from tablegen.config.family_model import FAMILY_KINDS, FamilyModel
from tablegen.config.loader import load_catalogue
from tablegen.errors import ConfigError, RequestError
from tests.small import DEMO, small_catalogue

LARGE = "port_designs:\n  - {design: large, port: {unbalance: 1 percent}}\n"
SIZE = "{size: 125, kv: 125 L/h}"
NAMES_IT = "{size: 125, kv: 125 L/h, port_design: large}"
AT = "equalizer: external\n"
STEPS = "control_reserve: 15 percent\n"


def family(tmp_path: Path, name: str, edits: dict[str, str]) -> FamilyModel:
    text = (DEMO / "families" / f"{name}.yaml").read_text(encoding="utf-8")
    for old, new in edits.items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = tmp_path / f"{name}.yaml"
    path.write_text(text, encoding="utf-8")
    document = read_document(path, f"{name}.yaml")
    return validate(FAMILY_KINDS[str(document.data["kind"])], document)


WRONG = {
    "unknown design": (
        "alder",
        {SIZE: "{size: 125, kv: 125 L/h, port_design: lrge}", AT: LARGE + AT},
        ("sizes[7].port_design", "a port design of the family", "'lrge'", "large"),
    ),
    "design without a list": ("alder", {SIZE: NAMES_IT}, ("sizes[7].port_design", "a port design of the family")),
    "nobody uses it": ("alder", {AT: LARGE + AT}, ("port_designs[0].design", "no size names this port design")),
    "twice": (
        "alder",
        {SIZE: NAMES_IT, AT: f"{LARGE}  - {{design: large, allowed_differential: 20 bar}}\n{AT}"},
        ("port_designs[1].design", "listed twice"),
    ),
    "states nothing": (
        "alder",
        {SIZE: NAMES_IT, AT: f"port_designs:\n  - {{design: large}}\n{AT}"},
        ("port_designs[0].design", "states nothing"),
    ),
    "key of another kind": (
        "alder",
        {SIZE: NAMES_IT, AT: f"port_designs:\n  - {{design: large, control_reserve: 5 percent}}\n{AT}"},
        ("port_designs[0].control_reserve", "the key is not known", "opening, port"),
    ),
    "near miss of a key": (
        "alder",
        {SIZE: NAMES_IT, AT: f"port_designs:\n  - {{design: large, working_presure: 30 bar_gauge}}\n{AT}"},
        ("port_designs[0].working_presure", "did you mean working_pressure?"),
    ),
    "characteristic that falls": (
        "alder",
        {
            SIZE: NAMES_IT,
            AT: "port_designs:\n  - design: large\n    opening:\n      {stop: 110 percent, minimum_stable: 20 percent, "
            "characteristic: points, points: [[0 percent, 0 percent], [50 percent, 60 percent], [70 percent, 50 percent], "
            f"[100 percent, 100 percent], [120 percent, 110 percent]]}}\n{AT}",
        },
        ("port_designs[0].opening.points", "ascend"),
    ),
    "no travel left with the family's steps": (
        "hazel",
        {
            "{size: 63, display: C, kv: 63 L/h}": "{size: 63, display: C, kv: 63 L/h, port_design: long}",
            STEPS: f"{STEPS}port_designs:\n  - {{design: long, control_reserve: 90 percent}}\n",
        },
        ("port_designs[0].minimum_steps", "500"),
    ),
    "loss in both places": (
        "alder",
        {
            SIZE: "{size: 125, kv: 125 L/h, port_design: large, connection_loss: {kv: 1 m3/h, size_kv: with_connections}}",
            AT: "port_designs:\n  - {design: large, connection_loss: {kv: 1 m3/h, size_kv: with_connections}}\n" + AT,
        },
        ("sizes[7].connection_loss", "its port design large gives a connection_loss too"),
    ),
    "capacity without connections": (
        "rowan",
        {
            '{size: "4", capacity: 4 kW}': '{size: "4", capacity: 4 kW, connection_loss: '
            "{kv: 1 m3/h, size_kv: without_connections}}"
        },
        ("sizes[2].capacity", "a capacity is that of the valve with its connections"),
    ),
    "unknown field": (
        "alder",
        {AT: 'model_code: {pattern: "A{size}-{chrge}"}\n' + AT},
        ("model_code.pattern", "a field of a model code", "'chrge'", "did you mean charge?"),
    ),
    "open brace": (
        "alder",
        {AT: 'model_code: {pattern: "A{size"}\n' + AT},
        ("model_code.pattern", "names of fields in braces"),
    ),
    "code for an unknown value": (
        "alder",
        {AT: 'model_code: {pattern: "A{size}{charge}", codes: {charge: {cross-404-medum: M}}}\n' + AT},
        ("model_code.codes.charge.cross-404-medum", "did you mean cross-404-medium?"),
    ),
    "no code for a text with spaces": (
        "alder",
        {AT: 'model_code: {pattern: "A{size}{connections}"}\n' + AT},
        ("model_code.codes", "a code of its own is required under connections", "1/2 in x 5/8 in solder"),
    ),
    "nothing to stand for": (
        "hazel",
        {STEPS: STEPS + 'model_code: {pattern: "A{size}{charge}"}\n'},
        ("model_code.pattern", "has no charge"),
    ),
    "one code for two valves": (
        "alder",
        {
            AT: 'model_code: {pattern: "A{size}{charge}", codes: {size: {"11": "1", "16": "11"}, '
            'charge: {cross-404-medium: "11", cross-404-low: "1"}}}\n' + AT
        },
        ("model_code.pattern", "A111", "of size 11 and of size 16"),
    ),
    "codes that nothing uses": (
        "alder",
        {AT: 'model_code: {pattern: "A{size}", codes: {equalizer: {external: E}}}\n' + AT},
        ("model_code.codes.equalizer", "does not name equalizer"),
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_is_wrong_is_named(name, tmp_path):
    of, edits, parts = WRONG[name]
    with pytest.raises(ConfigError) as caught:
        family(tmp_path, of, edits)
    [problem] = caught.value.problems
    assert problem.line > 1
    for part in parts:
        assert part in str(problem), str(problem)


def test_what_a_design_leaves_out_is_the_familys(tmp_path):
    model = family(tmp_path, "alder", {SIZE: NAMES_IT, AT: LARGE + AT})
    [design] = model.port_designs
    own = model.with_design(design)
    assert (own.port.unbalance, own.opening.stop) == (0.01, 1.2)
    assert own.working_pressure == model.working_pressure


def test_connections_below_the_valve_are_refused_by_check(tmp_path, capsys, monkeypatch):
    shutil.copytree(DEMO, tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "configs" / "families" / "alder.yaml"
    text = file.read_text(encoding="utf-8")
    loss = "connection_loss: {kv: 120 L/h, size_kv: with_connections}"
    file.write_text(text.replace(SIZE, f"{SIZE[:-1]}, {loss}}}"), encoding="utf-8")
    assert main(["check", "--catalogue", "configs/catalogue.yaml"]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1, lines
    line = lines[0]
    number = 1 + file.read_text(encoding="utf-8").split(loss)[0].count("\n")
    assert line.startswith(f"configs/families/alder.yaml:{number}: sizes[7].connection_loss.kv: ")
    assert "size 125 has 0.125 m3/h" in line


def candidate(size: str, charge: str) -> Candidate:
    limit = Limit(1.0, "R404A", "rating", "stop")
    return Candidate(
        family="alder",
        size=size,
        kv_rated_m3h=0.045,
        charge=charge,
        verdict="fits",
        minimum=limit,
        maximum=limit,
        position=0.5,
        margin=1.2,
        heads=(),
    )


def test_a_code_is_on_the_order_where_the_list_has_no_number(tmp_path):
    code = (
        'model_code:\n  pattern: "{family}-{size}{charge}{equalizer}-{connections}{capillary}"\n  codes:\n'
        "    size: {45: 4H}\n    charge: {cross-404-medium: M}\n    equalizer: {external: E}\n"
        '    connections: {"3/8 in x 1/2 in solder": S, "3/8 in x 1/2 in flare": F, "1/2 in x 5/8 in solder": S, '
        '"5/8 in x 7/8 in solder": S}\n    capillary: {5 ft: "5", 3.05 m: "10"}\n'
    )
    path = small_catalogue(
        tmp_path / "configs",
        ["alder"],
        {"R404A": ["R404A"]},
        ["walk_in_medium"],
        [("families/alder.yaml", AT, code + AT)],
        more="part_numbers: part_numbers.csv\n",
    )
    listed = load_catalogue(path)
    # The demo's list has a number for this charge, and none for the other.
    number = order_line(listed, candidate("45", "cross-404-medium"), OrderRequest(capillary_m=1.524)).part_number
    assert number.startswith("71-")
    path.write_text(path.read_text(encoding="utf-8").replace("part_numbers: part_numbers.csv\n", ""), encoding="utf-8")
    catalogue = load_catalogue(path)
    asked = candidate("45", "cross-404-medium")
    assert order_line(catalogue, asked, OrderRequest(capillary_m=1.524)).part_number == "Alder-4HME-S5"
    assert order_line(catalogue, asked, OrderRequest(capillary_m=3.048)).part_number == "Alder-4HME-S10"
    # What is left to choose, and is named by the pattern, leaves the number open.
    assert order_line(catalogue, asked, OrderRequest()).part_number == ""


def test_a_bench_file_is_of_one_port_design(tmp_path):
    opening = "opening: {stop: 105 percent, minimum_stable: 10 percent}"
    edits = [
        ("families/alder.yaml", SIZE, NAMES_IT.replace("size: 125", "size: 125, display: Big 125")),
        ("families/alder.yaml", AT, f"port_designs:\n  - {{design: large, {opening}}}\n{AT}"),
    ]
    path = small_catalogue(tmp_path / "configs", ["alder"], {"R404A": ["R404A"]}, ["walk_in_medium"], edits)
    catalogue = load_catalogue(path)
    own = bench_family(path.parent, catalogue.families["alder"], catalogue.settings)
    tested, part = own.of_sizes(["Big 125", "Big 125"], catalogue.settings)
    assert (tested.valve.stop, tested.valve.min_opening, part.port_design) == (1.05, 0.1, "large")
    assert own.of_sizes(["45", "63"], catalogue.settings)[0].valve.stop == 1.2
    with pytest.raises(RequestError, match=r"different port designs \(45; Big 125\); make a bench file for each"):
        own.of_sizes(["45", "Big 125"], catalogue.settings)
